"""Pairing of things by folded name: the first of a name with the first, the second with the second.

Cost: linear. Names that occur several times are paired in the order given, those written alike before the others.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, Literal, TypeVar

from asfound.compare.pairing.pair import Pair

T = TypeVar("T")


@dataclass(frozen=True)
class Pairing(Generic[T]):
    """What has a partner and what has none, ``removed`` as written; all in the order of the folded names.

    ``gone`` and ``come`` are those removed and added whose name the other side does not know at all.
    """

    pairs: tuple[Pair[T], ...]
    removed: tuple[T, ...]
    added: tuple[T, ...]
    gone: tuple[T, ...] = ()
    come: tuple[T, ...] = ()

    @property
    def alone(self) -> list[tuple[Literal["removed", "added"], T]]:
        """What only one side has."""
        return [("removed", each) for each in self.removed] + [("added", each) for each in self.added]


def by_name(
    old: Sequence[T], new: Sequence[T], name: Callable[[T], str], written: Sequence[T] | None = None
) -> Pairing[T]:
    """Pair two lists; ``name`` gives what they are called, ``written`` are the old ones before any rename."""
    spelled = old if written is None else written
    before = _grouped(old, name)
    after = _grouped(new, name)
    pairs, removed, added = list[Pair[T]](), list[T](), list[T]()
    gone: list[T] = []
    come: list[T] = []
    for key in sorted({*before, *after}):
        ours, theirs = _alike(before.get(key, []), after.get(key, []), name)
        shared = min(len(ours), len(theirs))
        pairs += [Pair(a, b, spelled[i]) for (a, i), (b, _) in zip(ours, theirs, strict=False)]
        removed += [spelled[i] for _, i in ours[shared:]]
        added += [b for b, _ in theirs[shared:]]
        if not shared:
            gone += [a for a, _ in ours]
            come += [b for b, _ in theirs]
    return Pairing(tuple(pairs), tuple(removed), tuple(added), tuple(gone), tuple(come))


def _alike(
    ours: list[tuple[T, int]], theirs: list[tuple[T, int]], name: Callable[[T], str]
) -> tuple[list[tuple[T, int]], list[tuple[T, int]]]:
    """Both groups with the names that are written alike in the same places."""
    if max(len(ours), len(theirs)) < 2:
        return ours, theirs
    left = list(theirs)
    pairs, alone = [], []
    for item in ours:
        same = next((at for at, other in enumerate(left) if name(other[0]) == name(item[0])), None)
        if same is None:
            alone.append(item)
        else:
            pairs.append((item, left.pop(same)))
    return [a for a, _ in pairs] + alone, [b for _, b in pairs] + left


def _grouped(items: Sequence[T], name: Callable[[T], str]) -> dict[str, list[tuple[T, int]]]:
    groups: dict[str, list[tuple[T, int]]] = {}
    for index, item in enumerate(items):
        groups.setdefault(name(item).lower(), []).append((item, index))
    return groups
