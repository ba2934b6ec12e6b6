"""Declared variables: every field of one, its effect and its place; what came, went, swapped addresses or moved."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.analysis.places import top
from asfound.compare.pairing.pair import Pair
from asfound.compare.parts.declarations import Owner, compare_variables, differing, initial_values
from asfound.compare.result import Change
from asfound.model.program import VariableDeclaration

V = VariableDeclaration("Door", "INT", initial="1")
Fact = tuple[str, str | None, str | None, str | None]
FIELDS: dict[str, tuple[VariableDeclaration, VariableDeclaration, list[Fact]]] = {
    "nothing": (V, V, []),
    "the type": (V, replace(V, type="DINT"), [("type", "INT", "DINT", "behaviour")]),
    "the section": (V, replace(V, section="output"), [("section", "local", "output", "behaviour")]),
    "the initial value": (V, replace(V, initial="2"), [("initial value", "1", "2", "behaviour")]),
    "an initial value in another notation": (
        V, replace(V, initial="16#1"), [("initial value written", "1", "16#1", "documentation")],
    ),
    "no initial value": (V, replace(V, initial=""), [("initial value", "1", None, "behaviour")]),
    "a constant": (V, replace(V, constant=True), [("constant", None, "constant", "behaviour")]),
    "persistent": (V, replace(V, persistent=True), [("persistent", None, "persistent", "behaviour")]),
    "retained no more": (replace(V, retain="retain"), V, [("retain", "retain", None, "behaviour")]),
    "an edge": (V, replace(V, edge="rising"), [("edge", None, "rising", "behaviour")]),
    "a pragma": (V, replace(V, pragmas=("a",)), [("pragmas", None, "a", "undecided")]),
    "pragmas in another order": (
        replace(V, pragmas=("a", "b")), replace(V, pragmas=("b", "a")), [("order of pragmas", None, None, "undecided")],
    ),
    "a comment": (V, replace(V, comment="x"), [("comment", None, "x", "documentation")]),
    "the letters of the name": (V, replace(V, name="DOOR"), [("spelled", "Door", "DOOR", "documentation")]),
    "the letters of the type": (V, replace(V, type="Int"), [("spelled", "INT", "Int", "documentation")]),
    "the letters of the address": (
        replace(V, address="%mw2"), replace(V, address="%MW2"), [("spelled", "%mw2", "%MW2", "documentation")],
    ),
    "the address": (replace(V, address="%MW2"), replace(V, address="%MW4"), []),
    "the type and an initial value": (
        V, replace(V, type="DINT", initial="2"), [("type", "INT", "DINT", "behaviour"), ("initial value", "1", "2", "behaviour")],
    ),
    "several, the strongest first": (
        V, replace(V, section="input", constant=True, comment="x"),
        [("section", "local", "input", "behaviour"), ("constant", None, "constant", "behaviour"),
         ("comment", None, "x", "documentation")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FIELDS)
def test_every_field_of_a_declaration(name: str) -> None:
    old, new, expected = FIELDS[name]
    assert [(e.field, e.old, e.new, e.effect) for e in differing(old, new)] == expected


@pytest.mark.parametrize(
    ("old", "new", "type", "field"),
    [
        ("", "0", "INT", "initial value written"),
        ("", "1", "INT", "initial value"),
        ("FALSE", "", "BOOL", "initial value written"),
        ("0", "", "", "initial value"),
        ("", "''", "STRING[20]", "initial value written"),
        ("T#1s", "T#1000ms", "TIME", "initial value written"),
        ("", "0", "Theirs", "initial value"),
    ],
)
def test_an_absent_initial_value_is_the_default_of_the_type(old: str, new: str, type: str, field: str) -> None:
    assert [(e.field, e.old, e.new) for e in initial_values(old, new, type)] == [(field, old or None, new or None)]


def owner(*ordered: str, uses: dict[str, tuple[str, ...]] | None = None, sets: tuple[str, ...] = ()) -> Owner:
    found = uses or {}
    return Owner(top("P"), lambda name: found.get(name, ()), "tag", frozenset(ordered), lambda v: v.name in sets)


def told(where: Owner, old: list[VariableDeclaration], new: list[VariableDeclaration]) -> list[Change]:
    return compare_variables(where, Pair(old, new, [replace(v, comment="written") for v in old]))


def facts(c: Change) -> tuple[object, ...]:
    return (c.area, c.kind, c.effect, c.where, c.path, *((e.field, e.old, e.new) for e in c.edits))


A, B, C = (VariableDeclaration(name, "INT") for name in "abc")
ONE_SIDED = [
    (A, owner(), "equivalent", [("unused", None)]),
    (A, owner(uses={"a": ("P / 1", "P / 2")}), "behaviour", [("used", "P / 1"), ("used", "P / 2")]),
    (A, owner(sets=("a",)), "behaviour", [("not zero", None), ("unused", None)]),
    (replace(A, address="%MW2"), owner(), "equivalent", [("at", "%MW2"), ("unused", None)]),
    *(
        (replace(A, section=section), owner(), "behaviour", [("unused", None)])
        for section in ("input", "output", "in_out", "access", "config", "member")
    ),
    *((replace(A, section=section), owner(), "equivalent", [("unused", None)]) for section in ("external", "global", "temp")),
]  # fmt: skip


@pytest.mark.parametrize(("declared", "where", "effect", "notes"), ONE_SIDED)
def test_what_came_or_went_acts_where_it_is_used_sets_memory_or_is_a_pin(
    declared: VariableDeclaration, where: Owner, effect: str, notes: list[tuple[str, str | None]]
) -> None:
    for kind, old, new in (("added", [B], [B, declared]), ("removed", [B, declared], [B])):
        (found,) = told(where, old, new)
        assert (found.area, found.kind, found.effect, found.path) == ("tag", kind, effect, ("P", "variable:a"))
        head, *rest = found.edits
        assert (head.field, head.old, head.new, head.of, head.owner) == (
            "variable", *((None, "INT") if kind == "added" else ("INT", None)), "a", declared.section,
        )  # fmt: skip
        assert [(e.field, e.new) for e in rest] == notes
        assert ("written" in (found.before or "")) is (kind == "removed")


def test_what_changed_is_told_with_its_uses_where_it_may_act_differently() -> None:
    where = owner(uses={"A": ("P / 1",), "a": ("P / 1",)})
    (typed,) = told(where, [A], [replace(A, name="A", type="DINT")])
    assert facts(typed) == (
        "tag", "changed", "behaviour", "P / A", ("P", "variable:A"), ("type", "INT", "DINT"), ("spelled", "a", "A"),
        ("used", None, "P / 1"),
    )  # fmt: skip
    assert (typed.subject, "written" in (typed.before or ""), "DINT" in (typed.after or "")) == ("A", True, True)
    (said,) = told(where, [A], [replace(A, comment="x")])
    assert [e.field for e in said.edits] == ["comment"]


def test_another_address_comes_first() -> None:
    (found,) = told(owner(), [replace(A, address="%MW2")], [replace(A, address="%MW4", type="DINT")])
    assert (found.kind, [e.field for e in found.edits]) == ("readdressed", ["address", "type"])
    (spelled,) = told(owner(), [replace(A, address="%mw2")], [replace(A, address="%MW2")])
    assert (spelled.kind, [e.field for e in spelled.edits]) == ("changed", ["spelled"])


def test_two_that_swapped_their_addresses_are_one_change() -> None:
    one, other = replace(A, address="%MW2"), replace(B, address="%MW4")
    swapped = [replace(one, address="%MW4"), replace(other, address="%MW2", comment="x")]
    swap, comment = told(owner(uses={"a": ("P / 1",)}), [one, other], swapped)
    assert (swap.kind, swap.effect, swap.where, swap.path) == (
        "readdressed",
        "behaviour",
        "P / a, b",
        ("P", "variable:a"),
    )
    assert (swap.before or "").count("written") == 2 and (swap.after or "").count("\n") == 1
    assert facts(comment)[1:5] == ("changed", "documentation", "P / b", ("P", "variable:b"))


PINS = [replace(v, section="input") for v in (A, B, C)]


def test_an_order_counts_in_some_sections_only() -> None:
    (plain,) = told(owner(), [A, B, C], [B, C, A])
    assert facts(plain) == ("tag", "moved", "documentation", "P", ("P",), ("order of declarations", None, "a"))
    (counted,) = told(owner("input", "output"), PINS, [PINS[1], PINS[2], PINS[0]])
    assert (counted.kind, counted.before, counted.after) == ("moved", "a, b, c", "b, c, a")
    assert [(e.field, e.old, e.new, e.of) for e in counted.edits] == [
        ("order of section", None, "a", "input"), ("order", "a, b, c", "b, c, a", ""),
    ]  # fmt: skip
    (other,) = told(owner("output"), PINS, [PINS[1], PINS[2], PINS[0]])
    assert [e.field for e in other.edits] == ["order of declarations"]
    moved = [c for c in told(owner("input"), PINS, [PINS[1], PINS[0]]) if c.kind == "moved"]
    assert [(c.before, c.after) for c in moved] == [("a, b", "b, a")]
    assert told(owner(), [A, B], [A, B]) == []
