"""Whole files: what other tools write, and how our normal form looks."""

from __future__ import annotations

import pytest

from asfound.language import printer, statement_printer
from asfound.language.documents import parse_program
from asfound.model import program as p
from asfound.model.logic import Assign, Call, Edge, Literal, Operation, Temporary, Variable
from asfound.model.problem import Problem

FILE = """
(* Lifts water. *)
{attribute 'x' := 'y'}
FUNCTION_BLOCK PUBLIC Pump EXTENDS Base IMPLEMENTS IDrive, ILog
VAR_INPUT
    Start, Stop : bool; // buttons
    (* set point *)
    Level AT %IW4 : int (0..100) := 050;
    Edge1 : BOOL R_EDGE;
END_VAR
VAR RETAIN PERSISTENT
    Timer : TON := (PT := t#5000ms);
    Hours : ARRAY [1..3] OF REAL;
END_VAR
METHOD PRIVATE Check : BOOL
VAR_INPUT n : INT; END_VAR
    Check := n > 3;
END_METHOD
PROPERTY Speed : REAL
GET
    Speed := 1.0;
END_GET
END_PROPERTY
Timer(IN := Start);
step := step + 1; // a name, not a keyword
ACTION Reset:
    Hours[1] := 0.0;
END_ACTION
END_FUNCTION_BLOCK

TYPE
    Mode : (Off, Auto := 2, Hand) INT := Off; (* how *)
    Point : STRUCT x, y : REAL; END_STRUCT
    Percent : INT (0..100) := 1;
    Row : ARRAY[1..4] OF Point;
    Colour : USINT (Red := 1, Blue);
END_TYPE

NAMESPACE Plant.Water
FUNCTION Scale : REAL VAR_INPUT x : INT; END_VAR Scale := INT_TO_REAL(x); END_FUNCTION
END_NAMESPACE

VAR_GLOBAL CONSTANT
    Limit : INT := 16#0f;
END_VAR

CONFIGURATION Plant
    VAR_GLOBAL Run : BOOL; END_VAR
    RESOURCE Cpu ON PLC
        TASK Fast(INTERVAL := t#20ms, PRIORITY := 1);
        PROGRAM Main WITH Fast : MainProgram;
        PROGRAM Idle : IdleProgram;
    END_RESOURCE
    VAR_ACCESS Tag : Cpu.Main.x : BOOL READ_ONLY; END_VAR
END_CONFIGURATION
"""


def test_a_file_of_everything():
    found = parse_program(FILE, "plant.st")
    pump, scale = found.pous
    assert (pump.comment, pump.pragmas) == ("Lifts water.", ("{attribute 'x' := 'y'}",))
    assert (pump.extends, pump.implements, pump.modifiers) == ("Base", ("IDrive", "ILog"), ("PUBLIC",))
    described = [(v.name, v.section, v.type, v.initial, v.comment, v.edge) for v in pump.variables]
    assert described == [
        ("Start", "input", "BOOL", "", "buttons", ""),
        ("Stop", "input", "BOOL", "", "buttons", ""),
        ("Level", "input", "INT (0..100)", "50", "set point", ""),
        ("Edge1", "input", "BOOL", "", "", "rising"),
        ("Timer", "local", "TON", "(PT := T#5s)", "", ""),
        ("Hours", "local", "ARRAY[1..3] OF REAL", "", "", ""),
    ]
    assert pump.variables[2].address == "%IW4"
    assert pump.variables[4].retain == "retain" and pump.variables[4].persistent
    assert [(m.kind, m.name, m.result) for m in pump.members] == [
        ("method", "Check", "BOOL"),
        ("property", "Speed", "REAL"),
    ]
    assert pump.members[1].members[0].kind == "get"
    assert statement_printer.statements(pump.bodies[0].statements) == (
        "Timer(IN := Start);\nstep := step + 1;\n(* a name, not a keyword *)\n"
    )
    assert pump.actions[0].name == "Reset"
    assert (scale.namespace, scale.result) == ("Plant.Water", "REAL")
    assert [(t.name, t.kind, t.base, t.initial) for t in found.types] == [
        ("Mode", "enum", "INT", "Off"),
        ("Point", "struct", "", ""),
        ("Percent", "subrange", "INT (0..100)", "1"),
        ("Row", "array", "ARRAY[1..4] OF Point", ""),
        ("Colour", "enum", "USINT", ""),
    ]
    assert [(v.name, v.value) for v in found.types[0].values] == [("Off", ""), ("Auto", "2"), ("Hand", "")]
    assert found.types[0].comment == "how"
    assert [(g.name, g.scope, [v.name for v in g.variables]) for g in found.globals] == [
        ("plant", "", ["Limit"]),
        ("Plant", "Plant", ["Run", "Tag"]),
    ]
    tag = found.globals[1].variables[1]
    assert (tag.address, tag.access) == ("Cpu.Main.x", "READ_ONLY")
    (resource,) = found.resources
    assert (resource.name, resource.scope, resource.type) == ("Cpu", "Plant", "PLC")
    assert resource.tasks == (p.Task("Fast", "Plant/Cpu", priority="1", interval="T#20ms"),)
    assert [(i.name, i.type, i.task) for i in resource.instances] == [
        ("Main", "MainProgram", "Fast"),
        ("Idle", "IdleProgram", ""),
    ]


