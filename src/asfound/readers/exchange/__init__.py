"""What the two exchange formats say alike in their standard parts, under names that differ by a capital letter.

document.py has the document level, declarations.py and initial_values.py the pieces of declarations, chart.py the
elements of a chart, positions.py the place of an object in a drawing; packing.py keeps large documents small. What
either format says in its own way is in its own package.
"""
