"""Where each instance of each block stands: one that is missed is touched by nothing that changes."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.reach import Side
from asfound.analysis.symbols import Symbols


def side(text: str) -> Side:
    return Side(Symbols(asfound.read(text.encode(), "p.st")))


def places(found: Side) -> dict[str, str]:
    return {".".join(place): name for place, name in found.instances.of.items()}


VALVE = "FUNCTION_BLOCK Valve VAR_OUTPUT q : BOOL; END_VAR END_FUNCTION_BLOCK "
RUN = "CONFIGURATION C RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); {} END_RESOURCE END_CONFIGURATION"
HOLD = VALVE + "PROGRAM P VAR v : Valve; END_VAR END_PROGRAM "


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (HOLD, {"p": "p", "p.v": "valve"}),
        (VALVE, {"valve": "valve"}),
        (VALVE + "PROGRAM P VAR v, w : Valve; n : INT; END_VAR END_PROGRAM",
         {"p": "p", "p.v": "valve", "p.w": "valve"}),
        (VALVE + "PROGRAM P VAR v : ARRAY[1..2] OF Valve; END_VAR END_PROGRAM", {"p": "p", "p.v": "valve"}),
        (VALVE + "PROGRAM P VAR v : ARRAY[1..2] OF ARRAY[1..3] OF Valve; END_VAR END_PROGRAM",
         {"p": "p", "p.v": "valve"}),
        (VALVE + "TYPE S : STRUCT a : Valve; n : INT; b : Inner; END_STRUCT END_TYPE "
         "TYPE Inner : STRUCT c : Valve; END_STRUCT END_TYPE PROGRAM P VAR s : S; END_VAR END_PROGRAM",
         {"p": "p", "p.s.a": "valve", "p.s.b.c": "valve"}),
        (VALVE + "TYPE V : Valve; END_TYPE PROGRAM P VAR v : V; END_VAR END_PROGRAM", {"p": "p", "p.v": "valve"}),
        (VALVE + "PROGRAM P VAR_EXTERNAL g : Valve; END_VAR END_PROGRAM "
         "CONFIGURATION C VAR_GLOBAL g : Valve; END_VAR END_CONFIGURATION", {"p": "p", ".g": "valve"}),
        (VALVE + "FUNCTION_BLOCK Line VAR a : Valve; END_VAR END_FUNCTION_BLOCK "
         "PROGRAM P VAR l : Line; END_VAR END_PROGRAM", {"p": "p", "p.l": "line", "p.l.a": "valve"}),
        (VALVE + "FUNCTION_BLOCK Line EXTENDS Valve VAR n : INT; END_VAR END_FUNCTION_BLOCK "
         "FUNCTION_BLOCK Base VAR a : Line; END_VAR END_FUNCTION_BLOCK "
         "FUNCTION_BLOCK Top EXTENDS Base END_FUNCTION_BLOCK PROGRAM P VAR t : Top; END_VAR END_PROGRAM",
         {"p": "p", "p.t": "top", "p.t.a": "line", "base": "base", "base.a": "line", "valve": "valve"}),
        (VALVE + "FUNCTION_BLOCK Line METHOD Deed VAR m : Valve; END_VAR m(); END_METHOD END_FUNCTION_BLOCK "
         "PROGRAM P VAR l : Line; END_VAR END_PROGRAM", {"p": "p", "p.l": "line", "p.l.deed.m": "valve"}),
        ("INTERFACE I METHOD Go END_METHOD END_INTERFACE PROGRAM P VAR i : I; END_VAR END_PROGRAM", {"p": "p", "i": "i"}),
        ("FUNCTION F : INT VAR_INPUT v : INT; END_VAR F := v; END_FUNCTION "
         "PROGRAM P VAR x, y : INT; END_VAR x := F(1) + F(2); y := F(3); END_PROGRAM",
         {"p": "p", "p.x:f": "f", "p.y:f": "f"}),
        ("FUNCTION F : INT VAR_INPUT v : INT; END_VAR F := v; END_FUNCTION", {"f": "f"}),
        ("FUNCTION_BLOCK A VAR a : A; n : INT; END_VAR END_FUNCTION_BLOCK", {"a": "a"}),
        ("FUNCTION_BLOCK A VAR b : B; END_VAR END_FUNCTION_BLOCK FUNCTION_BLOCK B VAR a : A; END_VAR END_FUNCTION_BLOCK",
         {"a": "a", "a.b": "b"}),
        ("FUNCTION_BLOCK A VAR b : B; END_VAR END_FUNCTION_BLOCK FUNCTION_BLOCK B VAR n : INT; END_VAR END_FUNCTION_BLOCK",
         {"a": "a", "a.b": "b"}),
        (HOLD + RUN.format("PROGRAM Run1 WITH T : P;"), {"p": "p", "p.v": "valve"}),
        (HOLD + RUN.format("PROGRAM Run1 WITH T : P; PROGRAM Run2 WITH T : P;"),
         {"run1": "p", "run1.v": "valve", "run2": "p", "run2.v": "valve"}),
        (HOLD + "CONFIGURATION C RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM One WITH T : P; "
         "END_RESOURCE RESOURCE S ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM One WITH T : P; "
         "END_RESOURCE END_CONFIGURATION", {"r.one": "p", "r.one.v": "valve", "s.one": "p", "s.one.v": "valve"}),
    ],
)  # fmt: skip
def test_where_instances_stand(text: str, expected: dict[str, str]) -> None:
    assert places(side(text)) == expected


def test_a_block_inside_of_itself_is_one_instance() -> None:
    found = side("FUNCTION_BLOCK A VAR a : A; END_VAR END_FUNCTION_BLOCK PROGRAM P VAR x : A; END_VAR END_PROGRAM")
    assert places(found) == {"p": "p", "p.x": "a", "a": "a"}
    assert found.instances.shared == {("p", "x", "a"): ("a",), ("a", "a"): ("a",)}


def test_a_block_that_is_given_by_a_call_stands_where_it_was_declared() -> None:
    user = "FUNCTION_BLOCK User VAR_IN_OUT v : Valve; END_VAR v(); END_FUNCTION_BLOCK "
    text = "PROGRAM P VAR u : User; w : Valve; END_VAR {} END_PROGRAM"
    assert places(side(VALVE + user + text.format("u(v := w);"))) == {"p": "p", "p.u": "user", "p.w": "valve"}
    assert places(side(VALVE + user + text.format("u();"))) == {
        "p": "p", "p.u": "user", "p.u.v": "valve", "p.w": "valve",
    }  # fmt: skip


def test_programs_are_known_by_the_name_of_their_instance_and_of_its_resource() -> None:
    found = side(HOLD + RUN.format("PROGRAM Run1 WITH T : P; PROGRAM Run2 WITH T : P;")).instances.programs
    assert found == {"run1": ("run1",), "r.run1": ("run1",), "run2": ("run2",), "r.run2": ("run2",)}
    assert side(HOLD + RUN.format("PROGRAM Run1 WITH T : P;")).instances.programs == {"run1": ("p",), "r.run1": ("p",)}


def test_what_a_block_is() -> None:
    text = (
        "INTERFACE I END_INTERFACE INTERFACE J END_INTERFACE FUNCTION_BLOCK A IMPLEMENTS I END_FUNCTION_BLOCK "
        "FUNCTION_BLOCK B EXTENDS A IMPLEMENTS J END_FUNCTION_BLOCK"
    )
    found = side(text).instances
    assert [list(found.kinds(name)) for name in ("a", "b", "nobody")] == [["a", "i"], ["b", "j", "a", "i"], []]
