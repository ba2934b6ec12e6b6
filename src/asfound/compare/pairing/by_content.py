"""Pairing of things whose names say nothing any more, by what they have in common.

Pairs with most in common come first, each thing is in one pair. Cost: linear in the parts, times how many things share
one part. Weakness: of a thing that was cut in two, the larger half counts as its successor.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

T = TypeVar("T")


def by_common_parts(
    old: Sequence[T], new: Sequence[T], name: Callable[[T], str], parts: Callable[[T], Iterable[Hashable]]
) -> list[tuple[T, T]]:
    """``(old, new)`` with at least one part in common, in the order of ``old``.

    Names are different within each side; equal numbers are decided by the names, alike in both directions.
    """
    holders: dict[Hashable, set[str]] = {}
    for thing in new:
        for part in parts(thing):
            holders.setdefault(part, set()).add(name(thing))
    common: Counter[tuple[str, str]] = Counter()
    for thing in old:
        for part in parts(thing):
            common.update((name(thing), other) for other in holders.get(part, ()))
    partners: dict[str, str] = {}
    taken: set[str] = set()
    for (before, after), _ in sorted(common.items(), key=lambda item: (-item[1], sorted(item[0]))):
        if before not in partners and after not in taken:
            partners[before] = after
            taken.add(after)
    called = {name(thing): thing for thing in new}
    return [(thing, called[partners[name(thing)]]) for thing in old if name(thing) in partners]
