"""Names told through instances: which cylinder, not which type, and never another one."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.names import Names, Outside, address
from asfound.analysis.symbols import Symbols
from asfound.language.parser import parse_expression
from asfound.model.logic import Temporary
from asfound.model.tags import Tag, TagTable

TEXT = """
INTERFACE Moves METHOD Go END_METHOD END_INTERFACE
TYPE Pair : STRUCT left : Valve; n : INT; END_STRUCT END_TYPE
FUNCTION Twice : INT VAR_INPUT v : INT; END_VAR Twice := v; END_FUNCTION
FUNCTION_BLOCK Valve VAR_OUTPUT q : BOOL; lamp AT %QX4.0 : BOOL; END_VAR VAR o AT %Q* : BOOL; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Base VAR held : INT; low AT %MW8 : INT; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Line EXTENDS Base
VAR v : Valve; list : ARRAY[1..2] OF Valve; p : Pair; r : REF_TO Valve; m : Moves; x : INT; at AT %QX0.3 : BOOL; END_VAR
VAR_EXTERNAL far, placed : INT; END_VAR
x := 1;
METHOD Deed VAR inner : INT; x : INT; mv : Valve; END_VAR VAR_EXTERNAL far : INT; END_VAR inner := 1; END_METHOD
ACTION Act : x := 2; END_ACTION
END_FUNCTION_BLOCK
PROGRAM Q VAR_OUTPUT done : BOOL; END_VAR END_PROGRAM
CONFIGURATION Gvl VAR_GLOBAL far : INT; placed AT %MW2 : INT; gv : Valve; END_VAR END_CONFIGURATION
"""
READ = asfound.read(TEXT.encode(), "p.st")
TAGS = TagTable("T", (Tag("door", "%IX1.0", "BOOL"), Tag("plain", "", "BOOL"), Tag("placed", "%MW6", "INT")))
SYMBOLS = Symbols(replace(READ, tables=(TAGS,)))
OUTSIDE = Outside(SYMBOLS)
LINE = SYMBOLS.pous["line"]
BODY = Names(OUTSIDE, LINE, LINE)
METHOD = Names(OUTSIDE, LINE, LINE.members[0])

BOTH = [
    ("far", ("", "far")), ("placed", ("", "%MW2")), ("door", ("", "%IX1.0")), ("plain", ("", "plain")),
    ("nobody", ("", "nobody")), ("%qx1.2", ("", "%QX1.2")), ("at", ("", "%QX0.3")), ("low", ("", "%MW8")),
    ("held", ("held",)), ("Act", ("act",)), ("v.Q", ("v", "q")), ("v", ("v",)), ("v.lamp", ("", "%QX4.0")),
    ("v.o", ("v", "o")), ("list[2].q", ("list", "q")), ("list[1]", ("list",)), ("p.left.q", ("p", "left", "q")),
    ("p.n", ("p",)), ("r^.q", ("*valve", "q")), ("r^", ("r",)), ("m.Go", ("*moves", "go")), ("THIS^.v", ("v",)),
    ("SUPER^.held", ("held",)), ("Gvl.far", ("", "far")), ("Gvl.placed", ("", "%MW2")),
    ("Gvl.gv.q", ("", "gv", "q")), ("gv.q", ("", "gv", "q")), ("Q.done", ("*q", "done")), ("%Q*", ("", "%Q*")),
    ("far.3", ("", "far")),
]  # fmt: skip


@pytest.mark.parametrize(("access", "expected"), [*BOTH, ("X", ("x",)), ("inner", ("", "inner"))])
def test_what_an_access_of_a_body_stands_for(access: str, expected: tuple[str, ...]) -> None:
    assert BODY.access(parse_expression(access)) == {expected}


@pytest.mark.parametrize(
    ("access", "expected"), [*BOTH, ("x", ("deed", "x")), ("inner", ("deed", "inner")), ("mv.q", ("deed", "mv", "q"))]
)
def test_what_an_access_of_a_method_stands_for(access: str, expected: tuple[str, ...]) -> None:
    assert METHOD.access(parse_expression(access)) == {expected}


def test_a_wire_has_a_name_and_a_value_has_none() -> None:
    assert BODY.access(Temporary(3)) == {("_v3",)}
    assert BODY.access(parse_expression("x + 1")) == set()


@pytest.mark.parametrize(
    ("of", "expected"),
    [("v", "valve"), ("list[1]", "valve"), ("THIS^", "line"), ("SUPER^", "line"), ("x", ""), ("Twice", "twice"),
     ("r^", "valve"), ("p", ""), ("nobody", ""), ("line", "")],
)  # fmt: skip
def test_the_block_that_an_instance_is_of(of: str, expected: str) -> None:
    assert BODY.block(parse_expression(of)) == expected


def test_an_instance_stands_where_it_is_declared_or_is_any_of_its_type() -> None:
    table = {
        "v": ("v",), "list[1]": ("list",), "p.left": ("p", "left"), "r^": ("*valve",), "Gvl.gv": ("", "gv"),
        "THIS^.v": ("v",), "r^.x.y": ("*valve",),
    }  # fmt: skip
    assert {of: BODY.instance(parse_expression(of), "valve") for of in table} == table
    assert BODY.instance(parse_expression("m"), "moves") == ("*moves",)
    assert BODY.instance(parse_expression("Q"), "q") == ("*q",)


def test_what_lies_at_an_address() -> None:
    assert [address(text) for text in ("%QX0.3", "%Q*", "")] == [("", "%QX0.3"), None, None]
    assert OUTSIDE.placed("line") == {"at": ("", "%QX0.3"), "low": ("", "%MW8")}
    assert OUTSIDE.placed("valve") == {"lamp": ("", "%QX4.0")}
    assert OUTSIDE.placed("nobody") == {}
    assert OUTSIDE.outside == {"door": ("", "%IX1.0"), "placed": ("", "%MW2")}
    assert (OUTSIDE.at_top("door"), OUTSIDE.at_top("far")) == (("", "%IX1.0"), ("", "far"))


def test_what_names_hang_on_outside_of_every_pou() -> None:
    assert Outside(Symbols(SYMBOLS.copy)).around == OUTSIDE.around
    for other in (
        replace(READ, tables=()),
        replace(READ, tables=(replace(TAGS, tags=(*TAGS.tags[:1], Tag("plain", "", "INT"), TAGS.tags[2])),)),
        replace(SYMBOLS.copy, program=replace(READ.program, globals=())),
        replace(SYMBOLS.copy, program=replace(READ.program, types=())),
        replace(SYMBOLS.copy, program=replace(READ.program, globals=(replace(READ.program.globals[0], name="H"),))),
    ):
        assert Outside(Symbols(other)).around != OUTSIDE.around
