"""Every inspection: what it finds, with which words, and what it leaves alone."""

from __future__ import annotations

import pytest

from asfound.checks.findings import Finding
from asfound.checks.inspection import inspect
from asfound.checks.memory_card import needed
from asfound.language.documents import parse_program
from asfound.model.copy import Copy
from asfound.model.copy import Finding as DataFinding
from asfound.model.hardware import AddressRange, Channel, Device, Hardware, Module, NetworkNode
from asfound.model.program import Setting
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force


def found(copy: Copy, check: str) -> list[tuple[str, str, str]]:
    return [(f.severity, f.where, f.text) for f in inspect(copy).findings if f.check == check]


def only(copy: Copy, check: str) -> Finding:
    (one,) = [f for f in inspect(copy).findings if f.check == check]
    return one


def tagged(*tags: tuple[str, str, str], program: str = "", modules: tuple[Module, ...] = ()) -> Copy:
    table = TagTable("tags", tuple(Tag(*tag) for tag in sorted(tags)))
    hardware = Hardware((Device("S", modules=modules),)) if modules else Hardware()
    parsed = parse_program(program, "p.st") if program else Copy().program
    return Copy(tables=(table,), program=parsed, hardware=hardware)


# --- addresses --------------------------------------------------------------------------------------------------


def test_modules_that_claim_the_same_bytes() -> None:
    modules = (
        Module("AI 1", 3, addresses=(AddressRange("input", 64, 128),)),
        Module("CT 1", 4, addresses=(AddressRange("input", 76, 64), AddressRange("output", 64, 8))),
    )
    one = only(tagged(modules=modules), "module overlap")
    assert (one.severity, one.where) == ("error", "device S / slot 3 AI 1")
    assert one.text == "AI 1 and CT 1 both claim input bytes 76 to 79"
    assert one.reason == "whatever reads them cannot tell the two apart"
    assert one.evidence == (
        "module slot 3 AI 1 (input bytes 64 to 79)",
        "module slot 4 CT 1 (input bytes 76 to 83)",
    )


def test_a_range_that_is_not_whole_is_told() -> None:
    assert found(tagged(modules=(Module("AI", 3, addresses=(AddressRange("input", 64),)),)), "module overlap") == [
        ("note", "device S / slot 3 AI", "AI states an address range without start, length or direction")
    ]


@pytest.mark.parametrize(
    ("tags", "severity", "text"),
    [
        (
            [("W", "%MW4", "WORD"), ("A", "%MX4.0", "BOOL"), ("B", "%MX5.7", "BOOL"), ("X", "%MW6", "WORD")],
            "warning",
            "W holds the bits of A, B",
        ),
        (
            [("A", "%MW4", "INT"), ("B", "%MD5", "DINT"), ("X", "%QW4", "INT"), ("Y", "%QW6", "INT")],
            "error",
            "A lies across B",
        ),
        ([("A", "%MW4", "INT"), ("B", "%MD5", "DINT")], "note", "A may share memory with B"),
        ([("A", "%MW4", "INT"), ("B", "%MW4", "WORD")], "warning", "A and B give one address different types"),
        ([("A", "%MW4", "INT"), ("B", "%MW4", "INT")], "note", "A and B are names of one address, %MW4"),
    ],
)
def test_tags_that_share_bits(tags: list[tuple[str, str, str]], severity: str, text: str) -> None:
    one = only(tagged(*tags), "tag overlap")
    assert (one.severity, one.text) == (severity, text)


@pytest.mark.parametrize(
    "tags",
    [
        [("A", "%MW4", "INT"), ("B", "%MW6", "INT")],
        [("A", "%IW4", "INT"), ("B", "%QW4", "INT")],
        [("A", "T5", "TIMER"), ("B", "C5", "COUNTER")],
        [("A", "%IX0.0", "BOOL"), ("B", "%IX0.1", "BOOL")],
    ],
)
def test_tags_that_share_nothing(tags: list[tuple[str, str, str]]) -> None:
    assert found(tagged(*tags), "tag overlap") == []


