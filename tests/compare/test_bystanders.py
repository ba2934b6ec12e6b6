"""A declaration that came or went with statements which were proved to act the same acts the same itself."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.result import Comparison
from asfound.model.program import Extension

FRAME = """
{parts}
PROGRAM P
VAR a AT %IX0.1 : BOOL; b AT %IX0.2 : BOOL; q AT %QX0.1 : BOOL; i AT %IW2 : INT; y AT %QW2 : INT; {local} END_VAR
VAR_EXTERNAL g : BOOL; END_VAR
{body}
END_PROGRAM
PROGRAM Other VAR z AT %QX9.0 : BOOL; END_VAR {other} END_PROGRAM
CONFIGURATION C VAR_GLOBAL g : BOOL; {shared} END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM I WITH T : P; END_RESOURCE
{access}
END_CONFIGURATION
"""
OLD = {"parts": "", "local": "", "body": "q := a AND b;", "other": "z := g;", "shared": "", "access": ""}
BOTH = "FUNCTION Both : BOOL VAR_INPUT x, y : BOOL; END_VAR Both := x AND y; END_FUNCTION"
INNER = BOTH.replace("Both", "Inner") + "\n" + BOTH.replace("x AND y", "Inner(x, y)")
BLOCK = """FUNCTION_BLOCK Both VAR_INPUT x, y : BOOL; END_VAR VAR_OUTPUT z : BOOL; END_VAR {} z := x AND y;
END_FUNCTION_BLOCK"""


PAIR = "TYPE Pair : STRUCT one, two : BOOL; END_STRUCT END_TYPE"


def compared(**new: str) -> tuple[Comparison, Comparison]:
    """The old program against a new one, and the other way round."""
    old, copy = (asfound.read(FRAME.format(**(OLD | d)).encode(), "p.st") for d in ({}, new))
    return asfound.compare(old, copy), asfound.compare(copy, old)


USED = {"local": "tmp : BOOL;", "body": "tmp := a; q := tmp AND b;"}
CALLED = {"parts": BOTH, "body": "q := Both(a, b);"}


@pytest.mark.parametrize(
    "new",
    [
        USED,
        {"local": "tmp : BOOL := TRUE;", "body": "tmp := a; q := tmp AND b;"},
        CALLED,
        {"parts": INNER, "body": "q := Both(a, b);"},
        {"parts": BLOCK.format(""), "local": "f : Both;", "body": "f(x := a, y := b); q := f.z;"},
        {"parts": BLOCK.format(""), "local": "f : Both;"},
        USED | {"parts": BOTH, "body": "tmp := Both(a, b); q := tmp;"},
        {"parts": PAIR, "local": "s : Pair;", "body": "s.one := a; q := s.one AND b;"},
        {"local": "END_VAR VAR CONSTANT limit : INT := 5;"},
    ],
)
def test_what_only_proved_statements_use_acts_the_same(new: dict[str, str]) -> None:
    for found in compared(**new):
        assert found.verdict == "equivalent", [(c.effect, c.summary) for c in found.changes]


@pytest.mark.parametrize(
    ("new", "concerned"),
    [
        ({"local": "tmp AT %QX7.0 : BOOL := TRUE;", "body": "tmp := a; q := tmp AND b;"}, "tmp"),
        ({"local": "END_VAR VAR RETAIN tmp : BOOL;", "body": "tmp := a; q := tmp AND b;"}, "tmp"),
        ({"local": "END_VAR VAR_OUTPUT tmp : BOOL;", "body": "tmp := a; q := tmp AND b;"}, "tmp"),
        ({"local": "END_VAR VAR tmp {p} : BOOL;", "body": "tmp := a; q := tmp AND b;"}, "tmp"),
        ({"local": "END_VAR VAR_INPUT tmp : BOOL R_EDGE;", "body": "q := a AND b AND (tmp OR NOT tmp);"}, "tmp"),
        ({"local": "tmp : INT; list : ARRAY[0..tmp] OF BOOL;"}, "tmp"),
        (USED | {"body": "tmp := a; q := tmp OR b;"}, "tmp"),
        (USED | {"access": "VAR_ACCESS far : R.I.tmp : BOOL READ_ONLY; END_VAR"}, "tmp"),
        (CALLED | {"other": "z := Both(g, g) OR TRUE;"}, "Both"),
        (CALLED | {"body": "q := NOT Both(a, b);"}, "Both"),
        ({"parts": INNER.replace("Inner(x, y)", "Inner(x, y) OR x"), "body": "q := Both(a, b);"}, "Inner"),
        ({"parts": BLOCK.format("VAR h AT %QX7.0 : BOOL := TRUE; END_VAR")}, "Both"),
        ({"parts": BLOCK.format(""), "shared": "f : Both;"}, "Both"),
        ({"parts": BLOCK.format(""), "local": "END_VAR VAR_OUTPUT f : Both;"}, "Both"),
    ],
)
def test_everything_else_stays_behaviour(new: dict[str, str], concerned: str) -> None:
    for found in compared(**new):
        effects = {c.effect for c in found.changes if c.area != "declaration" or "variable" in c.path[-1]
                   if concerned in c.path[-1] or concerned == c.path[0]}  # fmt: skip
        assert effects == {"behaviour"}, [(c.effect, c.path, c.summary) for c in found.changes]


def test_a_local_that_hides_a_global_stays_behaviour() -> None:
    """The statement is the same, and means another variable."""
    parts = "CONFIGURATION D VAR_GLOBAL tmp : BOOL; END_VAR END_CONFIGURATION"
    for body in (("q := tmp AND b;", "q := tmp AND b;"), ("q := tmp AND b;", "q := b AND tmp;")):
        texts = (
            OLD | {"parts": parts, "body": body[0]},
            OLD | {"parts": parts, "body": body[1], "local": "tmp : BOOL;"},
        )
        old, new = (asfound.read(FRAME.format(**t).encode(), "p.st") for t in texts)
        for found in (asfound.compare(old, new), asfound.compare(new, old)):
            assert found.verdict == "behaviour"


def test_a_constant_that_hides_another_in_a_bound_stays_behaviour() -> None:
    parts = "CONFIGURATION D VAR_GLOBAL CONSTANT N : INT := 3; END_VAR END_CONFIGURATION"
    local = "list : ARRAY[0..N] OF INT;"
    texts = (OLD | {"parts": parts, "local": local}, OLD | {"parts": parts, "local": f"N : INT := 2; {local}"})
    old, new = (asfound.read(FRAME.format(**t).encode(), "p.st") for t in texts)
    assert asfound.compare(old, new).verdict == "behaviour"


def test_a_function_named_like_a_standard_one_stays_behaviour() -> None:
    own = "FUNCTION MAX : INT VAR_INPUT x, y : INT; END_VAR MAX := x; END_FUNCTION"
    texts = (OLD | {"body": "y := MAX(i, 3);"}, OLD | {"body": "y := MAX(i, 3);", "parts": own})
    old, new = (asfound.read(FRAME.format(**t).encode(), "p.st") for t in texts)
    assert asfound.compare(old, new).verdict == "behaviour"


RING = "TYPE Ring : STRUCT next : POINTER TO Ring; END_STRUCT END_TYPE"
ENUM = "TYPE M : (one, two); END_TYPE"
UNUSED, NEVER = ("documentation", "block unused"), ("documentation", "never runs")
FREE, HELD = ("documentation", "data type unused"), ("equivalent", "users proved")
SAID: dict[str, tuple[dict[str, str], dict[str, tuple[str, str]]]] = {
    "a function": ({"parts": BOTH}, {"Both": UNUSED}),
    "a program that no task runs": (
        {"parts": "PROGRAM Spare VAR s : BOOL; END_VAR s := TRUE; END_PROGRAM"}, {"Spare": UNUSED},
    ),
    "a function that only an unused one calls": ({"parts": INNER}, {"Both": UNUSED, "Inner": NEVER}),
    "a type": ({"parts": PAIR}, {"type:Pair": FREE}),
    "a type that an unused block declares": (
        {"parts": f"{PAIR}\n{BLOCK.format('VAR p : Pair; END_VAR')}"}, {"Both": UNUSED, "type:Pair": NEVER},
    ),
    "a type that a method of an unused block declares": (
        {"parts": PAIR + "\n" + BLOCK.format("METHOD go : BOOL VAR p : Pair; END_VAR go := x; END_METHOD")},
        {"Both": UNUSED, "type:Pair": ("documentation", "")},
    ),
    "a block that an unused one extends": (
        {"parts": BLOCK.format("") + "\nFUNCTION_BLOCK More EXTENDS Both END_FUNCTION_BLOCK"},
        {"Both": ("documentation", ""), "More": UNUSED},
    ),
    "a type of a variable": (
        {"parts": ENUM, "local": "m : M;"}, {"type:M": HELD, "variable:m": ("equivalent", "unused")},
    ),
    "a type in a type of a variable": (
        {"parts": f"{PAIR}\nTYPE Many : ARRAY[0..1] OF Pair; END_TYPE", "local": "m : Many;"},
        {"type:Many": HELD, "type:Pair": ("equivalent", ""), "variable:m": ("equivalent", "unused")},
    ),
    "a type that refers to itself": ({"parts": RING}, {"type:Ring": FREE}),
    "a type that refers to itself, of a variable": (
        {"parts": RING, "local": "r : Ring;"}, {"type:Ring": HELD, "variable:r": ("equivalent", "unused")},
    ),
    "a function that a proved statement calls": (CALLED, {"Both": HELD}),
    "functions of which a proved statement calls one": (CALLED | {"parts": INNER}, {"Both": HELD, "Inner": HELD}),
    "a variable that proved statements use": (USED, {"variable:tmp": HELD}),
    "a function and a variable": (
        {"parts": BOTH, "local": "tmp : BOOL;", "body": "tmp := Both(a, b); q := tmp;"},
        {"Both": HELD, "variable:tmp": HELD},
    ),
    "a value that a proved statement uses": (
        {"parts": ENUM, "body": "q := a AND b AND (one = one);"}, {"type:M": ("equivalent", "")},
    ),
    "a type of a global variable": (
        {"parts": PAIR, "shared": "far : Pair;"}, {"type:Pair": ("equivalent", ""), "variable:far": ("equivalent", "unused")},
    ),
    "the type of a result": (
        {"parts": f"{ENUM}\nFUNCTION Now : M Now := M#one; END_FUNCTION", "body": "q := a AND b AND (Now() = M#one);"},
        {"type:M": ("equivalent", ""), "Now": HELD},
    ),
    "the type of the result of an unused function": (
        {"parts": f"{ENUM}\nFUNCTION Now : M Now := M#one; END_FUNCTION"}, {"type:M": ("documentation", ""), "Now": UNUSED},
    ),
    "a block that a program holds, whose statements were not proved": (
        {"parts": BLOCK.format(""), "local": "f : Both;", "body": "f(x := a, y := b); q := NOT f.z;"},
        {"Both": ("behaviour", ""), "variable:f": ("behaviour", "")},
    ),
    "a function that two programs call, of which one was proved": (
        CALLED | {"other": "z := Both(g, NOT g);"}, {"Both": ("behaviour", "")},
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SAID)
def test_why_it_acts_the_same_is_said_behind_what_came(name: str) -> None:
    new, expected = SAID[name]
    for found in compared(**new):
        told = {
            c.path[-1]: c for c in found.changes if c.kind in ("added", "removed") and "statement" not in c.path[-1]
        }
        assert {key: c.effect for key, c in told.items()} == {key: effect for key, (effect, _) in expected.items()}
        for key, (effect, note) in expected.items():
            assert not note or told[key].edits[1].field == note
            assert {e.field for e in told[key].edits[1:]}.isdisjoint(("users proved", "never runs")) or note
            assert effect != "documentation" or told[key].edits[0].effect == "documentation"


def test_without_a_program_nobody_knows_what_never_runs() -> None:
    old, new = (asfound.read(text.encode(), "p.st") for text in (INNER.replace("Inner", "I"), INNER))
    spare = "\nFUNCTION Spare : BOOL Spare := TRUE; END_FUNCTION"
    (found,) = asfound.compare(new, asfound.read((INNER + spare).encode(), "p.st")).changes
    assert (found.kind, found.effect) == ("added", "behaviour")
    assert asfound.compare(old, new).changes


@pytest.mark.parametrize(
    ("old", "new", "effect"),
    [
        (
            {},
            {"parts": "FUNCTION Spare : BOOL VAR q AT %QX5.0 : BOOL := TRUE; END_VAR Spare := q; END_FUNCTION"},
            "behaviour",
        ),
        ({}, {"parts": "FUNCTION {p} Spare : BOOL Spare := TRUE; END_FUNCTION"}, "behaviour"),
        ({"body": "q := Spare(a);"}, {"body": "q := Spare(a);", "parts": BOTH.replace("Both", "Spare")}, "behaviour"),
        ({"local": "s : Pair;"}, {"local": "s : Pair;", "parts": PAIR}, "behaviour"),
    ],
)
def test_what_the_other_side_knows_or_what_can_be_seen_is_no_bystander(
    old: dict[str, str], new: dict[str, str], effect: str
) -> None:
    copies = [asfound.read(FRAME.format(**(OLD | each)).encode(), "p.st") for each in (old, new)]
    for pair in (copies, copies[::-1]):
        assert {c.effect for c in asfound.compare(*pair).changes} == {effect}


def test_a_declaration_that_changed_leaves_what_was_proved_as_it_is() -> None:
    old = OLD | {"local": "lim : INT := 1;"}
    new = OLD | USED | {"local": "lim : INT := 2; tmp : BOOL;"}
    copies = [asfound.read(FRAME.format(**each).encode(), "p.st") for each in (old, new)]
    for pair in (copies, copies[::-1]):
        effects = {c.path[-1]: c.effect for c in asfound.compare(*pair).changes if c.area == "declaration"}
        assert effects["variable:tmp"] == "equivalent"


def test_unknown_data_of_a_program_puts_its_statements_in_doubt() -> None:
    old, new = (asfound.read(FRAME.format(**(OLD | each)).encode(), "p.st") for each in ({}, USED))
    pous = tuple(replace(p, extensions=(Extension("how", "fast"),) if p.name == "P" else ()) for p in new.program.pous)
    told = asfound.compare(old, replace(new, program=replace(new.program, pous=pous))).changes
    assert {c.effect for c in told if c.path[-1] == "variable:tmp"} == {"behaviour"}


@pytest.mark.parametrize("more", [{"extensions": (Extension("how", "fast"),)}, {"pragmas": ("p",)}])
def test_unknown_data_of_a_type_may_say_how_it_acts(more: dict[str, tuple[object, ...]]) -> None:
    used = {"parts": PAIR, "local": "s : Pair;", "body": "s.one := a; q := s.one AND b;"}
    old, new = (asfound.read(FRAME.format(**(OLD | each)).encode(), "p.st") for each in ({}, used))
    marked = tuple(replace(t, **more) for t in new.program.types)
    for types, expected in ((new.program.types, {"equivalent"}), (marked, {"behaviour"})):
        told = asfound.compare(old, replace(new, program=replace(new.program, types=types))).changes
        assert {c.effect for c in told if c.path == ("type:Pair",)} == expected


@pytest.mark.parametrize(
    ("code", "effect"), [("tmp := x; go := tmp AND y;", "equivalent"), ("tmp := x; go := y;", "behaviour")]
)
def test_a_variable_of_a_method_that_only_proved_statements_use(code: str, effect: str) -> None:
    method = "METHOD go : BOOL {} END_METHOD"
    codes = "go := x AND y;", f"VAR tmp : BOOL; END_VAR {code}"
    old, new = (asfound.read(FRAME.format(**(OLD | {"parts": BLOCK.format("") .replace(
        "END_FUNCTION_BLOCK", f"{method.format(each)} END_FUNCTION_BLOCK")})).encode(), "p.st") for each in codes)  # fmt: skip
    for found in (asfound.compare(old, new), asfound.compare(new, old)):
        assert {c.effect for c in found.changes if c.path[-1] == "variable:tmp"} == {effect}
