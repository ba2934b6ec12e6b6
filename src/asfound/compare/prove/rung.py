"""Are two expressions, or two short pieces without declarations, equal for every input?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.compare.prove.body import prove
from asfound.compare.prove.decide import LIMIT_MS, Proof
from asfound.compare.prove.side import Run, Side
from asfound.model.logic import Assign, Expression, Statement, Variable

__all__ = ["LIMIT_MS", "Proof", "prove_equal", "prove_statements"]


def prove_equal(
    old: Expression,
    new: Expression,
    types: Mapping[str, str],
    limit_ms: int = LIMIT_MS,
    *,
    result: str = "result",
    type: str = "",
) -> Proof:
    """Compare two expressions of one ``type`` (found out when empty, BOOL when it cannot be).

    ``types`` gives the declared type by folded access text, ``result`` the name of the value in a witness.

    >>> from asfound.model.logic import Operation
    >>> a, b = Variable("a"), Variable("b")
    >>> prove_equal(Operation("OR", (a, Operation("AND", (a, b)))), a, {}).status
    'equal'
    """
    target = Variable(result)
    known = {**types, result.lower(): type}
    return prove_statements((Assign(target, old),), (Assign(target, new),), known, limit_ms)


def prove_statements(
    old: Sequence[Statement], new: Sequence[Statement], types: Mapping[str, str], limit_ms: int = LIMIT_MS
) -> Proof:
    """Compare what two pieces write; ``types`` gives the declared type by folded access text.

    Functions that are not known are taken to have no side effects.
    """
    sides = [Side((Run(0, tuple(piece)),), types=types, part="network") for piece in (old, new)]
    return prove(sides[0], sides[1], limit_ms, trusting=True)
