"""The order in which a diagram runs, apart from where its networks are drawn.

Only statements that belong together on both sides are looked at; a pair that runs the other way round matters when one
of them writes what the other touches. Cost: the product of the lengths, only where an order is given.
"""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.canonical import statement_key
from asfound.analysis.places import Place
from asfound.compare.changes import change
from asfound.compare.context import Scope
from asfound.compare.logic.dependence import dependences, unknown
from asfound.compare.logic.order_doubts import compare_doubts
from asfound.compare.logic.statements import line
from asfound.compare.pairing.alignment import Match
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.model.logic import Statement
from asfound.model.program import Body

Run = list[tuple[tuple[int, int], Statement]]


def compare_order(scope: Scope, place: Place, old: Body, new: Body, pairs: Sequence[Match]) -> list[Change]:
    """Changes of the execution order of two diagrams whose networks are paired by ``pairs``."""
    if not (old.order.sequence or new.order.sequence or old.order.doubts or new.order.doubts):
        return []
    swapped, known = _swapped(scope, old, new, pairs)
    texts = _text(old), _text(new)
    if swapped:
        effect: Effect = "behaviour" if known else "undecided"
        return [change("logic", "changed", place, texts, "execution order changed", swapped, effect=effect)]
    return compare_doubts(scope, place, old, new, pairs)


def _run(body: Body) -> Run:
    sequence = body.order.sequence or tuple(
        (n, s) for n, network in enumerate(body.networks) for s in range(len(network.statements))
    )
    return [((n, s), body.networks[n].statements[s]) for n, s in sequence]


def _text(body: Body) -> str:
    return "\n".join(line(statement) for _, statement in _run(body))


def _swapped(scope: Scope, old: Body, new: Body, pairs: Sequence[Match]) -> tuple[list[Edit], bool]:
    partner = dict(pairs)
    waiting: dict[tuple[int, str], list[int]] = {}
    after = _run(new)
    for n, ((network, _), statement) in enumerate(after):
        waiting.setdefault((network, statement_key(statement, scope.key)), []).append(n)
    matched: list[tuple[int, Statement]] = []
    drawn: list[tuple[int, int]] = []
    for (network, index), statement in _run(old):
        same = waiting.get((partner.get(network, -1), statement_key(statement, scope.key)))
        if same:
            at = same.pop(0)
            matched.append((at, statement))
            drawn.append((network, index))
    found: dict[tuple[str, str], Edit] = {}
    known = False
    for n, (place, statement) in enumerate(matched):
        for m in range(n):
            if matched[m][0] > place and not _redrawn((drawn[m], drawn[n]), (after[matched[m][0]][0], after[place][0])):
                reasons = dependences(scope, (matched[m][1],), (statement,))
                if reasons:
                    known = known or not unknown(reasons)
                    both = line(statement).removesuffix(";"), line(matched[m][1]).removesuffix(";")
                    found[both] = edit("runs before", of=both[0], owner=both[1], inner=reasons)
    return [found[both] for both in sorted(found)], known


def _redrawn(old: tuple[tuple[int, int], tuple[int, int]], new: tuple[tuple[int, int], tuple[int, int]]) -> bool:
    """The two were also drawn the other way round: that is told as a move already."""
    return (old[0] < old[1]) != (new[0] < new[1])
