"""What is not understood, and what people wrote, keeps its text in a key."""

from __future__ import annotations

import pytest

from asfound.analysis.canonical import Canonical, canonical, folded, statement_key
from asfound.language.parser import parse_expression
from asfound.model.logic import Argument, Expression, Invocation, Operation, Remark, Unparsed, Variable, Verbatim


def test_two_texts_that_are_not_understood_are_two() -> None:
    for key in (canonical, folded):
        assert key(Unparsed("a ?? b")) != key(Unparsed("a ?? c"))
    assert statement_key(Verbatim("goto 1")) != statement_key(Verbatim("goto 2"))
    assert statement_key(Remark("by day")) != statement_key(Remark("by night"))


def called(name: str, *inputs: str) -> Expression:
    """AND or OR as a box, its inputs written ``name:expression``."""
    pairs = (each.rpartition(":") for each in inputs)
    return Invocation(Variable(name), tuple(Argument(pin, parse_expression(value)) for pin, _, value in pairs))


@pytest.mark.parametrize(
    ("box", "operator", "same"),
    [
        (called("AND", "a", "b"), "a AND b", True), (called("AND", "b", "a", "c"), "a AND b AND c", True),
        (called("OR", "IN1:a", "in2:b"), "b OR a", True), (Operation("NOT", (called("AND", "a", "b"),)), "NOT a OR NOT b", True),
        (called("AND", "a", "b"), "a OR b", False), (called("AND", "a"), "a", False), (called("AND", "IN2:a", "IN1:b"), "a AND b", False),
        (called("AND", "IN1:a", "b"), "a AND b", False), (called("AND", "a", "IN:b"), "a AND b", False),
        (called("AND", "F(a)", "b"), "F(a) AND b", False), (called("ADD", "a", "b"), "a + b", False),
    ],
)  # fmt: skip
def test_and_and_or_as_boxes_are_another_way_to_write_the_operator(box: Expression, operator: str, same: bool) -> None:
    """Not where the program declares a function of that name, and not where an operator may leave out a call."""
    for key, expected in (
        (canonical, same), (Canonical(frozenset(("or",))), same and "OR a" not in operator), (Canonical(frozenset(("add",))), same),
    ):  # fmt: skip
        assert (key(box) == key(parse_expression(operator))) is expected
