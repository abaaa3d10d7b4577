"""Where outlines leave uncut links."""
