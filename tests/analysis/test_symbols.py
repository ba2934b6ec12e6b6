"""What type an access has, and where a name lies, seen from inside a block."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.aliasing import may_be_one
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.parser import parse_expression
from asfound.model.tags import Tag, TagTable

TEXT = """
TYPE Level : INT (0..9); END_TYPE
TYPE Deeper : Level; END_TYPE
TYPE Row : ARRAY[1..3] OF Deeper; END_TYPE
TYPE Pair : STRUCT one : Level; rows : ARRAY[0..1] OF Row; END_STRUCT END_TYPE
FUNCTION Twice : DINT VAR_INPUT v : INT; END_VAR Twice := v; END_FUNCTION
FUNCTION_BLOCK B
VAR_INPUT go : BOOL; END_VAR VAR_IN_OUT io, io2 : INT; ip : Pair; ir : REAL; unknown : Elsewhere; END_VAR
VAR_EXTERNAL far : INT; whole : Pair; END_VAR
VAR t : TON; p : Pair; d : Deeper; ref : REF_TO Pair; ptr : POINTER TO INT; alias : REFERENCE TO INT; w AT %MW4 : DWORD;
own : INT; list : ARRAY[1..2] OF Pair; END_VAR
own := 1;
ACTION Up : own := 2; END_ACTION
END_FUNCTION_BLOCK
CONFIGURATION C VAR_GLOBAL far AT %MW8 : INT; whole : Pair; real : REAL; tagged : INT; END_VAR END_CONFIGURATION
"""
READ = asfound.read(TEXT.encode(), "p.st")
COPY = replace(READ, tables=(TagTable("T", (Tag("door", "%IX1.0", "BOOL"), Tag("tagged", "%MW20", "WORD"))),))
SYMBOLS = Symbols(COPY)
BLOCK = SYMBOLS.pous["b"]


@pytest.mark.parametrize(
    ("access", "expected"),
    [
        ("own", "INT"), ("OWN", "INT"), ("far", "INT"), ("door", "BOOL"), ("tagged", "INT"), ("nobody", ""),
        ("t.Q", "BOOL"), ("t.et", "TIME"), ("t.nothing", ""), ("p.one", "Level"), ("p.rows", "ARRAY[0..1] OF Row"),
        ("p.rows[1]", "Row"), ("p.rows[1][2]", "Deeper"), ("list[1].one", "Level"), ("own[1]", ""),
        ("ref^", "Pair"), ("ref^.one", "Level"), ("ptr^", "INT"), ("own^", ""), ("d.3", "BOOL"), ("own.%X3", "BOOL"),
        ("C.far", "INT"), ("C.own", ""), ("%MX1.0", "BOOL"), ("%IW3", "WORD"), ("%QD3", "DWORD"), ("%MB2", "BYTE"),
        ("%IL1", "LWORD"), ("%I1.0", "BOOL"), ("Twice(1)", "DINT"), ("Elsewhere(1)", ""), ("1 + 2", ""),
    ],
)  # fmt: skip
def test_the_type_of_an_access(access: str, expected: str) -> None:
    assert SYMBOLS.type_of(parse_expression(access), SYMBOLS.locals_of(BLOCK)) == expected


@pytest.mark.parametrize(
    ("type", "resolved", "subrange"),
    [
        ("Deeper", "INT", "INT (0..9)"), ("level", "INT", "INT (0..9)"), ("INT (1..2)", "INT", "INT (1..2)"),
        ("Row", "ARRAY[1..3] OF Deeper", ""), ("Pair", "Pair", ""), ("INT", "INT", ""), ("ARRAY[1..2] OF INT", "ARRAY[1..2] OF INT", ""),
    ],
)  # fmt: skip
def test_the_type_behind_a_name(type: str, resolved: str, subrange: str) -> None:
    assert (SYMBOLS.resolved(type), SYMBOLS.subrange(type)) == (resolved, subrange)


@pytest.mark.parametrize(
    ("name", "spans"),
    [("w", [(32, 64), (64, 96)]), ("far", [(64, 80), (128, 144)]), ("door", [(8, 9), (16, 17)]), ("own", None), ("nobody", None),
     ("%MB3", [(24, 32)]), ("real", [])],
)  # fmt: skip
def test_where_a_name_lies(name: str, spans: list[tuple[int, int]] | None) -> None:
    found = SYMBOLS.memory(name, BLOCK)
    assert (None if found is None else sorted({(s.start, s.stop) for s in found.spans})) == spans


def test_names_that_a_block_declares_itself() -> None:
    assert {"own", "up", "go", "io"} <= inner_names(BLOCK)
    assert not {"far", "door"} & inner_names(BLOCK)


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("io", "io2", True), ("io", "far", True), ("io", "own", False), ("io", "ir", False), ("far", "whole", False),
        ("ip", "io", True), ("io", "whole", True), ("ip", "whole", True), ("unknown", "io", True), ("io", "real", False),
        ("ir", "real", True), ("alias", "own", True), ("own", "alias", True), ("io", "nobody", True), ("io", "_v1", False),
        ("io", "tagged", True), ("io", "door", False),
    ],
)  # fmt: skip
def test_two_names_that_may_be_one_variable(one: str, other: str, expected: bool) -> None:
    assert may_be_one(SYMBOLS, BLOCK, (one, other)) is expected
    assert may_be_one(SYMBOLS, BLOCK, (other, one)) is expected
