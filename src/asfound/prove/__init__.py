"""Do two programs end with the same values? Proof or counterexample by an SMT solver.

Knows nothing of changes and words.
"""
