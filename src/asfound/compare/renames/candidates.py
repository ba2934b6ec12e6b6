"""Which removed name became which added one.

A name is recognised by its uses: each place that uses it, with the name itself blanked out and every other name that
came or went blanked out too, gives one text; the texts of two names are counted and compared. A pair is taken when it
is the best for both, at least ``ENOUGH`` alike, and strictly better than every rival: two equally good candidates are
no rename.
Cost: the texts are made once per name and place; then the product of the two numbers of names.
Rejected: likeness of the spelling, which pairs ``Pump1`` with ``Pump2``.
Known weakness: a name whose every use was edited at the same time is told as removed and added.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from msgspec.structs import replace

from asfound.analysis.canonical import statement_key
from asfound.analysis.leaves import Leaf
from asfound.analysis.where_used import names_of
from asfound.language.walk import walk
from asfound.model.logic import Argument, Call, Literal, Member, Statement, Variable
from asfound.model.tree import NODES

ENOUGH = 0.5
HOLE, WILD = "§", "?"
Signature = Counter[str]
NOWHERE: Mapping[str, Signature] = {}


@dataclass(frozen=True)
class Item:
    """Something with a name. Only items of equal ``kind`` can be renames of each other.

    ``anchor`` is a strong hint besides the uses (an address); ``content`` texts of what it consists of.
    """

    name: str
    kind: tuple[str, ...]
    anchor: str = ""
    content: tuple[str, ...] = ()


def matched(
    removed: Sequence[Item],
    added: Sequence[Item],
    old: Mapping[str, Signature] = NOWHERE,
    new: Mapping[str, Signature] = NOWHERE,
) -> dict[str, str]:
    """Folded old name to new name; ``old`` and ``new`` hold the signature of each folded name."""
    removed, added = _unique(removed), _unique(added)
    scores: dict[tuple[str, str], float] = {}
    for before in removed:
        for after in added:
            if before.kind == after.kind:
                ours, theirs = old.get(before.name.lower(), Counter()), new.get(after.name.lower(), Counter())
                value = _score(before, after, ours, theirs)
                if value >= ENOUGH:
                    scores[before.name, after.name] = value
    return {r.lower(): a for r, a in best_for_both(scores)}


def best_for_both(scores: Mapping[tuple[str, str], float]) -> list[tuple[str, str]]:
    """Those pairs that are better than every rival, for either side."""
    best: dict[tuple[str, str], list[float]] = {}
    for (r, a), value in scores.items():
        for side in (("old", r), ("new", a)):
            best[side] = sorted((*best.get(side, ()), value))[-2:]
    return [
        (r, a)
        for (r, a), value in scores.items()
        if all(best[side][-1] == value and best[side][:-1] != [value] for side in (("old", r), ("new", a)))
    ]


def _unique(items: Sequence[Item]) -> list[Item]:
    """Two things of one name are never renamed: which of them is meant could not be told."""
    counts = Counter(i.name.lower() for i in items)
    return [i for i in items if counts[i.name.lower()] == 1]


def _score(r: Item, a: Item, old: Signature, new: Signature) -> float:
    uses = old + Counter(r.content), new + Counter(a.content)
    total = max(uses[0].total(), uses[1].total())
    shared = (uses[0] & uses[1]).total() / total if total else 0.0
    if r.anchor and a.anchor:
        return 0.5 + shared / 2 if r.anchor == a.anchor else 0.0
    return shared


def signatures(leaves: Iterable[Leaf], names: frozenset[str], wild: frozenset[str]) -> dict[str, Signature]:
    """Signature of each of ``names`` (folded) over the leaves; all of ``wild`` is blanked out."""
    found: dict[str, Signature] = {}
    for leaf in leaves:
        used = names_of(leaf, frozenset()) | {n.name.lower() for n in walk(leaf.statement) if isinstance(n, Member)}
        for name in sorted(used & names):
            found.setdefault(name, Counter())[blanked(leaf.statement, name, wild)] += 1
    return found


def blanked(statement: Statement, name: str, wild: frozenset[str]) -> str:
    """Key of a simple statement with one name as a hole and others left open."""

    def said(word: str) -> str:
        key = word.lower()
        return HOLE if key == name else WILD if key in wild else word

    def node(n: Any) -> Any:
        new = NODES.rebuilt(n, node)
        match new:
            case Variable(word) | Member(_, word) | Argument(word):
                return replace(new, name=said(word))
            case Literal(text):
                return Literal("#".join(map(said, text.split("#"))))
            case Call(type=type) if type.lower() in wild:
                return replace(new, type=WILD)
        return new

    return statement_key(node(statement))


def places(old: Sequence[str], new: Sequence[str]) -> tuple[dict[str, str], dict[str, str]]:
    """Where names stand that came or went: between which that stayed, at which place of how many there.

    >>> places(["a", "x", "y", "b"], ["a", "z", "b"])[1]
    {'z': 'place 1 of 1 between a and b'}
    """
    both = {n.lower() for n in old} & {n.lower() for n in new}
    return _gaps(old, both), _gaps(new, both)


def _gaps(names: Sequence[str], both: set[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    gap: list[str] = []
    before = ""
    for name in (*(n.lower() for n in names), ""):
        if name in both or not name:
            for place, inside in enumerate(gap, 1):
                found[inside] = f"place {place} of {len(gap)} between {before} and {name}"
            gap, before = [], name
        else:
            gap.append(name)
    return found