def test_tags_outside_every_module_are_told_with_their_neighbours() -> None:
    modules = (Module("DI", 3, addresses=(AddressRange("input", 0, 16),)),)
    copy = tagged(
        ("A", "%IX1.7", "BOOL"), ("B", "%IX2.0", "BOOL"), ("C", "%IX3.5", "BOOL"), ("D", "%IW64", "INT"),
        ("E", "%QX0.0", "BOOL"), ("F", "%MX9.0", "BOOL"), modules=modules,
    )  # fmt: skip
    assert found(copy, "no module") == [
        ("warning", "tag B", "input bytes 2 to 3: B, C lie in no configured module"),
        ("warning", "tag D", "input bytes 64 to 65: D lies in no configured module"),
        ("warning", "tag E", "output bit 0.0: E lies in no configured module"),
    ]
    assert found(tagged(("B", "%IX2.0", "BOOL")), "no module") == []  # nothing is known about modules


def test_type_and_size_of_the_address() -> None:
    assert found(tagged(("A", "%IW4", "REAL"), ("B", "%IW8", "INT"), ("C", "%IX9.0", "BOOL")), "type and address") == [
        ("warning", "tag A", "A is a REAL of 32 bits at an address of 16")
    ]


def test_addresses_of_another_make_are_told_to_be_unchecked() -> None:
    one = only(tagged(("A", "%IW1.2.3", "INT"), ("B", "%MX5.0.1", "BOOL")), "address")
    assert one.text == "2 addresses are not checked for overlaps: what bits they mean depends on the make"


# --- usage ------------------------------------------------------------------------------------------------------

PROGRAM = """
PROGRAM Main
VAR t : TON; local : BOOL; END_VAR
Run := Start AND NOT Stop;
Start := FALSE;
Lamp := local;
Horn := local;
Horn := Horn AND Run;
%QX7.0 := Unknown;
t(IN := Start, PT := T#1s, Q => Valve);
END_PROGRAM
PROGRAM Other
VAR x : BOOL; END_VAR
Lamp := x;
%QB1 := 0;
END_PROGRAM
"""
TAGS = (
    ("Start", "%IX0.0", "BOOL"), ("Stop", "%IX0.1", "BOOL"), ("Run", "%QX0.0", "BOOL"), ("Lamp", "%QX0.1", "BOOL"),
    ("Horn", "%QX0.2", "BOOL"), ("Valve", "%QX1.0", "BOOL"), ("Spare", "%IX0.7", "BOOL"), ("Direct", "%QX7.0", "BOOL"),
)  # fmt: skip


def test_inputs_that_are_written() -> None:
    one = only(tagged(*TAGS, program=PROGRAM), "inputs written")
    assert (one.severity, one.where) == ("warning", "Main / statement 2")
    assert one.text == "input Start (%IX0.0) is written in Main / statement 2"


def test_outputs_written_in_several_places() -> None:
    copy = tagged(*TAGS, program=PROGRAM)
    assert found(copy, "outputs written") == [
        ("warning", "Main / statement 3", "output Lamp (%QX0.1) is written in 2 places"),
        ("warning", "Main / statement 7", "output Valve (%QX1.0) is written in 2 places"),
        ("note", "Main / statement 4", "output Horn (%QX0.2) is written in 2 places"),
    ]
    valve = next(f for f in inspect(copy).findings if "Valve" in f.text and f.check == "outputs written")
    assert valve.evidence == ("Main / statement 7 (plain)", "Other / statement 2 (plain) as %QB1")


def test_set_here_and_reset_there_is_as_it_should_be() -> None:
    ladder = "PROGRAM P\nVAR a : BOOL; END_VAR\nIF a THEN Q1 S= TRUE; END_IF\nIF NOT a THEN Q1 R= TRUE; END_IF\nEND_PROGRAM\n"
    assert found(tagged(("Q1", "%QX0.0", "BOOL"), program=ladder), "outputs written") == []


