"""Ways down into the material."""
