"""Dialects of program languages, and their readers."""
