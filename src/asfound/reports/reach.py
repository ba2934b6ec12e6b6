"""What a change can reach, as every report says it: how many outputs, the nearest with the way there, then the others.

What several changes reach alike is listed with the first of them, in the order of the report; the others refer to it
and tell their own nearest outputs. What follows from a change and reaches nothing more says nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from asfound.analysis.reach import NEAREST
from asfound.compare.result import Change
from asfound.model.visible import visible
from asfound.reports.words import followers, groups, number

WORTH = 4
"""Outputs from which referring to a list is shorter than the list."""
MOST = 6
"""Outputs of blocks that are named."""
_NOUNS = {"block": ("output of a block", "outputs of blocks"), "global": ("global variable", "global variables")}


@dataclass(frozen=True, slots=True)
class Told:
    """``head``, then the place of the change ``same`` if there is one, ``tail``; a line for each of ``items``."""

    head: str
    items: tuple[str, ...] = ()
    same: Change | None = None
    tail: str = ""

    def sentence(self, *, numbered: bool = True) -> str:
        """The head as one text; the other change by its number too where the report shows numbers."""
        return f"{self.head}{self.other(numbered=numbered)}{self.tail}"

    def other(self, *, numbered: bool = True) -> str:
        """``change 3 (PumpControl / rung 12)``, or nothing."""
        if self.same is None:
            return ""
        where = visible(self.same.where)
        return f"change {self.same.id} ({where})" if numbered else where


class Reaches:
    """What the changes of one report can reach; ``listed`` are those it tells this of, in its order, if not all."""

    def __init__(self, changes: Sequence[Change], listed: Iterable[Change] | None = None) -> None:
        self._changes = {change.id: change for change in changes}
        self._first: dict[frozenset[str], Change] = {}
        if listed is None:
            listed = _in_order([c for group in groups(changes) for c in group.changes], followers(changes))
        for change in listed:
            if not self._silent(change):
                self._first.setdefault(frozenset(change.reach), change)

    def told(self, change: Change) -> Told | None:
        """What is said of a change; None when that is nothing."""
        if self._silent(change):
            return None
        noun = number(len(change.reached), *_NOUNS.get(change.reached[0].kind, ("output", "outputs")))
        named = [(visible(name), reached.way) for name, reached in zip(change.reach, change.reached, strict=False)]
        ways = [_way(change, way, name) for name, way in named if way][:NEAREST]
        first = self._first[frozenset(change.reach)]
        if first is not change and len(change.reach) >= WORTH:
            return Told(f"Can reach the same {noun} as ", tuple(ways), first, ", the nearest:")
        if len(change.reach) == 1:
            return Told(f"Can reach {ways[0] if ways else named[0][0]}")
        rest = [name for name, _ in named[len(ways) :]]
        also = [f"{'and ' if ways else ''}{', '.join(rest)}"] if rest else []
        return Told(f"Can reach {noun}:", (*ways, *also, *_blocks(change.reach[len(named) :])))

    def _silent(self, change: Change) -> bool:
        cause = self._changes.get(change.follows_from or 0)
        return not change.reached or (cause is not None and {*change.reach} <= {*cause.reach})


def _in_order(changes: Sequence[Change], follow: Mapping[int, Sequence[Change]]) -> Iterator[Change]:
    for change in changes:
        yield change
        yield from _in_order(follow.get(change.id, ()), follow)


def _blocks(names: Sequence[str]) -> Iterator[str]:
    if names:
        shown = ", ".join(map(visible, names[:MOST]))
        more = f" and {len(names) - MOST} more" if len(names) > MOST else ""
        yield f"outputs of blocks: {shown}{more}"


def _way(change: Change, way: Sequence[str], last: str) -> str:
    """``left.start -> ram.go -> Yard.lamp (%QX1.0)``: names without the program or instance that they begin in."""
    if len(way) == 1:
        return f"{last}, written directly"
    begin = f"{way[0].rpartition('.')[0]}."
    own = f"{change.path[0]}."
    inside = (name.removeprefix(begin).removeprefix(own) for name in way[1:-1])
    return " -> ".join((*map(visible, (way[0].removeprefix(own), *inside)), last))
