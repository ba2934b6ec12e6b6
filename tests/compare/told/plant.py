"""What can differ: plant."""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Channel, Device, Module, NetworkNode, Subnet
from asfound.model.tags import Tag, TagTable

from .parts_kit import (
    Row,
    devices,
    module,
    named,
    rack,
    tags,
)

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
        devices(Device("A"), settings=named("Project=a", "ProjectTitle=a")),
        devices(Device("A"), settings=named("Project=b", "ProjectTitle=b")),
        (
            "documentation changed hardware | hardware: setting Project: a -> b (and 1 more) | setting ProjectTitle: a -> b",
        ),
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
            "behaviour changed device PLC1 / slot 1 DI32 | module DI32 replaced: part number 1 -> 2, type A -> B, firmware 1 -> 2 | name DI16 -> DI32 | comment: first -> second",
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
    "a channel whose number is written now": (
        module(channels=(Channel(None, "input 1", direction="input"),)),
        module(channels=(Channel(1, "input 1", direction="input"),)),
        ("behaviour changed device PLC1 / slot 1 DI16 / input channel 1 | input channel 1: number none -> 1",),
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
    "devices, networks and settings in another order": (
        devices(Device("A"), Device("B"), subnets=(Subnet("Bus"), Subnet("Net")), settings=named("A=1", "B=2")),
        devices(Device("b"), Device("A"), subnets=(Subnet("Net"), Subnet("Bus")), settings=named("B=2", "A=1")),
        (
            "documentation changed device b | device b: spelling of the name B -> b",
            "documentation changed hardware | hardware: settings listed in another order (and 2 more) | devices listed in another order | networks listed in another order",
        ),
    ),
    "settings of a device and of a network in another order": (
        devices(Device("A", settings=named("A=1", "B=2")), subnets=(Subnet("Bus", settings=named("A=1", "B=2")),)),
        devices(Device("A", settings=named("B=2", "A=1")), subnets=(Subnet("Bus", settings=named("B=2", "A=1")),)),
        (
            "documentation changed device A | device A: settings listed in another order",
            "documentation changed network Bus | network Bus: settings listed in another order",
        ),
    ),
    "modules in another order": (
        rack(Module("X", 1, modules=(Module("U"), Module("V"))), Module("Y", 2)),
        rack(Module("Y", 2), Module("X", 1, modules=(Module("V"), Module("U")))),
        (
            "documentation changed device PLC1 | device PLC1: modules listed in another order",
            "documentation changed device PLC1 / slot 1 X | module X: modules listed in another order",
        ),
    ),
    "modules that changed their slots": (
        rack(Module("X", 1), Module("Y", 2)),
        rack(Module("Y", 1), Module("X", 2)),
        (
            "behaviour moved device PLC1 / slot 1 Y | module Y: moved from slot 2 to slot 1",
            "behaviour moved device PLC1 / slot 2 X | module X: moved from slot 1 to slot 2",
        ),
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
