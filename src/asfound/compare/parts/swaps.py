"""Pairs of things that exchanged one attribute: two tags whose addresses were swapped."""

from __future__ import annotations

from collections.abc import Sequence


def swaps(items: Sequence[tuple[str, str, str]]) -> list[tuple[str, str]]:
    """Names of items ``(name, old, new)`` of which each took what the other had; a name occurs once, sorted pairs.

    >>> swaps([("A", "%IX0.0", "%IX0.1"), ("B", "%IX0.1", "%IX0.0"), ("C", "", "%IX0.2")])
    [('A', 'B')]
    """
    moved = [(n, a.upper(), b.upper()) for n, a, b in items if a and b and a.upper() != b.upper()]
    waiting: dict[tuple[str, str], list[str]] = {}
    pairs = []
    for name, old, new in sorted(moved):
        partner = waiting.get((new, old))
        if partner:
            pairs.append((partner.pop(0), name))
        else:
            waiting.setdefault((old, new), []).append(name)
    return pairs
