"""What one program is: symbols, reads and writes, places in memory, cross-reference.

Knows nothing of changes, effects and their words.
"""
