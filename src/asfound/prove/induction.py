"""Memories that always agree: hidden ones of edges and blocks, and Boolean variables that one side alone has.

They start from known values. All that start alike are first taken to be equal for ever; a scan that makes two of them
differ splits them; what is left when no scan does is true of every scan that follows from the start of the program,
as long as both sides have written the same to what they share. So an edge contact is proved equal to an edge block.
Source: signal correspondence, C. A. J. van Eijk, Sequential equivalence checking based on structural similarities,
IEEE TCAD 19(7), 2000. Cost: at most as many questions as there are memories.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from asfound.prove.encoder import Encoder, TooLarge
from asfound.prove.solver import SolverSession

MAX_MEMORIES = 40


class Cell(NamedTuple):
    """A memory: its value when the program starts, before and after a scan."""

    first: bool
    before: Any
    after: Any


def agreements(encoder: Encoder, session: SolverSession, memories: Sequence[Cell]) -> list[Any]:
    """Equalities between memories that hold before every scan."""
    if len(memories) > MAX_MEMORIES:
        return []
    groups = [[m for m in memories if m.first is first] for first in (False, True)]
    try:
        while True:
            given = [eq for group in groups for eq in _equal(group)]
            broken = [a.after != b.after for group in groups for a, b in pairwise(group)]
            if not broken or not session.ask(encoder.z3.Or(broken), *given):
                return given
            groups = [part for group in groups for part in _split(encoder, session, group)]
    except TooLarge:
        return []


def _equal(group: Sequence[Cell]) -> list[Any]:
    return [group[0].before == m.before for m in group[1:]]


def _split(encoder: Encoder, session: SolverSession, group: Sequence[Cell]) -> list[list[Cell]]:
    model = session.model()
    parts: dict[bool, list[Cell]] = {}
    for memory in group:
        value = encoder.z3.is_true(model.eval(memory.after, True))
        parts.setdefault(value, []).append(memory)
    return [parts[key] for key in sorted(parts)]
