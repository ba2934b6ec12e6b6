"""Pairing of things by folded name: the first of a name with the first, the second with the second.

Cost: linear. Names that occur several times are paired in the order given.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Pairing(Generic[T]):
    """``pairs`` are (old, new, index of old); all in the order of the folded names.

    ``gone`` and ``come`` are those removed and added whose name the other side does not know at all.
    """

    pairs: tuple[tuple[T, T, int], ...]
    removed: tuple[tuple[T, int], ...]
    added: tuple[T, ...]
    gone: tuple[T, ...] = ()
    come: tuple[T, ...] = ()


def by_name(old: Sequence[T], new: Sequence[T], name: Callable[[T], str]) -> Pairing[T]:
    """Pair two lists; ``name`` gives what they are called."""
    before = _grouped(old, name)
    after = _grouped(new, name)
    pairs, removed, added = [], [], []
    gone: list[T] = []
    come: list[T] = []
    for key in sorted({*before, *after}):
        ours, theirs = before.get(key, []), after.get(key, [])
        shared = min(len(ours), len(theirs))
        pairs += [(a, b, i) for (a, i), (b, _) in zip(ours, theirs, strict=False)]
        removed += ours[shared:]
        added += [b for b, _ in theirs[shared:]]
        if not shared:
            gone += [a for a, _ in ours]
            come += [b for b, _ in theirs]
    return Pairing(tuple(pairs), tuple(removed), tuple(added), tuple(gone), tuple(come))


def _grouped(items: Sequence[T], name: Callable[[T], str]) -> dict[str, list[tuple[T, int]]]:
    groups: dict[str, list[tuple[T, int]]] = {}
    for index, item in enumerate(items):
        groups.setdefault(name(item).casefold(), []).append((item, index))
    return groups
