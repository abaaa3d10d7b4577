"""What a made job costs: inputs, what one run uses up, and the price of a quantity."""