CHART = """
PROGRAM Seq
VAR a : BOOL; END_VAR
INITIAL_STEP Start:
    Open(N);
    Blink(L, t#500ms, done);
END_STEP
TRANSITION T1 (PRIORITY := 2) FROM Start TO (Left, Right) := a AND Start.T > T#3s; END_TRANSITION
STEP Left: END_STEP
STEP Right: END_STEP
TRANSITION FROM (Left, Right) TO Start := NOT a; END_TRANSITION
ACTION Open: a := TRUE; END_ACTION
END_PROGRAM
"""


def test_a_textual_chart():
    (pou,) = parse_program(CHART, "seq.st").pous
    chart = pou.bodies[0].chart
    assert chart is not None
    assert [(s.name, s.initial) for s in chart.steps] == [("Start", True), ("Left", False), ("Right", False)]
    assert [(a.action, a.qualifier, a.duration, a.indicator) for a in chart.steps[0].actions] == [
        ("Open", "N", "", ""),
        ("Blink", "L", "T#500ms", "done"),
    ]
    first, second = chart.transitions
    assert (first.name, first.priority, first.sources, first.targets) == ("T1", 2, ("Start",), ("Left", "Right"))
    assert (second.sources, second.targets) == (("Left", "Right"), ("Start",))
    assert statement_printer.expression(first.condition) == "a AND Start.T > T#3s"
    assert pou.actions[0].name == "Open"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("PROGRAM p VAR a BOOL; END_VAR END_PROGRAM",
         "x.st, line 1, column 17: ':' and a type expected, but 'BOOL' found; check whether the export is complete."),
        ("PROGRAM p\nVAR a : BOOL; END_VAR\na := 1;\n",
         "x.st, line 4, column 1: END_PROGRAM expected, but the end of the file found; "
         "check whether the export is complete."),
        ("hello world",
         "x.st, line 1, column 1: PROGRAM, FUNCTION_BLOCK, FUNCTION, TYPE, VAR_GLOBAL or CONFIGURATION expected, "
         "but 'hello' found; check whether the export is complete."),
        ("TYPE a : (x, END_TYPE", "x.st, line 1, column 14: an enumeration value expected, but 'END_TYPE' found; "
         "check whether the export is complete."),
        ("FUNCTION f : INT\nf := 1;\nEND_PROGRAM",
         "x.st, line 3, column 1: END_FUNCTION expected, but 'END_PROGRAM' found; "
         "check whether the export is complete."),
    ],
)  # fmt: skip
def test_a_damaged_declaration_is_a_problem_with_its_place(text, message):
    with pytest.raises(Problem) as raised:
        parse_program(text, "x.st")
    assert str(raised.value) == message


def test_text_behind_the_last_declaration_is_kept():
    found = parse_program("PROGRAM p\nEND_PROGRAM\nDBG: (void *) ptr;\n", "x.st")
    assert found.extensions == (p.Extension("text()", "DBG: (void *) ptr;"),)


def test_the_normal_form_of_a_ladder():
    a, b, wire = Variable("a"), Variable("b"), Temporary(1, "ADD.OUT")
    pou = p.Pou(
        "Pump",
        "program",
        variables=(
            p.VariableDeclaration("a", "BOOL", "input", "%IX0.0", comment="start"),
            p.VariableDeclaration("odd name", "BOOL", "input"),
            p.VariableDeclaration("T1", "TON", initial="(PT := T#5s)", retain="retain"),
        ),
        bodies=(
            p.Body(
                "LD",
                networks=(
                    p.Network((Assign(wire, Edge("rising", a)), Assign(b, wire, "set")), title="Start"),
                    p.Network(
                        (Call(Variable("T1"), "TON", condition=Operation("NOT", (b,))), Assign(a, Literal("TRUE")))
                    ),
                ),
                order=p.Order(((1, 0), (0, 0)), (p.Doubt("file order", "before", ((1, 1), (1, 0))),)),
            ),
        ),
        comment="Lifts water.",
        extensions=(p.Extension("addData/x", '<a b="1"/>'),),
    )
    assert printer.pou(pou) == (
        "PROGRAM Pump\n"
        "(* Lifts water. *)\n"
        '{extension path="addData/x" text="<a b=$"1$"/>"}\n'
        "VAR_INPUT\n"
        "  a AT %IX0.0 : BOOL; (* start *)\n"
        '  {name "odd name"} : BOOL;\n'
        "END_VAR\n"
        "VAR RETAIN\n"
        "  T1 : TON := (PT := T#5s);\n"
        "END_VAR\n"
        "{body LD}\n"
        "{order 1.0 0.0}\n"
        "{compilers differ: by file order a runs before T1}\n"
        '{network title="Start"}\n'
        "{wire ADD_OUT from ADD.OUT}\n"
        "  ADD_OUT := R_EDGE(a);\n"
        "  IF ADD_OUT THEN b := TRUE; END_IF;\n"
        "{network}\n"
        "  IF NOT b THEN T1(); END_IF;\n"
        "  a := TRUE;\n"
        "END_PROGRAM\n"
    )


def test_a_network_outside_a_body_is_refused() -> None:
    with pytest.raises(Problem, match="END_PROGRAM expected"):
        parse_program("{normal 1}\nPROGRAM P\n{else}\n{network}\n  a := b;\nEND_PROGRAM\n", "x.st", dialect=True)
