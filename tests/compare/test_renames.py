"""Renames: one change for the name and all its uses, and no guess where two fit."""

from __future__ import annotations

from hypothesis import given
from msgspec.structs import replace

import asfound
from asfound.compare.comparison import compare
from asfound.compare.renames.apply import Names, renamed_copy
from asfound.compare.renames.texts import value_text
from asfound.language import printer
from asfound.language.walk import rewrite
from asfound.model.copy import Copy
from asfound.model.logic import Call, Variable
from asfound.model.program import Association, Body, Network, Pou, Program, Step, VariableDeclaration
from asfound.model.tags import Tag, TagTable
from language.strategies import BODIES

from . import building as b


def _ladder(text: dict[str, str], **declared: str) -> Pou:
    networks = tuple(Network((b.coil(target, value),)) for target, value in text.items())
    variables = tuple(VariableDeclaration(n, t) for n, t in declared.items())
    return Pou("Main", "program", variables=variables, bodies=(Body("LD", networks=networks),))


def _copy(*pous: Pou, tags: tuple[Tag, ...] = ()) -> Copy:
    return Copy(program=Program(pous=pous), tables=(TagTable("T", tags),) if tags else ())


def test_a_variable_renamed_everywhere_is_one_change() -> None:
    old = _copy(_ladder({"OUT": "Ready AND A", "LAMP": "NOT Ready"}, Ready="BOOL"))
    new = _copy(_ladder({"OUT": "IsReady AND A", "LAMP": "NOT IsReady"}, IsReady="BOOL"))
    change = b.only(new, old)
    assert (change.area, change.kind, change.effect) == ("declaration", "renamed", "equivalent")
    assert (change.where, change.summary) == ("Main / IsReady", "variable Ready renamed to IsReady")
    assert change.details == ("used in Main / rung 1", "used in Main / rung 2")


def test_an_edit_beside_the_rename_is_told_apart() -> None:
    old = _copy(_ladder({"OUT": "Ready AND A", "LAMP": "NOT Ready", "HORN": "Ready AND B"}, Ready="BOOL"))
    new = _copy(_ladder({"OUT": "Ok AND A", "LAMP": "NOT Ok", "HORN": "Ok AND C"}, Ok="BOOL"))
    assert [(c.kind, c.summary) for c in compare(old, new).changes] == [
        ("changed", "HORN: contact B replaced by C"),
        ("renamed", "variable Ready renamed to Ok"),
    ]
    assert compare(old, new).changes[0].before == "HORN := Ready AND B;"


def test_what_only_moved_shows_the_old_name_as_it_was() -> None:
    old = _copy(_ladder({"OUT": "Ready AND A", "LAMP": "A OR B", "HORN": "B"}, Ready="BOOL"))
    new = _copy(_ladder({"LAMP": "A OR B", "HORN": "B", "OUT": "Ok AND A"}, Ok="BOOL"))
    moved = compare(old, new).changes[0]
    assert (moved.kind, moved.summary) == ("moved", "rung 1 moved to rung 3: OUT := Ok AND A;")
    assert (moved.before, moved.after) == ("OUT := Ready AND A;", "OUT := Ok AND A;")


def test_two_equally_good_candidates_are_no_rename() -> None:
    old = _copy(_ladder({"X": "First", "Y": "Second"}, First="BOOL", Second="BOOL"))
    new = _copy(_ladder({"X": "Third OR Fourth", "Y": "Third OR Fourth"}, Third="BOOL", Fourth="BOOL"))
    assert not [c for c in compare(old, new).changes if c.kind == "renamed"]


def test_a_name_that_meant_something_else_before_is_no_rename() -> None:
    old = _copy(_ladder({"OUT": "Ready AND Spare", "LAMP": "NOT Ready"}, Ready="BOOL"))
    new = _copy(_ladder({"OUT": "Spare AND Spare", "LAMP": "NOT Spare"}, Spare="BOOL"))
    found = compare(old, new)
    assert found.verdict == "behaviour"
    assert not [c for c in found.changes if c.kind == "renamed"]


def test_another_type_is_no_rename() -> None:
    old = _copy(_ladder({"OUT": "Ready AND A"}, Ready="BOOL"))
    new = _copy(_ladder({"OUT": "IsReady AND A"}, IsReady="INT"))
    assert not [c for c in compare(old, new).changes if c.kind == "renamed"]


def test_a_tag_renamed_with_its_uses_tells_who_else_may_use_it() -> None:
    old = _copy(_ladder({"OUT": "P3_FlowSw"}), tags=(Tag("P3_FlowSw", "%IX5.0", "BOOL"),))
    new = _copy(_ladder({"OUT": "P3_FlowOK"}), tags=(Tag("P3_FlowOK", "%IX5.0", "BOOL"),))
    change = b.only(new, old)
    assert (change.area, change.kind, change.effect) == ("tag", "renamed", "equivalent")
    assert change.details[0].startswith("screens, other stations")


