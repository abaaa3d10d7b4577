"""Materials, cutters and machines, each value with its source."""
