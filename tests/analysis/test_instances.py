"""How often a memory exists and whether it is retained: what is said of one memory must not be said of two."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.instances import retained, single
from asfound.analysis.symbols import Symbols
from asfound.model.copy import Copy
from asfound.model.program import Extension, Instance, Resource, VariableDeclaration

BLOCKS = """
FUNCTION_BLOCK F VAR a : INT; END_VAR a := 1; END_FUNCTION_BLOCK
FUNCTION_BLOCK G VAR {g} END_VAR END_FUNCTION_BLOCK
PROGRAM P {p} END_PROGRAM
CONFIGURATION C {c} END_CONFIGURATION
"""
RUN = "RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); {} END_RESOURCE"


def plant(p: str = "", g: str = "x : INT;", c: str = "", more: str = "") -> Symbols:
    return Symbols(asfound.read((BLOCKS.format(p=p, g=g, c=c) + more).encode(), "p.st"))


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"p": "VAR f : F; END_VAR"}, True),
        ({"p": "VAR f : f; END_VAR"}, True),
        ({}, False),  # nothing holds it
        ({"p": "VAR f, f2 : F; END_VAR"}, False),
        ({"p": "VAR f : ARRAY[1..2] OF F; END_VAR"}, False),
        ({"p": "VAR_TEMP f : F; END_VAR"}, False),  # begins anew in each cycle
        ({"p": "VAR f : F; END_VAR VAR_EXTERNAL e : F; END_VAR"}, True),  # names a memory that stands elsewhere
        ({"p": "VAR f : F; END_VAR VAR_IN_OUT e : F; END_VAR"}, True),
        ({"c": "VAR_GLOBAL f : F; END_VAR"}, True),
        ({"p": "VAR f : F; END_VAR", "c": "VAR_GLOBAL f2 : F; END_VAR"}, False),
        ({"p": "VAR g : G; END_VAR", "g": "f : F;"}, True),
        ({"p": "VAR g, g2 : G; END_VAR", "g": "f : F;"}, False),
        ({"p": "VAR g : G; END_VAR", "g": "f : G;"}, False),
        ({"p": "VAR f : F; END_VAR", "c": RUN.format("PROGRAM I WITH T : P;")}, True),
        ({"p": "VAR f : F; END_VAR", "c": RUN.format("PROGRAM I WITH T : P; PROGRAM J WITH T : P;")}, False),
        ({"p": "VAR f : F; END_VAR", "more": "FUNCTION_BLOCK H EXTENDS F END_FUNCTION_BLOCK"}, False),
        ({"more": "TYPE S : STRUCT f : F; END_STRUCT END_TYPE"}, False),
        ({"p": "VAR f : F; END_VAR", "more": "TYPE S : STRUCT f : F; END_STRUCT END_TYPE"}, False),
        ({"p": "VAR f : F; END_VAR", "more": "TYPE S : ARRAY[1..2] OF F; END_TYPE"}, False),
        ({"more": "FUNCTION N : INT VAR f : F; END_VAR N := 1; END_FUNCTION"}, False),
    ],
)  # fmt: skip
def test_whether_there_is_one_memory(parts: dict[str, str], expected: bool) -> None:
    found = plant(**parts)
    assert single(found, found.pous["f"]) is expected


def test_a_block_that_holds_itself_is_no_single_memory() -> None:
    for text in ("g : G;", "f : F;"):
        found = plant(g=text, more="FUNCTION_BLOCK K VAR l : L; END_VAR END_FUNCTION_BLOCK "
                                   "FUNCTION_BLOCK L VAR k : K; END_VAR END_FUNCTION_BLOCK")  # fmt: skip
        assert not single(found, found.pous["k"]) and not single(found, found.pous["g"])


@pytest.mark.parametrize(
    ("instances", "expected"),
    [("", True), ("PROGRAM I WITH T : P;", True), ("PROGRAM I WITH T : P; PROGRAM J WITH T : P;", False)],
)
def test_a_program_is_one_memory_unless_it_runs_twice(instances: str, expected: bool) -> None:
    found = plant(c=RUN.format(instances))
    assert single(found, found.pous["p"]) is expected


@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ({"p": "VAR f : F; END_VAR"}, False),
        ({"p": "VAR RETAIN f : F; END_VAR"}, True),
        ({"p": "VAR RETAIN f : ARRAY[1..2] OF F; END_VAR"}, True),
        ({"p": "VAR RETAIN other : INT; END_VAR VAR f : F; END_VAR"}, False),
        ({"p": "VAR NON_RETAIN f : F; END_VAR"}, False),
        ({"c": "VAR_GLOBAL RETAIN f : F; END_VAR"}, True),
        ({"p": "VAR RETAIN g : G; END_VAR", "g": "f : F;"}, True),
        ({"p": "VAR g : G; END_VAR", "g": "f : F;"}, False),
        ({"p": "VAR g : G; f : F; END_VAR", "g": "f : F;", "c": "VAR_GLOBAL RETAIN g : G; END_VAR"}, True),
        ({"p": "VAR g : G; END_VAR", "g": "g : G; f : F;"}, False),
        ({"p": "VAR RETAIN s : S; END_VAR", "more": "TYPE S : STRUCT f : F; END_STRUCT END_TYPE"}, True),
        ({"p": "VAR RETAIN s : S; END_VAR", "more": "TYPE S : ARRAY[1..2] OF F; END_TYPE"}, True),
    ],
)
def test_whether_a_memory_is_retained_by_what_holds_it(parts: dict[str, str], expected: bool) -> None:
    found = plant(**parts)
    assert retained(found, found.pous["f"]) is expected


def _running(copy: Copy, *instances: Instance) -> Symbols:
    resource = Resource("R", "C", instances=instances)
    return Symbols(replace(copy, program=replace(copy.program, resources=(resource,))))


@pytest.mark.parametrize(
    ("instance", "expected"),
    [
        (Instance("I", "P"), False),
        (Instance("I", "P", extensions=(Extension("retain", "RETAIN"),)), True),
        (Instance("I", "p", extensions=(Extension("other", "x"), Extension("retain", "RETAIN"))), True),
        (Instance("P", "", extensions=(Extension("retain", "RETAIN"),)), True),
        (Instance("P", "Q", extensions=(Extension("retain", "RETAIN"),)), False),
        (Instance("I", "P", extensions=(Extension("retain", "NON_RETAIN"),)), False),
    ],
)
def test_a_program_that_is_retained_retains_its_blocks(instance: Instance, expected: bool) -> None:
    found = _running(plant("VAR f : F; END_VAR").copy, instance)
    assert retained(found, found.pous["f"]) is expected and retained(found, found.pous["p"]) is expected


def test_what_is_persistent_is_retained() -> None:
    found = plant("VAR f : F; END_VAR")
    (pou,) = (p for p in found.copy.program.pous if p.name == "P")
    kept = replace(pou, variables=(VariableDeclaration("f", "F", persistent=True),))
    pous = tuple(kept if p is pou else p for p in found.copy.program.pous)
    symbols = Symbols(replace(found.copy, program=replace(found.copy.program, pous=pous)))
    assert retained(symbols, symbols.pous["f"])
