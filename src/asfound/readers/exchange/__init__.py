"""What the two exchange formats say alike in their standard parts, under names that differ by a capital letter.

declarations.py and values.py have the pieces of declarations, positions.py the place of an object in a drawing. What
either format says in its own way is in its own package.
"""
