"""Whole bodies: several statements that differ can do the same together, and a difference can show far from its cause.

The two bodies are proved against each other where something in them may act differently. Equal: every change in them is
equivalent. Different: the changes that speak of what came out differently get the counterexample.
Cost: one proof for each body with such a change, a limited number in one comparison.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Literal

from msgspec.structs import replace

from asfound.compare.context import GIVEN_UP_BODY, Scope
from asfound.compare.result import Change, Witness
from asfound.model.logic import Statement
from asfound.model.program import Body

if TYPE_CHECKING:
    from asfound.compare.prove.decide import Proof

SAME = "the whole body acts the same"


def prove_pieces(scope: Scope, old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str]) -> Proof:
    """Two pieces at the same place, single statements or whole networks (their wires end there).

    ``types`` gives the type of names that stand for an outcome.
    """
    from asfound.compare.prove.body import prove
    from asfound.compare.prove.side import Run, Side

    symbols = scope.context.old, scope.context.new
    part: Literal["network", "statement"] = "statement" if len(old) == len(new) == 1 else "network"
    sides = [
        Side((Run(0, tuple(p)),), s, pou, types, part)
        for p, s, pou in zip((old, new), symbols, scope.pous, strict=True)
    ]
    return prove(sides[0], sides[1], same=scope.context.same)


def prove_bodies(scope: Scope, old: Body, new: Body) -> Proof:
    """Two bodies of statements or networks; a diagram whose order is in doubt is not decided."""
    from asfound.compare.prove.body import prove
    from asfound.compare.prove.decide import Proof
    from asfound.compare.prove.execute import runs_of
    from asfound.compare.prove.side import Side
    from asfound.compare.prove.theory import Unsupported

    if any(b.chart is not None or b.order.doubts or _beyond_understanding(b) for b in (old, new)):
        return Proof("unknown")
    try:
        runs = runs_of(old), runs_of(new)
    except Unsupported as problem:
        return Proof("unknown", reason=str(problem))
    symbols = scope.context.old, scope.context.new
    sides = [Side(r, s, pou) for r, s, pou in zip(runs, symbols, scope.pous, strict=True)]
    return prove(sides[0], sides[1], same=scope.context.same)


def _beyond_understanding(body: Body) -> bool:
    """Does it hold data that nobody knows? What that does cannot be proved, wherever the statements lead."""
    return bool(body.extensions) or any(network.extensions for network in body.networks)


def as_a_whole(scope: Scope, old: Body, new: Body, changes: list[Change]) -> list[Change]:
    """The same changes with what a proof of the whole body says about them."""
    open_ = [n for n, c in enumerate(changes) if c.area == "logic" and c.effect in ("behaviour", "undecided")]
    budget = scope.context.budget
    if not open_ or budget.bodies <= 0:
        return changes
    proof = prove_bodies(scope, old, new)
    budget.bodies -= GIVEN_UP_BODY if proof.exhausted else 1
    budget.gave_up += proof.exhausted
    if proof.status == "equal":
        return [_equivalent(c) if n in open_ else c for n, c in enumerate(changes)]
    if proof.witness is None:
        return changes
    chosen = _causes([changes[n] for n in open_], proof.witness)
    return [_with(c, proof.witness) if any(c is x for x in chosen) else c for c in changes]


def _equivalent(c: Change) -> Change:
    return replace(c, effect="equivalent", witness=None, details=(SAME, *c.details))


def _causes(changes: Sequence[Change], witness: Witness) -> list[Change]:
    """The only change; else those of behaviour without a witness that speak of what came out differently."""
    if len(changes) == 1:
        return [changes[0]] if changes[0].witness is None else []
    names = {name.split(" ")[0].lower() for name in witness.old}
    return [c for c in changes if c.effect == "behaviour" and c.witness is None and names & _words(c)]


def _words(c: Change) -> set[str]:
    return set(re.findall(r"%?[^\W\d][\w.]*", f"{c.before or ''} {c.after or ''}".lower()))


def _with(c: Change, witness: Witness) -> Change:
    return replace(c, effect="behaviour", witness=witness)
