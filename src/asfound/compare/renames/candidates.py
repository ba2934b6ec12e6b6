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

from msgspec.structs import replace

from asfound.analysis.canonical import statement_key
from asfound.analysis.leaves import Leaf
from asfound.analysis.where_used import names_of
from asfound.language.walk import rewrite
from asfound.model.logic import Call, Expression, Member, Statement, Variable

ENOUGH = 0.5
HOLE, WILD = Variable("§"), Variable("?")
Signature = Counter[str]


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
    removed: Sequence[Item], added: Sequence[Item], old: Mapping[str, Signature], new: Mapping[str, Signature]
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
    best: dict[tuple[str, str], list[float]] = {}
    for (r, a), value in scores.items():
        for side in (("old", r), ("new", a)):
            best[side] = sorted((*best.get(side, ()), value))[-2:]
    return {
        r.lower(): a
        for (r, a), value in scores.items()
        if all(best[side][-1] == value and best[side][:-1] != [value] for side in (("old", r), ("new", a)))
    }


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
        for name in sorted(names_of(leaf, frozenset()) & names):
            found.setdefault(name, Counter())[blanked(leaf.statement, name, wild)] += 1
    return found


def blanked(statement: Statement, name: str, wild: frozenset[str]) -> str:
    """Key of a simple statement with one name as a hole and others left open."""

    def node(e: Expression) -> Expression | None:
        if isinstance(e, Variable):
            key = e.name.lower()
            return HOLE if key == name else WILD if key in wild else None
        if isinstance(e, Member) and e.name.lower() in wild:
            return Member(rewritten(e.of), WILD.name)
        return None

    def rewritten(e: Expression) -> Expression:
        return rewrite(e, node)

    new = rewrite(statement, node)
    if isinstance(new, Call) and new.type.lower() in wild:
        new = replace(new, type=WILD.name)
    return statement_key(new)
