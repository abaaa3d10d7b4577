"""Closed outlines from chains of lines, arcs and bends: joined, proved simple, clear of each other, nested."""
