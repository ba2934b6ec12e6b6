"""Variables that are declared in another scope: one change with their count, and when it acts the same."""

from __future__ import annotations

import pytest

import asfound
from asfound.compare.result import Comparison
from asfound.model.copy import Copy

CONFIGURATION = (
    "CONFIGURATION C VAR_GLOBAL {} END_VAR RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1);"
    " PROGRAM I WITH T : P; {} END_RESOURCE END_CONFIGURATION "
)
LOCAL = "PROGRAM P VAR n : INT := 3; END_VAR n := n + 1; END_PROGRAM "
EXTERNAL = "PROGRAM P VAR_EXTERNAL n : INT; END_VAR n := n + 1; END_PROGRAM "
BLOCK = "FUNCTION_BLOCK F {} n := n + 1; END_FUNCTION_BLOCK PROGRAM P VAR {} : F; END_VAR f(); END_PROGRAM "
OTHER = "PROGRAM Q VAR m : INT; END_VAR {} END_PROGRAM "
N, TWICE = "n : INT := 3;", "PROGRAM J WITH T : P;"
MOVED = "n: local variable of {} -> global variable in C"


def copy(pous: str, shared: str = "", more: str = "") -> Copy:
    return asfound.read((CONFIGURATION.format(shared, more) + pous).encode(), "p.st")


def kept(pous: str, shared: str = "") -> Copy:
    """The same with a program that is retained."""
    text = CONFIGURATION.format(shared, "").replace("PROGRAM I", "PROGRAM RETAIN I")
    return asfound.read((text + pous).encode(), "p.st")


def lines(found: Comparison) -> list[str]:
    return [" | ".join((f"{c.effect} {c.kind} {c.where}", *c.details)) for c in found.changes]