def test_branches_of_one_statement_are_one_place() -> None:
    text = "PROGRAM P\nVAR a : BOOL; END_VAR\nIF a THEN Q1 := TRUE; ELSE Q1 := FALSE; END_IF\nEND_PROGRAM\n"
    assert found(tagged(("Q1", "%QX0.0", "BOOL"), program=text), "outputs written") == []


def test_unused_and_undeclared() -> None:
    copy = tagged(*TAGS, program=PROGRAM)
    assert only(copy, "unused tags").evidence == ("Spare (%IX0.7)",)
    assert found(copy, "undeclared") == [
        ("warning", "Main / statement 6", "Unknown is used and declared nowhere"),
        ("note", "Other / statement 2", "1 addresses are used without a tag"),
    ]


def test_names_from_another_export_are_one_note() -> None:
    copy = Copy(program=parse_program("PROGRAM P\nVAR a : BOOL; END_VAR\na := Start AND Stop;\nEND_PROGRAM\n", "p.st"))
    one = only(copy, "undeclared")
    assert (one.severity, one.text) == ("note", "2 names are declared in no file of this copy: Start, Stop")


def test_names_of_methods_types_and_blocks_are_declared() -> None:
    text = (
        "TYPE Colour : (Red, Green); END_TYPE\n"
        "FUNCTION_BLOCK Base\nVAR inherited : BOOL; END_VAR\ninherited := TRUE;\nEND_FUNCTION_BLOCK\n"
        "FUNCTION_BLOCK Pump EXTENDS Base\nVAR c : Colour; END_VAR\nc := Red;\ninherited := FALSE;\n"
        "METHOD Go : BOOL\nVAR inner : INT; END_VAR\ninner := 1;\nGo := TRUE;\nEND_METHOD\nEND_FUNCTION_BLOCK\n"
        "PROGRAM P\nVAR p : Pump; s : R_TRIG; END_VAR\np();\ns(CLK := p.c = Colour#Green);\nEND_PROGRAM\n"
    )
    assert found(tagged(("A", "", "BOOL"), program=text), "undeclared") == []


# --- racks and networks -----------------------------------------------------------------------------------------


def test_gaps_and_two_modules_in_one_slot() -> None:
    modules = tuple(Module(f"M{n}", slot) for n, slot in enumerate((1, 2, 2, 4, 8)))
    assert found(tagged(modules=modules), "slots") == [
        ("warning", "device S", "slot 2 holds M1 and M2"),
        ("note", "device S", "no module in slots 3, 5 to 7"),
    ]
    assert found(tagged(modules=modules[:2]), "slots") == []


def test_a_network_address_used_twice() -> None:
    def cpu(name: str, slot: int, address: str, network: str = "Plant") -> Module:
        return Module(name, slot, nodes=(NetworkNode("X1", address=address, network=network),))

    modules = (cpu("A", 1, "10.0.0.7"), cpu("B", 2, "10.0.0.07"), cpu("C", 3, "10.0.0.7", "Office"))
    one = only(tagged(modules=modules), "network")
    assert (one.severity, one.text) == ("error", "network address 10.0.0.7 on Plant is used 2 times")
    assert one.evidence == ("device S / slot 1 A / X1: 10.0.0.7 Plant", "device S / slot 2 B / X1: 10.0.0.07 Plant")


def test_a_colon_in_an_address_does_not_move_its_place() -> None:
    nodes = NetworkNode("X1", address="00:1b:1b:00:00:07", network="Plant")
    one = only(tagged(modules=(Module("A", 1, nodes=(nodes,)), Module("B", 2, nodes=(nodes,)))), "network")
    assert one.where == "device S / slot 1 A / X1"


