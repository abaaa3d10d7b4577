"""Text of word-address programs, set in arrays: what dialects of that family share."""
