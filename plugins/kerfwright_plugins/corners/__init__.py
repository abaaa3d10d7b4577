"""What is done in inside corners."""
