"""Strokes of a drill."""
