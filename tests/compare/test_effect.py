"""Every reason why a variable in another scope may act differently, with its place; and none where the memory is one."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.compare.scopes.effect import Sides, reasons
from asfound.compare.scopes.find import scope_moves
from asfound.model.program import VariableDeclaration

CONFIGURATION = (
    " CONFIGURATION C VAR_GLOBAL {} END_VAR RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1);"
    " PROGRAM I WITH T : P; {} END_RESOURCE {} END_CONFIGURATION"
)
LOCAL = "PROGRAM P VAR n : INT; END_VAR n := n + 1; END_PROGRAM "
SHARED = "PROGRAM P n := n + 1; END_PROGRAM "
Q = "PROGRAM Q VAR m : INT; {} END_VAR {} END_PROGRAM "
N = "n : INT;"


def side(pous: str, shared: str = "", programs: str = "", more: str = "") -> Sides:
    return Sides.of(Symbols(asfound.read((pous + CONFIGURATION.format(shared, programs, more)).encode(), "p.st")))


def why(here: Sides, there: Sides, pou: str = "p", also: tuple[str, ...] = ()) -> list[tuple[str, str | None, str]]:
    """Field, place and name of each reason."""
    declared = next(v for v in here.symbols.pous[pou].variables if v.name.lower() == "n")
    return [(e.field, e.new, e.of) for e in reasons(pou, declared, here, there, frozenset((pou, *also)))]


Reasons = list[tuple[str, str | None, str]]
BLOCK = "FUNCTION_BLOCK F {} n := n + 1; END_FUNCTION_BLOCK PROGRAM P VAR {} : F; END_VAR f(); END_PROGRAM "
TWICE = "PROGRAM J WITH T : P;"
FAR = "VAR_ACCESS far : {} : INT READ_WRITE; END_VAR"
EXTERNAL = "VAR_EXTERNAL n : INT; END_VAR"
ROWS: dict[str, tuple[Sides, Sides, Reasons]] = {
    "one memory": (side(LOCAL), side(SHARED, N), []),
    "a name that is used elsewhere already": (
        side(LOCAL + Q.format("", "m := 1; m := n; m := m + n;")), side(SHARED, N),
        [("named elsewhere", "Q / statement 2", "n"), ("named elsewhere", "Q / statement 3", "n")],
    ),
    "a name that is external elsewhere already": (
        side(LOCAL + Q.format(f"END_VAR {EXTERNAL} VAR", "m := 1;")), side(SHARED, N), [("named elsewhere", "Q", "n")],
    ),
    "a name that is external elsewhere already, and used": (
        side(LOCAL + Q.format(f"END_VAR {EXTERNAL} VAR", "m := n;")), side(SHARED, N),
        [("named elsewhere", "Q", "n"), ("named elsewhere", "Q / statement 1", "n")],
    ),
    "another name that is external elsewhere": (
        side(LOCAL + Q.format("END_VAR VAR_EXTERNAL k : INT; END_VAR VAR", "m := k;")), side(SHARED, N), [],
    ),
    "a local variable of another program": (
        side(LOCAL + Q.format("n : INT;", "m := n; n := 1;")), side(SHARED + Q.format("n : INT;", "m := n; n := 1;"), N), [],
    ),
    "a name that a bound elsewhere uses": (
        side(LOCAL + Q.format("k : ARRAY[0..n] OF INT;", "m := 1;")), side(SHARED, N),
        [("named elsewhere", "Q / k", "n")],
    ),
    "a bound elsewhere uses its own": (
        side(LOCAL + Q.format("n : INT; k : ARRAY[0..n] OF INT;", "m := 1;")), side(SHARED, N), [],
    ),
    "written elsewhere before": (
        side(LOCAL + Q.format("", "m := 1; n := 2; n := 3;")), side(SHARED, N),
        [("named elsewhere", "Q / statement 2", "n"), ("named elsewhere", "Q / statement 3", "n"),
         ("written elsewhere", "Q / statement 2", "n"), ("written elsewhere", "Q / statement 3", "n")],
    ),
    "written elsewhere now": (
        side(LOCAL), side(SHARED + Q.format("", "m := n; n := 2;"), N), [("written elsewhere", "Q / statement 2", "n")],
    ),
    "given to what nobody knows": (
        side(LOCAL), side(SHARED + Q.format("", "m := n; Theirs(n);"), N),
        [("written elsewhere", "Q / statement 2", "n")],
    ),
    "reached by a path now": (
        side(LOCAL), side(SHARED, N, more=FAR.format("R.I.n")), [("reached through", "far", "n")],
    ),
    "reached by a path before": (
        side(LOCAL, more=FAR.format("R.I.N")), side(SHARED, N), [("reached through", "far", "n")],
    ),
    "a path to another one": (side(LOCAL, more=FAR.format("R.I.m")), side(SHARED, N), []),
    "a path that passes something of that name": (side(LOCAL, more=FAR.format("R.n.m")), side(SHARED, N), []),
    "a path of one word": (side(LOCAL), side(SHARED, N, more=FAR.format("n")), []),
    "several instances before": (
        side(LOCAL, programs=TWICE), side(SHARED, N), [("several instances", None, "P")],
    ),
    "several instances of a program in other letters": (
        side(LOCAL, programs=TWICE), side(SHARED.replace("P ", "p ", 1), N), [("several instances", None, "P")],
    ),
    "several instances now": (side(LOCAL), side(SHARED, N, TWICE), [("several instances", None, "P")]),
    "an address that is still open, in several instances": (
        side("PROGRAM P VAR n AT %M* : INT; END_VAR n := n + 1; END_PROGRAM ", programs=TWICE), side(SHARED, N),
        [("several instances", None, "P")],
    ),
    "an address, in several instances": (
        side("PROGRAM P VAR n AT %MW2 : INT; END_VAR n := n + 1; END_PROGRAM ", programs=TWICE), side(SHARED, N), [],
    ),
    "a constant, in several instances": (
        side("PROGRAM P VAR CONSTANT n : INT := 1; END_VAR END_PROGRAM ", programs=TWICE), side(SHARED, N), [],
    ),
    "new at each call": (
        side("PROGRAM P VAR_TEMP n : INT; END_VAR n := n + 1; END_PROGRAM ", programs=TWICE), side(SHARED, N),
        [("new at each call", None, "")],
    ),
    "a function now": (
        side(LOCAL), side("FUNCTION P : INT n := n + 1; P := n; END_FUNCTION ", N), [("new at each call", None, "")],
    ),
    "a function before": (
        side("FUNCTION P : INT VAR n : INT; END_VAR P := n; END_FUNCTION "), side(SHARED, N),
        [("new at each call", None, "")],
    ),
    "a global one was there": (side(LOCAL, N), side(SHARED, N), [("another", None, "n")]),
    "a global one was there, and used": (
        side(LOCAL + Q.format("", "m := n;"), N), side(SHARED + Q.format("", "m := n;"), N), [("another", None, "n")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_every_reason_is_told_with_its_place(name: str) -> None:
    here, there, expected = ROWS[name]
    assert why(here, there) == expected


HELD = "PROGRAM P VAR RETAIN f : F; END_VAR f(); END_PROGRAM "
OWN = "FUNCTION_BLOCK F VAR {} n : INT; END_VAR n := n + 1; END_FUNCTION_BLOCK "
BARE = "FUNCTION_BLOCK F n := n + 1; END_FUNCTION_BLOCK "


@pytest.mark.parametrize(
    ("said", "expected"),
    [("", [("retained instance", None, "F")]), ("RETAIN", []), ("PERSISTENT", [])],
)
def test_a_retained_instance_counts_where_the_variable_says_nothing_itself(said: str, expected: Reasons) -> None:
    assert why(side(OWN.format("") + HELD), side(BARE + HELD, N), "f") == [("retained instance", None, "F")]
    declared = VariableDeclaration("n", "INT", retain="retain" if said == "RETAIN" else "", persistent="P" in said)
    found = reasons("f", declared, side(OWN.format("") + HELD), side(BARE + HELD, N), frozenset("f"))
    assert [(e.field, e.new, e.of) for e in found] == expected


def test_a_retained_instance_is_named_as_it_is_written_here() -> None:
    here, there = side(OWN.format("") + HELD), side(BARE.replace("F ", "f ", 1) + HELD, N)
    assert why(here, there, "f") == [("retained instance", None, "F")]
    loose = HELD.replace("RETAIN", "")
    assert why(side(OWN.format("") + loose), side(BARE + HELD, N), "f") == [], "what counts is what it was"


def test_what_is_read_through_its_instance_is_named_elsewhere() -> None:
    read, plain = (HELD.replace("RETAIN", "").replace("f();", f"f(); {code}") for code in ("x := f.n;", "f();"))
    assert why(side(OWN.format("") + read), side(BARE + plain, N), "f") == [("reached through", "P / statement 2", "n")]
    assert why(side(OWN.format("") + plain), side(BARE + read, N), "f") == [("reached through", "P / statement 2", "n")]


def test_another_mover_does_not_name_it_elsewhere() -> None:
    here = side(LOCAL + Q.format(f"END_VAR {EXTERNAL} VAR", "m := 1;"))
    assert why(here, side(SHARED, N), also=("q",)) == []


def test_those_that_moved_from_several_programs_count_as_one_group() -> None:
    old = LOCAL + LOCAL.replace("P ", "Q ", 1)
    new = SHARED + SHARED.replace("P ", "Q ", 1)
    copies = [
        asfound.read((text + CONFIGURATION.format(s, "", "")).encode(), "p.st") for text, s in ((old, ""), (new, N))
    ]
    for moves in (scope_moves(*copies), scope_moves(*copies[::-1])):
        assert [(m.pou, m.name, [(e.field, e.new) for e in m.reasons]) for m in moves] == [
            ("p", "n", [("written elsewhere", "Q / statement 1")]),
            ("q", "n", [("written elsewhere", "P / statement 1")]),
        ]
