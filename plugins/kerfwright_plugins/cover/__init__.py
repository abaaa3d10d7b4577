"""Ways that clear an area."""
