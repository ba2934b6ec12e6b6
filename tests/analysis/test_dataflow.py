"""Nodes of names, type by type: a name of the wrong node is looked for where nobody uses it."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.dataflow import Scope
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.parser import parse_expression
from asfound.model.logic import Temporary

TEXT = """
FUNCTION_BLOCK Valve VAR_OUTPUT q : BOOL; END_VAR END_FUNCTION_BLOCK
FUNCTION_BLOCK Line VAR v : Valve; list : ARRAY[1..2] OF Valve; r : REF_TO Valve; x : INT; END_VAR
VAR_EXTERNAL far : INT; END_VAR x := 1; END_FUNCTION_BLOCK
PROGRAM Q VAR_OUTPUT done : BOOL; END_VAR END_PROGRAM
CONFIGURATION Gvl VAR_GLOBAL far : INT; gv : Valve; END_VAR END_CONFIGURATION
"""
SYMBOLS = Symbols(asfound.read(TEXT.encode(), "p.st"))
LINE = SYMBOLS.pous["line"]
SCOPE = Scope(SYMBOLS, LINE, inner_names(LINE))


@pytest.mark.parametrize(
    ("access", "expected"),
    [
        ("X", ("line", "x")), ("far", ("", "far")), ("nobody", ("", "nobody")), ("%qx0.1", ("", "%QX0.1")),
        ("v", ("line", "v")), ("v.Q", ("valve", "q")), ("list[2].q", ("valve", "q")), ("list[x]", ("line", "list")),
        ("r^.q", ("valve", "q")), ("r^", ("line", "r")), ("x.3", ("line", "x")), ("gv.q", ("valve", "q")),
        ("Gvl.Far", ("", "far")), ("Q.done", ("q", "done")), ("nobody.q", ("", "nobody")),
    ],
)  # fmt: skip
def test_what_an_access_belongs_to(access: str, expected: tuple[str, str]) -> None:
    assert SCOPE.access(parse_expression(access)) == {expected}


def test_a_wire_belongs_to_its_pou_and_a_value_to_nothing() -> None:
    assert SCOPE.access(Temporary(3)) == {("line", "_v3")}
    assert SCOPE.access(parse_expression("x + 1")) == set()
    assert [SCOPE.block(parse_expression(e)) for e in ("v", "x", "Q", "nobody")] == ["valve", "", "q", ""]
    assert SCOPE.node("V") == ("line", "v") and SCOPE.node("Far") == ("", "far")
