"""Instruction lists become the statements that structured text would have."""

from __future__ import annotations

import pytest

from asfound.language.il import looks_like_il, parse_il
from asfound.language.readable import statements
from asfound.model.logic import Verbatim

CASES = {
    "seal-in": ("LD Start\nOR Run\nANDN Stop\nST Run", "Run := (Start OR Run) AND NOT Stop;"),
    "nested list": ("LD A\nAND(\nLD B\nOR C\n)\nST Q", "Q := A AND (B OR C);"),
    "operand behind the parenthesis": ("LD A\nAND( B\nOR C\n)\nST Q", "Q := A AND (B OR C);"),
    "stored twice, the second time what was stored": (
        "LD Count\nADD 1\nST Count\nST Shown",
        "Count := Count + 1;\nShown := Count;",
    ),
    "set and reset": (
        "LD A\nS Q\nLD B\nORN A\nR Q",
        "IF A THEN Q := TRUE; END_IF;\nIF B OR NOT A THEN Q := FALSE; END_IF;",
    ),
    "negated store": ("LDN A\nSTN Q", "Q := NOT (NOT A);"),
    "comparison": ("LD Level\nGT 80.0\nST High", "High := Level > 80.0;"),
    "function with the accumulator first": ("LD X\nLIMIT 0, 100\nST Y", "Y := LIMIT(X, 0, 100);"),
    "call": ("CAL T1(IN := A, PT := T#5s)\nLD T1.Q\nST Q", "T1(IN := A, PT := T#5s);\nQ := T1.Q;"),
    "call over several lines": (
        "CAL T1(\n  IN := A,\n  PT := T#5s\n)\nLD T1.Q\nST Q",
        "T1(IN := A, PT := T#5s);\nQ := T1.Q;",
    ),
    "comments stay": ("LD A (* why *)\nST Q", "(* why *)\nQ := A;"),
    "return when": ("LD A\nRETC\nLD B\nST Q", "IF A THEN RETURN; END_IF;\nQ := B;"),
}


def text(source: str) -> str:
    """Statements in readable text."""
    return statements(parse_il(source)).strip()


@pytest.mark.parametrize("name", CASES)
def test_instructions_become_statements(name: str) -> None:
    source, expected = CASES[name]
    assert text(source) == expected


def test_the_accumulator_travels_over_a_label_in_one_temporary() -> None:
    source = "LD Reset\nJMPC Zero\nLD Count\nADD 1\nJMP Done\nZero:\nLD Start\nDone:\nST Count\nST Out"
    lines = text(source).splitlines()
    assert [line for line in lines if line.startswith("result")] == ["result := Count + 1;", "result := Start;"]
    assert lines[-2:] == ["Count := result;", "Out := result;"]


def test_a_value_is_saved_before_something_it_reads_is_written() -> None:
    lines = text("LD A\nAND B\nS A\nST Q").splitlines()
    assert lines == ["result := A AND B;", "IF result THEN A := TRUE; END_IF;", "Q := result;"]


@pytest.mark.parametrize(
    "source",
    ["CU C10", "LD A", "LD A\nOWN B", "ST Q", "LD A\n)", "LD A\nAND(\nLD B"],
)
def test_what_is_not_understood_stays_as_written(source: str) -> None:
    assert parse_il(source) == (Verbatim(source),)


@pytest.mark.parametrize("source", ["LD A\nST B", "  Top: LDN A", "(* x *)\nCAL T1"])
def test_an_instruction_list_is_recognised(source: str) -> None:
    assert looks_like_il(source)


@pytest.mark.parametrize("source", ["LD := 1;", "IF A THEN B := 1; END_IF;", "R(CLK := x);", "", "S := S + 1;"])
def test_structured_text_is_no_instruction_list(source: str) -> None:
    assert not looks_like_il(source)
