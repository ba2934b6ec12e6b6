"""Who uses a name: of one scope and no other, through an instance, by a call, in a declaration."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users

TEXT = """
TYPE Mode : (OFF, HAND); END_TYPE
TYPE Pair : STRUCT one : INT := START; list : ARRAY[0..N] OF INT; END_STRUCT END_TYPE
FUNCTION Twice : INT VAR_INPUT v : INT; END_VAR Twice := v * 2; END_FUNCTION
FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := go; END_FUNCTION_BLOCK
FUNCTION_BLOCK Motor VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR inner : Valve; END_VAR
inner(go := go); q := inner.q; END_FUNCTION_BLOCK
PROGRAM P VAR v : Valve; m : Motor; s : Pair; x : BOOL; n : INT; mode : Mode; level : INT; END_VAR
v(go := x);
m(go := v.q);
x := m.q AND nobody.q AND thing.q;
n := Twice(v := n) + Twice(n);
level := s.one;
x := C.door;
END_PROGRAM
PROGRAM Q VAR a : ARRAY[1..N] OF BOOL; w : Valve; END_VAR VAR_EXTERNAL level : INT; END_VAR
w(x2);
level := 3;
IF door THEN level := N; END_IF;
END_PROGRAM
CONFIGURATION C VAR_GLOBAL level : INT; x2, door : BOOL; thing : FromElsewhere; END_VAR
VAR_GLOBAL CONSTANT N : INT := 4; START : INT := N; END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#1s, PRIORITY := 1); PROGRAM I WITH T : P; END_RESOURCE END_CONFIGURATION
"""
COPY = asfound.read(TEXT.encode(), "p.st")
USERS = Users(Symbols(COPY))
POUS = {p.name: p for p in COPY.program.pous}


@pytest.mark.parametrize(
    ("pou", "name", "expected"),
    [
        ("Valve", "go", "Valve / statement 1, Motor / statement 1, P / statement 1, Q / statement 1"),
        ("Valve", "Q", "Valve / statement 1, Motor / statement 2, P / statement 2, P / statement 3"),
        ("Motor", "q", "Motor / statement 2, P / statement 3"),
        ("Motor", "inner", "Motor / statement 1, Motor / statement 2"),
        ("Twice", "v", "Twice / statement 1, P / statement 4"),
        ("P", "level", "P / statement 5"),
        ("P", "n", "P / statement 4"),
        ("P", "mode", ""),
    ],
)
def test_a_declared_name_inside_and_through_an_instance(pou: str, name: str, expected: str) -> None:
    assert ", ".join(USERS.of_local(POUS[pou], name)) == expected


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("level", "Q / statement 2, Q / statement 3 / IF branch 1 / statement 1"),
        ("x2", "Q / statement 1"),
        ("n", "Q / statement 3 / IF branch 1 / statement 1"),
        ("door", "P / statement 6, Q / statement 3 / IF branch 1"),
        ("mode", ""),
    ],
)
def test_a_global_name_where_nothing_hides_it(name: str, expected: str) -> None:
    assert ", ".join(USERS.of_global.get(name, ())) == expected


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("valve", "Motor / inner, Motor / statement 1, P / v, P / statement 1, Q / w, Q / statement 1"),
        ("TWICE", "P / statement 4"),
        ("P", "program I"),
        ("Mode", "P / mode"),
        ("Nothing", ""),
    ],
)
def test_a_type_that_is_declared_called_or_run(name: str, expected: str) -> None:
    assert ", ".join(USERS.of_type(name)) == expected


def test_who_uses_a_type_tells_declarations_from_code() -> None:
    found = [(u.owner, u.variable) for u in USERS.uses_of_type("valve")]
    assert found == [("motor", "inner"), ("motor", ""), ("p", "v"), ("p", ""), ("q", "w"), ("q", "")]
    assert [(u.owner, u.variable) for u in USERS.uses_of_type("P")] == [("", "")]


def test_bounds_and_start_values_use_names_too() -> None:
    assert USERS.in_declarations == {"n": ("Q / a", "C / START", "Pair / list"), "start": ("Pair / one",)}


def test_blocks_that_are_called_by_the_order_of_their_arguments() -> None:
    assert USERS.positional == {"valve"}


def test_a_member_of_a_program_that_is_named_by_its_name() -> None:
    text = (
        "PROGRAM Q VAR_OUTPUT done : BOOL; END_VAR END_PROGRAM PROGRAM P VAR x : BOOL; END_VAR x := Q.done; END_PROGRAM"
    )
    users = Users(Symbols(asfound.read(text.encode(), "p.st")))
    assert users.of_member("Q", "done") == ("P / statement 1",) and users.of_member("Q", "other") == ()
