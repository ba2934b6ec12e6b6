"""Proofs against values worked out by hand."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings

from asfound.language.walk import names_in
from asfound.model.logic import Edge, Expression, Literal, Operation, Variable
from compare import building as b
from compare.test_laws import expressions

from .proving import prove_equal, prove_statements

INT, REAL, TIME, WORD = {"x": "INT", "y": "INT"}, {"x": "REAL"}, {"t.et": "TIME"}, {"w": "WORD"}
UINT = {"x": "UINT"}


@pytest.mark.parametrize(
    ("old", "new", "types", "expected"),
    [
        ("NOT (A AND B)", "NOT A OR NOT B", {}, "equal"),
        ("A AND (B OR C)", "A AND B OR A AND C", {}, "equal"),
        ("A XOR B", "A <> B", {"a": "BOOL", "b": "BOOL"}, "equal"),
        ("A OR A AND B", "A", {}, "equal"),
        ("A AND B", "A OR B", {}, "different"),
        ("x > 5", "x >= 6", INT, "equal"),
        ("x > 5", "x >= 6", REAL, "different"),
        ("NOT (x < 3)", "x >= 3", INT, "equal"),
        ("NOT (x < 3.0)", "x >= 3.0", REAL, "different"),
        ("x >= 0", "TRUE", UINT, "equal"),
        ("x >= 0", "TRUE", INT, "different"),
        ("x + y", "y + x", INT, "equal"),
        ("x * 2", "x + x", INT, "equal"),
        ("t.ET >= T#5s", "t.ET >= T#5000ms", TIME, "equal"),
        ("w AND 16#FF", "w AND 255", WORD, "equal"),
        ("w AND 16#FF", "w", WORD, "different"),
        ("x > 5", "x > 8", {}, "unknown"),
        ("_F(A) OR A", "_F(A)", {}, "unknown"),
        ("F(A) AND B", "B AND F(A)", {}, "unknown"),  # F may do anything, and only one order may skip it
    ],
)
def test_a_pair(old: str, new: str, types: dict[str, str], expected: str) -> None:
    assert prove_equal(b.e(old), b.e(new), types).status == expected


def test_a_witness_holds_only_what_matters() -> None:
    proof = prove_equal(b.e("(A AND B) OR C"), b.e("(A AND B) OR C OR D"), {}, result="OUT")
    assert proof.witness is not None
    assert proof.witness.inputs == {"B": "FALSE", "C": "FALSE", "D": "TRUE"}
    assert (proof.witness.old, proof.witness.new) == ({"OUT": "FALSE"}, {"OUT": "TRUE"})


def test_values_of_a_witness_are_literals() -> None:
    proof = prove_equal(b.e("t.ET > T#5s"), b.e("t.ET > T#8s"), TIME)
    assert proof.witness is not None
    assert proof.witness.inputs == {"t.ET": "T#5s1ms"}


def test_an_edge_is_not_its_operand() -> None:
    a = Variable("A")
    assert prove_equal(Edge("rising", a), a, {}).status == "different"
    assert prove_equal(Operation("AND", (Edge("rising", a), a)), Edge("rising", a), {}).status == "equal"
    assert (
        prove_equal(Operation("AND", (Edge("rising", a), Edge("falling", a))), Literal("FALSE"), {}).status == "equal"
    )


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("IF C THEN X := TRUE; END_IF;", "X := X OR C;", "equal"),
        ("X := A; Y := X AND B;", "Y := A AND B; X := A;", "equal"),
        ("X := A; Y := X AND B;", "Y := X AND B; X := A;", "different"),
        ("IF C THEN X := A; ELSE X := B; END_IF;", "IF NOT C THEN X := B; ELSE X := A; END_IF;", "equal"),
        ("IF C THEN X := A; END_IF;", "X := C AND A;", "different"),
        ("FOR i := 1 TO 3 DO X := A; END_FOR;", "X := A;", "unknown"),
    ],
)
def test_statements(old: str, new: str, expected: str) -> None:
    assert prove_statements(b.st(old), b.st(new), {}).status == expected


def evaluate(e: Expression, inputs: dict[str, bool]) -> bool:
    """Value of a Boolean expression without edges."""
    match e:
        case Variable(name):
            return inputs[name.casefold()]
        case Literal(text):
            return text == "TRUE"
        case Edge(_, of):
            return inputs["edge " + str(of)]
        case Operation("NOT", (of,)):
            return not evaluate(of, inputs)
        case Operation("AND", operands):
            return all(evaluate(o, inputs) for o in operands)
        case Operation("OR", operands):
            return any(evaluate(o, inputs) for o in operands)
        case Operation("XOR", operands):
            return sum(evaluate(o, inputs) for o in operands) % 2 == 1
    raise AssertionError(e)


def _plain(e: Expression) -> bool:
    return not isinstance(e, Edge) and (not isinstance(e, Operation) or all(map(_plain, e.operands)))


@given(expressions().filter(_plain), expressions().filter(_plain))
@settings(max_examples=150)
def test_proofs_agree_with_the_truth_table(old: Expression, new: Expression) -> None:
    names = sorted(names_in(old) | names_in(new))
    rows = [dict(zip(names, row, strict=True)) for row in product((False, True), repeat=len(names))]
    equal = all(evaluate(old, row) == evaluate(new, row) for row in rows)
    proof = prove_equal(old, new, {})
    assert proof.status == ("equal" if equal else "different")
    if proof.witness is not None:
        given_ = {name.casefold(): value == "TRUE" for name, value in proof.witness.inputs.items()}
        outcome = proof.witness.old["result"] == "TRUE", proof.witness.new["result"] == "TRUE"
        fitting = [row for row in rows if row.items() >= given_.items()]
        assert {(evaluate(old, row), evaluate(new, row)) for row in fitting} == {outcome}
