"""Pages, pictures and data made from a result."""