def test_a_block_renamed_with_its_declarations_and_calls() -> None:
    def station(type: str) -> Copy:
        block = Pou(type, "function_block", bodies=(Body("ST", b.st("Q := IN AND NOT Trip; Hours := Hours + 1;")),))
        call = Network((Call(Variable("Pump1"), type),))
        main = Pou(
            "Main", "program", variables=(VariableDeclaration("Pump1", type),), bodies=(Body("LD", networks=(call,)),)
        )
        return _copy(block, main)

    change = b.only(station("Motor"), station("Pump"))
    assert (change.area, change.kind, change.summary) == ("logic", "renamed", "function block Pump renamed to Motor")
    assert change.details == ("used in Main / Pump1", "used in Main / rung 1")


def test_a_pin_renamed_with_the_calls_that_use_it() -> None:
    def station(pin: str) -> Copy:
        block = Pou(
            "Pump", "function_block", variables=(VariableDeclaration(pin, "BOOL", section="input"),),
            bodies=(Body("ST", b.st(f"Q := {pin} AND NOT Trip;")),),
        )  # fmt: skip
        main = Pou(
            "Main", "program", variables=(VariableDeclaration("P1", "Pump"),),
            bodies=(Body("ST", b.st(f"P1({pin} := A); B := P1.{pin};")),),
        )  # fmt: skip
        return _copy(block, main)

    change = b.only(station("Enable"), station("Release"))
    assert (change.kind, change.summary) == ("renamed", "variable Release renamed to Enable")


def test_a_step_renamed_with_its_transitions() -> None:
    steps = tuple(replace(s, name="Filling") if s.name == "Fill" else s for s in b.CHART.steps)
    transitions = tuple(
        replace(
            t,
            sources=tuple("Filling" if n == "Fill" else n for n in t.sources),
            targets=tuple("Filling" if n == "Fill" else n for n in t.targets),
            condition=b.e("FULL OR Filling.T > T#60s")
            if t.sources == ("Fill",) and t.targets == ("Drain",)
            else t.condition,
        )
        for t in b.CHART.transitions
    )
    change = b.only(b.with_chart(steps=steps, transitions=transitions))
    assert (change.area, change.kind, change.effect, change.where) == (
        "logic",
        "renamed",
        "equivalent",
        "Batch / step Filling",
    )


def test_an_action_of_a_step_replaced_is_no_rename_of_the_step() -> None:
    steps = (*b.CHART.steps[:2], Step("Drain", actions=(Association("DO_VALVE2"),)), b.CHART.steps[3])
    change = b.only(b.with_chart(steps=steps))
    assert change.summary == "action DO_PUMP replaced by DO_VALVE2 in step Drain"


def test_a_resource_renamed_takes_its_scopes_along() -> None:
    program = b.STATION.program
    cpu = replace(b.CPU, name="CPU2", tasks=tuple(replace(t, scope="PLC/CPU2") for t in b.CPU.tasks))
    new = replace(
        b.STATION, program=replace(program, resources=(cpu,), globals=(replace(b.GLOBALS, scope="PLC/CPU2"),))
    )
    assert b.only(new).summary == "resource CPU renamed to CPU2"


def test_the_type_before_a_value_is_renamed_and_no_word_of_a_string() -> None:
    types = {"mode": "State"}
    assert value_text("(a := Mode#OFF, b := [MODE#HAND, INT#5])", types) == "(a := State#OFF, b := [State#HAND, INT#5])"
    assert value_text("""['Mode#1', 'it$'s Mode#2', "Mode#3", Mode#OFF]""", types) == (
        """['Mode#1', 'it$'s Mode#2', "Mode#3", State#OFF]"""
    )


@given(BODIES)
def test_a_rename_reaches_every_place_in_which_the_name_is_printed(body: Body) -> None:
    named = rewrite(body, lambda e: Variable("OldName") if isinstance(e, Variable) else None)
    copy = _copy(Pou("Main", "program", bodies=(named,)))
    (renamed,) = renamed_copy(copy, Names({"oldname": "NewName"})).program.pous
    before, after = printer.body(named), printer.body(renamed.bodies[0])
    assert "OldName" not in after
    assert after == before.replace("OldName", "NewName")


def test_a_value_of_an_enumeration_behind_the_name_of_its_type_follows() -> None:
    text = (
        "TYPE Mode : (OFF := 0, {0} := 1, HAND := 2); END_TYPE PROGRAM P VAR m : Mode; x, y : BOOL; END_VAR"
        " m := Mode.{0}; x := m = mode.{0}; IF y THEN m := Mode.OFF; END_IF; END_PROGRAM"
    )
    old, new = (asfound.read(text.format(word).encode(), "p.st") for word in ("AUTO", "RUN"))
    assert [(c.kind, c.summary) for c in asfound.compare(old, new).changes] == [
        ("renamed", "value AUTO renamed to RUN")
    ]
