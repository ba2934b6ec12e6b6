"""Renames told whole: everything that has a name, what follows from it, and what is no rename."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.comparison import compare
from asfound.model.copy import Copy
from asfound.model.hardware import Channel, Device, Hardware, Module
from asfound.model.program import (
    Action,
    Association,
    Body,
    Chart,
    Instance,
    Pou,
    Program,
    Resource,
    Setting,
    Step,
    Task,
    Transition,
)
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

from . import building as b

PLANT = """
TYPE Mode : (OFF, HAND, AUTO); END_TYPE
TYPE Way : Mode := Mode#HAND; END_TYPE
TYPE Pair : STRUCT one, two : INT; m : Mode := Mode#AUTO; END_STRUCT END_TYPE
FUNCTION Scale : INT VAR_INPUT raw : INT; END_VAR Scale := raw * 3 + 1; END_FUNCTION
FUNCTION_BLOCK Pump VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT runs : BOOL; END_VAR VAR m : Mode := Mode#HAND; s : Pair; n : ARRAY[0..1] OF Mode := [Mode#OFF, AUTO]; END_VAR
METHOD Reset : BOOL VAR_INPUT hard : BOOL; END_VAR VAR done : BOOL; END_VAR done := hard; Reset := done; END_METHOD
runs := go AND NOT (m = Mode#OFF); s.one := Scale(raw := s.two);
ACTION Stop : runs := FALSE; go := TRUE; END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK Fast EXTENDS Pump VAR n : INT; END_VAR n := n + 1; END_FUNCTION_BLOCK
PROGRAM Main VAR p : Pump; k : INT; f : Fast; END_VAR VAR RETAIN hours : INT; END_VAR VAR_EXTERNAL door : BOOL; END_VAR
p(go := door AND lamp, runs => lamp); k := Scale(hours); p.Stop(); hours := hours + k; C.lamp := p.runs;
END_PROGRAM
PROGRAM Seq VAR x : BOOL; pmp : Pump; END_VAR
INITIAL_STEP Idle: END_STEP
STEP Fill: Open(N); x(S); pmp.Stop(N); END_STEP
TRANSITION FROM Idle TO Fill := x; END_TRANSITION
TRANSITION FROM Fill TO Idle := Fill.X AND door; END_TRANSITION
ACTION Open : x := NOT door; END_ACTION
END_PROGRAM
CONFIGURATION C
VAR_GLOBAL door AT %IX1.0 : BOOL; lamp AT %QX1.0 : BOOL; level : INT := 5; mode : Mode := Mode#OFF; END_VAR
RESOURCE Cpu ON PLC
TASK Quick(INTERVAL := T#10ms, PRIORITY := 1); TASK Event(SINGLE := door, PRIORITY := 2);
PROGRAM First WITH Quick : Main; PROGRAM Second WITH Event : Seq;
END_RESOURCE
END_CONFIGURATION
"""


def plant(*edits: tuple[str, str]) -> Copy:
    """The plant with words replaced everywhere, and its lists of what is outside of the program."""
    text, outside = PLANT, {name: name for name in ("door", "lamp", "level")}
    for old, new in edits:
        text = re.sub(rf"\b{old}\b", new, text)
        outside = {key: new if name == old else name for key, name in outside.items()}
    copy = asfound.read(text.encode(), "p.st")
    rack = Module("DI", 1, channels=(Channel(0, direction="input", tag=outside["door"]), Channel(1, direction="input")))
    return replace(
        copy,
        sources=(),
        tables=(TagTable("T", (Tag(outside["door"], "%IX1.0", "BOOL", "front"), Tag("spare", "%IX1.7", "BOOL"))),),
        values=(ActualValue(outside["level"], "6"), ActualValue(f"{outside['lamp']}.x", "1")),
        forces=(Force(outside["door"], "TRUE"),),
        hardware=Hardware((Device("PLC", modules=(Module("Base", 0, modules=(rack,)),)),)),
    )


def cpu(*tasks: Task, programs: tuple[Instance, ...] = (), name: str = "Cpu") -> Copy:
    return Copy(program=Program(resources=(Resource(name, "P", tasks=tasks, instances=programs),)))


def nested(step: str) -> Copy:
    """A program with a chart inside of an action."""
    chart = Chart(
        (Step("Begin", initial=True), Step(step, actions=(Association("x", "S"),))),
        (Transition(("Begin",), (step,), b.e("a")), Transition((step,), ("Begin",), b.e(f"{step}.T > T#1s"))),
    )
    action = Action("Inner", Body("SFC", chart=chart))
    return Copy(program=Program(pous=(Pou("P", "program", bodies=(Body("ST", b.st("y := a;")),), actions=(action,)),)))


def tables(*those: tuple[str, str]) -> Copy:
    """Tables with their tags, written ``Name``, ``a b c``."""
    return Copy(tables=tuple(TagTable(name, tuple(Tag(tag) for tag in tags.split())) for name, tags in those))


QUICK = Task("Quick", "P", "1", "T#10ms", kind="cyclic", settings=(Setting("Watchdog", "1s"), Setting("Sense", "2")))

Row = tuple[Copy, Copy, tuple[str, ...]]
ROWS: dict[str, Row] = {
    "a function": (
        plant(),
        plant(("Scale", "Scaled")),
        (
            "equivalent renamed Scaled | function Scale renamed to Scaled | used in Pump / statement 2 | used in Main / statement 2",
        ),
    ),
    "a function block": (
        plant(),
        plant(("Pump", "Motor")),
        (
            "equivalent renamed Motor | function block Pump renamed to Motor | used in Main / p | used in Main / statement 1 | used in Seq / pmp",
        ),
    ),
    "a program": (
        plant(),
        plant(("Main", "Master")),
        ("equivalent renamed Master | program Main renamed to Master | used in program First",),
    ),
    "an enumeration": (
        plant(),
        plant(("Mode", "State")),
        ("equivalent renamed type State | type Mode renamed to State | used in Pump / m | used in Pump / n",),
    ),
    "a structure": (
        plant(),
        plant(("Pair", "Couple")),
        ("equivalent renamed type Couple | type Pair renamed to Couple | used in Pump / s",),
    ),
    "a global variable that is a tag": (
        plant(),
        plant(("door", "gate")),
        (
            "equivalent renamed tag gate | tag door renamed to gate | screens, other stations and recipes that use the name have to follow | used in Main / statement 1 | used in Seq / transition Fill -> Idle | used in Seq / action Open / statement 1",
        ),
    ),
    "a global variable at an address": (
        plant(),
        plant(("lamp", "light")),
        (
            "equivalent renamed light | global variable lamp renamed to light | screens, other stations and recipes that use the name have to follow | used in Main / statement 1 | used in Main / statement 5",
        ),
    ),
    "a global variable without an address": (
        plant(),
        plant(("level", "height")),
        (
            "equivalent renamed height | global variable level renamed to height | screens, other stations and recipes that use the name have to follow",
        ),
    ),
    "an input": (
        plant(),
        plant(("go", "start")),
        (
            "equivalent renamed Pump / start | variable go renamed to start | screens, other stations and recipes that use the name have to follow | used in Pump / statement 1 | used in Pump / action Stop / statement 2",
        ),
    ),
    "an output": (
        plant(),
        plant(("runs", "on")),
        (
            "equivalent renamed Pump / on | variable runs renamed to on | screens, other stations and recipes that use the name have to follow | used in Pump / statement 1 | used in Pump / action Stop / statement 1",
        ),
    ),
    "an instance": (
        plant(),
        plant(("p", "pump1")),
        (
            "equivalent renamed Main / pump1 | variable p renamed to pump1 | used in Main / statement 1 | used in Main / statement 3 | used in Main / statement 5",
        ),
    ),
    "a retained variable": (
        plant(),
        plant(("hours", "worked")),
        (
            "equivalent renamed Main / worked | variable hours renamed to worked | the retained value goes with the name | used in Main / statement 2 | used in Main / statement 4",
        ),
    ),
    "a variable of a method": (
        plant(),
        plant(("done", "ready")),
        (
            "equivalent renamed Pump / method Reset / ready | variable done renamed to ready | used in Pump / method Reset / statement 1 | used in Pump / method Reset / statement 2",
        ),
    ),
    "an action": (
        plant(),
        plant(("Stop", "Halt")),
        ("equivalent renamed Pump / action Halt | action Stop renamed to Halt",),
    ),
    "an action of a chart": (
        plant(),
        plant(("Open", "Unlock")),
        ("equivalent renamed Seq / action Unlock | action Open renamed to Unlock | used in Seq / step Fill",),
    ),
    "a step": (
        plant(),
        plant(("Fill", "Filling")),
        (
            "equivalent renamed Seq / step Filling | step Fill renamed to Filling | used in Seq / step Filling | used in Seq / transition Idle -> Filling | used in Seq / transition Filling -> Idle",
        ),
    ),
    "an instance whose action a step runs": (
        plant(),
        plant(("pmp", "pump2")),
        ("equivalent renamed Seq / pump2 | variable pmp renamed to pump2 | used in Seq / step Fill",),
    ),
    "a step of a chart in an action": (
        nested("Wait"),
        nested("Pause"),
        ("equivalent renamed P / action Inner / step Pause | step Wait renamed to Pause",),
    ),
    "a resource": (
        plant(),
        plant(("Cpu", "Plc1")),
        ("equivalent renamed resource Plc1 | resource Cpu renamed to Plc1",),
    ),
    "a configuration": (
        plant(),
        plant(("C", "Works")),
        ("equivalent renamed configuration Works | configuration C renamed to Works",),
    ),
    "a task": (
        plant(),
        plant(("Quick", "Rapid")),
        ("equivalent renamed resource Cpu / task Rapid | task Quick renamed to Rapid",),
    ),
    "a program in a task": (
        plant(),
        plant(("First", "One")),
        (
            "equivalent renamed resource Cpu / program One | program First renamed to One | access paths and retained values go with the name",
        ),
    ),
    "several at once": (
        plant(),
        plant(("Pump", "Motor"), ("go", "start"), ("door", "gate"), ("Mode", "State")),
        (
            "equivalent renamed Motor | function block Pump renamed to Motor | used in Main / p | used in Main / statement 1 | used in Seq / pmp",
            "equivalent renamed Motor / start | variable go renamed to start | screens, other stations and recipes that use the name have to follow | used in Motor / statement 1 | used in Motor / action Stop / statement 2",
            "equivalent renamed type State | type Mode renamed to State | used in Motor / m | used in Motor / n",
            "equivalent renamed tag gate | tag door renamed to gate | screens, other stations and recipes that use the name have to follow | used in Main / statement 1 | used in Seq / transition Fill -> Idle | used in Seq / action Open / statement 1",
        ),
    ),
    "a variable and what it does": (
        plant(),
        plant(("k", "gain"), ("raw * 3", "raw * 4")),
        (
            "equivalent renamed Main / gain | variable k renamed to gain | used in Main / statement 2 | used in Main / statement 4",
        ),
    ),
    "names exchanged": (
        plant(),
        plant(("go", "tmp"), ("runs", "go"), ("tmp", "runs")),
        (
            "behaviour changed Main / statement 1 | input go of p no longer connected (was door AND lamp) (and 3 more) | input runs of p connected to door AND lamp | output go of p: nothing -> lamp | output runs of p: lamp -> nothing",
            "behaviour changed Main / statement 5 | C.lamp: operand p.runs replaced by p.go",
            "behaviour changed Pump / action Stop / statement 1 | go: TRUE -> FALSE",
            "behaviour changed Pump / action Stop / statement 2 | runs: FALSE -> TRUE",
            "behaviour added Pump / statement 1 | statement added: go := runs AND NOT (m = Mode#OFF);",
            "behaviour removed Pump / statement 1 | statement removed: runs := go AND NOT (m = Mode#OFF);",
            "documentation moved Pump | declarations listed in another order: go",
            "behaviour changed Pump / go | go: input -> output | used in Pump / statement 1 | used in Pump / action Stop / statement 1 | used in Main / statement 1 | used in Main / statement 5",
            "behaviour changed Pump / runs | runs: output -> input | used in Pump / statement 1 | used in Pump / action Stop / statement 2 | used in Main / statement 1",
        ),
    ),
    "a task with its programs": (
        cpu(QUICK, programs=(Instance("A", "X", "Quick"),)),
        cpu(replace(QUICK, name="Rapid"), programs=(Instance("A", "X", "Rapid"),)),
        ("equivalent renamed resource Cpu / task Rapid | task Quick renamed to Rapid",),
    ),
    "a task whose settings differ": (
        cpu(QUICK),
        cpu(replace(QUICK, name="Rapid", interval="T#20ms")),
        (
            "behaviour changed resource Cpu / task Rapid | task Rapid: interval T#10ms -> T#20ms",
            "equivalent renamed resource Cpu / task Rapid | task Quick renamed to Rapid",
        ),
    ),
    "a task that has little in common": (
        cpu(QUICK),
        cpu(Task("Slow", "P", "9", "T#1s", single="go")),
        (
            "behaviour removed resource Cpu / task Quick | task Quick removed (every T#10ms, priority 1)",
            "behaviour added resource Cpu / task Slow | task Slow added (every T#1s, priority 9)",
        ),
    ),
    "two tasks that could be it": (
        cpu(QUICK),
        cpu(replace(QUICK, name="One"), replace(QUICK, name="Two")),
        (
            "behaviour added resource Cpu / task One | task One added (every T#10ms, priority 1)",
            "behaviour removed resource Cpu / task Quick | task Quick removed (every T#10ms, priority 1)",
            "behaviour added resource Cpu / task Two | task Two added (every T#10ms, priority 1)",
        ),
    ),
    "a program of another type": (
        cpu(programs=(Instance("A", "X", "Quick"),)),
        cpu(programs=(Instance("B", "Y", "Quick"),)),
        (
            "behaviour removed resource Cpu / program A | program A : X removed (in task Quick)",
            "behaviour added resource Cpu / program B | program B : Y added (in task Quick)",
        ),
    ),
    "a resource with nothing in common": (
        cpu(Task("A", "P")),
        cpu(Task("B", "P"), name="Other"),
        (
            "behaviour removed resource Cpu | resource Cpu removed",
            "behaviour added resource Other | resource Other added",
        ),
    ),
    "an empty resource": (
        cpu(),
        cpu(name="Other"),
        ("equivalent renamed resource Other | resource Cpu renamed to Other",),
    ),
    "tag tables": (
        tables(("A", "a b c d"), ("B", "e f")),
        tables(("X", "a b c"), ("Y", "e f g")),
        (
            "documentation renamed tag table X | tag table A is called X now",
            "equivalent removed tag d | tag d removed | no statement of this program uses it",
            "documentation renamed tag table Y | tag table B is called Y now",
            "equivalent added tag g | tag g added | no statement of this program uses it",
        ),
    ),
    "a tag table with little in common": (
        tables(("A", "a b c d")),
        tables(("X", "a e f g")),
        (
            "documentation renamed tag table X | tag table A is called X now",
            "equivalent removed tag b | tag b removed | no statement of this program uses it",
            "equivalent removed tag c | tag c removed | no statement of this program uses it",
            "equivalent removed tag d | tag d removed | no statement of this program uses it",
            "equivalent added tag e | tag e added | no statement of this program uses it",
            "equivalent added tag f | tag f added | no statement of this program uses it",
            "equivalent added tag g | tag g added | no statement of this program uses it",
        ),
    ),
}


@pytest.mark.parametrize("name", ROWS)
def test_a_rename_is_told_and_nothing_that_follows_from_it(name: str) -> None:
    old, new, expected = ROWS[name]
    assert b.lines(old, new) == expected


@pytest.mark.parametrize("name", ROWS)
def test_the_other_way_round_the_names_change_places(name: str) -> None:
    old, new, _ = ROWS[name]
    there, back = compare(old, new).changes, compare(new, old).changes
    assert sorted(f"{c.before}/{c.after}" for c in there) == sorted(f"{c.after}/{c.before}" for c in back)
    assert sorted(c.effect for c in there) == sorted(c.effect for c in back)
