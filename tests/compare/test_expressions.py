"""Differences of two expressions: which operands cancel out, which belong together, and what is said of the rest."""

from __future__ import annotations

import pytest

from asfound.analysis.canonical import folded
from asfound.compare.context import Context, Scope
from asfound.compare.logic.expressions import (
    another_way,
    cancelled,
    differences,
    form,
    likeness,
    named,
    outgoing,
    paired,
    pins,
    replaced,
    shown,
)
from asfound.compare.result import Edit
from asfound.model.copy import Copy
from asfound.model.logic import Argument, Edge, Expression, Literal, Operation, Temporary, Variable

from . import building as b

NOTHING = Context(Copy(), Copy())
TEXT, LADDER = Scope(NOTHING, (None, None)), Scope(NOTHING, (None, None), ladder=True)
RISING = Edge("rising", Variable("a"))
Said = tuple[object, ...]


def facts(edits: tuple[Edit, ...]) -> list[Said]:
    """Field, old, new, of, owner and what is inside of each edit."""
    found = []
    for e in edits:
        inner = facts(e.inner)
        found.append((e.field, e.old, e.new, e.of, e.owner, *((inner,) if inner else ())))
    return found


FORMS: list[tuple[Expression, tuple[str, Expression] | None]] = [
    (b.e("a"), ("open", b.e("a"))),
    (b.e("NOT a"), ("closed", b.e("a"))),
    (RISING, ("rising", Variable("a"))),
    (Operation("NOT", (RISING,)), ("negated rising", Variable("a"))),
    (b.e("s.a"), ("open", b.e("s.a"))),
    (b.e("s[1]"), ("open", b.e("s[1]"))),
    (b.e("%IX0.1"), ("open", b.e("%IX0.1"))),
    (Temporary(1), ("open", Temporary(1))),
    (b.e("NOT s.a"), ("closed", b.e("s.a"))),
    (b.e("TRUE"), None),
    (b.e("a AND c"), None),
    (b.e("NOT (a AND c)"), None),
    (Edge("rising", b.e("a AND c")), None),
    (Operation("NOT", (Edge("falling", b.e("a AND c")),)), None),
    (b.e("f(a)"), None),
]


@pytest.mark.parametrize(("expression", "expected"), FORMS)
def test_a_contact_is_one_access_in_one_of_some_forms(
    expression: Expression, expected: tuple[str, Expression] | None
) -> None:
    assert form(expression) == expected


def ladder(was: str, now: str) -> list[Said]:
    return facts(differences(LADDER, b.e(was), b.e(now)))


def text(was: str, now: str) -> list[Said]:
    return facts(differences(TEXT, b.e(was), b.e(now)))


