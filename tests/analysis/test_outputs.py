"""What counts as an output and what it is called: an output that is not known as one is not told."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.outputs import Names, Output
from asfound.analysis.reach import Side
from asfound.analysis.symbols import Symbols
from asfound.model.copy import Copy
from asfound.model.program import Action, Body, Chart, GlobalList, Pou, Program, Step, VariableDeclaration
from asfound.model.tags import Tag, TagTable

TEXT = """
TYPE Pair : STRUCT Left : INT; END_STRUCT END_TYPE
FUNCTION Twice : INT VAR_OUTPUT Extra : INT; END_VAR Twice := 1; END_FUNCTION
FUNCTION_BLOCK Base VAR_OUTPUT Low : BOOL; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Valve EXTENDS Base VAR_INPUT Go : BOOL; END_VAR
VAR_OUTPUT Q : BOOL; Lamp AT %QX4.0 : BOOL; Drive AT %Q* : BOOL; Sensor AT %I* : BOOL; END_VAR VAR n : INT; END_VAR
ACTION Act : n := 1; END_ACTION
END_FUNCTION_BLOCK
PROGRAM Hall VAR_OUTPUT Done : BOOL; END_VAR VAR V : Valve; X : INT; p : Pair; Own AT %QX5.0 : BOOL; END_VAR
X := Twice();
END_PROGRAM
CONFIGURATION C
VAR_GLOBAL Far : INT; Fixed : INT; Placed AT %MW2 : INT; Out AT %QX0.0 : BOOL; Any AT %Q* : BOOL; END_VAR
VAR_GLOBAL CONSTANT Limit : INT := 5; FixedAt AT %MW6 : INT := 5; END_VAR
RESOURCE Cpu ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM One WITH T : Hall; PROGRAM Two WITH T : Hall;
END_RESOURCE END_CONFIGURATION
"""


def variable(name: str, section: str, at: str) -> VariableDeclaration:
    return VariableDeclaration(name, "BOOL", section, at)  # type: ignore[arg-type]


READ = asfound.read(TEXT.encode(), "p.st")
PATHS = GlobalList(
    "", "C",
    (
        variable("Seen", "access", "Cpu.One.V.Q"), variable("SeenTwo", "access", "C.Cpu.Two.Done"),
        variable("SeenFar", "access", "Far"), variable("SeenAgain", "access", "Cpu.One.V.Q"),
        variable("Nowhere", "access", "Cpu.Three.X"), variable("SeenAt", "access", "Cpu.Placed"),
        variable("Cpu.One.V.Drive", "config", "%QX7.0"), variable("Cpu.Two.V.Drive", "config", ""),
        variable("Cpu.Three.V.Drive", "config", "%QX7.2"),
    ),
)  # fmt: skip
TAGS = TagTable("T", (Tag("Horn", "%QX6.0"), Tag("Valve1", "%QX4.0"), Tag("Door", "%IX1.0"), Tag("Plain", "")))
COPY = replace(READ, tables=(TAGS,), program=replace(READ.program, globals=(*READ.program.globals, PATHS)))
SIDE = Side(Symbols(COPY))
NAMES = Names([(SIDE.symbols, SIDE.instances)])


def outputs(ref: str) -> list[str]:
    return [" | ".join(o).rstrip(" |") for o in NAMES.outputs(tuple(ref.split(".")) if "%" not in ref else ("", ref))]


@pytest.mark.parametrize(
    ("ref", "expected"),
    [
        ("%QX0.0", ["physical | Out | %QX0.0"]), ("%QX6.0", ["physical | Horn | %QX6.0"]),
        ("%QX4.0", ["physical | Valve1 | %QX4.0"]), ("%QX5.0", ["physical | Hall.Own | %QX5.0"]),
        ("%QX9.9", ["physical | %QX9.9 | %QX9.9"]), ("%IX1.0", []), ("%MW9", []),
        ("%MW2", ["global | Placed | %MW2", "access path | SeenAt | Cpu.Placed"]), ("%MW6", []),
        (".far", ["global | Far", "access path | SeenFar | Far"]), (".fixed", ["global | Fixed"]), (".limit", []),
        (".any", ["physical | Any | %Q*"]), (".nobody", []),
        ("one.done", ["block | One.Done"]), ("two.done", ["block | Two.Done", "access path | SeenTwo | C.Cpu.Two.Done"]),
        ("one.v.q", ["block | One.V.Q", "access path | Seen | Cpu.One.V.Q", "access path | SeenAgain | Cpu.One.V.Q"]),
        ("two.v.q", ["block | Two.V.Q"]), ("one.v.low", ["block | One.V.Low"]), ("one.v.go", []), ("one.v.n", []),
        ("one.v.drive", ["physical | One.V.Drive | %Q*"]), ("one.v.sensor", []), ("one.v.lamp", []), ("one.x", []),
        ("one.x:twice.extra", []),
    ],
)  # fmt: skip
def test_what_is_an_output(ref: str, expected: list[str]) -> None:
    assert outputs(ref) == expected


def test_what_a_configuration_ties_to_an_address() -> None:
    assert NAMES.bound == [(("one", "v", "drive"), ("", "%QX7.0"))]


@pytest.mark.parametrize(
    ("ref", "expected"),
    [
        (("", "%QX0.0"), "Out"), (("", "%QX9.9"), "%QX9.9"), (("", "far"), "Far"), (("", "nobody"), "nobody"),
        (("one", "v", "q"), "One.V.Q"), (("hall", "x"), "Hall.X"), (("one", "p", "left"), "One.p.Left"),
        (("one", "x:twice", "extra"), "One.Twice"), (("one", "_v3"), ""), (("one", "_value"), "One._value"),
        (("*valve", "q"), ""), ((">valve", "q"), ""), (("one", "v", "§run"), "One.V"), (("one", "§steer"), "One"),
        (("one", "v", "act"), "One.V.Act"), (("valve",), "Valve"), (("", "plain"), "Plain"), (("cpu.one",), "Cpu.One"),
        (("one", "hall"), "One.Hall"),
    ],
)  # fmt: skip
def test_what_people_call_it(ref: tuple[str, ...], expected: str) -> None:
    assert NAMES.spelled(ref) == expected


def test_what_a_later_copy_says_goes_before() -> None:
    text = TEXT.replace("Out AT", "OUT AT").replace("Done", "DONE")
    later = Side(
        Symbols(replace(asfound.read(text.encode(), "p.st"), tables=(TagTable("T", (Tag("Bell", "%QX6.0"),)),)))
    )
    both = Names([(s.symbols, s.instances) for s in (SIDE, later)])
    assert both.outputs(("", "%QX0.0")) == (Output("physical", "OUT", "%QX0.0"),)
    assert both.outputs(("", "%QX6.0")) == (Output("physical", "Bell", "%QX6.0"),)
    assert both.outputs(("", "%QX4.0")) == (Output("physical", "Valve.Lamp", "%QX4.0"),)
    assert both.spelled(("one", "done")) == "One.DONE"


def test_steps_are_called_as_they_are_written_also_in_an_action() -> None:
    first, second = (Body("SFC", chart=Chart((Step(name),), ())) for name in ("Main1", "Filling"))
    pou = Pou("Q", "program", bodies=(first,), actions=(Action("Act", second),))
    charted = Side(Symbols(Copy(program=Program(pous=(pou,)))))
    names = Names([(charted.symbols, charted.instances)])
    assert [names.spelled(("q", step)) for step in ("main1", "filling")] == ["Q.Main1", "Q.Filling"]
