"""Rungs of thousands of contacts, with one changed."""

from __future__ import annotations

import pytest

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