BESIDE = [("beside", None, None, "a", "")]
BOTH: dict[str, tuple[str, str, list[Said], list[Said]]] = {
    "the same in another order": ("a AND c", "c AND a", [], []),
    "a contact in series": (
        "a", "a AND c", [("operand added", None, "c", "", "AND", BESIDE)],
        [("contact added", None, "c", "open", "AND", BESIDE)],
    ),
    "a closed contact in parallel": (
        "a", "a OR NOT c", [("operand added", None, "NOT c", "", "OR", BESIDE)],
        [("contact added", None, "c", "closed", "OR", BESIDE)],
    ),
    "a branch in series": (
        "a", "a AND (c OR d)", [("expression added", None, "c OR d", "", "AND", BESIDE)],
        [("branch added", None, "c OR d", "", "AND", BESIDE)],
    ),
    "a function in series": (
        "a", "a AND f(c)", [("expression added", None, "f(c)", "", "AND", BESIDE)],
        [("element added", None, "f(c)", "", "AND", BESIDE)],
    ),
    "a contact that goes": (
        "a OR c", "c", [("operand removed", "a", None, "", "OR")], [("contact removed", "a", None, "open", "OR")],
    ),
    "a closed contact that goes from three": (
        "a AND c AND NOT d", "c AND a", [("operand removed", "NOT d", None, "", "AND")],
        [("contact removed", "d", None, "closed", "AND")],
    ),
    "one more beside several": (
        "a XOR c", "a XOR c XOR d", [("operand added", None, "d", "", "XOR")],
        [("contact added", None, "d", "open", "XOR")],
    ),
    "one for another": (
        "a AND c", "a AND d", [("operand", "c", "d", "", "")], [("contact", "c", "d", "", "")],
    ),
    "one for another, and closed": (
        "a AND c", "a AND NOT d",
        [("operand", "c", "NOT d", "", "")],
        [("contact", "c", "d", "", "", [("form of contact", "open", "closed", "", "")])],
    ),
    "one for another, and closed no more": (
        "a AND NOT c", "a AND d",
        [("operand", "NOT c", "d", "", "")],
        [("contact", "c", "d", "", "", [("form of contact", "closed", "open", "", "")])],
    ),
    "one for another, both closed": (
        "a AND NOT c", "a AND NOT d",
        [("operand", "c", "d", "", "")],
        [("contact", "c", "d", "", "")],
    ),
    "negated": (
        "a", "NOT a", [("form of operand", "a", "NOT a", "", "")], [("form of contact", "open", "closed", "a", "")],
    ),
    "a branch negated": (
        "f(a)", "NOT f(a)", [("negation added", None, None, "f(a)", "")], [("negation added", None, None, "f(a)", "")],
    ),
    "a branch negated no more": (
        "NOT f(a)", "f(a)", [("negation removed", None, None, "f(a)", "")],
        [("negation removed", None, None, "f(a)", "")],
    ),
    "inside of a negation": (
        "NOT (x XOR c)", "NOT (x XOR d)", [("operand", "c", "d", "", "")], [("contact", "c", "d", "", "")],
    ),
    "a literal": ("5", "6", [("literal", "5", "6", "", "")], [("literal", "5", "6", "", "")]),
    "a literal for a name": ("5", "x", [("expression", "5", "x", "", "")], [("expression", "5", "x", "", "")]),
    "a comparison": (
        "x > 5", "x > 6", [("comparison", "x > 5", "x > 6", "", "")], [("comparison", "x > 5", "x > 6", "", "")],
    ),
    "another comparison": (
        "x > 5", "x >= 5", [("comparison", "x > 5", "x >= 5", "", "")], [("comparison", "x > 5", "x >= 5", "", "")],
    ),
    "a calculation": (
        "x - 5", "x - 6", [("calculation", "x - 5", "x - 6", "", "")], [("calculation", "x - 5", "x - 6", "", "")],
    ),
    "another calculation": (
        "x - 5", "x * 5", [("calculation", "x - 5", "x * 5", "", "")], [("calculation", "x - 5", "x * 5", "", "")],
    ),
    "a calculation instead of a comparison": (
        "x - 5", "x > 5", [("expression", "x - 5", "x > 5", "", "")], [("expression", "x - 5", "x > 5", "", "")],
    ),
    "inside the one call of a comparison": (
        "f(x) > 5", "f(y) > 5",
        [("input fed", "x", "y", "1", "f")], [("input fed", "x", "y", "1", "f")],
    ),
    "inside a call, and besides": (
        "f(x) > 5", "f(y) > 6",
        [("comparison", "f(x) > 5", "f(y) > 6", "", "")], [("comparison", "f(x) > 5", "f(y) > 6", "", "")],
    ),
    "another function in a comparison": (
        "f(x) > 5", "g(x) > 5",
        [("comparison", "f(x) > 5", "g(x) > 5", "", "")], [("comparison", "f(x) > 5", "g(x) > 5", "", "")],
    ),
    "another function": ("f(x)", "g(x)", [("function", "f", "g", "", "")], [("function", "f", "g", "", "")]),
    "another function and what it is fed": (
        "f(x)", "g(y)", [("function", "f", "g", "", ""), ("input fed", "x", "y", "1", "g")],
        [("function", "f", "g", "", ""), ("input fed", "x", "y", "1", "g")],
    ),
    "an output of a function": (
        "f(x, o => p)", "f(x, o => q)", [("output", "p", "q", "o", "f")], [("output", "p", "q", "o", "f")],
    ),
    "a name for a call": ("f(x)", "a", [("expression", "f(x)", "a", "", "")], [("expression", "f(x)", "a", "", "")]),
    "series for parallel": (
        "a AND c", "a OR c", [("expression", "a AND c", "a OR c", "", "")],
        [("expression", "a AND c", "a OR c", "", "")],
    ),
    "two that are alike and one that comes": (
        "x AND (a OR c OR k) AND (d OR e OR l)", "x AND (e OR g OR l) AND (a OR h OR k) AND y",
        [("operand", "d", "g", "", ""), ("operand", "c", "h", "", ""), ("operand added", None, "y", "", "AND")],
        [("contact", "d", "g", "", ""), ("contact", "c", "h", "", ""), ("contact added", None, "y", "open", "AND")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", BOTH)
def test_what_is_said_of_two_expressions_in_text_and_in_a_ladder(name: str) -> None:
    was, now, in_text, in_ladder = BOTH[name]
    assert sorted(map(str, text(was, now))) == sorted(map(str, in_text))
    assert sorted(map(str, ladder(was, now))) == sorted(map(str, in_ladder))


def test_edges_of_one_kind_are_looked_into_and_others_are_another_form() -> None:
    was, now = Edge("rising", b.e("x XOR c")), Edge("rising", b.e("x XOR d"))
    assert facts(differences(TEXT, was, now)) == [("operand", "c", "d", "", "")]
    assert facts(differences(TEXT, was, Edge("falling", b.e("x XOR d"))))[0][0] == "expression"
    turned = differences(LADDER, RISING, Edge("falling", Variable("A")))
    assert facts(turned) == [("form of contact", "rising", "falling", "A", "")]


def test_the_plain_edit_tells_literals_contacts_and_the_rest_apart() -> None:
    assert facts((replaced(LADDER, Literal("1"), Literal("2")),)) == [("literal", "1", "2", "", "")]
    assert facts((replaced(LADDER, Variable("a"), Literal("2")),)) == [("expression", "a", "2", "", "")]
    assert facts((replaced(LADDER, b.e("a AND c"), Variable("a")),)) == [("expression", "a AND c", "a", "", "")]
    assert facts((replaced(TEXT, Variable("a"), b.e("NOT c")),)) == [("operand", "a", "NOT c", "", "")]


def names(found: list[Expression]) -> str:
    return " ".join(map(shown, found))


CANCELLED: list[tuple[str, str, str, str, str]] = [
    ("a c", "c a", "a c", "", ""),
    ("a c", "d a", "a", "c", "d"),
    ("a a", "a", "a", "a", ""),
    ("a", "a a", "a", "", "a"),
    ("A", "a", "a", "", ""),
    ("a c d", "e", "", "a c d", "e"),
    ("", "a c", "", "", "a c"),
]


@pytest.mark.parametrize(("old", "new", "common", "left", "right"), CANCELLED)
def test_equal_operands_cancel_out_one_by_one(old: str, new: str, common: str, left: str, right: str) -> None:
    sides = ([Variable(name) for name in side.split()] for side in (old, new))
    assert tuple(map(names, cancelled(folded, *sides))) == (common, left, right)


PAIRED: list[tuple[list[str], list[str], list[tuple[str, str]], list[str], list[str]]] = [
    (["a"], ["x"], [("a", "x")], [], []),
    (["a"], ["x", "y"], [], ["a"], ["x", "y"]),
    (["a", "c"], ["x"], [], ["a", "c"], ["x"]),
    (["a > 1", "c"], ["c > 2", "a > 2"], [("a > 1", "a > 2"), ("c", "c > 2")], [], []),
    (["a + c > 1", "k"], ["a > 2", "c > 2"], [("a + c > 1", "a > 2")], ["k"], ["c > 2"]),
    (["f(a, c, d, e, g)", "k"], ["f(a, c)", "y"], [("f(a, c, d, e, g)", "f(a, c)")], ["k"], ["y"]),
    (["g(a, c, d, e, h)", "k"], ["g(a)", "y"], [], ["g(a, c, d, e, h)", "k"], ["g(a)", "y"]),
]


@pytest.mark.parametrize(("left", "right", "pairs", "gone", "come"), PAIRED)
def test_operands_that_share_enough_names_belong_together(
    left: list[str], right: list[str], pairs: list[tuple[str, str]], gone: list[str], come: list[str]
) -> None:
    found, only_left, only_right = paired([b.e(e) for e in left], [b.e(e) for e in right])
    assert [(shown(x), shown(y)) for x, y in found] == pairs
    assert ([shown(e) for e in only_left], [shown(e) for e in only_right]) == (gone, come)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [("a", "a", 1.0), ("a", "c", 0.0), ("a AND c", "a", 0.5), ("1", "2", 0.0), ("a AND c", "a AND d", 1 / 3)],
)
def test_likeness_is_shared_names_over_all(old: str, new: str, expected: float) -> None:
    assert likeness(b.e(old), b.e(new)) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("a AND c", "c AND a", "order of operands"),
        ("NOT a AND NOT c", "NOT (a OR c)", "way of negations"),
        ("NOT a OR c", "c OR NOT a", "order of operands"),
        ("NOT (a = c)", "a <> c", "way of negations"),
    ],
)
def test_why_two_ways_of_writing_mean_the_same(old: str, new: str, expected: str) -> None:
    assert another_way(b.e(old), b.e(new)).field == expected


