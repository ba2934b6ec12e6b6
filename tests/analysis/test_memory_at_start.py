"""Which declarations set memory when the controller starts: an output that is on before any statement runs."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.start_values import sets_memory, starts
from asfound.analysis.symbols import Symbols
from asfound.model.program import VariableDeclaration

TEXT = """
TYPE On : BOOL := TRUE; END_TYPE
TYPE Off : BOOL := FALSE; END_TYPE
TYPE Alias : On; END_TYPE
TYPE Level : INT (3..9); END_TYPE
TYPE Low : INT (0..9); END_TYPE
TYPE Low5 : INT (0..9) := 5; END_TYPE
TYPE Mode : (IDLE, RUN); END_TYPE
TYPE Late : (IDLE2 := 5, RUN2); END_TYPE
TYPE Never : (IDLE3 := 0, RUN3 := 4); END_TYPE
TYPE Pair : STRUCT one : INT; two : INT := 2; END_STRUCT END_TYPE
TYPE Zero : STRUCT one : INT; two : INT := 0; END_STRUCT END_TYPE
TYPE Deep : STRUCT inner : Pair; END_STRUCT END_TYPE
TYPE Rows : ARRAY[1..2] OF Pair; END_TYPE
FUNCTION_BLOCK Lamp VAR out AT %QX1.0 : BOOL := TRUE; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Dark VAR out AT %QX1.0 : BOOL; mem : INT := 5; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Far VAR_EXTERNAL out : On; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Holder VAR dark : Dark; lamp : Lamp; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Endless VAR e : Endless; END_VAR END_FUNCTION_BLOCK
"""
SYMBOLS = Symbols(asfound.read(TEXT.encode(), "p.st"))


@pytest.mark.parametrize(
    ("type", "initial", "expected"),
    [
        ("BOOL", "", False), ("BOOL", "TRUE", True), ("BOOL", "FALSE", False), ("BOOL", "1", True), ("BOOL", "0", False),
        ("INT", "", False), ("INT", "5", True), ("INT", "0", False), ("INT", "16#0", False), ("REAL", "0.0", False),
        ("REAL", "0.5", True), ("TIME", "T#0s", False), ("TIME", "T#1s", True), ("STRING", "''", False),
        ("STRING", "'a'", True), ("WSTRING", '""', False), ("INT", "LIMIT", True), ("Elsewhere", "", False),
        ("On", "", True), ("on", "", True), ("On", "FALSE", False), ("Off", "", False), ("Alias", "", True),
        ("Level", "", True), ("Low", "", False), ("Low5", "", True), ("INT (3..9)", "", True), ("INT (0..9)", "", False),
        ("INT (-5..9)", "", True), ("Mode", "", False), ("Late", "", True), ("Never", "", False), ("Mode", "RUN", True),
        ("Pair", "", True), ("Zero", "", False), ("Deep", "", True), ("Rows", "", True),
        ("ARRAY[1..2] OF On", "", True), ("ARRAY[1..2] OF INT", "", False), ("ARRAY[1..2] OF ARRAY[0..1] OF Level", "", True),
    ],
)  # fmt: skip
def test_what_a_type_starts_with(type: str, initial: str, expected: bool) -> None:
    assert starts(SYMBOLS, type, initial) is expected


@pytest.mark.parametrize(
    ("type", "address", "initial", "section", "expected"),
    [
        ("BOOL", "%QX0.0", "TRUE", "local", True), ("BOOL", "%QX0.0", "", "local", False),
        ("BOOL", "%MX0.0", "TRUE", "global", True), ("BOOL", "%IX0.0", "TRUE", "local", False),
        ("BOOL", "%I*", "TRUE", "local", False), ("BOOL", "%Q*", "TRUE", "local", True),
        ("BOOL", "%QX0.0", "TRUE", "external", False), ("On", "%QX0.0", "", "local", True),
        ("BOOL", "", "TRUE", "local", False), ("Lamp", "", "", "local", True), ("LAMP", "", "", "local", True),
        ("Dark", "", "", "local", False), ("Holder", "", "", "local", True), ("Holder", "", "", "external", False),
        ("Far", "", "", "local", False), ("Endless", "", "", "local", False), ("Elsewhere", "", "", "local", False),
    ],
)  # fmt: skip
def test_what_a_declaration_sets(type: str, address: str, initial: str, section: str, expected: bool) -> None:
    variable = VariableDeclaration("v", type, section, address, initial)  # type: ignore[arg-type]
    assert sets_memory(SYMBOLS, variable) is expected
