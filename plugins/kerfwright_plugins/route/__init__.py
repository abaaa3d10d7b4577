"""Orders of the cuts."""
