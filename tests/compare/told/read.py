"""What can differ: read."""

from __future__ import annotations

from asfound.model.copy import Copy, Source
from asfound.model.hardware import Device, Module, Subnet
from asfound.model.program import (
    Extension,
    GlobalList,
)
from asfound.model.tags import Tag
from asfound.model.values import ActualValue, Force

from .parts_kit import (
    Row,
    V,
    devices,
    lists,
    named,
    tags,
)

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
            "equivalent removed values | the new copy starts with the actual value of the other; 1 of them tuned: Level: 6.0 (initial 4)",
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
            "behaviour changed value sp | sp tuned: 5 -> 6 bar | actual value 5 -> 6 bar (+1) | initial value 4 -> 3 bar (-1) | column By: a -> b | comment: first -> second | spelling of the name: SP -> sp | differs from the initial value 3, which a cold start or a download may bring back",
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
