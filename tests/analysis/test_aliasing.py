"""Two names that may be one variable: taken for two, a statement could pass the other's write unseen."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.aliasing import may_be_one
from asfound.analysis.symbols import Symbols
from asfound.model.tags import Tag, TagTable

TEXT = """
TYPE Pair : STRUCT one : INT; deep : Inner; END_STRUCT END_TYPE
TYPE Inner : STRUCT flag : BOOL; END_STRUCT END_TYPE
TYPE Count : INT; END_TYPE
TYPE Ring : STRUCT next : Ring; END_STRUCT END_TYPE
FUNCTION_BLOCK B
VAR_IN_OUT io, other : INT; count : Count; pair : Pair; row : ARRAY[1..3] OF INT; real : REAL; flag : BOOL;
strange : Elsewhere; ring : Ring; END_VAR
VAR_INPUT in : INT; END_VAR
VAR_EXTERNAL far : INT; farReal : REAL; END_VAR
VAR own : INT; ref : REFERENCE TO INT; END_VAR
own := 1;
END_FUNCTION_BLOCK
FUNCTION F : INT VAR_IN_OUT io : INT; END_VAR F := io; END_FUNCTION
CONFIGURATION C VAR_GLOBAL far, near : INT; farReal, nearReal : REAL; nearPair : Pair; END_VAR END_CONFIGURATION
"""
READ = asfound.read(TEXT.encode(), "p.st")
SYMBOLS = Symbols(replace(READ, tables=(TagTable("T", (Tag("tag", "%MW2", "INT"), Tag("bit", "%MX4.0", "BOOL"))),)))


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("io", "other", True),  # both are variables of the caller
        ("io", "count", True),  # of one type behind an alias
        ("io", "far", True), ("far", "io", True),  # a global variable can be passed
        ("io", "near", True), ("io", "tag", True),  # also one that is not declared here
        ("io", "real", False), ("io", "farreal", False), ("io", "bit", False),  # of another type
        ("io", "pair", True), ("pair", "io", True),  # a member of it
        ("io", "row", True), ("row", "other", True),  # an element of it
        ("flag", "pair", True), ("flag", "row", False), ("real", "pair", False),  # a member of a member
        ("io", "nearpair", True), ("io", "nearreal", False), ("nearreal", "io", False),
        ("io", "x_1", True), ("pair", "own", False),
        ("io", "nobody", True),  # of a type that nobody knows
        ("ring", "io", True),  # a circle has no end
        ("io", "own", False), ("io", "in", False),  # memory of the block itself
        ("far", "near", False), ("own", "in", False), ("far", "farreal", False),  # none was passed
        ("ref", "own", True), ("own", "ref", True), ("ref", "farreal", True),  # a reference leads anywhere
        ("io", "_v1", False), ("_v12", "io", False), ("io", "_value", True),  # a wire is none
    ],
)  # fmt: skip
def test_two_names_that_may_be_one_variable(one: str, other: str, expected: bool) -> None:
    assert may_be_one(SYMBOLS, SYMBOLS.pous["b"], (one, other)) is expected


def test_the_result_of_a_function_is_no_variable_of_the_caller() -> None:
    assert not may_be_one(SYMBOLS, SYMBOLS.pous["f"], ("io", "f"))
    assert may_be_one(SYMBOLS, SYMBOLS.pous["f"], ("io", "far"))


MORE = "TYPE Count : INT; END_TYPE TYPE S : STRUCT n : INT; END_STRUCT END_TYPE TYPE E : (first, second); END_TYPE"
SWAPPED = "{} FUNCTION_BLOCK F VAR_IN_OUT {} : {}; io : INT; END_VAR VAR t : S; END_VAR {}{} END_FUNCTION_BLOCK"


@pytest.mark.parametrize(
    ("type", "writes", "verdict"),
    [
        ("Elsewhere", "x := 1;", "behaviour"),  # declared in no export: it may be an INT by another name, or hold one
        ("Elsewhere", "x.n := 1;", "behaviour"),
        ("ARRAY[0..3] OF Elsewhere", "x[1] := 1;", "behaviour"),
        ("Count", "x := 1;", "behaviour"), ("S", "x := t;", "behaviour"),
        ("BOOL", "x := TRUE;", "equivalent"), ("E", "x := second;", "equivalent"),
        ("STRING[10]", "x := 'a';", "equivalent"), ("ARRAY[0..3] OF BOOL", "x[1] := TRUE;", "equivalent"),
        ("TON", "x(IN := TRUE);", "equivalent"),
    ],
)  # fmt: skip
def test_writes_to_what_may_be_one_variable_of_the_caller_are_not_exchanged(
    type: str, writes: str, verdict: str
) -> None:
    orders = ((writes, "io := 2;"), ("io := 2;", writes))
    old, new = (asfound.read(SWAPPED.format(MORE, "x", type, *order).encode(), "p.st") for order in orders)
    assert asfound.compare(old, new).verdict == verdict
