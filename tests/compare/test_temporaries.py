"""A value that is passed on through a temporary is seen by the statements after it."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.logic import Argument as In
from asfound.model.logic import Assign, Invocation, Temporary, Variable


def written(section: str, operand: str) -> Copy:
    text = f"PROGRAM P {section} t : BOOL; END_VAR VAR a, b, c, q : BOOL; END_VAR t := a AND {operand}; q := t; END_PROGRAM"
    return Copy(program=parse_program(text, "p.st"))


@pytest.mark.parametrize("section", ["VAR", "VAR_TEMP", "VAR_OUTPUT"])
def test_a_temporary_variable(section: str) -> None:
    (found,) = compare(written(section, "b"), written(section, "c")).changes
    assert (found.effect, found.summary) == ("behaviour", "t: operand b replaced by c")


def drawn(operand: str, first: int = 1) -> Copy:
    """``A := A + operand`` where the sum is used again afterwards, so that it stays on its wire."""
    wire = Temporary(first)
    total = Invocation(Variable("ADD"), (In("", Variable("A")), In("", Variable(operand))))
    statements = (Assign(wire, total), Assign(Variable("A"), wire), Assign(Variable("X"), wire))
    body = p.Body("FBD", networks=(p.Network(statements),))
    declared = tuple(p.VariableDeclaration(name, "INT") for name in "ABCX")
    return Copy(program=p.Program(pous=(p.Pou("Main", "program", variables=declared, bodies=(body,)),)))


def test_a_wire() -> None:
    (found,) = compare(drawn("B"), drawn("C")).changes
    assert (found.effect, found.summary) == ("behaviour", "_v1: input 2 of ADD now fed by C (was B)")


def test_the_number_of_a_wire_says_nothing() -> None:
    assert {c.effect for c in compare(drawn("B", 1), drawn("B", 2)).changes} <= {"equivalent"}


def test_a_detour_over_a_temporary_variable_is_proved() -> None:
    head = "PROGRAM P VAR_TEMP t : BOOL; END_VAR VAR a, b, q : BOOL; END_VAR "
    old, new = (
        Copy(program=parse_program(head + code + " END_PROGRAM", "p.st"))
        for code in ("t := a AND b; q := t;", "t := b; q := a AND t;")
    )
    assert {c.effect for c in compare(old, new).changes} == {"equivalent"}
