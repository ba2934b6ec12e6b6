"""Where a name or an address is used, by its name, by its scope and by the memory it shares with others."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.crossreference import cross_reference
from asfound.language.addresses import BYTES, Memory
from asfound.model.copy import Copy
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.logic import Assign, Call, Jump, Label, Variable
from asfound.model.problem import Problem
from asfound.model.program import Body, Network, Pou, Program
from asfound.model.tags import Tag, TagTable

TEXT = """
FUNCTION_BLOCK Drive
VAR_INPUT START : BOOL; END_VAR
VAR_OUTPUT RUNS : BOOL; END_VAR
RUNS := START;
END_FUNCTION_BLOCK

PROGRAM Main
VAR_EXTERNAL DOOR : BOOL; END_VAR
VAR PUMP : Drive; n : INT; LEVELS : ARRAY[1..4] OF INT; END_VAR
PUMP(START := DOOR AND %IX0.5, RUNS => %QX4.1);
IF PUMP.RUNS THEN n := n + 1; END_IF;
LEVELS[n] := 3;
%MW10 := INT_TO_WORD(n);
END_PROGRAM

PROGRAM Other
VAR DOOR : BOOL; A1 AT %QW0 : WORD; A2 AT %QW2 : WORD; LAMP AT %QW4 : WORD; FLAG AT %MX11.7 : BOOL; END_VAR
DOOR := FLAG;
END_PROGRAM

