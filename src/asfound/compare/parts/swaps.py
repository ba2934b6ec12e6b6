"""Pairs of things that exchanged one attribute: two tags whose addresses were swapped."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Area, change, used
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit


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


def swap(
    area: Area,
    at: Place,
    swapped: Sequence[tuple[str, str, str]],
    texts: tuple[str, str],
    uses: Sequence[Sequence[str]],
) -> Change:
    """The change of two things ``(name, old, new)`` that swapped their addresses, with the places that use each."""
    (one, old, new), (other, _, _) = swapped
    edits = [edit("swapped addresses", old, new, of=one, owner=other)]
    edits += [edit("address taken", before, after, of=name) for name, before, after in swapped]
    edits += [note for (name, _, _), places in zip(swapped, uses, strict=True) for note in used(places, name)]
    return change(area, "readdressed", at, texts, "", edits, names=(one.lower(), other.lower()))
