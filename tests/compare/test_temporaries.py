"""A value that is passed on through a temporary is seen by the statements after it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.language.wires import numbered
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
    wire = Temporary(first, "ADD.OUT")
    total = Invocation(Variable("ADD"), (In("", Variable("A")), In("", Variable(operand))))
    statements = (Assign(wire, total), Assign(Variable("A"), wire), Assign(Variable("X"), wire))
    body = p.Body("FBD", networks=(p.Network(statements),))
    declared = tuple(p.VariableDeclaration(name, "INT") for name in "ABCX")
    return Copy(program=p.Program(pous=(p.Pou("Main", "program", variables=declared, bodies=(body,)),)))


def test_a_wire() -> None:
    (found,) = compare(drawn("B"), drawn("C")).changes
    assert (found.effect, found.summary) == ("behaviour", "ADD.OUT: input 2 of ADD now fed by C (was B)")


def test_the_number_of_a_wire_says_nothing() -> None:
    """A block put in front renumbers all wires of the rung; what it brings is all that is told."""
    old, new = drawn("B"), drawn("B")
    limit = Invocation(Variable("LT"), (In("", Variable("C")), In("", Variable("B"))))
    first = Temporary(1, "LT.OUT")
    (network,) = new.program.pous[0].bodies[0].networks
    later = numbered((Assign(first, limit), *drawn("B", 2).program.pous[0].bodies[0].networks[0].statements))
    assert network.statements != later[1:]
    body = p.Body(
        "FBD", networks=(p.Network((*later, Assign(Variable("Low"), first), Assign(Variable("Few"), first))),)
    )
    pou = replace(new.program.pous[0], bodies=(body,))
    (found,) = compare(old, replace(new, program=p.Program(pous=(pou,)))).changes
    assert (found.summary, found.details) == (
        "statement added: LT.OUT := LT(C, B); (and 2 more)",
        ("statement added: LT.OUT := LT(C, B);", "statement added: Low := LT.OUT;", "statement added: Few := LT.OUT;"),
    )


def test_a_wire_of_another_kind_of_block_is_the_same_wire() -> None:
    """Where it goes did not change, and its new name is no change either."""
    old = drawn("B")
    pou = old.program.pous[0]
    wire = Temporary(1, "SUB.OUT")
    total = Invocation(Variable("SUB"), (In("", Variable("A")), In("", Variable("B"))))
    statements = (Assign(wire, total), Assign(Variable("A"), wire), Assign(Variable("X"), wire))
    new = replace(pou, bodies=(p.Body("FBD", networks=(p.Network(statements),)),))
    (found,) = compare(old, Copy(program=p.Program(pous=(new,)))).changes
    assert found.summary == "SUB.OUT: function ADD replaced by SUB"


def test_a_detour_over_a_temporary_variable_is_proved() -> None:
    head = "PROGRAM P VAR_TEMP t : BOOL; END_VAR VAR a, b, q : BOOL; END_VAR "
    old, new = (
        Copy(program=parse_program(head + code + " END_PROGRAM", "p.st"))
        for code in ("t := a AND b; q := t;", "t := b; q := a AND t;")
    )
    assert {c.effect for c in compare(old, new).changes} == {"equivalent"}