CONFIGURATION Plant
VAR_GLOBAL DOOR AT %IX0.3 : BOOL; END_VAR
RESOURCE Cpu ON PLC
TASK Fast(INTERVAL := T#10ms, PRIORITY := 1);
PROGRAM First WITH Fast : Main;
END_RESOURCE
END_CONFIGURATION
"""


def uses(asked: str, copy: Copy | None = None) -> list[str]:
    """``access where: text`` of everything found."""
    found = cross_reference(copy or asfound.read(TEXT.encode(), "plant.st"), asked)
    return [f"{u.access} {u.where}: {u.text}" for u in found.uses]


def test_a_global_variable_is_not_the_local_one_of_the_same_name() -> None:
    assert uses("Other.DOOR") == [
        "declared Other / DOOR: DOOR : BOOL;",
        "written Other / statement 1: DOOR := FLAG;",
    ]
    assert "written Other / statement 1: DOOR := FLAG;" in uses("door"), "without a scope every DOOR is meant"
    (named,) = [u for u in uses("Plant.DOOR") if "statement" in u]
    assert named.startswith("read Main / statement 1: PUMP(START := DOOR")


def test_an_address_is_found_under_its_names_and_a_name_under_its_address() -> None:
    by_address = uses("%IX0.3")
    assert by_address == [
        "declared Plant / DOOR: DOOR AT %IX0.3 : BOOL;",
        "declared Main / DOOR: DOOR : BOOL;",
        "read Main / statement 1: PUMP(START := DOOR AND %IX0.5, RUNS => %QX4.1);",
    ]
    assert uses("%I0.3") == by_address, "the size letter X may be left out (IEC 61131-3:2013 6.5.5.2, from memory)"


def test_a_bit_and_the_word_over_it_are_found_together() -> None:
    """A word lies over its two bytes and their bits: common practice of byte-addressed controllers."""
    assert uses("FLAG") == [
        "declared Other / FLAG: FLAG AT %MX11.7 : BOOL;",
        "written Main / statement 4: %MW10 := INT_TO_WORD(n);",
        "read Other / statement 1: DOOR := FLAG;",
    ]
    assert "written Main / statement 1: PUMP(START := DOOR AND %IX0.5, RUNS => %QX4.1);" in uses("LAMP")
    assert cross_reference(asfound.read(TEXT.encode(), "p.st"), "%QX4.1").also == ("LAMP (%QW4)",)


def test_a_pin_is_written_by_the_call_and_read_inside_the_block() -> None:
    assert uses("Drive.START") == [
        "declared Drive / START: START : BOOL;",
        "read Drive / statement 1: RUNS := START;",
        "written Main / statement 1: PUMP(START := DOOR AND %IX0.5, RUNS => %QX4.1);",
    ]
    assert "read Main / statement 2 / IF branch 1: IF PUMP.RUNS THEN" in uses("PUMP.RUNS")
    assert "read Main / statement 2 / IF branch 1: IF PUMP.RUNS THEN" in uses("Drive.RUNS")


def test_a_pin_is_written_by_a_call_that_gives_it_no_name() -> None:
    text = """
    FUNCTION Half : INT VAR_INPUT whole : INT; END_VAR Half := whole / 2; END_FUNCTION
    FUNCTION_BLOCK Drive VAR_INPUT start : BOOL; speed : INT; END_VAR VAR_OUTPUT runs : BOOL; END_VAR runs := start; END_FUNCTION_BLOCK
    PROGRAM P VAR d : Drive; a : BOOL; n : INT; END_VAR d(a, Half(n)); END_PROGRAM
    """
    copy = asfound.read(text.encode(), "p.st")
    assert "written P / statement 1: d(a, Half(n));" in uses("Drive.start", copy)
    assert "written P / statement 1: d(a, Half(n));" in uses("Half.whole", copy)
    assert "written P / statement 1: d(a, Half(n));" in uses("d.speed", copy)
    assert "P / statement 1" not in " ".join(uses("Drive.runs", copy))


def test_a_block_is_used_as_a_type_and_called() -> None:
    assert uses("DRIVE") == [
        "declared Drive: function block Drive",
        "used as type Main / PUMP: PUMP : Drive;",
        "called Main / statement 1: PUMP(START := DOOR AND %IX0.5, RUNS => %QX4.1);",
    ]
    assert "called Cpu / program First: program First run by task Fast" in uses("Main")


def test_an_index_is_read_where_an_element_is_written() -> None:
    assert "read Main / statement 3: LEVELS[n] := 3;" in uses("n")
    assert "written Main / statement 3: LEVELS[n] := 3;" in uses("levels")


def test_whatever_lies_inside_of_what_is_asked_for_is_a_use_of_it() -> None:
    text = """
    TYPE Row : STRUCT list : ARRAY[1..4] OF Cell; p : POINTER TO Cell; END_STRUCT END_TYPE
    TYPE Cell : STRUCT n : INT; END_STRUCT END_TYPE
    PROGRAM P VAR r : Row; a : Far; x : INT; END_VAR
    r.list[1] := r.list[2]; x := r.list[1].n; r.p^ := r.list[3]; a.b[1].c := a.b[x]; a.b.d := 1;
    END_PROGRAM
    """
    copy = asfound.read(text.encode(), "p.st")
    at = {n: [u for u in uses(asked, copy) if f"statement {n}:" in u] for n, asked in enumerate(
        ("r.list", "r.list", "r.p", "a.b", "a.b"), 1)}  # fmt: skip
    assert [[u.split()[0] for u in found] for found in at.values()] == [
        ["written", "read"], ["read"], ["written"], ["written", "read"], ["written"],
    ]  # fmt: skip


@pytest.mark.parametrize(
    "code", ["y := v[i];", "v[i] := y;", "y := w[v[i]];", "y := s.v[i].n;", "y := ABS(v[i]);", "y := p[i]^ + 1;"]
)
def test_an_index_is_read_wherever_it_stands(code: str) -> None:
    text = f"PROGRAM P VAR v, w, p : Rows; s : Elsewhere; i, y : INT; END_VAR {code} END_PROGRAM"
    assert f"read P / statement 1: {code}" in uses("i", asfound.read(text.encode(), "p.st"))


def test_tags_and_modules_at_an_address_are_named() -> None:
    rack = Module("Rack", modules=(Module("DI16", slot=2, addresses=(AddressRange("input", 0, 16),)),))
    tables = (TagTable("Terminals", (Tag("Door_Ok", "%IX0.3", "BOOL"), Tag("Spare", "%IX2.0", "BOOL"))),)
    copy = Copy(tables=tables, hardware=Hardware((Device("PLC1", modules=(rack,)),)))
    assert uses("Door_Ok", copy) == [
        "declared PLC1 / module Rack / module DI16: module DI16 in slot 2: input bytes 0 to 1",
        "declared tag Door_Ok: Door_Ok AT %IX0.3 : BOOL;",
    ]
    assert len(uses("Spare", copy)) == 1, "byte 2 lies outside the module"


def test_steps_and_actions_of_a_chart() -> None:
    chart = """
PROGRAM Seq
VAR GO, OUT : BOOL; END_VAR
INITIAL_STEP Idle: END_STEP
TRANSITION FROM Idle TO Fill := GO; END_TRANSITION
STEP Fill: Open(N); END_STEP
ACTION Open: OUT := TRUE; END_ACTION
TRANSITION FROM Fill TO Idle := NOT GO AND Fill.X; END_TRANSITION
END_PROGRAM
"""
    copy = asfound.read(chart.encode(), "seq.st")
    assert uses("Open", copy) == [
        "declared Seq / action Open: action Open",
        "called Seq / step Fill: action Open (N) of step Fill",
    ]
    found = uses("Fill", copy)
    assert "written Seq / transition Idle -> Fill: Idle -> Fill when GO" in found
    assert any(line.startswith("read Seq / transition Fill -> Idle") for line in found)


def test_nothing_of_that_name_is_said_in_one_sentence() -> None:
    with pytest.raises(Problem) as raised:
        uses("XYZZY")
    assert str(raised.value) == (
        "nothing is called 'XYZZY', and no statement uses it; write a variable, tag, block or step, POU.NAME, "
        "or a direct address such as %IX0.3."
    )


@pytest.mark.parametrize("area", ["I", "Q", "M"])
def test_shared_bits_against_a_map_of_every_bit(area: str) -> None:
    """Brute force: two addresses share memory when their sets of (byte, bit) meet; sizes IEC 61131-3 table 16."""
    sizes = {"B": 1, "W": 2, "D": 4, "L": 8}
    covered = {f"%{area}X{byte}.{bit}": {(byte, bit)} for byte in range(12) for bit in (0, 7)}
    covered |= {
        f"%{area}{letter}{byte}": {(b, bit) for b in range(byte, byte + size) for bit in range(8)}
        for letter, size in sizes.items()
        for byte in range(9)
    }
    for first, left in covered.items():
        for second, right in covered.items():
            met = Memory.at(first, (BYTES,)).meets(Memory.at(second, (BYTES,)))
            assert met == ("yes" if left & right else "no"), (first, second)


def test_an_address_may_be_asked_for_as_tag_tables_write_it() -> None:
    copy = asfound.read(b"PROGRAM P VAR a : BOOL; END_VAR a := %IX0.0; a := T5; END_PROGRAM", "p.st")
    for asked in ("E 0.0", "e0.0", "I0.0", "%IX0.0"):
        assert [u.access for u in cross_reference(copy, asked).uses] == ["read"], asked
    assert [u.where for u in cross_reference(copy, "t5").uses] == ["P / statement 2"]  # a name wins
    with pytest.raises(Problem):
        cross_reference(copy, "A 0.0")


def test_heads_of_loops_and_arms_are_told_as_they_are_said() -> None:
    text = """PROGRAM P VAR i, k, n : INT; END_VAR
FOR i := k TO n BY 2 DO ; END_FOR; FOR i := k TO 9 DO ; END_FOR; CASE k OF 1, N1: i := 1; END_CASE;
WHILE k > 1 DO ; END_WHILE; REPEAT ; UNTIL k > 2 END_REPEAT; IF k > 3 THEN ; END_IF; END_PROGRAM"""
    found = uses("k", asfound.read(text.encode(), "p.st"))
    assert [line for line in found if line.startswith("read")] == [
        "read P / statement 1: FOR i := k TO n BY 2 DO",
        "read P / statement 2: FOR i := k TO 9 DO",
        "read P / statement 3: CASE k OF",
        "read P / statement 4: loop while or until k > 1",
        "read P / statement 5: loop while or until k > 2",
        "read P / statement 6 / IF branch 1: IF k > 3 THEN",
    ]
    assert uses("N1", asfound.read(text.encode(), "p.st")) == ["read P / statement 3 / CASE arm 1: CASE arm 1, N1"]


def test_a_condition_of_a_drawn_statement_is_read() -> None:
    go = Variable("go")
    statements = (
        Assign(Variable("y"), Variable("a"), condition=go), Call(Variable("f"), "F", condition=go), Jump("on", go), Label("on"),
    )  # fmt: skip
    pou = Pou("P", "program", bodies=(Body("LD", networks=tuple(Network((each,)) for each in statements)),))
    found = uses("go", Copy(program=Program(pous=(pou,))))
    assert [line.partition(":")[0] for line in found] == [f"read P / rung {n}" for n in (1, 2, 3)]
    assert uses("f", Copy(program=Program(pous=(pou,))))[0].startswith("called P / rung 2: ")
