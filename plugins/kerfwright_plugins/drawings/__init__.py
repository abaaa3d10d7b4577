"""Readers of drawing files."""
