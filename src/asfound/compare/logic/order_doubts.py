"""Where compilers differ in the order of a diagram, before and now.

A doubt is a relation between two statements: an edit inside one of them is no other relation, and one to a statement
that only one side has is told with that statement. What is left is told as following from the change of its rungs.
Cost: linear in the statements and doubts.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from asfound.analysis.canonical import statement_key
from asfound.analysis.places import Place, noun
from asfound.compare.changes import change
from asfound.compare.context import Scope
from asfound.compare.pairing.alignment import Match
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit
from asfound.language.doubts import statement_name
from asfound.model.logic import Assign, Temporary
from asfound.model.program import Body, Doubt, Spot

ORDER = "order"
"""What a path to the execution order ends with; such a change names the ends of the paths to its rungs."""


def compare_doubts(scope: Scope, place: Place, old: Body, new: Body, pairs: Sequence[Match]) -> list[Change]:
    """At most one change: the relations that only one side has, each with its two rungs."""
    partner = _partners(scope, old, new, pairs)
    before = {each for doubt in old.order.doubts for each in _moved(doubt, partner, old)}
    after = {each for doubt in new.order.doubts for each in _moved(doubt, {s: s for s in partner.values()}, new)}
    edits = [*_edits("doubted", new, after - before), *_edits("agreed", new, before - after)]
    if not edits:
        return []
    rungs = {f"network:{network + 1}" for doubt in after ^ before for network, _ in doubt.places}
    at = place.down("execution order", ORDER)
    return [change("logic", "changed", at, (None, None), "", edits, effect="undecided", names=sorted(rungs))]


def _partners(scope: Scope, old: Body, new: Body, pairs: Sequence[Match]) -> dict[Spot, Spot]:
    """The statements that belong together: first the same ones, then those that write the same, in their order."""
    found: dict[Spot, Spot] = {}
    for a, b in pairs:
        mine, theirs = old.networks[a].statements, new.networks[b].statements
        for key in (lambda s: statement_key(s, scope.key), statement_name):
            waiting: dict[str, list[int]] = {}
            taken = {spot for network, spot in found.values() if network == b}
            for n, statement in enumerate(theirs):
                if n not in taken:
                    waiting.setdefault(key(statement).lower(), []).append(n)
            for n, statement in enumerate(mine):
                same = waiting.get(key(statement).lower())
                if same and (a, n) not in found:
                    found[a, n] = b, same.pop(0)
    return found


def _moved(doubt: Doubt, partner: dict[Spot, Spot], body: Body) -> Iterable[Doubt]:
    """The doubt about the partners; nothing where one of its statements has none."""
    kept = [spot for spot in doubt.places if spot in partner]
    if doubt.kind == "as":
        order = body.order.sequence
        if kept == sorted(kept, key=order.index if order else None):
            return []
    elif len(kept) < len(doubt.places):
        return []
    return [replace(doubt, places=tuple(partner[spot] for spot in kept))]


def _edits(which: str, body: Body, doubts: Iterable[Doubt]) -> list[Edit]:
    found = []
    for doubt in sorted(doubts, key=lambda d: (d.kind, d.places, d.by, d.text)):
        at = [_told(body, spot) for spot in doubt.places]
        of, owner = doubt.text, (at or ["the end"])[0]
        if doubt.kind == "before":
            of, owner = at
        elif doubt.kind == "as":
            of, owner = " then ".join(at), ""
        sides = (None, doubt.by) if which == "doubted" else (doubt.by, None)
        found.append(edit(f"{which} {doubt.kind}", *sides, of=of, owner=owner))
    return found


def _told(body: Body, spot: Spot) -> str:
    """A statement by its rung and, unless that is a wire, by what it writes."""
    network, at = spot
    statement = body.networks[network].statements[at]
    rung = f"{noun(body)} {network + 1}"
    wire = isinstance(statement, Assign) and isinstance(statement.target, Temporary)
    return rung if wire else f"{rung} ({statement_name(statement)})"
