"""What can be touched from what is written, with the way there; an output that is missed is a danger nobody is told."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.numbering import Numbering, together
from asfound.analysis.reach import Graph, Side
from asfound.analysis.symbols import Symbols
from asfound.language.addresses import WAYS
from asfound.model.program import GlobalList, VariableDeclaration

VALVE = "FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR q := go; END_FUNCTION_BLOCK "
USER = "FUNCTION_BLOCK User VAR_IN_OUT u : Valve; END_VAR u(go := TRUE); END_FUNCTION_BLOCK "


def graph(*texts: str, numbering: Numbering | None = None) -> Graph:
    copies = [asfound.read(text.encode(), "p.st") for text in texts]
    sides: list[Side] = []
    for copy in copies:
        sides.append(Side(Symbols(copy), sides[0] if sides else None))
    return Graph(sides, numbering or together(copies))


def reached(found: Graph, *start: str) -> list[str]:
    refs = [tuple(ref.split(".")) if "%" not in ref else ("", ref) for ref in start]
    return [f"{r.output.kind} {r.output.name}: {' > '.join(r.way)}" for r in found.reached(refs)]


def program(code: str, variables: str = "", outside: str = "") -> str:
    declared = f"VAR a, b, c, d : BOOL; {variables} END_VAR"
    return f"{VALVE}{USER}PROGRAM P {declared} {code} END_PROGRAM CONFIGURATION C {outside} END_CONFIGURATION"


@pytest.mark.parametrize(
    ("text", "start", "expected"),
    [
        (program("%QX0.0 := a;"), "p.a", ["physical %QX0.0: P.a > %QX0.0"]),
        (program("%QX0.0 := a;"), "p.b", []),
        (program("%QX0.0 := a;"), "%QX0.0", ["physical %QX0.0: %QX0.0"]),
        (program("b := a; c := b; %QX0.0 := c;"), "p.a", ["physical %QX0.0: P.a > P.b > P.c > %QX0.0"]),
        (program("%QX0.1 := b; %QX0.0 := a; b := a;"), "p.a",
         ["physical %QX0.0: P.a > %QX0.0", "physical %QX0.1: P.a > P.b > %QX0.1"]),
        (program("%QX0.10 := a; %QX0.9 := a; %QX0.2 := a; %QX0.1 := a;"), "p.a",
         ["physical %QX0.1: P.a > %QX0.1", "physical %QX0.2: P.a > %QX0.2", "physical %QX0.9: P.a > %QX0.9",
          "physical %QX0.10: "]),
        (program("IF a THEN %QX0.0 := TRUE; END_IF;"), "p.a", ["physical %QX0.0: P.a > %QX0.0"]),
        (program("v(go := a); %QX0.0 := v.q;", "v : Valve;"), "p.a",
         ["physical %QX0.0: P.a > P.v.go > P.v.q > %QX0.0", "block P.v.q: "]),
        (program("v(go := a);", "v : Valve;"), "p.a", ["block P.v.q: P.a > P.v.go > P.v.q"]),
        (program("v(go := a); w(go := b); %QX0.0 := w.q;", "v, w : Valve;"), "p.a", ["block P.v.q: P.a > P.v.go > P.v.q"]),
        (program("a := far;", outside="VAR_GLOBAL far, more : BOOL; END_VAR"), ".far", ["global far: far"]),
        (program("%QX0.0 := far;", outside="VAR_GLOBAL far : BOOL; END_VAR"), ".far",
         ["physical %QX0.0: far > %QX0.0"]),
        (program("%QX0.0 := r^.q; v(go := a);", "v : Valve; r : REF_TO Valve;"), "p.a",
         ["physical %QX0.0: P.a > P.v.go > P.v.q > %QX0.0", "block P.v.q: "]),
        (program("r^(go := a); %QX0.0 := v.q;", "v : Valve; r : REF_TO Valve;"), "p.a",
         ["physical %QX0.0: P.a > P.v.go > P.v.q > %QX0.0", "block P.v.q: ", "block User.u.q: "]),
        (program("us(u := v); %QX0.0 := v.q;", "v : Valve; us : User;"), "p.us.u.go",
         ["physical %QX0.0: P.us.u.go > P.v.go > P.v.q > %QX0.0", "block P.v.q: "]),
        (program("%MW2 := a; %QX0.0 := %MX2.0;", "x AT %MW4 : INT; y AT %MW6 : INT;"), "p.a",
         ["physical %QX0.0: P.a > %MW2 > %MX2.0 > %QX0.0"]),
        (program("%MW2 := a; %QX0.0 := %MX4.0;", "x AT %MW4 : INT; y AT %MW6 : INT;"), "p.a", []),
    ],
)  # fmt: skip
def test_what_can_be_touched(text: str, start: str, expected: list[str]) -> None:
    assert reached(graph(text), start) == expected


def test_an_instance_that_is_handed_through_a_reference_is_any_of_its_type() -> None:
    line = " FUNCTION_BLOCK Line VAR v : Valve; END_VAR END_FUNCTION_BLOCK"
    of_type = graph(program("us(u := r^); %QX0.0 := v.q;", "v : Valve; us : User; r : REF_TO Valve;"))
    assert reached(of_type, "p.us.u.go")[0] == "physical %QX0.0: P.us.u.go > P.v.go > P.v.q > %QX0.0"
    inside = graph(program("us(u := r^.v); %QX0.0 := l.v.q;", "l : Line; us : User; r : REF_TO Line;") + line)
    assert reached(inside, "p.us.u.go")[0] == "physical %QX0.0: P.us.u.go > P.l.v.go > P.l.v.q > %QX0.0"


def test_what_a_block_inside_of_itself_writes_is_found_at_the_one_instance() -> None:
    ring = (
        "FUNCTION_BLOCK A VAR_INPUT x : BOOL; END_VAR VAR a : A; END_VAR a.x := x; %QX0.0 := a.x; END_FUNCTION_BLOCK "
        "PROGRAM P VAR q : A; b : BOOL; END_VAR q(x := b); END_PROGRAM"
    )
    assert reached(graph(ring), "p.b") == ["physical %QX0.0: P.b > P.q.x > A.x > %QX0.0"]


def test_what_is_reached_is_asked_for_once_in_any_order() -> None:
    found = graph(program("%QX0.0 := a; %QX0.1 := b;"))
    first = found.reached([("p", "a"), ("p", "b")])
    assert found.reached([("p", "b"), ("p", "a"), ("p", "b")]) is first and len(first) == 2
    assert [r.output.at for r in found.reached([("p", "b")])] == ["%QX0.1"]
    assert reached(found, "p.never") == []


def test_each_way_to_count_words_is_followed() -> None:
    text = program("%MW2 := a; %QX0.0 := %MX4.0;")
    assert reached(graph(text, numbering=Numbering(WAYS)), "p.a") == ["physical %QX0.0: P.a > %MW2 > %MX4.0 > %QX0.0"]


def test_names_of_one_memory_are_tied_both_ways() -> None:
    found = program("%MX2.0 := a; %QX0.0 := y; y2 := b;", "y AT %MW2 : INT; y2 AT %MW4 : INT;")
    assert reached(graph(found), "p.a") == ["physical %QX0.0: P.a > %MX2.0 > P.y > %QX0.0"]


def test_what_was_removed_is_followed_as_well() -> None:
    found = graph(program("%QX0.0 := a;"), program("%QX0.1 := a;"))
    assert [r.output.at for r in found.reached([("p", "a")])] == ["%QX0.0", "%QX0.1"]


def test_access_paths_leave_the_controller_and_are_told_with_their_way() -> None:
    path = GlobalList("", "C", (VariableDeclaration("Seen", "BOOL", "access", "P.b"),))
    run = "RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM P WITH T : P; END_RESOURCE"
    copy = asfound.read(program("b := a; v(go := a); %QX0.0 := b;", "v : Valve;", run).encode(), "p.st")
    copy = replace(copy, program=replace(copy.program, globals=(*copy.program.globals, path)))
    found = Graph([Side(Symbols(copy))], together([copy]))
    assert reached(found, "p.a") == [
        "physical %QX0.0: P.a > P.b > %QX0.0", "access path Seen: P.a > Seen", "block P.v.q: ",
    ]  # fmt: skip


def test_configuration_ties_a_name_to_an_address() -> None:
    run = "RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM P WITH T : P; END_RESOURCE"
    copy = asfound.read(program("b := a;", "", run).encode(), "p.st")
    tied = GlobalList("", "C", (VariableDeclaration("R.P.b", "BOOL", "config", "%QX3.0"),))
    copy = replace(copy, program=replace(copy.program, globals=(tied,)))
    found = Graph([Side(Symbols(copy))], together([copy]))
    assert [r.output.at for r in found.reached([("p", "a")])] == ["%QX3.0"]
    assert reached(found, "p.a") == ["physical R.P.b: P.a > P.b > R.P.b"]


def test_a_block_that_is_handed_to_itself_has_no_end() -> None:
    ring = (
        "FUNCTION_BLOCK Ring VAR_IN_OUT other : Ring; END_VAR VAR n : INT; END_VAR other.n := n; END_FUNCTION_BLOCK "
        "PROGRAM P VAR r : Ring; END_VAR r(other := r); END_PROGRAM"
    )
    assert graph(ring).entangled and not graph(program("us(u := v);", "v : Valve; us : User;")).entangled


def test_a_pou_that_is_the_same_is_not_walked_again() -> None:
    text = program("us(u := v); x := MAX2(a := 1); %QX0.0 := a;", "v : Valve; us : User; x : INT;") + (
        " FUNCTION MAX2 : INT VAR_INPUT a : INT; END_VAR MAX2 := a; END_FUNCTION"
    )
    old, new = (Symbols(asfound.read(text.encode(), "p.st")) for _ in range(2))
    first = Side(old)
    names = frozenset(("p", "valve", "user", "max2"))
    again = Side(new, first, names)
    assert all(again.walked[name] is first.walked[name] for name in names)
    assert (again.flow.called, again.flow.handed, again.flow.given) == (
        {name: first.flow.called.get(name, {}) for name in names},
        {name: first.flow.handed.get(name, {}) for name in names},
        {name: first.flow.given.get(name, set()) for name in names},
    )
    assert again.instances.of == first.instances.of
    assert Side(new, first).walked["p"] is not first.walked["p"]
    edited = Symbols(asfound.read(text.replace("%QX0.0 := a", "%QX0.0 := b").encode(), "p.st"))
    assert Side(edited, first, names).walked["p"] is not first.walked["p"]
    assert Side(edited, first, names).walked["valve"] is first.walked["valve"]
    other = Symbols(
        asfound.read(
            text.replace("END_CONFIGURATION", "VAR_GLOBAL a9 : INT; END_VAR END_CONFIGURATION").encode(), "p.st"
        )
    )
    assert Side(other, first, names).walked["p"] is not first.walked["p"]


def test_what_a_path_writes() -> None:
    side = graph(program("IF a THEN b := c; END_IF; d := c;")).sides[0]
    assert side.written(("P", "statement:1")) == {("b",)}
    assert side.written(("P", "statement:2")) == {("d",)}
    assert side.written(("P",)) == {("b",), ("d",)}
    assert side.written(("P", "statement:9")) is None and side.written(("Q",)) is None


def test_a_name_and_all_inside_of_it() -> None:
    found = graph(program("v(go := a); b := v.q;", "v : Valve;"))
    inside = set(found.with_inside(("p", "v")))
    assert {("p", "v"), ("p", "v", "go"), ("p", "v", "q")} <= inside and ("p", "b") not in inside
    assert set(found.with_inside(("p", "b"))) == {("p", "b")}
