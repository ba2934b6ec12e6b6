"""Proofs of two expressions, or of two short pieces without declarations."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.model.logic import Assign, Expression, Statement, Variable
from asfound.prove.equivalence import prove
from asfound.prove.proof_side import Run, Side
from asfound.prove.solver import Proof


def prove_equal(
    old: Expression, new: Expression, types: Mapping[str, str], *, result: str = "result", type: str = ""
) -> Proof:
    """``types`` gives the declared type by folded access text, ``result`` the name of the value in a witness."""
    target = Variable(result)
    return prove_statements((Assign(target, old),), (Assign(target, new),), {**types, result.lower(): type})


def prove_statements(old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str]) -> Proof:
    old_side, new_side = (Side((Run(0, tuple(piece)),), types=types, part="network") for piece in (old, new))
    return prove(old_side, new_side)
