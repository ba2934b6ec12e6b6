"""The shape of a piece: equal for the same thing in other names, another one for anything else; and what it declares."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.renames import shapes
from asfound.compare.renames.shapes import Names, Word
from asfound.model.copy import Copy
from asfound.model.program import DataType, EnumValue, Instance, Program, Resource, VariableDeclaration
from asfound.model.tags import Tag, TagTable

from . import building as b

OPEN: Names = {role: frozenset(("a", "b", "m", "n", "f", "g")) for role in ("type", "name", "member")}


def words(said: str) -> tuple[Word, ...]:
    """Written ``name:a member:b``."""
    pairs = (each.split(":") for each in said.split())
    return tuple((role, name) for role, name in pairs)  # type: ignore[misc]


STATEMENTS: list[tuple[str, str, str, str]] = [
    ("A := x + 1;", "B := x + 1;", "name:a", "name:b"),
    ("x := s.A;", "x := s.B;", "member:a", "member:b"),
    ("x := A.b;", "x := B.a;", "name:a member:b", "name:b member:a"),
    ("t(A := x);", "t(B := x);", "member:a", "member:b"),
    ("x := M#A;", "x := N#B;", "type:m member:a", "type:n member:b"),
    ("x := f(A);", "x := g(B);", "name:f name:a", "name:g name:b"),
    ("x := T#5s;", "x := t#5s;", "", ""),
    ("{native(A, 1);}", "{native(B, 1);}", "name:a", "name:b"),
]


@pytest.mark.parametrize(("old", "new", "ours", "theirs"), STATEMENTS)
def test_a_statement_in_other_names_has_the_same_shape(old: str, new: str, ours: str, theirs: str) -> None:
    (before,), (after,) = b.st(old), b.st(new)
    one, other = shapes.piece(before, OPEN), shapes.piece(after, OPEN)
    assert (one.words, other.words) == (words(ours), words(theirs))
    assert one.shape == other.shape or not ours
    assert one.declares
    nothing: Names = {role: frozenset() for role in OPEN}
    assert shapes.piece(before, nothing).words == ()
    assert not ours or shapes.piece(before, nothing).shape != shapes.piece(after, nothing).shape


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("a := x;", "a := y;"),
        ("a := x + 1;", "a := x + 2;"),
        ("a := x + 1;", "a := x - 1;"),
        ("a := x;", "x := a;"),
        ("x := s.a;", "x := a.s;"),
        ("t(a := x);", "t(x := a);"),
    ],
)
def test_anything_else_that_differs_is_another_shape(one: str, other: str) -> None:
    (before,), (after,) = b.st(one), b.st(other)
    assert shapes.piece(before, OPEN).shape != shapes.piece(after, OPEN).shape


V = VariableDeclaration("A", "ARRAY[0..9] OF M", "input", initial="B")


def test_a_declaration_is_its_type_and_all_that_is_said_but_its_comment() -> None:
    found = shapes.piece(V, OPEN)
    assert found.words == words("name:a type:m name:b")
    alike = replace(V, name="B", type="ARRAY[0..9] OF N", initial="A", comment="x", pragmas=("p",))
    assert shapes.piece(alike, OPEN).shape == found.shape
    for other in (
        replace(V, type="ARRAY[0..8] OF M"), replace(V, section="output"), replace(V, constant=True),
        replace(V, retain="retain"), replace(V, address="%MW2"), replace(V, initial="5"), replace(V, name="c"),
    ):  # fmt: skip
        assert shapes.piece(other, OPEN).shape != found.shape


TEXT = """
TYPE Mode : (OFF, AUTO := 5); Pair : STRUCT one : INT; two : Mode; END_STRUCT Also : Mode; END_TYPE
FUNCTION_BLOCK Pump EXTENDS Base IMPLEMENTS Able VAR n : INT; END_VAR VAR_EXTERNAL far : INT; END_VAR
METHOD Go : INT VAR k : INT; END_VAR Go := k; END_METHOD
n := n + 1; ACTION Act: n := 2; END_ACTION END_FUNCTION_BLOCK
PROGRAM P VAR p : Pump; END_VAR INITIAL_STEP Idle: END_STEP STEP Fill: END_STEP
TRANSITION FROM Idle TO Fill := TRUE; END_TRANSITION TRANSITION FROM Fill TO Idle := TRUE; END_TRANSITION END_PROGRAM
CONFIGURATION C VAR_GLOBAL Door : BOOL; END_VAR VAR_ACCESS path : Door : BOOL READ_ONLY; END_VAR END_CONFIGURATION
"""
COPY = replace(asfound.read(TEXT.encode(), "p.st"), tables=(TagTable("T", (Tag("Valve", "%QX0.1", "BOOL"),)),))
TYPES = frozenset("mode pair also pump p".split())
MEMBERS = frozenset("off auto one two n far k go act p idle fill door path valve".split())


def test_what_a_copy_declares_by_what_it_can_stand_for() -> None:
    assert shapes.declared(COPY) == {"type": TYPES, "member": MEMBERS, "name": TYPES | MEMBERS}
    assert shapes.declared(Copy()) == {"type": frozenset(), "member": frozenset(), "name": frozenset()}


def named(*names: str) -> Names:
    return {role: frozenset(names) for role in OPEN}


def test_the_pieces_of_a_pou_are_its_head_its_declarations_and_its_statements() -> None:
    pump, chart = COPY.program.pous
    found = shapes.of_pou(pump, named("base", "able", "n", "far", "go", "k", "act"))
    assert [piece.words for piece in found] == [
        words("type:base"), words("type:able"), words("name:n"), words("name:far"), words("name:n name:n"),
    ]  # fmt: skip
    assert [piece.declares for piece in found] == [True, True, True, True, False]
    steps = shapes.of_pou(chart, named("idle", "fill", "pump"))
    assert [piece.words for piece in steps[:3]] == [words("type:pump"), words("name:idle"), words("name:fill")]
    assert [piece.declares for piece in steps[:3]] == [True] * 3
    assert not any(piece.declares for piece in steps[3:])
    method = shapes.of_pou(replace(pump.members[0], result="Mode"), named("mode", "k"))
    assert [piece.words for piece in method] == [words("type:mode"), words("name:k"), words("name:k")]


def test_the_pieces_of_an_action_a_type_and_the_whole() -> None:
    (action,) = COPY.program.pous[0].actions
    found = shapes.of_action(action, named("act", "n"))
    assert [(piece.words, piece.declares) for piece in found] == [(words("name:act"), True), (words("name:n"), False)]
    mode, pair, also = COPY.program.types
    opened = named("off", "auto", "one", "two", "mode")
    assert [piece.words for piece in shapes.of_type(mode, opened)] == [words("name:off"), words("name:auto")]
    assert len({piece.shape for piece in shapes.of_type(mode, opened)}) == 2, "a value is its number too"
    assert [piece.words for piece in shapes.of_type(pair, opened)] == [words("name:one"), words("name:two type:mode")]
    assert [piece.words for piece in shapes.of_type(also, opened)] == [words("type:mode")]
    running = Resource("R", "C", instances=(Instance("I", "P", "T"),))
    whole = replace(COPY, program=replace(COPY.program, resources=(running,)))
    assert [(piece.words, piece.declares) for piece in shapes.of_program(whole, named("door", "path", "p"))] == [
        (words("name:door"), True), (words("type:p"), False),
    ]  # fmt: skip
    other = replace(running, instances=(Instance("I", "P", "Other"),))
    moved = Copy(program=Program(resources=(other,)))
    assert shapes.of_program(moved, OPEN) == shapes.of_program(Copy(program=Program(resources=(running,))), OPEN)


def test_what_a_scope_declares_itself() -> None:
    pump, chart = COPY.program.pous
    own = shapes.own_of_pou(pump, named("n", "act"))
    assert set(own) == {"n", "act"}, "an external variable is declared elsewhere, a member in its own scope"
    assert (own["n"][1], own["act"]) == ("n", ("action", "Act"))
    assert shapes.own_of_body(chart.bodies[0]) == {"idle": ("step", "Idle"), "fill": ("step", "Fill")}
    assert set(shapes.own_of_pou(chart, OPEN)) == {"p", "idle", "fill"}
    mode, pair, _ = COPY.program.types
    assert shapes.own_of_type(mode, OPEN) == {"off": ("value ", "OFF"), "auto": ("value 5", "AUTO")}
    assert [(key, name) for key, (_, name) in shapes.own_of_type(pair, OPEN).items()] == [
        ("one", "one"),
        ("two", "two"),
    ]
    whole = shapes.own_of_program(COPY, OPEN)
    assert set(whole) == {"door", "valve"}
    assert whole["valve"] == ("tag bool %qx0.1", "Valve")


def test_an_initial_value_is_no_part_of_what_a_thing_is_and_a_type_is() -> None:
    def kind(v: VariableDeclaration) -> str:
        return shapes.own_of_type(DataType("S", "struct", members=(v,)), OPEN)[v.name.lower()][0]

    assert kind(V) == kind(replace(V, initial="5")) != kind(replace(V, type="INT"))
    union = DataType("S", "enum", values=(EnumValue("X", "1"),))
    assert shapes.own_of_type(union, OPEN) == {"x": ("value 1", "X")}
