"""What tells a rename or another scope: place, path, texts and notes of each change, and what goes into one."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.places import top
from asfound.compare.renames import tell
from asfound.compare.result import Change
from asfound.model.copy import Copy
from asfound.model.program import GlobalList, Program, Resource, VariableDeclaration
from asfound.model.tags import Tag, TagTable

OLD = """
TYPE Mode : (OFF, AUTO); Pair : STRUCT One, two : INT; END_STRUCT END_TYPE
FUNCTION_BLOCK Pump
VAR_INPUT Go : BOOL; END_VAR VAR_OUTPUT ran : BOOL; END_VAR VAR_IN_OUT io : INT; END_VAR VAR own : INT; END_VAR
VAR RETAIN kept : INT; END_VAR VAR PERSISTENT stays : INT; END_VAR VAR_EXTERNAL far : INT; END_VAR
METHOD Reset : BOOL VAR done : BOOL; END_VAR done := TRUE; END_METHOD
own := own + 1; ran := Go;
ACTION Halt : ran := FALSE; END_ACTION
END_FUNCTION_BLOCK
PROGRAM Seq VAR x : BOOL; p : Pump; m : Mode; END_VAR
INITIAL_STEP Idle: END_STEP STEP Fill: x(N); END_STEP
TRANSITION FROM Idle TO Fill := x; END_TRANSITION TRANSITION FROM Fill TO Idle := NOT x; END_TRANSITION
END_PROGRAM
CONFIGURATION C VAR_GLOBAL Level AT %MW4 : INT; END_VAR VAR_GLOBAL CONSTANT top : INT := 3; END_VAR END_CONFIGURATION
"""


def read(*edits: tuple[str, str]) -> Copy:
    text = OLD
    for was, now in edits:
        text = re.sub(rf"\b{was}\b", now, text)
    return asfound.read(text.encode(), "p.st")


Facts = tuple[str, str, str, str, tuple[str, ...], str | None, str | None, list[tuple[str, str | None, str | None]]]


def facts(c: Change) -> Facts:
    edits = [(e.field, e.old, e.new) for e in c.edits]
    return c.area, c.kind, c.effect, c.where, c.path, c.before, c.after, edits


def named(fact: Facts, of: str, change: Change) -> None:
    assert facts(change) == fact
    assert (change.edits[0].field, change.edits[0].of, change.summary) == ("renamed", of, "")


def test_a_pou_and_a_type() -> None:
    (mode, pump) = tell.types(read(), read(("Mode", "State"), ("Pump", "Motor")), {"pump": "Motor", "mode": "State"})
    at = ("datatype", "renamed", "equivalent", "type State", ("type:State",), "Mode", "State")
    named((*at, [("renamed", "Mode", "State"), ("used", None, "Seq / m")]), "type", mode)
    at = ("logic", "renamed", "equivalent", "Motor", ("Motor",), "Pump", "Motor")
    named((*at, [("renamed", "Pump", "Motor"), ("used", None, "Seq / p")]), "function block", pump)


OUTSIDE = ("seen outside", None, None)
LOCALS: dict[str, tuple[str, str, str, list[tuple[str, str | None, str | None]], str]] = {
    "an input": ("go", "begin", "Go", [OUTSIDE, ("used", None, "Pump / statement 2")], "equivalent"),
    "an output": (
        "ran", "runs", "ran",
        [OUTSIDE, ("used", None, "Pump / statement 2"), ("used", None, "Pump / action Halt / statement 1")], "equivalent",
    ),
    "an input and output": ("io", "both", "io", [OUTSIDE], "equivalent"),
    "a local one": ("own", "mine", "own", [("used", None, "Pump / statement 1")], "equivalent"),
    "a retained one": ("kept", "held", "kept", [("retained value", None, None)], "equivalent"),
    "a persistent one": ("stays", "held", "stays", [("retained value", None, None)], "equivalent"),
    "an external one": ("far", "away", "far", [OUTSIDE, ("unseen global", None, None)], "undecided"),
}  # fmt: skip


@pytest.mark.parametrize("name", LOCALS)
def test_a_variable_says_who_else_has_to_follow(name: str) -> None:
    key, new, written, notes, effect = LOCALS[name]
    after = read((written, new))
    old, renamed = (copy.program.pous[0] for copy in (read(), after))
    (found,) = tell.locals(top("Pump"), old, renamed, {key: new})
    assert (found.area, found.kind, found.effect) == ("declaration", "renamed", effect)
    assert (found.where, found.path) == (f"Pump / {new}", ("Pump", f"variable:{new}"))
    assert [(e.field, e.old, e.new) for e in found.edits] == [("renamed", written, new), *notes]
    assert found.edits[0].of == "variable"
    assert (written in (found.before or ""), new in (found.after or "")) == (True, True)


def test_an_action_a_method_and_what_is_in_it() -> None:
    edits = (("Halt", "Stop"), ("Reset", "Clear"), ("done", "ready"))
    names = {"pump": {"halt": "Stop", "reset": "Clear"}, "pump.reset": {"done": "ready"}}
    action, method, inside = tell.inside(read(), read(*edits), names, {})
    at = ("logic", "renamed", "equivalent", "Pump / action Stop", ("Pump", "action:Stop"), "Halt", "Stop")
    named((*at, [("renamed", "Halt", "Stop")]), "action", action)
    at = ("logic", "renamed", "equivalent", "Pump / method Clear", ("Pump", "method:Clear"), "Reset", "Clear")
    named((*at, [("renamed", "Reset", "Clear")]), "method", method)
    assert (inside.where, inside.path) == (
        "Pump / method Clear / ready", ("Pump", "method:Clear", "variable:ready"),
    )  # fmt: skip
    assert [e.new for e in inside.edits] == ["ready", "Pump / method Clear / statement 1"]


def test_a_step() -> None:
    (step,) = tell.inside(read(), read(("Fill", "Filling")), {"seq": {"fill": "Filling"}}, {})
    at = ("logic", "renamed", "equivalent", "Seq / step Filling", ("Seq", "step:Filling"), "Fill", "Filling")
    uses = [f"Seq / {n}" for n in ("step Filling", "transition Idle -> Filling", "transition Filling -> Idle")]
    assert facts(step)[:-1] == at
    assert step.edits[0].of == "step"
    assert [(e.field, e.new) for e in step.edits] == [("renamed", "Filling"), *(("used", at) for at in uses)]


def test_steps_of_a_chart_in_an_action_are_in_the_order_of_their_names() -> None:
    found = tell.steps(top("P").down("action A", "action:A"), {"b": "c", "a": "d"})
    assert [(c.where, c.before, c.after) for c in found] == [
        ("P / action A / step d", "a", "d"), ("P / action A / step c", "b", "c"),
    ]  # fmt: skip


def test_members_and_values_of_types() -> None:
    after = read(("AUTO", "SELF"), ("One", "first"))
    value, member = tell.inside(read(), after, {"mode": {"auto": "SELF"}, "pair": {"one": "first"}}, {})
    at = ("datatype", "renamed", "equivalent", "type Mode / SELF", ("type:Mode", "value:SELF"), "AUTO", "SELF")
    named((*at, [("renamed", "AUTO", "SELF")]), "value", value)
    at = ("datatype", "renamed", "equivalent", "type Pair / first", ("type:Pair", "variable:first"), "One", "first")
    named((*at, [("renamed", "One", "first")]), "member", member)


def test_a_pou_or_type_that_went_tells_nothing_of_its_inside() -> None:
    names = {"pump": {"own": "mine"}, "mode": {"auto": "SELF"}}
    assert [*tell.inside(read(), Copy(), names, {})] == []


def test_a_global_variable() -> None:
    (found,) = tell.globals(read(), read(("Level", "height")), {"level": "height"})
    assert facts(found) == (
        "declaration", "renamed", "equivalent", "height", ("globals:C", "variable:height"),
        "Level AT %MW4 : INT;", "height AT %MW4 : INT;",
        [("renamed", "Level", "height"), OUTSIDE],
    )  # fmt: skip
    assert found.edits[0].of == "global variable"


USING = "VAR_GLOBAL {0} AT %IX0.1 : BOOL; END_VAR PROGRAM P VAR q : BOOL; END_VAR q := {0}; END_PROGRAM"


def test_a_tag_that_the_program_declares_is_told_once_with_its_uses() -> None:
    old, new = (
        replace(
            asfound.read(USING.format(name).encode(), "p.st"), tables=(TagTable("T", (Tag(name, "%IX0.1", "BOOL"),)),)
        )
        for name in ("Door", "gate")
    )
    (found,) = tell.globals(old, new, {"door": "gate"})
    assert (found.area, found.effect, found.where, found.path) == (
        "tag",
        "equivalent",
        "tag gate",
        ("tags:T", "tag:gate"),
    )
    assert [(e.field, e.old, e.new, e.of) for e in found.edits] == [
        ("renamed", "Door", "gate", "tag"), (*OUTSIDE, ""), ("used", None, "P / statement 1", ""),
    ]  # fmt: skip
    assert ("Door" in (found.before or ""), "gate" in (found.after or "")) == (True, True)
    plain = [replace(copy, tables=()) for copy in (old, new)]
    for pair in ((plain[0], plain[1]), (old, plain[1]), (plain[0], new)):
        (variable,) = tell.globals(*pair, {"door": "gate"})
        assert (variable.area, [e.field for e in variable.edits]) == (
            "declaration",
            ["renamed", "seen outside", "used"],
        )
    assert tell.globals(old, Copy(), {"door": "gate"}) == tell.globals(Copy(), new, {"door": "gate"}) == []


def test_a_resource_a_configuration_and_lists() -> None:
    resources = Resource("Cpu", "Works"), Resource("Second", "Works")
    blocks = tuple(GlobalList(name, "Works", (VariableDeclaration("a", "INT"),)) for name in ("Works", "Signals"))
    old = Copy(program=Program(resources=resources, globals=blocks))
    works, cpu = tell.scopes(old, {"works": "Plant", "cpu": "Main"})[::-1]
    named(
        ("task", "renamed", "equivalent", "configuration Plant", ("configuration:Plant",), "Works", "Plant",
         [("renamed", "Works", "Plant")]), "configuration", works,
    )  # fmt: skip
    named(
        ("task", "renamed", "equivalent", "resource Main", ("resource:Main",), "Cpu", "Main", [("renamed", "Cpu", "Main")]),
        "resource", cpu,
    )  # fmt: skip
    names = {"works": "Plant", "signals": "Tags"}
    (signals,) = tell.lists(old, names, {"works": "plant"})
    assert facts(signals) == (
        "declaration", "renamed", "equivalent", "Tags", ("globals:Tags",), "Signals", "Tags",
        [("renamed", "Signals", "Tags"), OUTSIDE],
    )  # fmt: skip
    assert [c.before for c in tell.lists(old, names, {})] == ["Signals", "Works"]
    assert [c.before for c in tell.lists(old, names, {"works": "Other"})] == ["Signals", "Works"]


C = "CONFIGURATION C VAR_GLOBAL {} END_VAR RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1);"
C += " PROGRAM I WITH T : P; {} END_RESOURCE END_CONFIGURATION "
TWICE = "PROGRAM J WITH T : P;"


def p(declared: str, code: str = "n := n + k;") -> str:
    return f"PROGRAM P VAR z : INT; {declared} END_VAR {code} END_PROGRAM "


def lines(old: str, new: str) -> list[str]:
    found = asfound.compare(*(asfound.read(text.encode(), "p.st") for text in (old, new)))
    return [
        " | ".join((f"{c.effect} {c.kind} {'/'.join(c.path)}", c.summary, *(f"{e.field}:{e.of}" for e in c.edits)))
        for c in found.changes
    ]


BOTH = "n : INT := 3; k : INT;"
SCOPES: dict[str, tuple[str, str, list[str]]] = {
    "two that act the same": (
        C.format("", "") + p(BOTH), C.format(BOTH, "") + p(""),
        ["equivalent moved P | 2 local variables of P became global, in C | scopes:2 | declared:n | declared:k"],
    ),
    "two that may not": (
        C.format("", TWICE) + p(BOTH), C.format(BOTH, TWICE) + p(""),
        ["behaviour moved P | 2 local variables of P became global, in C | scopes:2 | several instances:P | declared:n"
         " | declared:k"],
    ),
    "one of two is retained": (
        C.format("", "") + p("END_VAR VAR RETAIN " + BOTH), C.format("", "").replace("VAR_GLOBAL", "VAR_GLOBAL RETAIN " + BOTH) + p(""),
        ["equivalent moved P | 2 local variables of P became global, in C | scopes:2 | paths and values: | declared:n"
         " | declared:k"],
    ),
    "one that may act otherwise says where it is used": (
        C.format("", TWICE) + p("n : INT;", "n := n + 1;"), C.format("n : INT;", TWICE) + p("", "n := n + 1;"),
        ["behaviour moved globals:C/variable:n | n: local variable of P -> global variable in C | scope:n"
         " | several instances:P | used:"],
    ),
    "one of two differs besides": (
        C.format("", "") + p(BOTH), C.format(BOTH.replace("3", "4"), "") + p(""),
        ["equivalent moved globals:C/variable:k | k: local variable of P -> global variable in C | scope:k",
         "behaviour changed globals:C/variable:n | n: initial value 3 -> 4 (takes effect when it is initialised)"
         " (and 1 more) | initial value: | scope:n | used:"],
    ),
    "one that is in no export": (
        C.format("", "") + p("n : INT;", "n := n + 1;"),
        C.format("", "") + p("END_VAR VAR_EXTERNAL n : INT; END_VAR VAR", "n := n + 1;"),
        ["undecided moved P/variable:n | n: local variable of P -> external variable, which no export declares | scope unseen:n"],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SCOPES)
def test_variables_that_went_the_same_way_are_one_change(name: str) -> None:
    old, new, expected = SCOPES[name]
    assert lines(old, new) == expected
