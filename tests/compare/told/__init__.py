"""Tables of what can differ: a pair of copies each, and every line that is told about it."""
