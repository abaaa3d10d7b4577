"""Depths of the passes."""