SAME: dict[str, tuple[Copy, Copy, str]] = {
    "declared as external": (copy(LOCAL), copy(EXTERNAL, N), "P"),
    "used without a declaration": (copy(LOCAL), copy("PROGRAM P n := n + 1; END_PROGRAM ", N), "P"),
    "used under its list": (copy(LOCAL), copy("PROGRAM P C.n := C.n + 1; END_PROGRAM ", N), "P"),
    "of a block with one instance": (
        copy(BLOCK.format("VAR n : INT; END_VAR", "f")), copy(BLOCK.format("", "f"), "n : INT;"), "F"
    ),
    "a constant of a function": (
        copy("FUNCTION F : INT VAR CONSTANT n : INT := 2; END_VAR F := n; END_FUNCTION "),
        asfound.read(
            (CONFIGURATION.format("n : INT := 2;", "").replace("VAR_GLOBAL", "VAR_GLOBAL CONSTANT")
             + "FUNCTION F : INT F := n; END_FUNCTION ").encode(), "p.st"),
        "F",
    ),
    "at an address, in every instance": (
        copy(BLOCK.format("VAR n AT %MW4 : INT; END_VAR", "f, g")), copy(BLOCK.format("", "f, g"), "n AT %MW4 : INT;"),
        "F",
    ),
    "a global one of the same address was there": (
        copy("PROGRAM P VAR n AT %MW4 : INT; END_VAR n := n + 1; END_PROGRAM ", "n AT %MW4 : INT;"),
        copy("PROGRAM P n := n + 1; END_PROGRAM ", "n AT %MW4 : INT;"), "P",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SAME)
def test_one_memory_in_both_scopes_acts_the_same(name: str) -> None:
    old, new, owner = SAME[name]
    assert lines(asfound.compare(old, new)) == [f"equivalent moved C / n | {MOVED.format(owner)}"]
    back = f"equivalent moved {owner} / n | n: global variable in C -> local variable of {owner}"
    assert lines(asfound.compare(new, old)) == [back]


WRITES, READS = OTHER.format("m := 1; n := 0;"), OTHER.format("m := n;")
DIFFERENT: dict[str, tuple[Copy, Copy, str]] = {
    "several instances of the program": (
        copy(LOCAL, more=TWICE), copy(EXTERNAL, N, TWICE), "P may have several instances, each with a variable of its own"
    ),
    "several instances of the block": (
        copy(BLOCK.format("VAR n : INT; END_VAR", "f, g")), copy(BLOCK.format("", "f, g"), "n : INT;"),
        "F may have several instances",
    ),
    "an array of instances": (
        copy(BLOCK.format("VAR n : INT; END_VAR", "f : F; g").replace("g : F", "g : ARRAY[1..2] OF F")),
        copy(BLOCK.format("", "f : F; g").replace("g : F", "g : ARRAY[1..2] OF F"), "n : INT;"),
        "F may have several instances",
    ),
    "new at each call": (
        copy("PROGRAM P VAR_TEMP n : INT; END_VAR n := n + 1; END_PROGRAM "), copy(EXTERNAL, "n : INT;"),
        "what a call keeps for itself starts anew each time",
    ),
    "of a retained instance": (
        copy(BLOCK.format("VAR n : INT; END_VAR", "f").replace("P VAR", "P VAR RETAIN")),
        copy(BLOCK.format("", "f").replace("P VAR", "P VAR RETAIN"), "n : INT;"), "the instance of F is retained",
    ),
    "of a retained program that holds the instance": (
        kept(BLOCK.format("VAR n : INT; END_VAR", "f")), kept(BLOCK.format("", "f"), "n : INT;"),
        "the instance of F is retained",
    ),
    "of a block that holds itself": (
        copy(BLOCK.format("VAR n : INT; f : F; END_VAR", "f")), copy(BLOCK.format("VAR f : F; END_VAR", "f"), "n : INT;"),
        "F may have several instances",
    ),
    "written in another program": (copy(LOCAL + OTHER.format("m := 1;")), copy(EXTERNAL + WRITES, N), "n is also written in Q / statement 2"),
    "given to something that writes it": (
        copy(LOCAL + "FUNCTION W : INT VAR_IN_OUT v : INT; END_VAR v := 0; END_FUNCTION " + OTHER.format("m := 1;")),
        copy(EXTERNAL + "FUNCTION W : INT VAR_IN_OUT v : INT; END_VAR v := 0; END_FUNCTION " + OTHER.format("m := W(n);"), N),
        "n is also written in Q / statement 1",
    ),
    "two of a name became one": (
        copy(LOCAL + LOCAL.replace("P ", "Q ", 1)), copy(EXTERNAL + EXTERNAL.replace("P ", "Q ", 1), N),
        "n is also written in Q / statement 1",
    ),
    "another variable of that name elsewhere": (
        copy(LOCAL + READS), copy(EXTERNAL + READS, N), "Q / statement 1 uses the name n too",
    ),
    "a global one was there": (copy(LOCAL, N), copy(EXTERNAL, N), "both copies have the global one"),
    "read through its instance": (
        copy(BLOCK.format("VAR n : INT; END_VAR", "f").replace("f();", "f(); x := f.n;")),
        copy(BLOCK.format("", "f").replace("f();", "f(); x := f.n;"), "n : INT;"),
        "n is reached through its instance in P / statement 2",
    ),
    "in a function": (
        copy("FUNCTION F : INT VAR n : INT; END_VAR n := n + 1; F := n; END_FUNCTION "),
        copy("FUNCTION F : INT n := n + 1; F := n; END_FUNCTION ", "n : INT;"), "starts anew each time",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DIFFERENT)
def test_what_is_not_one_memory_may_act_differently(name: str) -> None:
    old, new, reason = DIFFERENT[name]
    for found in (asfound.compare(old, new), asfound.compare(new, old)):
        moved = [c for c in found.changes if c.kind == "moved" and "-> " in c.summary and "variable" in c.summary]
        assert moved and all(c.effect == "behaviour" for c in moved)
        assert any(reason in detail for detail in moved[0].details)


@pytest.mark.parametrize(
    ("shared", "told"),
    [
        ("n : INT := 4;", "behaviour changed C / n | initial value 3 -> 4 (takes effect when it is initialised)"),
        ("n : DINT := 3;", "behaviour changed C / n | type INT -> DINT"),
        ("n AT %MW2 : INT := 3;", "behaviour readdressed C / n | address none -> %MW2"),
    ],
)
def test_what_else_differs_is_told_with_it(shared: str, told: str) -> None:
    (line, *rest) = lines(asfound.compare(copy(LOCAL), copy("PROGRAM P n := n + 1; END_PROGRAM ", shared)))
    assert not rest and line.startswith(f"{told} | {MOVED.format('P')}")


def test_a_comment_is_told_apart_and_the_rest_acts_the_same() -> None:
    found = asfound.compare(copy(LOCAL), copy(EXTERNAL, "n : INT := 3; (* counts *)"))
    assert lines(found) == [
        "documentation changed C / n | comment: none -> counts",
        f"equivalent moved C / n | {MOVED.format('P')}",
    ]


def test_what_no_export_declares_is_undecided_and_has_no_other_address() -> None:
    local = "PROGRAM P VAR n AT %QX1.0 : BOOL; m AT %QX1.1 : BOOL; END_VAR n := m; END_PROGRAM "
    outside = "PROGRAM P VAR_EXTERNAL n, m : BOOL; END_VAR n := m; END_PROGRAM "
    there, back = asfound.compare(copy(local), copy(outside)), asfound.compare(copy(outside), copy(local))
    assert [c.summary for c in there.changes] == ["2 local variables of P became external, and no export declares them"]
    assert [c.summary for c in back.changes] == ["2 external variables, which no export declares, became local to P"]
    assert {there.verdict, back.verdict} == {"undecided"}


def test_a_local_that_is_gone_and_not_used_has_not_moved() -> None:
    old = copy("PROGRAM P VAR n, k : INT; END_VAR k := k + 1; END_PROGRAM ", "n : INT;")
    new = copy("PROGRAM P VAR k : INT; END_VAR k := k + 1; END_PROGRAM ", "n : INT;")
    assert [c.kind for c in asfound.compare(old, new).changes] == ["removed"]


def test_a_list_that_came_with_its_variables_tells_its_own_data() -> None:
    new = "VAR_GLOBAL n : INT := 3; k : INT; END_VAR PROGRAM P n := n + 1; k := n; END_PROGRAM"
    old = "PROGRAM P VAR n : INT := 3; k : INT; END_VAR n := n + 1; k := n; END_PROGRAM"
    there, back = (
        asfound.compare(*(asfound.read(t.encode(), "p.st") for t in pair)) for pair in ((old, new), (new, old))
    )
    assert [c.effect for c in there.changes] == [c.effect for c in back.changes] == ["equivalent"]


def test_a_retained_variable_says_that_its_value_goes_with_the_name() -> None:
    retained = CONFIGURATION.format(N, "").replace("VAR_GLOBAL", "VAR_GLOBAL RETAIN") + EXTERNAL
    old = copy(LOCAL.replace("VAR ", "VAR RETAIN ", 1))
    (change,) = asfound.compare(old, asfound.read(retained.encode(), "p.st")).changes
    assert (change.effect, change.details[1:]) == ("equivalent", ("access paths and retained values go with the name",))


def test_a_local_variable_hides_a_global_one_that_was_renamed() -> None:
    old = copy(
        "PROGRAM P VAR o : INT; END_VAR o := g; END_PROGRAM " + OTHER.format("g := 3; g := g + m; g := g * 5;"),
        "g : INT;",
    )
    new = copy(
        "PROGRAM P VAR x : INT; o : INT; END_VAR o := x; END_PROGRAM "
        + OTHER.format("x := 3; x := x + m; x := x * 5;"),
        "x : INT;",
    )
    told = [(c.effect, c.summary) for c in asfound.compare(old, new).changes]
    assert told == [
        ("equivalent", "global variable g renamed to x"),
        ("behaviour", "x: global variable in C -> local variable of P"),
    ]
