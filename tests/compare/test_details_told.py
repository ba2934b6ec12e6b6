"""What is told beside the first difference: priorities, addresses of what came or went, comments of values."""

from __future__ import annotations

import asfound
from asfound.compare.result import Change

CHART = """PROGRAM P VAR go : BOOL; END_VAR
INITIAL_STEP A: END_STEP STEP B: END_STEP
TRANSITION t1 {}FROM A TO B := go; END_TRANSITION TRANSITION FROM B TO A := go; END_TRANSITION END_PROGRAM"""


def changes(old: str, new: str) -> tuple[Change, ...]:
    return asfound.compare(*(asfound.read(text.encode(), "p.st") for text in (old, new))).changes


def test_a_priority_that_came_is_told_from_none() -> None:
    (change,) = changes(CHART.format(""), CHART.format("(PRIORITY := 3) "))
    assert "priority none -> 3" in "\n".join((change.summary, *change.details))


def test_a_variable_that_came_is_told_with_its_address() -> None:
    text = "PROGRAM P VAR a : BOOL; {} END_VAR a := TRUE; END_PROGRAM"
    (placed,) = changes(text.format(""), text.format("b AT %MX3.0 : BOOL;"))
    (plain,) = changes(text.format(""), text.format("b : BOOL;"))
    assert "at %MX3.0" in placed.details
    assert not [d for d in plain.details if d.startswith("at")]