def test_a_network_address_used_again_where_no_network_is_said() -> None:
    def cpu(name: str, slot: int, address: str, network: str) -> Module:
        return Module(name, slot, nodes=(NetworkNode("X1", address=address, network=network),))

    modules = (cpu("A", 1, "10.0.0.7", "Plant"), cpu("B", 2, "10.0.000.7", ""), cpu("C", 3, "10.0.0.8", ""))
    one = only(tagged(modules=modules), "network")
    text = "network address 10.0.0.7 is used again by an interface that is tied to no network"
    assert (one.severity, one.text, len(one.evidence)) == ("warning", text, 2)
    apart = (cpu("A", 1, "10.0.0.7", "Plant"), cpu("B", 2, "10.0.0.7", "Cell"))
    assert found(tagged(modules=apart), "network") == []


def test_compact_and_modular() -> None:
    board = Module(
        "DI",
        built_in=True,
        addresses=(AddressRange("input", 0, 16),),
        channels=tuple(Channel(n, direction="input") for n in range(14)),
    )
    relays = Module("DQ", built_in=True, addresses=(AddressRange("output", 0, 10),))
    compact = tagged(modules=(Module("CPU 1", 1, "CPU", modules=(board, relays)),))
    assert only(compact, "build").text == "CPU 1 is compact: 14 inputs and 10 outputs are built in"
    modular = tagged(modules=(Module("CPU 1", 1, "CPU"), Module("DI", 2, addresses=(AddressRange("input", 0, 8),))))
    assert only(modular, "build").text == (
        "CPU 1 is modular: no inputs or outputs are built in, 1 plugged modules have addresses"
    )


# --- supply and card --------------------------------------------------------------------------------------------


def drawing(name: str, slot: int, current: str) -> Module:
    return Module(name, slot, settings=(Setting("Current draw", current),) if current else ())


@pytest.mark.parametrize(
    ("rating", "currents", "severity", "text"),
    [
        ("2 A", ("500 mA", "0.9 A"), "note", "the modules draw 1.4 A of 2 A (70 %), 0.6 A are left"),
        ("2 A", ("2500 ma",), "error", "the modules draw 2.5 A of 2 A (125 %), 0.5 A are missing"),
        ("2 A", ("500 mA", "1,2 A"), "warning", "the modules draw 1.7 A of 2 A (85 %), 0.3 A are left"),
        ("2 A", ("2 A", "250 mA"), "error", "the modules draw 2.25 A of 2 A (112 %), 0.25 A are missing"),
        ("2 A", ("1 A", ""), "note", "the modules draw at least 1 A of 2 A (50 %), 1 A are left"),
        ("5 A", ("4 A",), "note", "the modules draw 4 A of 5 A (80 %), 1 A are left"),
        ("10 A", ("8 A", "1 mA"), "warning", "the modules draw 8.001 A of 10 A (80 %), 1.999 A are left"),
    ],
)
def test_24_v_budget(rating: str, currents: tuple[str, ...], severity: str, text: str) -> None:
    modules = [drawing(f"M{n}", n, current) for n, current in enumerate(currents, 1)]
    # Ratings of 2, 5 and 10 A at 24 V are common practice, without a source.
    supply = Module("G1", 0, settings=(Setting("Rated current", rating),))
    rack = Module("Rack 0", 0, "rack", modules=(supply, *modules))
    one = only(tagged(modules=(rack,)), "supply")
    assert (one.severity, one.where, one.text) == (severity, "device S / Rack 0", text)
    assert "common practice, without a source" in one.reason


@pytest.mark.parametrize("name", ["Supply", "Power supply 5 A"])
def test_a_rating_is_never_guessed_from_a_name(name: str) -> None:
    supply = Module(name, 0, type_name="Power supply 5 A")
    one = only(tagged(modules=(supply, drawing("DI", 1, "1 A"))), "supply")
    assert one.text == "the modules draw 1 A; what their supply is rated for is not known"


