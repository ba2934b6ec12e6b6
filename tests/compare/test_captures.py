"""A rename after which a name would stand for something else is none: another thing is used now."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import NamedTuple

import pytest

import asfound
from asfound.compare.renames.apply import Names
from asfound.compare.renames.captures import _without, _without_any_of
from asfound.model.copy import Copy


class Case(NamedTuple):
    """A program, and what is called otherwise in all of it."""

    text: str
    old: str
    new: str
    told: str


BLOCK = "FUNCTION_BLOCK F {} END_FUNCTION_BLOCK "
BASE = "FUNCTION_BLOCK B METHOD Run : INT Run := 1; END_METHOD {} END_FUNCTION_BLOCK "
DERIVED = "FUNCTION_BLOCK D EXTENDS B METHOD {} : INT {} := 2; END_METHOD END_FUNCTION_BLOCK "
CALLED = "PROGRAM P VAR d : D; q : INT; END_VAR q := d.{}(); END_PROGRAM "
TIMER = "FUNCTION_BLOCK Mine VAR_INPUT IN : BOOL; END_VAR VAR_OUTPUT Q : BOOL; END_VAR Q := IN; END_FUNCTION_BLOCK "
CASES = {
    "a constant in a bound and a start value": Case(
        "VAR_GLOBAL CONSTANT b : INT := 5; END_VAR PROGRAM P VAR CONSTANT a : INT := 3; END_VAR"
        " VAR x : INT := b; y : ARRAY[0..b] OF INT; z : INT; END_VAR z := z + a + x; y[1] := a * 2; END_PROGRAM",
        "a", "b", "variable a",
    ),
    "a global variable in a block that inherits": Case(
        "VAR_GLOBAL b : INT; END_VAR " + BLOCK.format("VAR a : INT; c : INT; END_VAR a := a + 1; c := a * 2;")
        + "FUNCTION_BLOCK G EXTENDS F VAR_OUTPUT o : INT; END_VAR o := b; END_FUNCTION_BLOCK "
        "PROGRAM P VAR f : G; END_VAR f(); b := 7; END_PROGRAM",
        "a", "b", "variable a",
    ),
    "a function of the standard": Case(
        "FUNCTION Clamp : INT VAR_INPUT mn, inn, mx : INT; END_VAR Clamp := mn + inn - mx; END_FUNCTION "
        "PROGRAM P VAR x, y, z : INT; END_VAR y := LIMIT(0, x, 10); z := Clamp(0, x, 10); END_PROGRAM",
        "Clamp", "LIMIT", "function Clamp",
    ),
    "a block of the standard": Case(
        TIMER + "PROGRAM P VAR a : TON; b : Mine; i, o : BOOL; END_VAR a(IN := i); b(IN := i); o := a.Q AND b.Q;"
        " END_PROGRAM",
        "Mine", "TON", "function block Mine",
    ),
    "a type of a library": Case(
        "TYPE S : STRUCT u, v : INT; END_STRUCT END_TYPE PROGRAM P VAR a : Theirs; b : S; o : INT; END_VAR"
        " b.u := 3; o := a.v + b.v; END_PROGRAM",
        "S", "Theirs", "type S",
    ),
    "a local variable, by a value of an enumeration": Case(
        "TYPE M : (OFF, AUTO); END_TYPE PROGRAM P VAR mode : M; MAN : M; o : BOOL; END_VAR"
        " mode := AUTO; o := mode = OFF; END_PROGRAM ",
        "AUTO", "MAN", "AUTO",
    ),
    "a method, by a function": Case(
        "FUNCTION Calc : INT VAR_INPUT x : INT; END_VAR Calc := x + 1; END_FUNCTION "
        + BLOCK.format("VAR_OUTPUT y : INT; END_VAR METHOD Own : INT VAR_INPUT x : INT; END_VAR Own := x * 3;"
                       " END_METHOD y := Calc(4);")
        + "PROGRAM P VAR f : F; q : INT; END_VAR f(); q := f.y + Calc(1); END_PROGRAM",
        "Calc", "Own", "function Calc",
    ),
    "a method that is overridden now": Case(
        BASE.format("") + DERIVED.format("Go", "Go") + CALLED.format("Run"), "Go", "Run", "method Go",
    ),
    "a method that is overridden now, seen by nobody": Case(
        BASE.format("METHOD All : INT All := Run(); END_METHOD") + DERIVED.format("Go", "Go") + CALLED.format("All"),
        "Go", "Run", "method Go",
    ),
    "a method that overrides no more": Case(
        BASE.format("METHOD All : INT All := Run(); END_METHOD") + DERIVED.format("{}", "{}") + CALLED.format("All"),
        "{}", "", "method Run",
    ),
}  # fmt: skip


def pair(case: Case) -> tuple[Copy, Copy]:
    """Both copies."""
    if case.old == "{}":
        texts = [case.text.replace("{}", name) for name in ("Run", "Go")]
    else:
        texts = [case.text, re.sub(rf"\b{case.old}\b", case.new, case.text)]
    old, new = (asfound.read(text.encode(), "p.st") for text in texts)
    return old, new


@pytest.mark.parametrize("name", CASES)
def test_a_name_that_would_stand_for_something_else(name: str) -> None:
    old, new = pair(CASES[name])
    found = asfound.compare(old, new)
    assert found.verdict == asfound.compare(new, old).verdict == "behaviour"
    assert [c.summary for c in found.changes if c.kind == "renamed"] == []
    assert any(CASES[name].told in line for c in found.changes for line in (c.summary, *c.details))


def test_two_things_that_became_one() -> None:
    text = "VAR_GLOBAL {0} : INT; END_VAR PROGRAM P VAR {1} : INT; END_VAR {1} := {1} + 1; {1} := {0} * 2; END_PROGRAM "
    text += "PROGRAM Q {0} := 3; {0} := {0} + 1; {0} := {0} * 5; END_PROGRAM"
    old, new = (asfound.read(text.format(*names).encode(), "p.st") for names in (("g", "a"), ("x", "x")))
    assert asfound.compare(old, new).verdict == "behaviour"


def test_a_rename_beside_one_that_is_none_is_told() -> None:
    case = CASES["a function of the standard"]
    old, new = (re.sub(r"\bP\b", "Plant" if n else "P", each) for n, each in enumerate((case.text, case.text)))
    new = re.sub(r"\bClamp\b", "LIMIT", re.sub(r"\bx\b", "level", new))
    found = asfound.compare(asfound.read(old.encode(), "p.st"), asfound.read(new.encode(), "p.st"))
    renamed = [c.summary for c in found.changes if c.kind == "renamed"]
    assert renamed == ["program P renamed to Plant", "variable x renamed to level"]
    assert found.verdict == "behaviour"


def test_a_method_renamed_with_all_that_override_it() -> None:
    text = (
        BASE.format("METHOD All : INT All := Run(); END_METHOD") + DERIVED.format("Run", "Run") + CALLED.format("Run")
    )
    old, new = (asfound.read(each.encode(), "p.st") for each in (text, re.sub(r"\bRun\b", "Start", text)))
    found = asfound.compare(old, new)
    assert [c.summary for c in found.changes] == ["method Run renamed to Start", "method Run renamed to Start"]
    assert found.verdict == "equivalent"


def test_an_external_declaration_of_another_global_variable() -> None:
    text = "PROGRAM P VAR_EXTERNAL {0} : INT; END_VAR VAR o : INT; END_VAR o := {0}; o := o + {0}; END_PROGRAM "
    shared = "VAR_GLOBAL g, h : INT; END_VAR PROGRAM Q g := h; h := 1; END_PROGRAM "
    old, new = (asfound.read((shared + text.format(name)).encode(), "p.st") for name in "gh")
    found = asfound.compare(old, new)
    assert found.verdict == "behaviour"
    assert not [c for c in found.changes if c.kind == "renamed"]


def test_an_external_variable_that_no_export_declares_may_be_another_one_under_another_name() -> None:
    text = "PROGRAM P VAR_EXTERNAL {0} : INT; END_VAR VAR q AT %QW0 : INT; END_VAR q := {0}; END_PROGRAM"
    (found,) = asfound.compare(*(asfound.read(text.format(name).encode(), "p.st") for name in "gh")).changes
    assert (found.kind, found.effect) == ("renamed", "undecided")
    assert any("may be another variable" in line for line in found.details)


@pytest.mark.parametrize(("was", "now"), [("Pump 1", ""), ("", "Pump 1"), ("Pump 1", "Pump"), ("Pump", "Drain Pump")])
def test_a_name_that_is_not_one_word_can_be_given_away_too(was: str, now: str) -> None:
    tags = "Name,Address,Type,Comment\n{},%I0.0,BOOL,\n{},%I0.1,BOOL,\n"
    old, new = (asfound.read(tags.format(*names).encode(), "t.csv") for names in ((was, now), (now, now)))
    told = asfound.compare(old, new).changes
    assert [c.kind for c in told if c.effect == "behaviour"] == ["readdressed"], "the names do not say which is which"
    assert not [c for c in told if c.kind == "renamed"]


def test_what_is_left_when_some_renames_are_wrong() -> None:
    names = Names(
        globals={"a": "b", "c": "D"}, types={"t": "U"}, lists={"l": "m"}, scopes={"s": "r", "q": "p"},
        locals={"p": {"a": "b", "x": "y"}, "f": {"a": "B"}}, charts={("p", ""): {"one": "two"}, ("f", ""): {"a": "b"}},
    )  # fmt: skip
    assert _without(names, {("a", "b"), ("t", "u"), ("s", "r")}) == Names(
        globals={"c": "D"}, lists={"l": "m"}, scopes={"q": "p"}, locals={"p": {"x": "y"}},
        charts={("p", ""): {"one": "two"}},
    )  # fmt: skip
    assert _without(names, {("a", "c"), ("b", "a")}) == names
    assert _without_any_of(names, {"b"}) == _without(names, {("a", "b")})
    assert _without_any_of(names, {"d", "l"}) == replace(names, globals={"a": "b"}, lists={})
    assert _without_any_of(names, {"nobody"}) == Names()
