"""Ways to the wall and from it."""
