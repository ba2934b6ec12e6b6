"""One edit at a time: what it is called, and what it does (expected wording is ours, the cases are common practice)."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.model.copy import Copy, Source
from asfound.model.hardware import AddressRange, Channel, Device, Hardware
from asfound.model.logic import Assign
from asfound.model.program import Association, Body, EnumValue, Extension, Heading, Library, Pou, Step, Transition
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

from . import building as b

R = b.RUNGS


def _module(**parts: object) -> Copy:
    modules = (replace(b.RACK.modules[0], **parts), b.RACK.modules[1])
    return replace(b.STATION, hardware=Hardware((Device("PLC1", modules=(replace(b.RACK, modules=modules),)),)))


def _step(name: str, **parts: object) -> Copy:
    return b.with_chart(steps=tuple(replace(s, **parts) if s.name == name else s for s in b.CHART.steps))


def _scale(text: str) -> Copy:
    return b.with_pou(b.STATION, replace(b.SCALE, bodies=(Body("ST", b.st(text)),)))


def _task(**parts: object) -> Copy:
    return b.with_program(resources=(replace(b.CPU, tasks=(replace(b.CPU.tasks[0], **parts),)),))


def _tags(*tags: Tag) -> Copy:
    return replace(b.STATION, tables=(TagTable("Terminals", tags),))


def _variable(index: int, pou: Pou = b.PUMP, **parts: object) -> Copy:
    return b.with_variables(pou, replace(pou.variables[index], **parts))


T = b.CHART.transitions
DOOR, OVERLOAD, RESET = b.TAGS.tags

EDITS = {
    "interlock bridged": (
        b.with_rung(1, b.rung(b.coil("PERMIT", "(LOW_SUCTION OR BYPASS) AND NOT FAULT"), title="Permit")),
        ("logic", "changed", "behaviour", "PumpControl / rung 1"),
        "PERMIT: contact BYPASS added in parallel to LOW_SUCTION",
    ),
    "contact in series": (
        b.with_rung(1, b.rung(b.coil("PERMIT", "LOW_SUCTION AND NOT FAULT AND DOOR"), title="Permit")),
        ("logic", "changed", "behaviour", "PumpControl / rung 1"),
        "PERMIT: contact DOOR added in series",
    ),
    "contact turned round": (
        b.with_rung(6, b.rung(b.coil("HORN", "NOT FAULT AND NOT QUIET"))),
        ("logic", "changed", "behaviour", "PumpControl / rung 6"),
        "HORN: FAULT: normally open -> normally closed",
    ),
    "operand replaced": (
        b.with_rung(3, b.rung(b.coil("FAULT", "TRIP", "set"))),
        ("logic", "changed", "behaviour", "PumpControl / rung 3"),
        "FAULT: contact OVERLOAD replaced by TRIP",
    ),
    "coil latched": (
        b.with_rung(6, b.rung(b.coil("HORN", "FAULT AND NOT QUIET", "set"))),
        ("logic", "changed", "behaviour", "PumpControl / rung 6"),
        "HORN: coil -> set coil",
    ),
    "preset shortened": (
        b.with_rung(
            2, b.rung(b.timer("DELAY", "START AND PERMIT", "T#3s"), R[1].statements[1], comment="start delayed")
        ),
        ("logic", "changed", "behaviour", "PumpControl / rung 2"),
        "preset PT of TON DELAY: T#8s -> T#3s",
    ),
    "block type": (
        b.with_rung(
            2, b.rung(b.timer("DELAY", "START AND PERMIT", "T#8s", "TOF"), R[1].statements[1], comment="start delayed")
        ),
        ("logic", "changed", "behaviour", "PumpControl / rung 2"),
        "DELAY: block type TON replaced by TOF",
    ),
    "spelling of a name": (
        b.with_rung(6, b.rung(b.coil("Horn", "FAULT AND NOT Quiet"))),
        ("logic", "changed", "documentation", "PumpControl / rung 6"),
        "only the spelling differs",
    ),
    "redrawn": (
        b.with_rung(6, b.rung(b.coil("HORN", "NOT QUIET AND FAULT"))),
        ("logic", "changed", "equivalent", "PumpControl / rung 6"),
        "HORN: operands in another order",
    ),
    "negation moved": (
        b.with_rung(6, b.rung(b.coil("HORN", "NOT (NOT FAULT OR QUIET)"))),
        ("logic", "changed", "equivalent", "PumpControl / rung 6"),
        "HORN: negations written in another way",
    ),
    "order of a call with a side effect": (
        _scale("(* linear *) IF Other(1) AND RAW > 100 THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF;"),
        ("logic", "changed", "behaviour", "Scale / statement 1 / IF branch 1"),
        "condition: Other(1) added by AND to RAW > 100",
    ),
    "rewritten to the same": (
        b.with_rung(5, b.rung(b.coil("LAMP", "RUN AND (BLINK OR TEST)"))),
        ("logic", "changed", "equivalent", "PumpControl / rung 5"),
        "LAMP: RUN AND BLINK OR RUN AND TEST replaced by RUN AND (BLINK OR TEST)",
    ),
    "moved with a conflict": (
        b.with_rungs(R[4], R[0], R[1], R[2], R[3], R[5]),
        ("logic", "moved", "behaviour", "PumpControl / rung 1"),
        "rung 5 moved to rung 1: LAMP := RUN AND BLINK OR RUN AND TEST;",
    ),
    "set and reset swapped": (
        b.with_rungs(R[0], R[1], R[3], R[2], R[4], R[5]),
        ("logic", "moved", "behaviour", "PumpControl / rung 3"),
        "rung 4 moved to rung 3: reset coil FAULT, when RESET",
    ),
    "comment": (
        b.with_rung(2, replace(R[1], comment="start delayed by 8 s")),
        ("logic", "changed", "documentation", "PumpControl / rung 2"),
        "comment: start delayed -> start delayed by 8 s",
    ),
    "rung added": (
        b.with_rungs(*R, b.rung(b.coil("LIGHT", "DOOR"))),
        ("logic", "added", "behaviour", "PumpControl / rung 7"),
        "rung added: LIGHT := DOOR;",
    ),
    "retain flag": (
        _variable(2, retain=""),
        ("declaration", "changed", "behaviour", "PumpControl / HOURS"),
        "HOURS: retain: retain -> no",
    ),
    "initial value": (
        _variable(2, initial="7"),
        ("declaration", "changed", "behaviour", "PumpControl / HOURS"),
        "HOURS: initial value 5 -> 7 (takes effect when it is initialised)",
    ),
    "initial value in another base": (
        _variable(2, initial="16#5"),
        ("declaration", "changed", "documentation", "PumpControl / HOURS"),
        "HOURS: initial value 5 -> 16#5 (the same value)",
    ),
    "unused variable": (
        b.with_pou(b.STATION, replace(b.PUMP, variables=b.PUMP.variables[:2] + b.PUMP.variables[3:])),
        ("declaration", "removed", "equivalent", "PumpControl / HOURS"),
        "local variable HOURS : INT removed",
    ),
    "order of inputs": (
        b.with_pou(b.STATION, replace(b.SCALE, variables=b.SCALE.variables[::-1])),
        ("declaration", "moved", "behaviour", "Scale"),
        "order of inputs changed",
    ),
    "order of locals": (
        b.with_pou(
            b.STATION, replace(b.PUMP, variables=(b.PUMP.variables[1], b.PUMP.variables[0], *b.PUMP.variables[2:]))
        ),
        ("declaration", "moved", "documentation", "PumpControl"),
        "declarations listed in another order",
    ),
    "branch of an IF": (
        _scale("(* linear *) IF RAW > 100 THEN Scale := RAW * GAIN; OK := FALSE; ELSE Scale := 0; END_IF;"),
        ("logic", "changed", "behaviour", "Scale / statement 1 / IF branch 1 / statement 2"),
        "OK: TRUE -> FALSE",
    ),
    "condition of an IF": (
        _scale("(* linear *) IF RAW > 120 THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF;"),
        ("logic", "changed", "behaviour", "Scale / statement 1 / IF branch 1"),
        "condition: comparison RAW > 100 -> RAW > 120",
    ),
    "condition turned round": (
        _scale("(* linear *) IF NOT (RAW <= 100) THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF;"),
        ("logic", "changed", "equivalent", "Scale / statement 1"),
        "IF RAW > 100 THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF; replaced by IF NOT (RAW <= 100)",
    ),
    "remark": (
        _scale("(* straight line *) IF RAW > 100 THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF;"),
        ("logic", "changed", "documentation", "Scale"),
        "comment: linear -> straight line",
    ),
    "SFC action removed": (
        _step("Fill", actions=(Association("DO_LAMP", "S"),)),
        ("logic", "removed", "behaviour", "Batch / step Fill / action DO_VALVE"),
        "action DO_VALVE removed from step Fill with qualifier N",
    ),
    "SFC action time": (
        _step("Clean", actions=(Association("DO_WASH", "L", "T#8s"),)),
        ("logic", "changed", "behaviour", "Batch / step Clean / action DO_WASH"),
        "time of action DO_WASH in step Clean: T#10s -> T#8s",
    ),
    "SFC branch order": (
        b.with_chart(transitions=(T[0], T[2], T[1], T[3], T[4])),
        ("logic", "moved", "behaviour", "Batch / step Fill"),
        "alternatives leaving step Fill are tried in another order",
    ),
    "SFC listing order": (
        b.with_chart(transitions=(T[3], *T[:3], T[4])),
        ("logic", "changed", "documentation", "Batch"),
        "steps or transitions listed in another order",
    ),
    "SFC condition": (
        b.with_chart(transitions=(T[0], Transition(("Fill",), ("Drain",), b.e("FULL")), *T[2:])),
        ("logic", "changed", "behaviour", "Batch / transition Fill -> Drain"),
        "condition: Fill.T > T#1m removed from OR",
    ),
    "task interval": (
        _task(interval="T#20ms"),
        ("task", "changed", "behaviour", "resource CPU / task Fast"),
        "task Fast: interval T#10ms -> T#20ms",
    ),
    "task priority": (
        _task(priority="3"),
        ("task", "changed", "behaviour", "resource CPU / task Fast"),
        "task Fast: priority 1 -> 3",
    ),
    "enum order": (
        b.with_program(types=(replace(b.MODE, values=(EnumValue("OFF"), EnumValue("AUTO"), EnumValue("HAND"))),)),
        ("datatype", "changed", "behaviour", "type Mode"),
        "type Mode: value",
    ),
    "tool version": (
        b.with_program(heading=Heading(name="Booster", tool="Editor 2")),
        ("document", "changed", "documentation", "project"),
        "project: tool none -> Editor 2",
    ),
    "library": (
        b.with_program(libraries=(Library("Util", "1.0"),)),
        ("declaration", "added", "undecided", "library Util"),
        "library Util 1.0 added",
    ),
    "data not interpreted": (
        b.with_pou(b.STATION, replace(b.PUMP, extensions=(Extension("addData", "<x/>"),))),
        ("extension", "added", "undecided", "PumpControl / extension data"),
        "data that is not interpreted added: addData added",
    ),
    "tag moved": (
        _tags(DOOR, replace(OVERLOAD, address="%IX0.7"), RESET),
        ("tag", "readdressed", "behaviour", "tag OVERLOAD"),
        "OVERLOAD: address %IX0.2 -> %IX0.7",
    ),
    "tags swapped": (
        _tags(DOOR, replace(OVERLOAD, address="%IX0.3"), replace(RESET, address="%IX0.2")),
        ("tag", "readdressed", "behaviour", "tags OVERLOAD, RESET"),
        "OVERLOAD and RESET swapped their addresses %IX0.2 and %IX0.3",
    ),
    "tag comment": (
        _tags(replace(DOOR, comment="door contact, 17S1"), OVERLOAD, RESET),
        ("tag", "changed", "documentation", "tag DOOR"),
        "DOOR: comment: door contact -> door contact, 17S1",
    ),
    "module firmware": (
        _module(firmware="1.2"),
        ("hardware", "changed", "undecided", "device PLC1 / slot 0 Rack / slot 1 DI16"),
        "module DI16: firmware 1.0 -> 1.2",
    ),
    "module replaced": (
        _module(order_number="DI-16-B"),
        ("hardware", "changed", "behaviour", "device PLC1 / slot 0 Rack / slot 1 DI16"),
        "module DI16 replaced: part number DI-16-A -> DI-16-B",
    ),
    "addresses shifted": (
        _module(addresses=(AddressRange("input", 4, 16),)),
        ("hardware", "readdressed", "behaviour", "device PLC1 / slot 0 Rack / slot 1 DI16"),
        "addresses of module DI16 shifted: input from byte 0, 16 bits -> input from byte 4, 16 bits",
    ),
    "channel": (
        _module(channels=(Channel(2, direction="input", tag="DOOR"),)),
        ("hardware", "changed", "behaviour", "device PLC1 / slot 0 Rack / slot 1 DI16 / input channel 2"),
        "input channel 2: tag OVERLOAD -> DOOR",
    ),
    "value tuned": (
        replace(b.STATION, values=(ActualValue("SP", "3.4", "3.2", "bar"),)),
        ("value", "changed", "behaviour", "value SP"),
        "SP tuned: 3.2 -> 3.4 bar",
    ),
    "force": (
        replace(b.STATION, forces=(Force("LOW_SUCTION", "TRUE", "%IX0.0"),)),
        ("force", "added", "undecided", "forces"),
        "1 force cannot be compared: the old copy holds no force list",
    ),
    "file nobody reads": (
        replace(b.STATION, sources=(Source("notes.bin", "ab", 2, ""),)),
        ("document", "added", "undecided", "file notes.bin"),
        "file notes.bin added; no reader understands it",
    ),
}


@pytest.mark.parametrize("name", EDITS)
def test_one_edit_is_one_change_with_its_own_words(name: str) -> None:
    new, expected, summary = EDITS[name]
    change = b.only(new)
    assert (change.area, change.kind, change.effect, change.where) == expected
    assert change.summary.startswith(summary)


@pytest.mark.parametrize("name", EDITS)
def test_the_other_direction_has_the_same_effect(name: str) -> None:
    new, _, _ = EDITS[name]
    there, back = compare(b.STATION, new), compare(new, b.STATION)
    assert [c.effect for c in there.changes] == [c.effect for c in back.changes]
    assert [(c.before, c.after) for c in there.changes] == [(c.after, c.before) for c in back.changes]


def test_a_bridged_interlock_comes_with_inputs_that_show_it() -> None:
    change = b.only(EDITS["interlock bridged"][0])
    assert change.witness is not None
    assert change.witness.inputs == {"BYPASS": "TRUE", "FAULT": "FALSE", "LOW_SUCTION (%IX0.0)": "FALSE"}
    assert (change.witness.old, change.witness.new) == ({"PERMIT": "FALSE"}, {"PERMIT": "TRUE"})
    assert change.path == ("PumpControl", "network:1")
    assert change.after == "(* Permit *)\nPERMIT := (LOW_SUCTION OR BYPASS) AND NOT FAULT;"


def test_what_a_bridged_interlock_can_reach() -> None:
    change = b.only(EDITS["interlock bridged"][0])
    assert change.reach == ("RUN (%QX0.0)", "PumpControl.LAMP")


def test_a_limit_comes_with_the_value_that_shows_it() -> None:
    change = b.only(EDITS["condition of an IF"][0])
    assert change.witness is not None
    assert change.witness.inputs == {"OK": "FALSE", "RAW": "101"}, "OK keeps what it was before the cycle"


def test_a_moved_rung_names_what_its_order_matters_for() -> None:
    assert b.only(EDITS["moved with a conflict"][0]).details == ("RUN is now read before it is written",)
    assert b.only(EDITS["set and reset swapped"][0]).details == ("FAULT is now written last by what was written first",)


def test_a_rung_moved_past_strangers_is_equivalent() -> None:
    change = b.only(b.with_rungs(R[0], R[1], R[2], R[3], R[5], R[4]))
    assert (change.kind, change.effect, change.details) == ("moved", "equivalent", ("nothing it passes is affected",))


def test_a_tag_at_another_address_lists_the_rungs_that_use_it() -> None:
    assert "used in PumpControl / rung 3" in b.only(EDITS["tag moved"][0]).details


def test_an_if_that_sets_is_a_set_coil() -> None:
    old = _scale("IF RAW > 100 THEN OK := TRUE; END_IF;")
    new = b.with_pou(b.STATION, replace(b.SCALE, bodies=(Body("ST", (Assign(b.e("OK"), b.e("RAW > 100"), "set"),)),)))
    assert b.only(new, old).effect == "equivalent"


def test_a_step_added_with_its_transitions() -> None:
    steps = (*b.CHART.steps, Step("Wait"))
    new = b.with_chart(
        steps=steps,
        transitions=(
            T[0],
            Transition(("Fill",), ("Wait",), T[1].condition),
            Transition(("Wait",), ("Drain",), b.e("GO")),
            *T[2:],
        ),
    )
    assert [c.summary for c in compare(b.STATION, new).changes] == [
        "step Wait added",
        "transition from Fill now leads to Wait (was Drain)",
        "transition Wait -> Drain added: GO",
    ]


def test_many_comments_are_one_change() -> None:
    new = b.with_rungs(*(replace(r, comment=f"rung {n}") for n, r in enumerate(R, 1)))
    change = b.only(new)
    assert (change.effect, change.where, change.summary) == ("documentation", "PumpControl", "6 comments changed")
    assert change.details[1] == "rung 2: comment: start delayed -> rung 2"


def test_a_call_that_could_be_skipped_is_left_undecided() -> None:
    old, new = _scale("OK := Other(1) AND DOOR;"), _scale("OK := DOOR AND Other(1);")
    assert b.only(new, old).effect == "undecided"
    old, new = _scale("OK := MAX(RAW, 1) > 5 AND DOOR;"), _scale("OK := DOOR AND MAX(RAW, 1) > 5;")
    assert b.only(new, old).effect == "equivalent"


def test_a_block_type_that_only_one_format_writes_is_no_change_of_type() -> None:
    bare = replace(R[1].statements[0], type="")
    new = b.with_rung(2, replace(R[1], statements=(bare, R[1].statements[1])))
    there, back = b.only(new), b.only(b.STATION, new)
    assert (there.effect, there.summary) == ("documentation", "only the spelling differs")
    assert (there.before, there.after) == (back.after, back.before)
