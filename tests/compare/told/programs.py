"""What can differ: programs."""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.program import (
    Action,
    Body,
    DataType,
    Extension,
    GlobalList,
    Pou,
    Program,
)
from asfound.model.tags import Tag, TagTable

from .. import building as b
from .parts_kit import (
    AIR,
    WATER,
    Row,
    V,
    block,
    data,
    enum,
    lists,
    variables,
)

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
            "behaviour changed PUMP | class PUMP: kind: function block -> class (and 8 more) | result type: INT -> DINT | extends: Base -> Other | implements: IRun -> IRun, IStop | modifiers: FINAL -> ABSTRACT | namespace: Plant -> Water | pragmas: a -> b | comment: first -> second | spelling of the name: Pump -> PUMP",
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
    "a worksheet with a chart": (
        block(bodies=(Body("ST", b.st("x := 1;")),)),
        block(bodies=(Body("ST", b.st("x := 1;")), Body("SFC", chart=b.CHART))),
        ("behaviour added Pump / worksheet 2 | worksheet added (in SFC)",),
    ),
    "worksheets of a block": (
        block(bodies=(Body("ST", b.st("x := 1;")), Body("ST", b.st("y := 1;")))),
        block(bodies=(Body("ST", b.st("x := 1;")), Body("ST", b.st("y := 2;")), Body("ST", b.st("z := 3;")))),
        (
            "behaviour changed Pump / worksheet 2 / statement 1 | y: 1 -> 2",
            "behaviour added Pump / worksheet 3 | worksheet added (in ST) | z := 3;",
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
            "behaviour readdressed Pump / x | x: address %IW1 -> %QW2 (and 10 more) | type INT -> DINT | input -> output | initial value 1 -> 2 (takes effect when it is initialised) | no longer constant | no longer persistent | retain: no -> retain | edge: rising -> falling | access: PUBLIC -> PRIVATE | pragmas: p -> q | comment: one -> two",
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
            "behaviour readdressed Pump / x | x: address none -> %MW1 (and 6 more) | initial value none -> 1 (takes effect when it is initialised) | now constant | now persistent | retain: no -> non-retain | edge: no -> rising | access: not given -> PUBLIC",
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
            "behaviour changed type MODE | type MODE: kind: alias -> subrange (and 6 more) | base: INT -> INT (0..9) | initial value 1 -> 2 (takes effect when it is initialised) | namespace: Plant -> Water | pragmas: a -> b | comment: first -> second | spelling of the name: Mode -> MODE",
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
    "names that two lists share stay where they are": (
        lists(WATER, GlobalList("Air", "P/CPU", WATER.variables)),
        lists(WATER, GlobalList("Air", "P/CPU", (*WATER.variables, V("Heat", "INT", "global")))),
        ("equivalent added Air / Heat | global variable Heat : INT added | no statement of this program uses it",),
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
            "documentation removed globals of P/CPU | globals of P/CPU removed",
            "documentation added Liquid | global list Liquid added",
            "documentation moved Liquid | 2 variables moved from list globals of P/CPU to Liquid | a : INT; | c : INT;",
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
