"""Proofs of two expressions, or of two short pieces without declarations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.compare.prove.body import prove
from asfound.compare.prove.decide import Proof
from asfound.compare.prove.side import Run, Side
from asfound.model.logic import Assign, Expression, Statement, Variable


def prove_equal(
    old: Expression, new: Expression, types: Mapping[str, str], *, result: str = "result", type: str = ""
) -> Proof:
    """``types`` gives the declared type by folded access text, ``result`` the name of the value in a witness."""
    target = Variable(result)
    return prove_statements((Assign(target, old),), (Assign(target, new),), {**types, result.lower(): type})


def prove_statements(old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str]) -> Proof:
    old_side, new_side = (Side((Run(0, tuple(piece)),), types=types, part="network") for piece in (old, new))
    return prove(old_side, new_side)
