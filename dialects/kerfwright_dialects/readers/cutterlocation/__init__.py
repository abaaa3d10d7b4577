"""Reading cutter location data: statements of major words."""
