"""Proofs with an SMT solver; imported only when a pair needs it."""