def arguments(said: str) -> tuple[Argument, ...]:
    """Written ``IN=a``, or a value alone."""
    pairs = (each.rpartition("=") for each in said.split())
    return tuple(Argument(pin, b.e(value.removeprefix("!")), value.startswith("!")) for pin, _, value in pairs)


PINS: list[tuple[str, str, list[Said]]] = [
    ("IN=a", "in=a", []),
    ("IN=a", "IN=a PT=x", [("preset connected", None, "x", "PT", "t")]),
    ("IN=a PT=x", "PT=x", [("input disconnected", "a", None, "IN", "t")]),
    ("PT=x", "PT=y", [("preset fed", "x", "y", "PT", "t")]),
    ("IN=a", "IN=c", [("input fed", "a", "c", "IN", "t")]),
    ("PT=1", "PT=2", [("preset", None, None, "PT", "t", [("literal", "1", "2", "", "")])]),
    ("PT=1", "PT=x", [("preset", None, None, "PT", "t", [("expression", "1", "x", "", "")])]),
    ("a c", "a d", [("input fed", "c", "d", "2", "t")]),
    ("a", "a c", [("input connected", None, "c", "2", "t")]),
    ("IN=a Q=x", "Q=y IN=c", [("input fed", "a", "c", "IN", "t"), ("input fed", "x", "y", "Q", "t")]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "expected"), PINS)
