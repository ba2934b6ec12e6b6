"""What the names of one side stand for: types, enumerations, members, arrays and addresses of a proof."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.language.addresses import BYTES, WAYS
from asfound.prove.proof_side import Array, Location, Side, array, located

TEXT = """
TYPE Mode : (IDLE, RUN, Shared); Phase : (FILL, Shared); Numbered : (ONE := 1, TWO := 2); END_TYPE
TYPE Level : INT (0..9); Way : REF_TO INT; Alias : Pair; END_TYPE
TYPE Pair : STRUCT one : INT; Two : Level; END_STRUCT END_TYPE
TYPE Rows : ARRAY[1..2] OF INT; END_TYPE
FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK SR VAR own : BOOL; END_VAR END_FUNCTION_BLOCK
PROGRAM P VAR a, B : INT; END_VAR a := 1; END_PROGRAM
CONFIGURATION C VAR_GLOBAL g, h : INT; END_VAR VAR_GLOBAL G : INT; END_VAR END_CONFIGURATION
"""
SYMBOLS = Symbols(asfound.read(TEXT.encode(), "p.st"))
SIDE = Side((), SYMBOLS, SYMBOLS.pous["p"])


def test_values_of_enumerations_by_each_way_to_write_them() -> None:
    assert SIDE.enumerators == {
        "mode#idle": ("mode", 0), "mode.idle": ("mode", 0), "idle": ("mode", 0),
        "mode#run": ("mode", 1), "mode.run": ("mode", 1), "run": ("mode", 1),
        "mode#shared": ("mode", 2), "mode.shared": ("mode", 2),
        "phase#fill": ("phase", 0), "phase.fill": ("phase", 0), "fill": ("phase", 0),
        "phase#shared": ("phase", 1), "phase.shared": ("phase", 1),
    }  # fmt: skip
    assert SIDE.names == {
        "mode": ("Mode#IDLE", "Mode#RUN", "Mode#Shared"), "phase": ("Phase#FILL", "Phase#Shared"),
        "numbered": ("Numbered#ONE", "Numbered#TWO"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("type", "expected"),
    [
        ("bool", "BOOL"), ("INT", "INT"), ("Level", "INT"), ("TIME", "TIME"), ("LREAL", "LREAL"), ("Mode", "ENUM"),
        ("STRING[80]", "STRING[80]"), ("WSTRING", "WSTRING"), ("Pair", ""), ("Valve", ""), ("Rows", ""), ("", ""), ("DATE", ""),
    ],
)  # fmt: skip
def test_elementary_types(type: str, expected: str) -> None:
    assert SIDE.elementary(type) == expected


def test_a_reference_cannot_be_followed() -> None:
    for type in ("Way", "REF_TO INT", "POINTER TO INT", "reference to INT"):
        with pytest.raises(ReferenceError):
            SIDE.resolved(type)
    assert (SIDE.resolved("Level"), SIDE.resolved("Alias")) == ("INT", "Pair")


def test_members_and_fields() -> None:
    def name(type: str, member: str) -> str:
        found = SIDE.member(type, member)
        return found.type if found is not None else ""

    table = {("Pair", "two"): "Level", ("Alias", "one"): "INT", ("Pair", "three"): "", ("valve", "go"): "BOOL",
             ("Valve", "stop"): "", ("TON", "q"): "BOOL", ("Mode", "idle"): "", ("", "one"): "", ("INT", "x"): ""}  # fmt: skip
    assert {key: name(*key) for key in table} == table
    fields = SIDE.fields("Alias")
    assert fields is not None and [f.name for f in fields] == ["one", "Two"]
    assert [SIDE.fields(type) for type in ("Mode", "Valve", "INT")] == [None] * 3


def test_blocks_of_the_program_go_before_those_of_the_standard() -> None:
    found = {type: SIDE.block(type) for type in ("Valve", "SR", "RS", "Nothing")}
    assert {type: pou and [v.name for v in pou.variables][:1] for type, pou in found.items()} == {
        "Valve": ["go"], "SR": ["own"], "RS": ["S"], "Nothing": None,
    }  # fmt: skip


def test_variables_and_what_several_lists_declare() -> None:
    assert list(SIDE.variables(SIDE.pou)) == ["a", "b"] and SIDE.variables(None) == {}
    assert SIDE.repeated == {"g"}


@pytest.mark.parametrize(
    ("type", "expected"),
    [
        ("ARRAY[1..4, 0..1] OF INT", Array(((1, 4), (0, 1)), "INT")), ("array [-2..3] of Pair ", Array(((-2, 3),), "Pair")),
        ("ARRAY[1..2] OF ARRAY[0..1] OF INT", Array(((1, 2),), "ARRAY[0..1] OF INT")),
        ("ARRAY[1..N] OF INT", None), ("ARRAY[1..2, 1..N] OF INT", None), ("INT", None),
    ],
)  # fmt: skip
def test_the_bounds_of_an_array(type: str, expected: Array | None) -> None:
    assert array(type) == expected


@pytest.mark.parametrize(
    ("address", "type", "elementary", "key"),
    [
        ("%QX1.3", "BOOL", "BOOL", "%Q11+1"), ("%Q1.3", "", "", "%Q11+1"), ("%MB2", "BYTE", "BYTE", "%M16+8"),
        ("%MW2", "INT", "INT", "%M16+16"), ("%MW2", "", "", "%M16+16"), ("%MD4", "REAL", "REAL", "%M32+32"),
        ("%MW2", "REAL", "REAL", "%M16+32"), ("%MW2", "TIME", "TIME", "%M16+64"), ("%MW2", "BOOL", "BOOL", "%M16+16"),
        ("%MW2", "STRING[9]", "STRING[9]", "%M16+64"), ("%MB2", "INT", "INT", "%M16+16"), ("%MD4", "INT", "INT", "%M32+32"),
        ("%MW2", "Pair", "", "%M@%MW2"), ("%Q*", "BOOL", "BOOL", "%?%Q*"), ("strange", "BOOL", "BOOL", "%?strange"),
    ],
)  # fmt: skip
def test_the_location_of_an_address(address: str, type: str, elementary: str, key: str) -> None:
    assert located(address, type, "shown", elementary, (BYTES,)) == Location(key, type, "located", "shown")


def test_an_address_lies_where_each_way_to_count_says() -> None:
    assert set(located("%MW2", "INT", "x", "INT", WAYS).key[2:-3].split("/")) == {"16", "32"}
    assert located("%MB2", "BYTE", "x", "BYTE", WAYS).key == "%M16+8"
    assert set(located("%MD1", "DINT", "x", "DINT", WAYS).key[2:-3].split("/")) == {"8", "16", "32"}
