"""Differences between two bodies: pieces paired, told edit by edit, proved where a proof is possible."""
