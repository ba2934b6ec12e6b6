"""Memories that always agree: an agreement that is not one calls two programs equal that differ."""

from __future__ import annotations

from typing import Any

import pytest
import z3

from asfound.prove.encoder import Encoder
from asfound.prove.induction import MAX_MEMORIES, Cell, agreements
from asfound.prove.solver import SolverSession


def made(*rows: tuple[bool, str]) -> tuple[Encoder, list[Cell]]:
    """Memories ``m0``, ``m1``, ...: what each begins with, and what a scan leaves in it, in Python over names."""
    encoder = Encoder()
    names: dict[str, Any] = {k: encoder.input(k, k, "BOOL") for k in ("a", "b")}
    before = [encoder.input(f"m{n}", f"m{n}", "BOOL") for n in range(len(rows))]
    names |= {f"m{n}": term for n, term in enumerate(before)}
    names |= {"Not": z3.Not, "And": z3.And, "Or": z3.Or}
    return encoder, [Cell(first, b, eval(after, names)) for (first, after), b in zip(rows, before, strict=True)]


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ([(False, "a"), (False, "a")], ["m0 == m1"]),
        ([(False, "a"), (False, "b")], []),
        ([(False, "a"), (True, "a")], []),  # they begin differently
        ([(True, "a"), (True, "a")], ["m0 == m1"]),
        ([(False, "m0"), (False, "m1")], ["m0 == m1"]),  # neither ever changes
        ([(False, "Or(m0, a)"), (False, "Or(a, m1)")], ["m0 == m1"]),
        ([(False, "Or(m0, a)"), (False, "And(m1, a)")], []),
        ([(False, "a"), (False, "a"), (False, "a")], ["m0 == m1", "m0 == m2"]),
        ([(False, "a"), (False, "b"), (False, "a"), (False, "b")], ["m0 == m2", "m1 == m3"]),
        ([(False, "m1"), (False, "m0"), (True, "a"), (True, "a")], ["m0 == m1", "m2 == m3"]),
        ([(False, "And(a, m2)"), (False, "And(a, m3)"), (False, "a"), (False, "b")], []),  # stands on one that broke
        ([(False, "And(a, Not(b))"), (False, "And(a, b)"), (False, "And(a, Not(b))")], ["m0 == m2"]),
        ([(False, "a")], []),
        ([], []),
    ],
)
def test_memories_that_begin_alike_and_stay_alike(rows: list[tuple[bool, str]], expected: list[str]) -> None:
    encoder, cells = made(*rows)
    found = agreements(encoder, SolverSession(encoder, 2000), cells)
    assert sorted(str(eq) for eq in found) == expected


def test_too_many_memories_and_an_empty_budget_give_nothing() -> None:
    encoder, cells = made(*[(False, "a")] * (MAX_MEMORIES + 1))
    assert agreements(encoder, SolverSession(encoder, 2000), cells) == []
    assert len(agreements(encoder, SolverSession(encoder, 2000), cells[1:])) == MAX_MEMORIES - 1
    encoder, cells = made((False, "a"), (False, "Or(a, a)"))
    assert agreements(encoder, SolverSession(encoder, 0), cells) == []
