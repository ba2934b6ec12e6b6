"""Everything that has a name, with its place and the memory where it lies."""

from __future__ import annotations

from msgspec.structs import replace

import asfound
from asfound.analysis.located import located, memories
from asfound.analysis.numbering import Numbering
from asfound.language.addresses import BYTES
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.tags import Tag, TagTable

TEXT = """
TYPE Mode : (OFF, ON := 5); END_TYPE
TYPE Pair : STRUCT one : INT; END_STRUCT END_TYPE
PROGRAM P VAR a AT %MW4 : DINT; c : INT; END_VAR VAR_EXTERNAL far : INT; END_VAR
INITIAL_STEP S1: Act(N); END_STEP
STEP S2: END_STEP
TRANSITION FROM S1 TO S2 := c > 1; END_TRANSITION
ACTION Act : c := 1; END_ACTION
TRANSITION Ready : Ready := c > 2; END_TRANSITION
END_PROGRAM
FUNCTION_BLOCK B METHOD Go : BOOL VAR_INPUT hard : BOOL; END_VAR Go := hard; END_METHOD END_FUNCTION_BLOCK
CONFIGURATION C VAR_GLOBAL far AT %MW8 : INT; plain : INT; END_VAR END_CONFIGURATION
"""
CARD = Module("DI", 2, type_name="DI16", addresses=(AddressRange("input", 3, 12), AddressRange("output", None, 8)))
COPY = replace(
    asfound.read(TEXT.encode(), "p.st"),
    tables=(TagTable("T", (Tag("door", "%IX1.0", "BOOL"), Tag("wide", "%MB20", "DWORD"), Tag("none"))),),
    hardware=Hardware((Device("PLC", modules=(Module("Rack", 0, modules=(CARD,)),)),)),
)
BY_BYTE = Numbering((BYTES,))


def test_every_name_with_an_address_lies_at_the_bits_of_its_type() -> None:
    found = {key: (memory.text, [(s.start, s.stop) for s in memory.spans]) for key, memory in memories(COPY, BY_BYTE)}
    assert found == {
        ("p", "a"): ("%MW4", [(32, 64)]),
        ("", "far"): ("%MW8", [(64, 80)]),
        ("", "door"): ("%IX1.0", [(8, 9)]),
        ("", "wide"): ("%MB20", [(160, 192)]),
    }


def test_everything_that_has_a_name_has_a_place() -> None:
    found = {f"{e.place.where}: {e.text}" for e in located(COPY, BY_BYTE)}
    assert {
        "P / a: a AT %MW4 : DINT;", "P / c: c : INT;", "P / action Act: action Act", "P / step S1: step S1",
        "P / step S2: step S2", "P / transition Ready: transition Ready", "B / method Go / hard: hard : BOOL;", "Mode / ON: ON := 5", "Mode / OFF: OFF",
        "Pair / one: one : INT;",
    } <= found  # fmt: skip
    keys = {e.key for e in located(COPY, BY_BYTE)}
    assert {
        ("", "far"),
        ("", "plain"),
        ("", "door"),
        ("p", "s1"),
        ("mode", "on"),
        ("pair", "one"),
        ("go", "hard"),
    } <= keys


def test_a_module_lies_where_it_claims_bytes() -> None:
    (found,) = [e for e in located(COPY, Numbering()) if e.name == "DI"]
    assert found.text == "module DI in slot 2: input bytes 3 to 4"
    assert {(s.start, s.stop) for s in found.memory.spans} == {(24, 36)}
    assert len(found.memory.spans) == len(Numbering().ways)
