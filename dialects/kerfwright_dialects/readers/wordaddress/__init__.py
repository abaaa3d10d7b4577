"""What readers of word-address languages share: words, modal state, arcs, long runs of plain lines."""
