"""Readers, one file a language, each written from its document; they share no code with a writer."""
