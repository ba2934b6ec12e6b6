"""Which piece of the old list belongs to which piece of the new one. Knows no effect."""
