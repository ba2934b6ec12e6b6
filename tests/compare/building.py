"""A small station by hand, and ways to edit it."""

from __future__ import annotations

from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.compare.result import Change, Comparison
from asfound.language.parser import parse_expression, parse_statements
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Channel, Device, Hardware, Module
from asfound.model.logic import Argument, Assign, Call, Expression, Statement, Variable
from asfound.model.program import (
    Association,
    Body,
    Chart,
    DataType,
    EnumValue,
    GlobalList,
    Heading,
    Instance,
    Network,
    Pou,
    Program,
    Resource,
    Step,
    Task,
    Transition,
    VariableDeclaration,
)
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue


def e(text: str) -> Expression:
    """An expression."""
    return parse_expression(text)


def st(text: str) -> tuple[Statement, ...]:
    """Statements."""
    return parse_statements(text)


def coil(target: str, value: str, kind: str = "assign") -> Assign:
    """A coil and what feeds it."""
    return Assign(e(target), e(value), kind)  # type: ignore[arg-type]


def rung(*statements: Statement, comment: str = "", title: str = "") -> Network:
    return Network(statements, comment=comment, title=title)


def timer(name: str, value: str, preset: str, type: str = "TON") -> Call:
    return Call(Variable(name), type, (Argument("IN", e(value)), Argument("PT", e(preset))))


RUNGS = (
    rung(coil("PERMIT", "LOW_SUCTION AND NOT FAULT"), title="Permit"),
    rung(timer("DELAY", "START AND PERMIT", "T#8s"), coil("RUN", "DELAY.Q"), comment="start delayed"),
    rung(coil("FAULT", "OVERLOAD", "set")),
    rung(coil("FAULT", "RESET", "reset")),
    rung(coil("LAMP", "(RUN AND BLINK) OR (RUN AND TEST)")),
    rung(coil("HORN", "FAULT AND NOT QUIET")),
)
PUMP = Pou(
    "PumpControl",
    "program",
    variables=(
        VariableDeclaration("DELAY", "TON"),
        VariableDeclaration("PERMIT", "BOOL"),
        VariableDeclaration("HOURS", "INT", initial="5", retain="retain"),
        VariableDeclaration("LAMP", "BOOL", section="output"),
    ),
    bodies=(Body("LD", networks=RUNGS),),
)
SCALE = Pou(
    "Scale",
    "function",
    result="INT",
    variables=(
        VariableDeclaration("RAW", "INT", section="input"),
        VariableDeclaration("GAIN", "INT", section="input"),
    ),
    bodies=(
        Body("ST", st("(* linear *) IF RAW > 100 THEN Scale := RAW * GAIN; OK := TRUE; ELSE Scale := 0; END_IF;")),
    ),
)
CHART = Chart(
    steps=(
        Step("Idle", initial=True),
        Step("Fill", actions=(Association("DO_VALVE"), Association("DO_LAMP", "S"))),
        Step("Drain", actions=(Association("DO_PUMP"),)),
        Step("Clean", actions=(Association("DO_WASH", "L", "T#10s"),)),
    ),
    transitions=(
        Transition(("Idle",), ("Fill",), e("START")),
        Transition(("Fill",), ("Drain",), e("FULL OR Fill.T > T#60s")),
        Transition(("Fill",), ("Clean",), e("DIRTY")),
        Transition(("Drain",), ("Idle",), e("EMPTY")),
        Transition(("Clean",), ("Idle",), e("EMPTY")),
    ),
)
BATCH = Pou("Batch", "program", bodies=(Body("SFC", chart=CHART),))
MODE = DataType("Mode", "enum", values=(EnumValue("OFF"), EnumValue("HAND"), EnumValue("AUTO")))
GLOBALS = GlobalList(
    "Plant",
    "PLC/CPU",
    (
        VariableDeclaration("LOW_SUCTION", "BOOL", section="global", address="%IX0.0"),
        VariableDeclaration("START", "BOOL", section="global", address="%IX0.1"),
        VariableDeclaration("RUN", "BOOL", section="global", address="%QX0.0"),
        VariableDeclaration("HORN", "BOOL", section="global", address="%QX0.1"),
    ),
)
CPU = Resource(
    "CPU",
    "PLC",
    tasks=(Task("Fast", "PLC/CPU", "1", "T#10ms"),),
    instances=(Instance("Pumps", "PumpControl", "Fast"), Instance("Batches", "Batch", "Fast")),
)
TAGS = TagTable(
    "Terminals",
    (
        Tag("DOOR", "%IX1.0", "BOOL", "door contact"),
        Tag("OVERLOAD", "%IX0.2", "BOOL"),
        Tag("RESET", "%IX0.3", "BOOL"),
    ),
)
RACK = Module(
    "Rack",
    slot=0,
    modules=(
        Module(
            "DI16",
            slot=1,
            order_number="DI-16-A",
            firmware="1.0",
            addresses=(AddressRange("input", 0, 16),),
            channels=(Channel(2, direction="input", tag="OVERLOAD"),),
        ),
        Module("DQ16", slot=2, order_number="DQ-16-A", addresses=(AddressRange("output", 0, 16),)),
    ),
)
STATION = Copy(
    program=Program(Heading(name="Booster"), (PUMP, SCALE, BATCH), (MODE,), (GLOBALS,), (CPU,)),
    tables=(TAGS,),
    hardware=Hardware((Device("PLC1", modules=(RACK,)),)),
    values=(ActualValue("SP", "3.2", "3.2", "bar"),),
)


def with_pou(copy: Copy, pou: Pou) -> Copy:
    """The copy with one POU replaced (by name)."""
    pous = tuple(pou if p.name == pou.name else p for p in copy.program.pous)
    return replace(copy, program=replace(copy.program, pous=pous))


def with_rungs(*networks: Network) -> Copy:
    """The station with another ladder."""
    return with_pou(STATION, replace(PUMP, bodies=(Body("LD", networks=networks),)))


def with_rung(number: int, network: Network) -> Copy:
    """The station with one rung replaced; counted from 1."""
    return with_rungs(*(network if n == number else r for n, r in enumerate(RUNGS, 1)))


def with_chart(**parts: object) -> Copy:
    """The station with parts of its chart replaced."""
    return with_pou(STATION, replace(BATCH, bodies=(Body("SFC", chart=replace(CHART, **parts)),)))


def with_program(**parts: object) -> Copy:
    """The station with parts of its program replaced."""
    return replace(STATION, program=replace(STATION.program, **parts))


def with_variables(pou: Pou, *variables: VariableDeclaration) -> Copy:
    """The station with the declarations of a POU replaced by name."""
    new = {v.name: v for v in variables}
    return with_pou(STATION, replace(pou, variables=tuple(new.get(v.name, v) for v in pou.variables)))


def only(new: Copy, old: Copy = STATION) -> Change:
    """The single change between two copies."""
    found = compare(old, new)
    assert [c.summary for c in found.changes] == [found.changes[0].summary]
    return found.changes[0]


def told(found: Comparison) -> list[tuple[str, str, str, str, str]]:
    """Area, kind, effect, where and summary of every change."""
    return [(c.area, c.kind, c.effect, c.where, c.summary) for c in found.changes]


def lines(old: Copy, new: Copy) -> tuple[str, ...]:
    """Every change on a line: effect, kind, where and summary, then what its details say besides."""
    return tuple(
        " | ".join((f"{c.effect} {c.kind} {c.where}", c.summary, *(d for d in c.details if d not in c.summary)))
        for c in compare(old, new).changes
    )
