"""Everything but logic, told whole: one pair of copies for each thing that can differ, and every line about it."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.model.copy import Copy, Source
from asfound.model.hardware import AddressRange, Channel, Device, Hardware, Module, NetworkNode, Subnet
from asfound.model.program import (
    Action,
    Body,
    DataType,
    EnumValue,
    Extension,
    GlobalList,
    Heading,
    Instance,
    Library,
    Pou,
    Program,
    Resource,
    Setting,
    Task,
    VariableDeclaration,
)
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

from . import building as b

V = VariableDeclaration


def block(name: str = "Pump", kind: str = "function_block", **parts: object) -> Copy:
    """A copy of one block."""
    return Copy(program=Program(pous=(Pou(name, kind, **parts),)))


def variables(*declared: V, kind: str = "function_block") -> Copy:
    return block(kind=kind, variables=declared)


def data(name: str = "Mode", kind: str = "enum", **parts: object) -> Copy:
    return Copy(program=Program(types=(DataType(name, kind, **parts),)))


def lists(*blocks: GlobalList) -> Copy:
    return Copy(program=Program(globals=blocks))


def resource(name: str = "CPU", scope: str = "Plant", **parts: object) -> Copy:
    return Copy(program=Program(resources=(Resource(name, scope, **parts),)))


def task(name: str = "Fast", scope: str = "Plant/CPU", **parts: object) -> Copy:
    return resource(tasks=(Task(name, scope, **parts),))


def instance(*of: str, **parts: object) -> Copy:
    return resource(instances=(Instance(*of, **parts),))


def libraries(*used: Library) -> Copy:
    return Copy(program=Program(libraries=used))


def heading(**parts: object) -> Copy:
    return Copy(program=Program(heading=Heading(**parts)))


def tags(*rows: Tag, table: str = "Terminals") -> Copy:
    return Copy(tables=(TagTable(table, rows),))


def devices(*those: Device, **parts: object) -> Copy:
    return Copy(hardware=Hardware(those, **parts))


def rack(*modules: Module, **parts: object) -> Copy:
    return devices(Device("PLC1", modules=modules, **parts))


def module(name: str = "DI16", slot: int | None = 1, **parts: object) -> Copy:
    return rack(Module(name, slot, **parts))


def named(*pairs: str) -> tuple[Setting, ...]:
    """Settings, written ``Name=value``."""
    return tuple(Setting(*pair.split("=")) for pair in pairs)


def enum(*values: str) -> tuple[EnumValue, ...]:
    """Values of an enumeration, written ``Name=value=comment``."""
    return tuple(EnumValue(*value.split("=")) for value in values)


WATER, AIR = (
    GlobalList("Water", "P/CPU", (V("Level", "INT", "global"),)),
    GlobalList("Air", "P/CPU", (V("Flow", "INT", "global"),)),
)

Row = tuple[Copy, Copy, tuple[str, ...]]
PROGRAM: dict[str, Row] = {
    "head of a block": (
        block(
            result="INT",
            extends="Base",
            implements=("IRun",),
            modifiers=("FINAL",),
            namespace="Plant",
            pragmas=("a",),
            comment="first",
        ),
        block(
            "PUMP",
            "class",
            result="DINT",
            extends="Other",
            implements=("IRun", "IStop"),
            modifiers=("ABSTRACT",),
            namespace="Water",
            pragmas=("b",),
            comment="second",
        ),
        (
            "behaviour changed PUMP | class PUMP: kind: function_block -> class (and 8 more) | result type: INT -> DINT | extends: Base -> Other | implements: IRun -> IRun, IStop | modifiers: FINAL -> ABSTRACT | namespace: Plant -> Water | pragmas: a -> b | comment: first -> second | spelling of the name: Pump -> PUMP",
        ),
    ),
    "head of a block in other letters": (
        block(result="INT", extends="Base", implements=("IRun",), modifiers=("FINAL",)),
        block(result="int", extends="BASE", implements=("IRUN",), modifiers=("Final",)),
        (
            "documentation changed Pump | function block Pump: result type: INT -> int (and 3 more) | extends: Base -> BASE | implements: IRun -> IRUN | modifiers: FINAL -> Final",
        ),
    ),
    "method of a block": (
        block(
            members=(
                Pou("Start", "method", variables=(V("a", "INT", "input"), V("c", "INT", "input"))),
                Pou("Old", "property"),
            )
        ),
        block(
            members=(
                Pou("Start", "method", variables=(V("c", "INT", "input"), V("a", "INT", "input"))),
                Pou("New", "method"),
            )
        ),
        (
            "behaviour added Pump / method New | method New added | not called by this program",
            "behaviour removed Pump / property Old | property Old removed | not called by this program",
            "behaviour moved Pump / method Start | order of inputs changed: a moved | a, c -> c, a",
        ),
    ),
    "action of a block": (
        block(
            actions=(Action("Open", Body("ST", b.st("x := 1;")), "valve"), Action("Shut", Body("ST", b.st("x := 0;"))))
        ),
        block(
            actions=(Action("OPEN", Body("ST", b.st("x := 2;")), "the valve"),),
            transitions=(Action("Full", Body("ST", b.st("Full := y;"))),),
        ),
        (
            "documentation changed Pump / action OPEN | action OPEN: name: Open -> OPEN (and 1 more) | comment: valve -> the valve",
            "behaviour changed Pump / action OPEN / statement 1 | x: 1 -> 2",
            "behaviour removed Pump / action Shut | action Shut removed",
            "behaviour added Pump / transition Full | transition Full added",
        ),
    ),
    "worksheets of a block": (
        block(bodies=(Body("ST", b.st("x := 1;")), Body("ST", b.st("y := 1;")))),
        block(bodies=(Body("ST", b.st("x := 1;")), Body("ST", b.st("y := 2;")), Body("ST", b.st("z := 3;")))),
        (
            "behaviour changed Pump / worksheet 2 / statement 1 | y: 1 -> 2",
            "behaviour changed Pump / worksheet 3 | language none replaced by ST",
            "behaviour added Pump / worksheet 3 / statement 1 | statement added: z := 3;",
        ),
    ),
    "declaration of a variable": (
        variables(
            V(
                "x",
                "INT",
                "input",
                "%IW1",
                "1",
                constant=True,
                persistent=True,
                edge="rising",
                comment="one",
                access="PUBLIC",
                pragmas=("p",),
            )
        ),
        variables(
            V(
                "x",
                "DINT",
                "output",
                "%QW2",
                "2",
                retain="retain",
                edge="falling",
                comment="two",
                access="PRIVATE",
                pragmas=("q",),
            )
        ),
        (
            "behaviour readdressed Pump / x | x: address %IW1 -> %QW2 (and 10 more) | type INT -> DINT | input -> output | initial value 1 -> 2 (takes effect on a cold start) | no longer constant | no longer persistent | retain: no -> retain | edge: rising -> falling | access: PUBLIC -> PRIVATE | pragmas: p -> q | comment: one -> two",
        ),
    ),
    "declaration of a variable: from nothing": (
        variables(V("x", "INT")),
        variables(
            V(
                "x",
                "INT",
                address="%MW1",
                initial="1",
                constant=True,
                persistent=True,
                retain="non_retain",
                edge="rising",
                access="PUBLIC",
            )
        ),
        (
            "behaviour readdressed Pump / x | x: address none -> %MW1 (and 6 more) | initial value none -> 1 (takes effect on a cold start) | now constant | now persistent | retain: no -> non_retain | edge: no -> rising | access: not given -> PUBLIC",
        ),
    ),
    "spelling of a variable": (
        variables(V("level", "int", address="%mw1")),
        variables(V("Level", "INT", address="%MW1")),
        (
            "documentation changed Pump / Level | Level: spelling: level -> Level (and 2 more) | spelling: int -> INT | spelling: %mw1 -> %MW1",
        ),
    ),
    "pragmas in another order": (
        variables(V("x", "INT", pragmas=("p", "q"))),
        variables(V("x", "INT", pragmas=("q", "p"))),
        ("undecided changed Pump / x | x: pragmas in another order",),
    ),
    "unknown data of a variable": (
        variables(V("x", "INT", extensions=(Extension("addData", "1", "a"), Extension("gone", "1")))),
        variables(V("x", "INT", extensions=(Extension("addData", "2", "a"), Extension("come", "1")))),
        (
            "undecided changed Pump / x / extension data | data that is not interpreted changed: addData (a) changed (and 2 more) | come added | gone removed",
        ),
    ),
    "variables come and go": (
        variables(V("a", "INT", "input"), V("c", "INT"), V("e", "INT", address="%QW1", initial="5")),
        variables(V("a", "INT", "input"), V("b", "INT", "output"), V("d", "INT", "in_out")),
        (
            "behaviour added Pump / b | output b : INT added | no statement of this program uses it",
            "equivalent removed Pump / c | local variable c : INT removed | no statement of this program uses it",
            "behaviour added Pump / d | in/out variable d : INT added | no statement of this program uses it",
            "behaviour removed Pump / e | local variable e : INT removed | at %QW1 | its memory does not start with zero | no statement of this program uses it",
        ),
    ),
    "variables that swapped their addresses": (
        block(
            variables=(
                V("a", "BOOL", address="%IX0.0"),
                V("c", "BOOL", address="%IX0.1"),
                V("d", "BOOL", address="%IX0.2"),
            ),
            bodies=(Body("ST", b.st("x := c;")),),
        ),
        block(
            variables=(
                V("a", "BOOL", address="%IX0.1"),
                V("c", "BOOL", address="%IX0.0"),
                V("d", "BOOL", address="%IX0.3"),
            ),
            bodies=(Body("ST", b.st("x := c;")),),
        ),
        (
            "behaviour readdressed Pump / a, c | a and c swapped their addresses %IX0.0 and %IX0.1 | a: %IX0.0 -> %IX0.1 | c: %IX0.1 -> %IX0.0 | c used in Pump / statement 1",
            "behaviour readdressed Pump / d | d: address %IX0.2 -> %IX0.3",
        ),
    ),
    "tags that swapped their addresses": (
        Copy(
            program=Program(pous=(Pou("P", "program", bodies=(Body("ST", b.st("x := Door;")),)),)),
            tables=(TagTable("T", (Tag("Door", "%IX0.0", "BOOL", "first"), Tag("Gate", "%IX0.1", "BOOL"))),),
        ),
        Copy(
            program=Program(pous=(Pou("P", "program", bodies=(Body("ST", b.st("x := Door;")),)),)),
            tables=(TagTable("T", (Tag("Door", "%IX0.1", "BOOL", "second"), Tag("Gate", "%IX0.0", "BOOL"))),),
        ),
        (
            "documentation changed tag Door | Door: comment: first -> second",
            "behaviour readdressed tags Door, Gate | Door and Gate swapped their addresses %IX0.0 and %IX0.1 | Door: %IX0.0 -> %IX0.1 | Gate: %IX0.1 -> %IX0.0 | Door used in P / statement 1",
        ),
    ),
    "variables listed in another order": (
        variables(V("a", "INT"), V("c", "INT"), V("e", "INT")),
        variables(V("e", "INT"), V("a", "INT"), V("c", "INT")),
        ("documentation moved Pump | declarations listed in another order: e",),
    ),
    "inputs of a function in another order": (
        variables(
            V("a", "INT", "input"), V("c", "INT", "input"), V("t", "INT"), V("gone", "INT", "input"), kind="function"
        ),
        variables(V("c", "INT", "input"), V("A", "INT", "input"), V("t", "INT"), kind="function"),
        (
            "behaviour moved Pump | order of inputs changed: A moved | a, c -> c, A",
            "documentation changed Pump / A | A: spelling: a -> A",
            "behaviour removed Pump / gone | input gone : INT removed | no statement of this program uses it",
        ),
    ),
    "values of an enumeration": (
        data(values=enum("Off=0", "Gone", "Hand=1", "Auto=2=by itself")),
        data(values=enum("OFF=0", "Auto=3=automatic", "Hand=1", "Come")),
        (
            "behaviour changed type Mode | type Mode: value Gone removed (and 5 more) | value Come added at place 4 | value Auto moved from place 4 to 2 | spelling: Off -> OFF | value Auto: 2 -> 3 | comment of Auto: by itself -> automatic",
        ),
    ),
    "a type": (
        data(kind="alias", base="INT", initial="1", namespace="Plant", pragmas=("a",), comment="first"),
        data("MODE", "subrange", base="INT (0..9)", initial="2", namespace="Water", pragmas=("b",), comment="second"),
        (
            "behaviour changed type MODE | type MODE: kind: alias -> subrange (and 6 more) | base: INT -> INT (0..9) | initial value 1 -> 2 (takes effect on a cold start) | namespace: Plant -> Water | pragmas: a -> b | comment: first -> second | spelling of the name: Mode -> MODE",
        ),
    ),
    "a type in other letters": (
        data(kind="alias", base="INT"),
        data(kind="alias", base="int"),
        ("documentation changed type Mode | type Mode: base: INT -> int",),
    ),
    "members of a type": (
        data(kind="struct", members=(V("a", "INT", "member"), V("c", "INT", "member"), V("e", "INT", "member"))),
        data(kind="struct", members=(V("c", "INT", "member"), V("a", "DINT", "member"), V("d", "INT", "member"))),
        (
            "behaviour moved type Mode | order of members changed: a moved | a, c -> c, a",
            "behaviour changed type Mode / a | a: type INT -> DINT",
            "behaviour added type Mode / d | member d : INT added | no statement of this program uses it",
            "behaviour removed type Mode / e | member e : INT removed | no statement of this program uses it",
        ),
    ),
    "a type comes": (
        Copy(),
        data(values=enum("Off", "On")),
        ("equivalent added type Mode | type Mode added | not used by this program",),
    ),
    "a type that is used goes": (
        Copy(
            program=Program(
                types=(DataType("Mode", "enum", values=enum("Off")),),
                pous=(Pou("Pump", "function_block", variables=(V("m", "Mode"),)),),
            )
        ),
        block(variables=(V("m", "Mode"),)),
        ("behaviour removed type Mode | type Mode removed | used in Pump / m",),
    ),
    "a list of variables": (
        lists(GlobalList("Water", "Plant/CPU", WATER.variables, "first", ("a",))),
        lists(GlobalList("WATER", "Plant/Other", WATER.variables, "second", ("b",))),
        (
            "undecided changed WATER | global list WATER: scope Plant/CPU -> Plant/Other (and 3 more) | spelling of the name: Water -> WATER | pragmas: a -> b | comment: first -> second",
            "documentation moved WATER / Level | Level moved from list Water to WATER",
        ),
    ),
    "scope of a list in other letters": (
        lists(GlobalList("Water", "Plant/CPU", ())),
        lists(GlobalList("Water", "PLANT/CPU", ())),
        ("documentation changed Water | global list Water: scope Plant/CPU -> PLANT/CPU",),
    ),
    "a variable moves to another list": (
        lists(GlobalList("Water", "P/CPU", (*WATER.variables, V("Heat", "INT", "global"))), AIR),
        lists(
            GlobalList("Water", "P/CPU", (V("Heat", "INT", "global"),)),
            GlobalList("Air", "P/CPU", (*WATER.variables, *AIR.variables)),
        ),
        ("documentation moved Air / Level | Level moved from list Water to Air",),
    ),
    "a list written as several blocks": (
        lists(GlobalList("Water", "P/CPU", (V("a", "INT", "global"), V("c", "INT", "global")))),
        lists(
            GlobalList("Water", "P/CPU", (V("a", "INT", "global"),)),
            GlobalList("Water", "P/CPU", (V("c", "INT", "global"),)),
        ),
        ("documentation changed Water | written as 2 blocks instead of 1",),
    ),
    "lists come and go": (
        lists(WATER),
        lists(GlobalList("Air", "P/CPU", (), pragmas=("p",))),
        (
            "undecided added Air | global list Air added",
            "documentation removed Water | global list Water removed",
            "equivalent removed Water / Level | global variable Level : INT removed | no statement of this program uses it",
        ),
    ),
    "a list under another name": (
        lists(GlobalList("Water", "P/CPU", (V("a", "INT", "global"), V("c", "INT", "global"))), AIR),
        lists(GlobalList("Liquid", "P/CPU", (V("a", "INT", "global"), V("c", "INT", "global"))), AIR),
        (
            "equivalent renamed Liquid | global list Water renamed to Liquid | screens, other stations and recipes that use the name have to follow",
        ),
    ),
    "a list without a name gets one": (
        lists(GlobalList("", "P/CPU", (V("a", "INT", "global"), V("c", "INT", "global")))),
        lists(GlobalList("Liquid", "P/CPU", (V("a", "INT", "global"), V("c", "INT", "global")))),
        (
            "documentation removed globals of P/CPU | global list globals of P/CPU removed",
            "documentation added Liquid | global list Liquid added",
            "documentation moved Liquid / a | a moved from list globals of P/CPU to Liquid",
            "documentation moved Liquid / c | c moved from list globals of P/CPU to Liquid",
        ),
    ),
    "a retained variable is renamed": (
        block(variables=(V("hours", "INT", retain="retain"),), bodies=(Body("ST", b.st("hours := hours + 1;")),)),
        block(variables=(V("worked", "INT", retain="retain"),), bodies=(Body("ST", b.st("worked := worked + 1;")),)),
        (
            "equivalent renamed Pump / worked | variable hours renamed to worked | the retained value goes with the name | used in Pump / statement 1",
        ),
    ),
}
TASKS: dict[str, Row] = {
    "a resource": (
        resource(type="A", comment="first"),
        resource("Cpu", "Other", type="B", comment="second"),
        (
            "behaviour changed resource Cpu | resource Cpu: type A -> B (and 3 more) | configuration Plant -> Other | comment first -> second | spelling of the name: CPU -> Cpu",
        ),
    ),
    "a resource in other letters": (
        resource(type="a"),
        resource(type="A"),
        ("documentation changed resource CPU | resource CPU: type a -> A",),
    ),
    "resources come and go": (
        Copy(
            program=Program(
                resources=(Resource("A", "P", tasks=(Task("T", "P/A"),)), Resource("B", "P", tasks=(Task("U", "P/B"),)))
            )
        ),
        Copy(program=Program(resources=(Resource("C", "P", tasks=(Task("W", "P/C"),)),))),
        (
            "behaviour removed resource A | resource A removed",
            "behaviour removed resource B | resource B removed",
            "behaviour added resource C | resource C added",
        ),
    ),
    "a task": (
        task(
            interval="T#10ms", priority="1", single="go", kind="cyclic", comment="first", settings=named("Watchdog=1s")
        ),
        task(
            "FAST",
            "Plant/Other",
            interval="T#20ms",
            priority="2",
            single="start",
            kind="event",
            comment="second",
            settings=named("Watchdog=2s"),
        ),
        (
            "behaviour changed resource CPU / task FAST | task FAST: interval T#10ms -> T#20ms (and 7 more) | priority 1 -> 2 | triggered by go -> start | kind cyclic -> event | scope Plant/CPU -> Plant/Other | setting Watchdog: 1s -> 2s | comment first -> second | spelling of the name: Fast -> FAST",
        ),
    ),
    "a task in other letters": (
        task(interval="T#10ms", priority="low", single="go", kind="cyclic"),
        task(interval="t#0.01s", priority="LOW", single="GO", kind="CYCLIC"),
        (
            "documentation changed resource CPU / task Fast | task Fast: interval T#10ms -> t#0.01s (and 3 more) | priority low -> LOW | triggered by go -> GO | kind cyclic -> CYCLIC",
        ),
    ),
    "settings of a task in another order": (
        task(settings=named("A=1", "B=2")),
        task(settings=named("B=2", "A=1")),
        ("documentation changed resource CPU / task Fast | task Fast: settings listed in another order",),
    ),
    "tasks come and go": (
        resource(tasks=(Task("A", "P", "1", "T#10ms"), Task("B", "P", "2", single="go"), Task("C", "P", "3"))),
        resource(tasks=(Task("D", "P", "4", "T#7ms"),)),
        (
            "behaviour removed resource CPU / task A | task A removed (every T#10ms, priority 1)",
            "behaviour removed resource CPU / task B | task B removed (on go, priority 2)",
            "behaviour removed resource CPU / task C | task C removed (freewheeling, priority 3)",
            "behaviour added resource CPU / task D | task D added (every T#7ms, priority 4)",
        ),
    ),
    "tasks in another order": (
        resource(tasks=(Task("A", "P"), Task("B", "P"))),
        resource(tasks=(Task("B", "P"), Task("A", "P"))),
        ("documentation moved resource CPU | tasks or programs listed in another order",),
    ),
    "programs in another order": (
        resource(instances=(Instance("A", "X"), Instance("B", "Y"))),
        resource(instances=(Instance("B", "Y"), Instance("A", "X"))),
        ("undecided moved resource CPU | tasks or programs listed in another order",),
    ),
    "a program in a task": (
        instance("Main", "Pump", "Fast", "first"),
        instance("MAIN", "Fan", "Slow", "second"),
        (
            "behaviour changed resource CPU / program MAIN | program MAIN: task Fast -> Slow (and 3 more) | type Pump -> Fan | comment first -> second | spelling of the name: Main -> MAIN",
        ),
    ),
    "a program in a task in other letters": (
        instance("Main", "Pump", "Fast"),
        instance("Main", "PUMP", "FAST"),
        (
            "documentation changed resource CPU / program Main | program Main: task Fast -> FAST (and 1 more) | type Pump -> PUMP",
        ),
    ),
    "programs come and go": (
        resource(instances=(Instance("A", "Pump", "Fast"), Instance("B", "Fan"))),
        resource(instances=(Instance("C", "", "Slow"),)),
        (
            "behaviour removed resource CPU / program A | program A : Pump removed (in task Fast)",
            "behaviour removed resource CPU / program B | program B : Fan removed (without a task)",
            "behaviour added resource CPU / program C | program C : unknown type added (in task Slow)",
        ),
    ),
    "a library": (
        libraries(Library("Util", "1", named("Path=a"))),
        libraries(Library("Util", "2", named("Path=b"))),
        (
            "undecided changed library Util | library Util: version 1 -> 2 (and 1 more) | setting Path: a -> b | the code of a library is not part of an export, so what it does differently is unknown",
        ),
    ),
    "a library written in another way": (
        libraries(Library("Util", "1")),
        libraries(Library("UTIL", "1")),
        ("documentation changed library UTIL | library UTIL: written in another way",),
    ),
    "libraries come and go": (
        libraries(Library("Util", "1")),
        libraries(Library("Tool")),
        (
            "undecided added library Tool | library Tool added | the code of a library is not part of an export",
            "undecided removed library Util | library Util 1 removed | the code of a library is not part of an export",
        ),
    ),
    "title block": (
        heading(
            name="a",
            version="1",
            author="b",
            organization="c",
            language="d",
            comment="e",
            tool="f",
            settings=named("Order=1"),
        ),
        heading(
            name="A",
            version="2",
            author="B",
            organization="C",
            language="D",
            comment="E",
            tool="F",
            settings=named("Order=2"),
        ),
        (
            "documentation changed project | project: name a -> A (and 7 more) | version 1 -> 2 | author b -> B | organization c -> C | language d -> D | comment e -> E | tool f -> F | setting Order: 1 -> 2",
        ),
    ),
    "title block in another order": (
        heading(settings=named("A=1", "B=2")),
        heading(settings=named("B=2", "A=1")),
        ("documentation changed project | project: settings listed in another order",),
    ),
}
PLANT: dict[str, Row] = {
    "a tag": (
        tags(Tag("Door", "%IX1.0", "BOOL", "first", named("Cabinet=1"))),
        tags(Tag("DOOR", "%IX1.1", "BYTE", "second", named("Cabinet=2"))),
        (
            "behaviour readdressed tag DOOR | DOOR: address %IX1.0 -> %IX1.1 (and 4 more) | type BOOL -> BYTE | column Cabinet: 1 -> 2 | comment: first -> second | spelling of the name: Door -> DOOR",
        ),
    ),
    "a tag in other letters": (
        tags(Tag("Door", type="BOOL")),
        tags(Tag("Door", type="bool")),
        ("documentation changed tag Door | Door: type BOOL -> bool",),
    ),
    "a tag in another table": (
        Copy(tables=(TagTable("A", (Tag("Door"), Tag("Gate"))), TagTable("B", (Tag("Lock"),)))),
        Copy(tables=(TagTable("A", (Tag("Gate"),)), TagTable("B", (Tag("Lock"), Tag("Door"))))),
        ("documentation changed tag Door | Door: table A -> B",),
    ),
    "a tag that stands in two tables": (
        Copy(tables=(TagTable("A", (Tag("Door", "%IX1.0"),)), TagTable("B", (Tag("Door", "%IX1.0"),)))),
        Copy(tables=(TagTable("A", (Tag("Door", "%IX1.1"),)), TagTable("B", (Tag("Door", "%IX1.1"),)))),
        ("behaviour readdressed tag Door | Door: address %IX1.0 -> %IX1.1 | also in table B",),
    ),
    "tags come and go": (
        tags(Tag("Door", "%IX1.0")),
        tags(Tag("Gate", "%IX2.0"), Tag("Lock")),
        (
            "equivalent removed tag Door | tag Door removed (%IX1.0) | no statement of this program uses it",
            "equivalent added tag Gate | tag Gate added (%IX2.0) | no statement of this program uses it",
            "equivalent added tag Lock | tag Lock added | no statement of this program uses it",
        ),
    ),
    "tables without a tag": (
        Copy(tables=(TagTable("A", (Tag("Door"),)), TagTable("B", ()))),
        Copy(tables=(TagTable("A", (Tag("Door"),)), TagTable("C", ()))),
        (
            "documentation removed tag table B | empty tag table B removed",
            "documentation added tag table C | empty tag table C added",
        ),
    ),
    "a device": (
        rack(type_name="A", comment="first", folder="Hall 1", settings=named("Site=1")),
        devices(Device("plc1", "B", "second", "Hall 2", settings=named("Site=2"))),
        (
            "behaviour changed device plc1 | device plc1: spelling of the name PLC1 -> plc1 (and 4 more) | type A -> B | comment first -> second | folder Hall 1 -> Hall 2 | setting Site: 1 -> 2",
        ),
    ),
    "devices come and go": (
        devices(Device("A", "Rack", modules=(Module("Head", 0, order_number="1", firmware="2.0"),))),
        devices(Device("B", "Rack", modules=(Module("Head", 0, order_number="2"),))),
        ("behaviour removed device A | device A removed", "behaviour added device B | device B added"),
    ),
    "a device that others reach under another name": (
        devices(
            Device(
                "A",
                modules=(
                    Module(
                        "Base",
                        0,
                        modules=(
                            Module("X", 1, order_number="1"),
                            Module("Y", 2, type_name="2", nodes=(NetworkNode("Port"),)),
                        ),
                    ),
                ),
            )
        ),
        devices(
            Device(
                "B",
                modules=(
                    Module(
                        "Base",
                        0,
                        modules=(
                            Module("X", 1, order_number="1"),
                            Module("Y", 2, type_name="2", nodes=(NetworkNode("Port"),)),
                        ),
                    ),
                ),
            )
        ),
        (
            "undecided renamed device B | device A is called B now | whatever reaches it over a network by its name has to follow",
        ),
    ),
    "a device under another name": (
        devices(
            Device(
                "A",
                modules=(
                    Module("Base", 0, modules=(Module("X", 1, order_number="1"), Module("Y", 2, order_number="2"))),
                ),
            ),
            subnets=(Subnet("Bus", settings=named("Master/@below=A/1")),),
        ),
        devices(
            Device(
                "B",
                modules=(
                    Module("Base", 0, modules=(Module("X", 1, order_number="1"), Module("Y", 2, order_number="2"))),
                ),
            ),
            subnets=(Subnet("Bus", settings=named("Master/@below=B/1")),),
        ),
        ("documentation renamed device B | device A is called B now",),
    ),
    "devices with the same cards in other racks": (
        devices(Device("A", modules=(Module("R", 0, modules=(Module("X", 1, order_number="1"),)),))),
        devices(Device("B", modules=(Module("R", 7, modules=(Module("X", 1, order_number="1"),)),))),
        ("behaviour removed device A | device A removed", "behaviour added device B | device B added"),
    ),
    "a network": (
        devices(subnets=(Subnet("Bus", "A", named("Speed=1")), Subnet("Gone", "A"))),
        devices(subnets=(Subnet("BUS", "B", named("Speed=2")), Subnet("Come", "B"))),
        (
            "behaviour changed network BUS | network BUS: spelling of the name Bus -> BUS (and 2 more) | kind A -> B | setting Speed: 1 -> 2",
            "behaviour added network Come | network Come added",
            "behaviour removed network Gone | network Gone removed",
        ),
    ),
    "title of the hardware": (
        devices(Device("A"), settings=named("ProjectTitle=a")),
        devices(Device("A"), settings=named("ProjectTitle=b")),
        ("documentation changed hardware | hardware: setting ProjectTitle: a -> b",),
    ),
    "settings of the whole hardware": (
        devices(Device("A"), settings=named("Rack/Fan=1")),
        devices(Device("A"), settings=named("Rack/Fan=2")),
        ("behaviour changed hardware | hardware: setting Rack/Fan: 1 -> 2",),
    ),
    "a module": (
        module(kind="input", firmware="1", comment="first", built_in=True, settings=named("Filter=1")),
        module("Di16", kind="output", firmware="2", comment="second", settings=named("Filter=2")),
        (
            "behaviour changed device PLC1 / slot 1 Di16 | module Di16: kind input -> output (and 5 more) | firmware 1 -> 2 | no longer built in | name DI16 -> Di16 | comment: first -> second | setting Filter: 1 -> 2",
        ),
    ),
    "a module replaced": (
        module(order_number="1", type_name="A", firmware="1", comment="first"),
        module("DI32", order_number="2", type_name="B", firmware="2", comment="second"),
        (
            "behaviour changed device PLC1 / slot 1 DI32 | module DI32 replaced: order number 1 -> 2, type A -> B, firmware 1 -> 2 | name DI16 -> DI32 | comment: first -> second",
        ),
    ),
    "a module in another slot": (
        module(slot=1),
        module(slot=2),
        ("behaviour moved device PLC1 / slot 2 DI16 | module DI16: moved from slot 1 to slot 2",),
    ),
    "a module in a slot that nobody states": (
        module(slot=None),
        module(slot=2),
        ("behaviour moved device PLC1 / slot 2 DI16 | module DI16: moved from slot unknown to slot 2",),
    ),
    "modules come and go": (
        rack(Module("A", 1, "input", "1", "2.0"), Module("B")),
        rack(Module("C", 2), Module("D")),
        (
            "behaviour removed device PLC1 / slot 1 A | module A in slot 1 removed",
            "behaviour added device PLC1 / slot 2 C | module C in slot 2 added",
            "behaviour removed device PLC1 / B | module B removed",
            "behaviour added device PLC1 / D | module D added",
        ),
    ),
    "a module in another rack": (
        rack(Module("R1", 1, modules=(Module("X", 3, order_number="9", firmware="1"),)), Module("R2", 2)),
        rack(Module("R1", 1), Module("R2", 2, modules=(Module("X", 4, order_number="9", firmware="2"),))),
        (
            "undecided changed device PLC1 / slot 2 R2 / slot 4 X | module X: firmware 1 -> 2",
            "behaviour moved device PLC1 / slot 2 R2 / slot 4 X | module X moved from device PLC1 / slot 1 R1 / slot 3 to device PLC1 / slot 2 R2 / slot 4",
        ),
    ),
    "addresses of a module": (
        module(addresses=(AddressRange("input", 0, 16), AddressRange("output", 4, 8))),
        module(addresses=(AddressRange("input", 2, 32), AddressRange("output", 4))),
        (
            "behaviour readdressed device PLC1 / slot 1 DI16 | addresses of module DI16 changed: input from byte 0, 16 bits, output from byte 4, 8 bits -> input from byte 2, 32 bits, output from byte 4, unknown bits",
        ),
    ),
    "addresses of a module in another order": (
        module(addresses=(AddressRange("input", 0, 16), AddressRange("", 4, 8))),
        module(addresses=(AddressRange("", 4, 8), AddressRange("input", 0, 16))),
        ("documentation changed device PLC1 / slot 1 DI16 | addresses of DI16 listed in another order",),
    ),
    "a channel": (
        module(channels=(Channel(1, "a", "digital", "input", 1, "Door", named("Filter=1")),)),
        module(channels=(Channel(1, "b", "analog", "input", 16, "Gate", named("Filter=2")),)),
        (
            "behaviour changed device PLC1 / slot 1 DI16 / input channel 1 | input channel 1: tag Door -> Gate (and 4 more) | kind digital -> analog | length 1 -> 16 | name a -> b | setting Filter: 1 -> 2",
        ),
    ),
    "a channel known by its name": (
        module(channels=(Channel(None, "a", direction="input"),)),
        module(channels=(Channel(None, "a", direction="output"),)),
        (
            "behaviour changed device PLC1 / slot 1 DI16 / output channel a | output channel a: direction input -> output",
        ),
    ),
    "settings of a channel in another order": (
        module(channels=(Channel(1, settings=named("A=1", "B=2")),)),
        module(channels=(Channel(1, settings=named("B=2", "A=1")),)),
        ("documentation changed device PLC1 / slot 1 DI16 / channel 1 | channel 1: settings listed in another order",),
    ),
    "channels come and go": (
        module(channels=(Channel(1, direction="input", tag="Door"), Channel(None, "a"))),
        module(channels=(Channel(2, direction="input"),)),
        (
            "behaviour removed device PLC1 / slot 1 DI16 / channel a | channel a removed",
            "behaviour removed device PLC1 / slot 1 DI16 / input channel 1 | input channel 1 removed (tag Door)",
            "behaviour added device PLC1 / slot 1 DI16 / input channel 2 | input channel 2 added",
        ),
    ),
    "channels in another order": (
        module(channels=(Channel(1), Channel(2))),
        module(channels=(Channel(2), Channel(1))),
        ("documentation moved device PLC1 / slot 1 DI16 | channels listed in another order",),
    ),
    "an interface": (
        module(nodes=(NetworkNode("Port", "a", "10.0.0.1", "Bus", named("Speed=1")),)),
        module(nodes=(NetworkNode("PORT", "b", "10.0.0.2", "Net", named("Speed=2")),)),
        (
            "behaviour changed device PLC1 / slot 1 DI16 / interface PORT | interface PORT: network address 10.0.0.1 -> 10.0.0.2 (and 4 more) | network Bus -> Net | kind a -> b | setting Speed: 1 -> 2 | spelling of the name: Port -> PORT",
        ),
    ),
    "settings of an interface in another order": (
        module(nodes=(NetworkNode("Port", settings=named("A=1", "B=2")),)),
        module(nodes=(NetworkNode("Port", settings=named("B=2", "A=1")),)),
        (
            "documentation changed device PLC1 / slot 1 DI16 / interface Port | interface Port: settings listed in another order",
        ),
    ),
    "interfaces come and go": (
        module(nodes=(NetworkNode("A", address="10.0.0.1"),)),
        module(nodes=(NetworkNode("B"),)),
        (
            "behaviour removed device PLC1 / slot 1 DI16 / interface A | network interface A removed (10.0.0.1)",
            "behaviour added device PLC1 / slot 1 DI16 / interface B | network interface B added (no address)",
        ),
    ),
    "interfaces in another order": (
        module(nodes=(NetworkNode("A"), NetworkNode("B"))),
        module(nodes=(NetworkNode("B"), NetworkNode("A"))),
        ("documentation moved device PLC1 / slot 1 DI16 | network interfaces listed in another order",),
    ),
    "nested settings": (
        module(settings=named("Diag/Wire=on", "Diag/Gone=1", "Diag=2", "Twice=a", "Twice=b", "Same=1")),
        module(settings=named("Diag/Wire=off", "Diag/Come/Deep=1", "Diag=3", "Twice=a", "Twice=c", "Same=1")),
        (
            "behaviour changed device PLC1 / slot 1 DI16 | module DI16: setting Diag: 2 -> 3 (and 4 more) | setting Diag/Come: none -> Deep/1 | setting Diag/Gone: 1 -> none | setting Diag/Wire: on -> off | setting Twice: b -> c",
        ),
    ),
    "values of one setting in another order": (
        module(settings=named("Twice=a", "Twice=b", "Same=1", "Same=2")),
        module(settings=named("Twice=b", "Twice=a", "Same=1", "Same=2")),
        ("behaviour changed device PLC1 / slot 1 DI16 | module DI16: setting Twice: a, b -> b, a",),
    ),
    "modules that share addresses": (
        rack(
            Module("A", 1, addresses=(AddressRange("input", 0, 16),)),
            Module("B", 2, addresses=(AddressRange("input", 4, 16),)),
        ),
        rack(
            Module("A", 1, addresses=(AddressRange("input", 0, 16),)),
            Module("B", 2, addresses=(AddressRange("input", 1, 16),)),
        ),
        (
            "behaviour added device PLC1 / slot 1 A / addresses | addresses overlap now: module slot 1 A (input bytes 0 to 1) and module slot 2 B (input bytes 1 to 2) share input byte 1",
            "behaviour readdressed device PLC1 / slot 2 B | addresses of module B shifted: input from byte 4, 16 bits -> input from byte 1, 16 bits",
        ),
    ),
    "tags that share addresses": (
        tags(Tag("A", "%MB0", "BYTE"), Tag("B", "%MB4", "BYTE")),
        tags(Tag("A", "%MB0", "BYTE"), Tag("B", "%MX0.3", "BOOL")),
        (
            "behaviour added tag A / addresses | addresses overlap now: A (%MB0, BYTE) and B (%MX0.3, BOOL) share memory bit 0.3",
            "behaviour readdressed tag B | B: address %MB4 -> %MX0.3 (and 1 more) | type BYTE -> BOOL",
        ),
    ),
    "tags that may share addresses": (
        tags(Tag("A", "%MW1", "WORD"), Tag("B", "%MB9", "BYTE")),
        tags(Tag("A", "%MW1", "WORD"), Tag("B", "%MB3", "BYTE")),
        (
            "undecided added tag A / addresses | addresses may overlap now: A (%MW1, WORD) and B (%MB3, BYTE) may share memory, depending on how words are counted",
            "behaviour readdressed tag B | B: address %MB9 -> %MB3",
        ),
    ),
}
READ: dict[str, Row] = {
    "tags that one copy lists": (
        tags(Tag("Door", "%IX1.0", "BOOL")),
        Copy(),
        (
            "undecided removed tags | 1 tag cannot be compared: the new copy holds no tag table | Door AT %IX1.0 : BOOL;",
        ),
    ),
    "hardware that one copy lists": (
        Copy(),
        devices(
            Device("A", "Rack", modules=(Module("Head", 0, order_number="1"), Module("B"))),
            subnets=(Subnet("Bus", "Ring"),),
            settings=named("Order=1"),
            extensions=(Extension("addData", "1", "a"),),
        ),
        (
            "undecided added hardware | 1 device, 2 modules, 1 network cannot be compared: the old copy holds no hardware list | device A Rack |   slot 0 Head 1 |   B | network Bus Ring | setting Order: 1 | data that is not interpreted: addData a",
        ),
    ),
    "values that one copy lists": (
        Copy(values=(ActualValue("B", "5", "4", "bar"), ActualValue("A", "1"))),
        Copy(),
        (
            "undecided removed values | 2 actual values cannot be compared: the new copy holds no value list; 1 of them tuned: B: 5 bar (initial 4) | A: 1",
        ),
    ),
    "values with which the other copy starts": (
        Copy(values=(ActualValue("Level", "6.0", "4"),)),
        lists(GlobalList("Water", "P/CPU", (V("Level", "REAL", "global", initial="6"),))),
        (
            "documentation added Water | global list Water added",
            "equivalent added Water / Level | global variable Level : REAL added | no statement of this program uses it",
            "equivalent removed values | the new copy starts with the 1 actual values of the other; 1 of them tuned: Level: 6.0 (initial 4)",
        ),
    ),
    "forces that one copy lists": (
        Copy(),
        Copy(forces=(Force("B", "TRUE", "%IX1.0"), Force("A", "5"))),
        (
            "undecided added forces | 2 forces cannot be compared: the old copy holds no force list | A := 5 | B AT %IX1.0 := TRUE",
        ),
    ),
    "a value": (
        Copy(values=(ActualValue("SP", "5", "4", "bar", "first", named("By=a")),)),
        Copy(values=(ActualValue("sp", "6", "3", "bar", "second", named("By=b")),)),
        (
            "behaviour changed value sp | sp tuned: 5 -> 6 bar | actual value 5 -> 6 bar (+1) | initial value 4 -> 3 bar (-1) | column By: a -> b | comment: first -> second | spelling of the name: SP -> sp | differs from the initial value 3, which a cold start or a download brings back",
        ),
    ),
    "a value in another unit": (
        Copy(values=(ActualValue("SP", "5", "5", "bar"),)),
        Copy(values=(ActualValue("SP", "5.0", "", "mbar"),)),
        (
            "behaviour changed value SP | SP tuned: 5 -> 5.0 mbar | actual value 5 -> 5.0 (the same value) | initial value 5 -> none | unit bar -> mbar",
        ),
    ),
    "values come and go": (
        Copy(values=(ActualValue("A", "5", unit="bar"), ActualValue("C", "1"))),
        Copy(values=(ActualValue("B", "6"), ActualValue("C", "1"))),
        (
            "undecided removed value A | actual value of A no longer recorded: 5 bar | nothing to compare it with",
            "undecided added value B | actual value of B now recorded: 6 | nothing to compare it with",
        ),
    ),
    "values that the program of the other copy starts with": (
        Copy(values=(ActualValue("Level", "5", "4"), ActualValue("Flow", "7"), ActualValue("Heat", "1"))),
        lists(
            GlobalList(
                "Water", "P/CPU", (V("Level", "INT", "global", initial="6"), V("Flow", "INT", "global", initial="8"))
            )
        ),
        (
            "documentation added Water | global list Water added",
            "equivalent added Water / Flow | global variable Flow : INT added | no statement of this program uses it",
            "equivalent added Water / Level | global variable Level : INT added | no statement of this program uses it",
            "behaviour removed values | Flow tuned: 7, the new copy starts with 8 (and 1 more) | Flow: 7; the new copy starts with 8 | Level: 5 (initial 4); the new copy starts with 6 | Heat: 1",
        ),
    ),
    "a force": (
        Copy(forces=(Force("Door", "FALSE", "%IX1.0", "first", named("By=a")),)),
        Copy(forces=(Force("DOOR", "1", "%IX1.1", "second", named("By=b")),)),
        (
            "behaviour changed force DOOR | DOOR: forced to FALSE -> 1 (and 4 more) | address %IX1.0 -> %IX1.1 | column By: a -> b | comment: first -> second | spelling of the name: Door -> DOOR",
        ),
    ),
    "a force written in another way": (
        Copy(forces=(Force("Door", "FALSE", "%IX1.0"),)),
        Copy(forces=(Force("Door", "0", "%IX1.0"),)),
        ("documentation changed force Door | Door: forced to FALSE -> 0",),
    ),
    "forces come and go": (
        Copy(forces=(Force("A", "TRUE"), Force("C", "TRUE"))),
        Copy(forces=(Force("", "5", "%IW1"), Force("C", "TRUE"))),
        (
            "behaviour added force %IW1 | %IW1 is forced to 5",
            "behaviour removed force A | A is no longer forced to TRUE",
        ),
    ),
    "files": (
        Copy(
            sources=(
                Source("a.bin", "1", 2, ""),
                Source("c.bin", "2", 2, ""),
                Source("e.bin", "3", 2, ""),
                Source("f.bin", "5", 2, ""),
            )
        ),
        Copy(sources=(Source("b.bin", "1", 2, ""), Source("c.bin", "4", 2, ""), Source("g.bin", "6", 2, ""))),
        (
            "documentation renamed file b.bin | file a.bin is now called b.bin; its bytes are the same",
            "undecided changed file c.bin | file c.bin changed; no reader understands it",
            "undecided removed file e.bin | file e.bin removed; no reader understands it",
            "undecided removed file f.bin | file f.bin removed; no reader understands it",
            "undecided added file g.bin | file g.bin added; no reader understands it",
        ),
    ),
    "one file": (
        Copy(sources=(Source("a.bin", "1", 2, ""),)),
        Copy(sources=(Source("b.bin", "2", 2, ""),)),
        ("undecided changed file b.bin | file b.bin changed; no reader understands it",),
    ),
}
ROWS = {**PROGRAM, **TASKS, **PLANT, **READ}


@pytest.mark.parametrize("name", ROWS)
def test_everything_that_differs_is_told(name: str) -> None:
    old, new, expected = ROWS[name]
    assert b.lines(old, new) == expected


@pytest.mark.parametrize("name", ROWS)
def test_the_other_way_round_the_texts_change_places(name: str) -> None:
    old, new, _ = ROWS[name]
    there, back = compare(old, new).changes, compare(new, old).changes
    assert sorted(c.effect for c in there) == sorted(c.effect for c in back)
    if not any(c.kind == "moved" and None in (c.before, c.after) for c in there):  # what is told where it stands now
        assert sorted(f"{c.before}/{c.after}" for c in there) == sorted(f"{c.after}/{c.before}" for c in back)


def test_more_uses_than_are_listed_are_counted() -> None:
    old, new = (
        block(variables=(V("x", type),), bodies=(Body("ST", b.st("x := x + 1;" * 203)),)) for type in ("INT", "DINT")
    )
    found = b.only(new, old).details
    assert (len(found), found[1], found[-2:]) == (
        202, "used in Pump / statement 1", ("used in Pump / statement 200", "used in 3 more places")
    )  # fmt: skip


def test_places_of_values_count_from_one() -> None:
    old, new = data(values=enum("A", "B", "C", "D")), data(values=enum("B", "D", "A", "E"))
    edits = {(e.field, e.of, e.old, e.new) for e in b.only(new, old).edits}
    assert edits == {
        ("enum value removed", "C", "3", None), ("enum value added", "E", None, "4"), ("enum value moved", "A", "1", "3")
    }  # fmt: skip