def test_currents_of_a_module_list_are_understood() -> None:
    from asfound.readers.tables.module_list import read

    listed = (
        b"Slot;Module;Stromaufnahme (mA);Nennstrom (A)\n0;Netzteil;;5\n1;DI;25;\n2;DO;40;\n",
        b"Slot;Module;Current draw (A);Rated current (mA)\n0;Power supply;;5000\n1;DI;0.025;\n2;DO;0.04;\n",
    )
    for data in listed:
        assert only(read(data, "m.csv"), "supply").text == "the modules draw 0.065 A of 5 A (1 %), 4.935 A are left"


def test_no_current_no_budget() -> None:
    found_ = inspect(tagged(modules=(Module("DI", 1),)))
    assert "no module states the current it draws: the supply is not inspected" in found_.limits


@pytest.mark.parametrize("card", ["8 MB", "64 kB", "32 GB", "0.5 MB"])
def test_a_card_that_is_large_enough_is_not_told(card: str) -> None:
    copy = tagged(*TAGS, program=PROGRAM, modules=(Module(f"Memory card {card}", 1), Module("CPU", 2)))
    one = only(copy, "memory")
    assert (one.severity, one.text) == ("note", "the program needs about 1 kB")
    assert "common practice, without a source" in one.reason


@pytest.mark.parametrize(("share", "warned"), [(1.0, True), (1.2, True), (1.3, False)])
def test_a_card_that_is_too_small_with_headroom_is_told(share: float, warned: bool) -> None:
    # 25 % headroom is common practice, without a source.
    size = needed(tagged(*TAGS, program=PROGRAM)) / 1024 * share
    found_ = inspect(tagged(*TAGS, program=PROGRAM, modules=(Module(f"Memory card {size:.3f} kB", 1),))).findings
    assert [f.severity for f in found_ if f.check == "memory"].count("warning") == warned


# --- values and the whole ---------------------------------------------------------------------------------------


def test_tuned_values_and_forces() -> None:
    values = (
        ActualValue("SP", "5.8", "5.2", "bar"), ActualValue("Same", "5.20", "5.2"), ActualValue("Time", "90s", "T#1m30s"),
        ActualValue("Delay", "T#3s", "T#8s"), ActualValue("Open", "1"),
    )  # fmt: skip
    copy = Copy(values=values, forces=(Force("Float", "TRUE", "%IX7.0", "stuck"), Force("", "0", "%QX0.0")))
    tuned = only(copy, "tuned values")
    assert tuned.text == "2 of 5 values were tuned: SP: actual 5.8 bar, initial 5.2 (and 1 more)"
    assert tuned.evidence == ("SP: actual 5.8 bar, initial 5.2", "Delay: actual T#3s, initial T#8s")
    assert found(copy, "forces") == [
        ("warning", "force Float", "Float (%IX7.0) is forced to TRUE"),
        ("warning", "force %QX0.0", "%QX0.0 is forced to 0"),
    ]


def test_what_readers_found_is_among_the_findings() -> None:
    copy = Copy(findings=(DataFinding("error", "t.csv, row 3", "the address 'x' is in no known form"),))
    assert found(copy, "data") == [("error", "t.csv, row 3", "the address 'x' is in no known form")]


def test_errors_come_first_and_are_numbered() -> None:
    findings = inspect(tagged(*TAGS, program=PROGRAM)).findings
    order = [("error", "warning", "note").index(f.severity) for f in findings]
    assert order == sorted(order)
    assert [f.id for f in findings] == list(range(1, len(findings) + 1))


def test_an_empty_copy_says_what_was_not_inspected() -> None:
    empty = inspect(Copy(limits=("x.pdf is not understood",)))
    assert empty.findings == ()
    assert empty.limits[0] == "x.pdf is not understood"
    assert len(empty.limits) == 6
