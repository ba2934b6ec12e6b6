"""Rungs of thousands of contacts, with one changed."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.comparison import compare
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Operation, Variable


def long(operator: str, count: int, odd: str = "") -> Operation:
    return Operation(operator, tuple(Variable(odd if odd and n == count // 2 else f"a{n}") for n in range(count)))


def ladder(value: Operation) -> Copy:
    body = p.Body("LD", networks=(p.Network((Assign(Variable("Q"), value),)),))
    return Copy(program=p.Program(pous=(p.Pou("Main", "program", bodies=(body,)),)))


@pytest.mark.parametrize("operator", ["AND", "OR"])
def test_one_contact_among_thousands(operator: str) -> None:
    found = compare(ladder(long(operator, 3000)), ladder(long(operator, 3000, "odd")))
    assert [(c.effect, c.summary) for c in found.changes] == [("behaviour", "Q: contact a1500 replaced by odd")]


def test_hundreds_of_changed_statements_are_all_decided() -> None:
    """A project in which one setpoint was changed everywhere: each place gets its verdict, with a case."""
    head = "PROGRAM M\nVAR x : INT; " + "".join(f"q{n} : BOOL; " for n in range(450)) + "END_VAR\n"
    bodies = ["".join(f"q{n} := x > {limit};\n" for n in range(450)) for limit in (9, 99)]
    old, new = (asfound.read(f"{head}{body}END_PROGRAM\n".encode(), "m.st") for body in bodies)
    found = asfound.compare(old, new)
    assert found.counts.behaviour == len(found.changes) == 450
    assert all(change.witness for change in found.changes)
