"""How a full kerf is cut."""
