"""Whole bodies: several statements that differ can do the same together, and a difference can show far from its cause.

The two bodies are proved against each other where something in them may act differently. Equal: every change in them is
equivalent. Different: a change gets a case in which something that it speaks of comes out differently at the end of a
cycle, from inputs and the state before it. A change without one keeps what is known of its statement alone, and says
so. A diagram whose order is in doubt is followed in the order that is shown, and never called equal.
Cost: one proof for each body with such a change, a limited number in one comparison, and a case for each change.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING
from typing import Literal as Choice

from msgspec.structs import replace

from asfound.analysis.canonical import folded
from asfound.analysis.leaves import Leaf, Path, by_place, of_body
from asfound.analysis.places import Place
from asfound.compare.context import GIVEN_UP_BODY, Scope
from asfound.compare.result import Change
from asfound.compare.wording.phrases import edit
from asfound.language.walk import everything, names_in, targets, walk
from asfound.model.logic import Literal, Statement
from asfound.model.program import Body

if TYPE_CHECKING:
    from asfound.prove.equivalence import Question
    from asfound.prove.solver import Proof

Placed = Mapping[Path, list[Leaf]]


def prove_pieces(scope: Scope, old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str]) -> Proof:
    """Two pieces at the same place, single statements or whole networks (their wires end there).

    ``types`` gives the type of names that stand for an outcome. A case is one for the values just before the pieces.
    """
    from asfound.prove.equivalence import prove
    from asfound.prove.proof_side import Run, Side

    symbols = scope.context.old, scope.context.new
    part: Choice["network", "statement"] = "statement" if len(old) == len(new) == 1 else "network"
    sides = [
        Side((Run(0, tuple(p)),), s, pou, types, part)
        for p, s, pou in zip((old, new), symbols, scope.pous, strict=True)
    ]
    found = prove(sides[0], sides[1], same=scope.context.same)
    if found.witness is None:
        return found
    return dataclasses.replace(found, witness=replace(found.witness, moment="statement"))


def question(scope: Scope, old: Body, new: Body) -> Question | None:
    """Two bodies of statements or networks; None for a chart or data nobody knows."""
    from asfound.prove.encoder import Unsupported
    from asfound.prove.equivalence import Question
    from asfound.prove.execute import runs_of
    from asfound.prove.proof_side import Side

    if any(b.chart is not None or _beyond_understanding(b) for b in (old, new)):
        return None
    try:
        runs = runs_of(old), runs_of(new)
    except Unsupported:
        return None
    symbols = scope.context.old, scope.context.new
    sides = [Side(r, s, pou) for r, s, pou in zip(runs, symbols, scope.pous, strict=True)]
    return Question(sides[0], sides[1], same=scope.context.same)


def _beyond_understanding(body: Body) -> bool:
    """Does it hold data that nobody knows? What that does cannot be proved, wherever the statements lead."""
    return bool(body.extensions) or any(network.extensions for network in body.networks)


def as_a_whole(scope: Scope, place: Place, old: Body, new: Body, changes: list[Change]) -> list[Change]:
    """The same changes with what the whole body says about them: proved equal, or a case for a cycle of it."""
    open_ = [n for n, c in enumerate(changes) if c.area == "logic" and c.effect in ("behaviour", "undecided")]
    budget = scope.context.budget
    asked = question(scope, old, new) if open_ and budget.bodies > 0 else None
    if asked is None:
        return changes
    exhausted = asked.proof.exhausted
    budget.bodies -= GIVEN_UP_BODY if exhausted else 1
    budget.gave_up += exhausted
    if asked.proof.status == "equal":
        if old.order.doubts or new.order.doubts:
            return changes
        return [_equivalent(c) if n in open_ else c for n, c in enumerate(changes)]
    alone = len(open_) == 1
    pieces = [by_place(of_body(body, place, ())) for body in (old, new)]
    return [_shown(c, pieces, asked, alone=alone) if n in open_ else c for n, c in enumerate(changes)]


def _equivalent(c: Change) -> Change:
    return replace(c, effect="equivalent", witness=None, edits=(*c.edits[:1], edit("whole body"), *c.edits[1:]))


def _shown(c: Change, pieces: Sequence[Placed], asked: Question, *, alone: bool) -> Change:
    """A change with a case for something that it speaks of; with any case when it is the only one."""
    witness = asked.case(_names(c, *pieces), only=not alone).witness
    return c if witness is None else replace(c, effect="behaviour", witness=witness)


def _names(c: Change, old: Placed, new: Placed) -> tuple[str, ...]:
    """Folded names that a change speaks of, each also with its members: what is written by each piece stands first."""
    whole = c.kind != "changed"
    before = _pieces(old, c.old_path or c.path, whole=whole) if c.kind != "added" else []
    after = _pieces(new, c.path, whole=whole) if c.kind != "removed" else []
    used = (e for s in (*before, *after) for e in (*targets(s), *(n for each in everything(s) for n in walk(each)))
            if not isinstance(e, Literal))  # fmt: skip
    return tuple(dict.fromkeys(name for e in used for name in (folded(e), *names_in(e))))


def _pieces(index: Placed, path: Path, *, whole: bool) -> list[Statement]:
    """The statements at a path; the ``whole`` of it with what is nested there."""
    found = index.get(path, [])
    here = [] if whole else [leaf for leaf in found if leaf.place.path == path]
    return [leaf.statement for leaf in here or found]
