"""Renames inside one POU, from the uses alone: variables, actions, steps and members, and where there is none."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.renames.locals import local_renames
from asfound.compare.renames.members import Members
from asfound.language.parser import parse_expression
from asfound.model.copy import Copy


def read(text: str) -> Copy:
    return asfound.read(text.encode(), "p.st")


def p(variables: str, code: str, rest: str = "") -> str:
    return f"PROGRAM P VAR {variables} END_VAR {code} {rest} END_PROGRAM "


def f(body: str) -> str:
    return f"FUNCTION_BLOCK F VAR k : INT; END_VAR {body} END_FUNCTION_BLOCK "


CHART = (
    "INITIAL_STEP One: END_STEP STEP {0}: END_STEP TRANSITION FROM One TO {0} := a; END_TRANSITION"
    " TRANSITION FROM {0} TO One := {0}.X; END_TRANSITION"
)
Found = dict[str, dict[str, str]]
ROWS: dict[str, tuple[str, str, Found]] = {
    "a variable": (p("A : INT; o : INT;", "o := A + 1;"), p("X : INT; o : INT;", "o := X + 1;"), {"p": {"a": "X"}}),
    "a variable used half as before": (
        p("A : INT; o : INT;", "o := A + 1; A := o;"), p("X : INT; o : INT;", "o := X + 1; X := o * 2;"),
        {"p": {"a": "X"}},
    ),
    "a variable used in other ways": (
        p("A : INT; o : INT;", "o := A + 1; A := o; A := 3;"), p("X : INT; o : INT;", "o := X + 1; X := o * 2; X := 4;"), {},
    ),
    "a variable of another type": (p("A : INT; o : INT;", "o := A + 1;"), p("X : DINT; o : INT;", "o := X + 1;"), {}),
    "a variable whose new name was used before": (
        p("A : INT; o : INT;", "o := A + x;"), p("X : INT; o : INT;", "o := X + x;"), {},
    ),
    "a variable whose old name is used still": (
        p("A : INT; o : INT;", "o := A + 1;"), p("X : INT; o : INT;", "o := X + 1; o := a;"), {},
    ),
    "one that nothing uses, in its place": (
        p("a : INT; B : INT; c : INT;", "a := c;"), p("a : INT; X : INT; c : INT;", "a := c;"), {"p": {"b": "X"}},
    ),
    "one that nothing uses, in another place": (
        p("a : INT; B : INT; c : INT;", "a := c;"), p("X : INT; a : INT; c : INT;", "a := c;"), {},
    ),
    "an external one of a global variable": (
        "VAR_GLOBAL g, h : INT; END_VAR " + p("o : INT; END_VAR VAR_EXTERNAL g : INT;", "o := g;"),
        "VAR_GLOBAL g, h : INT; END_VAR " + p("o : INT; END_VAR VAR_EXTERNAL h : INT;", "o := h;"), {},
    ),
    "an external one that no export declares": (
        p("o : INT; END_VAR VAR_EXTERNAL g : INT;", "o := g;"), p("o : INT; END_VAR VAR_EXTERNAL h : INT;", "o := h;"),
        {"p": {"g": "h"}},
    ),
    "an action by its code": (
        p("a : INT;", "a := 1;", "ACTION Act: a := a + 1; END_ACTION"), p("a : INT;", "a := 1;", "ACTION Deed: a := a + 1; END_ACTION"),
        {"p": {"act": "Deed"}},
    ),
    "an action by its calls": (
        p("a : INT;", "Act(); IF a = 1 THEN Act(); END_IF;", "ACTION Act: a := 2; END_ACTION"),
        p("a : INT;", "Deed(); IF a = 1 THEN Deed(); END_IF;", "ACTION Deed: a := 3; END_ACTION"), {"p": {"act": "Deed"}},
    ),
    "an action of other code that nothing calls": (
        p("a : INT;", "a := 1;", "ACTION Act: a := a + 1; END_ACTION"), p("a : INT;", "a := 1;", "ACTION Deed: a := a * 2; END_ACTION"), {},
    ),
    "a step": (p("a : BOOL;", CHART.format("Two")), p("a : BOOL;", CHART.format("Three")), {"p": {"two": "Three"}}),
    "a variable that became a step": (p("Two : BOOL; o : BOOL;", "o := Two;"), p("o : BOOL;", "o := Three;"), {}),
    "a method by its code": (
        f("METHOD Go : INT Go := k; END_METHOD"), f("METHOD Run : INT Run := k; END_METHOD"), {"f": {"go": "Run"}},
    ),
    "a method of other code": (
        f("METHOD Go : INT Go := k; END_METHOD"), f("METHOD Run : BOOL VAR z : INT; END_VAR Run := k > z; END_METHOD"), {},
    ),
    "a variable of a method": (
        f("METHOD Go : INT VAR A : INT; END_VAR Go := A; END_METHOD"), f("METHOD Go : INT VAR X : INT; END_VAR Go := X; END_METHOD"),
        {"f.go": {"a": "X"}},
    ),
    "a variable of a method that is called otherwise": (
        f("METHOD Go : INT VAR A : INT; END_VAR Go := k; k := 5; A := k; END_METHOD"),
        f("METHOD Run : INT VAR X : INT; END_VAR Run := k; k := 5; X := k; END_METHOD"),
        {"f": {"go": "Run"}, "f.go": {"a": "X"}},
    ),
    "nothing": (p("A : INT;", "A := 1;"), p("A : INT;", "A := 1;"), {}),
    "a POU that is gone": (p("A : INT;", "A := 1;"), p("X : INT;", "X := 1;").replace("P ", "Q ", 1), {}),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_a_name_inside_of_a_pou_is_known_by_its_uses(name: str) -> None:
    old, new, expected = ROWS[name]
    found = local_renames(read(old), read(new))
    assert (found.names, found.charts) == (expected, {})


def test_steps_of_the_chart_of_an_action_are_apart() -> None:
    old, new = (
        read(p("a : BOOL;", "act();", f"ACTION act: {CHART.format(step)} END_ACTION")) for step in ("Two", "Three")
    )
    found = local_renames(old, new)
    assert (found.names, found.charts) == ({}, {("p", "act"): {"two": "Three"}})


def test_what_stands_for_a_global_variable_is_known() -> None:
    found = local_renames(read("VAR_GLOBAL g : INT; END_VAR"), read("VAR_GLOBAL H : INT; END_VAR"))
    assert found.shared == {"g", "h"}


PLANT = """
TYPE S : STRUCT a : INT; i : F; END_STRUCT T : S; L : ARRAY[0..1] OF S; M : (one, two); N : (two, three); END_TYPE
FUNCTION_BLOCK F VAR_INPUT a : INT; END_VAR VAR b : G; END_VAR
METHOD Go : INT VAR_INPUT p : INT; END_VAR END_METHOD
ACTION Act: END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK G EXTENDS F VAR c : INT; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK H EXTENDS G VAR a : INT; END_VAR END_FUNCTION_BLOCK
"""
KNOWN = Members(read(PLANT))
NAMES = {
    "f": {"a": "X", "go": "Run"},
    "f.go": {"p": "Q"},
    "g": {"c": "Z"},
    "s": {"a": "Y"},
    "m": {"one": "ONE", "two": "TWO"},
}


@pytest.mark.parametrize(
    ("type", "owners"),
    [
        ("F", ["f"]),
        ("H", ["h", "g", "f"]),
        ("REFERENCE TO G", ["g", "f"]),
        ("T", ["s"]),
        ("Theirs", ["theirs"]),
    ],
)
def test_the_owners_of_a_member_are_a_type_and_what_it_extends(type: str, owners: list[str]) -> None:
    assert [*KNOWN.owners(type)] == owners


def test_a_block_that_extends_itself_comes_to_an_end() -> None:
    assert len([*Members(read("FUNCTION_BLOCK A EXTENDS A END_FUNCTION_BLOCK")).owners("A")]) == 16


@pytest.mark.parametrize(
    ("type", "name", "expected"),
    [
        ("F", "A", "X"),
        ("G", "a", "X"),
        ("H", "a", "a"),
        ("H", "c", "Z"),
        ("T", "a", "Y"),
        ("", "a", "a"),
        ("Theirs", "a", "a"),
        ("G", "go", "Run"),
    ],
)
def test_a_member_is_called_as_the_nearest_base_that_declares_it_says(type: str, name: str, expected: str) -> None:
    assert KNOWN.renamed(type, name, NAMES) == expected


LOCAL = {"f": "F", "g": "G", "s": "S", "l": "L", "this": "POINTER TO G", "super": "POINTER TO F"}


@pytest.mark.parametrize(
    ("callee", "owner", "expected"),
    [
        ("Go", "G", "f.go"),
        ("Act", "G", "f"),
        ("Other", "G", "other"),
        ("f", "G", "f"),
        ("g.Go", "P", "f.go"),
        ("g.Act", "P", "f"),
        ("s.i", "P", "f"),
        ("l[1].i", "P", "f"),
        ("this^.Go", "P", "f.go"),
        ("super^.Act", "P", "f"),
        ("g.None", "P", "none"),
        ("Go", "", "go"),
    ],
)
def test_what_a_call_runs(callee: str, owner: str, expected: str) -> None:
    assert KNOWN.called(parse_expression(callee), LOCAL, owner) == expected


def test_pins_of_a_path() -> None:
    assert KNOWN.pins("f", NAMES) == NAMES["f"]
    assert KNOWN.pins("g", NAMES) == {**NAMES["f"], **NAMES["g"]}
    assert KNOWN.pins("f.go", NAMES) == NAMES["f.go"]
    assert KNOWN.pins("", NAMES) == {}
    assert KNOWN.pins("h", {"f": {"a": "X"}, "g": {"a": "Y"}}) == {"a": "Y"}, "the nearest says it"


def test_a_value_that_stands_alone_has_to_be_the_only_one() -> None:
    assert KNOWN.values_alone({"m": {"one": "FIRST", "two": "SECOND"}, "n": {"three": "THREE"}}) == {"one": "FIRST"}
    assert KNOWN.values_alone({"m": {"two": "B"}, "n": {"two": "B"}}) == {"two": "B"}


def test_members_that_an_initial_value_reaches() -> None:
    assert KNOWN.reached("S", {"s": {"i": "J"}}) == {"i": "J"}
    assert KNOWN.reached("ARRAY[0..1] OF T", {"s": {"i": "J"}}) == {"i": "J"}
    assert KNOWN.reached("S", {"f": {"a": "X"}}) == {}, "two members are called so"
    assert KNOWN.reached("S", {"f": {"a": "X"}, "s": {"a": "X"}}) == {"a": "X"}
    assert KNOWN.reached("INT", NAMES) == KNOWN.reached("S", {}) == {}


def test_what_a_pou_sees_and_inherits() -> None:
    h = KNOWN.pous["h"]
    seen = KNOWN.seen_in(h)
    assert (seen["this"], seen["super"], seen["c"], seen["a"]) == ("POINTER TO H", "POINTER TO G", "INT", "INT")
    assert KNOWN.seen_in(KNOWN.pous["f"])["super"] == ""
    assert KNOWN.names_inside(h) >= {"a", "b", "c", "go", "act"}
    assert KNOWN.names_inside(h).isdisjoint({"f", "g", "h"})
    assert KNOWN.names_inside(KNOWN.pous["f"]) == frozenset()
    assert KNOWN.inherited(h, NAMES) == {**NAMES["f"], **NAMES["g"]}
    assert KNOWN.inherited(h, {"g": {"a": "near"}, "f": {"a": "far"}, "h": {"a": "own"}}) == {"a": "near"}


def test_a_variable_of_the_whole_is_a_global_one_or_a_tag() -> None:
    known = Members(read("VAR_GLOBAL g : INT; END_VAR"))
    assert (known.is_variable("g"), known.is_variable("x")) == (True, False)
    tagged = Members(asfound.read(b"Name,Address,Type\nt,%IX0.0,BOOL\nu,%IX0.1,BOOL\n", "t.csv"))
    assert (tagged.is_variable("t"), tagged.is_variable("g")) == (True, False)