def test_pins_are_compared_by_name_or_number(old: str, new: str, expected: list[Said]) -> None:
    assert facts(pins(TEXT, arguments(old), arguments(new), "t", "PT")) == expected


OUTPUTS: list[tuple[str, str, list[Said]]] = [
    ("Q=a", "q=A", []),
    ("Q=a", "Q=c", [("output", "a", "c", "Q", "t")]),
    ("Q=a", "Q=!a", [("output", "a", "NOT a", "Q", "t")]),
    ("Q=a", "", [("output", "a", None, "Q", "t")]),
    ("", "ET=a", [("output", None, "a", "ET", "t")]),
    ("Q=a ET=x", "ET=y Q=c", [("output", "x", "y", "ET", "t"), ("output", "a", "c", "Q", "t")]),
    ("a", "c", [("output", "a", "c", "1", "t")]),
]


@pytest.mark.parametrize(("old", "new", "expected"), OUTPUTS)
def test_outputs_are_compared_by_name_and_by_what_they_write(old: str, new: str, expected: list[Said]) -> None:
    assert facts(outgoing(arguments(old), arguments(new), "t")) == expected


def test_arguments_have_names_or_numbers_from_one() -> None:
    assert list(named(arguments("a IN=c d"))) == ["1", "in", "3"]
