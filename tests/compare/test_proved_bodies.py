"""What a comparison makes of proofs of whole bodies."""

from __future__ import annotations

import pytest

from asfound.analysis.leaves import by_place, of_body
from asfound.analysis.places import top
from asfound.compare.changes import Kind, change
from asfound.compare.comparison import compare
from asfound.compare.logic import whole_bodies
from asfound.compare.result import Comparison
from asfound.language.documents import parse_program
from asfound.model.copy import Copy
from asfound.model.logic import Argument, Assign, Call, Variable
from asfound.model.program import Body, Network, Pou, Program

from . import building as b

VARS = "VAR a, b, c, x, y, z : BOOL; t : TON; END_VAR"


def both(old: str, new: str) -> Comparison:
    copies = [Copy(program=parse_program(f"PROGRAM P {VARS}\n{text}\nEND_PROGRAM", "p")) for text in (old, new)]
    return compare(*copies)


def test_statements_that_differ_can_do_the_same_together() -> None:
    found = both("x := a; y := x AND b; z := c;", "x := a; y := a AND b; z := c OR (c AND y);")
    assert found.verdict == "equivalent"
    assert any("the whole body acts the same" in c.details for c in found.changes)


def test_a_split_does_the_same() -> None:
    found = both("x := (a AND b) OR c;", "x := a AND b; x := x OR c;")
    assert found.verdict == "equivalent"


def test_a_difference_that_shows_elsewhere_is_told_with_inputs() -> None:
    found = both("x := a; y := x AND b;", "y := x AND b; x := a;")
    assert found.verdict == "behaviour"
    witnesses = [c.witness for c in found.changes if c.witness is not None]
    assert witnesses and witnesses[0].old.keys() == {"y"}


def test_a_ladder_written_again_as_text() -> None:
    networks = (
        Network((Call(Variable("t"), "TON", (Argument("IN", b.e("a AND NOT b")), Argument("PT", b.e("T#5s")))),)),
        Network((Assign(Variable("x"), b.e("t.Q AND c"), "set"),)),
        Network((Assign(Variable("x"), b.e("b"), "reset"),)),
    )
    text = "t(IN := NOT (b OR NOT a), PT := T#5000ms); IF b THEN x := FALSE; ELSIF t.Q THEN x := x OR c; END_IF;"
    pou = parse_program(f"PROGRAM P {VARS}\n{text}\nEND_PROGRAM", "p").pous[0]
    drawn = Pou("P", "program", variables=pou.variables, bodies=(Body("LD", networks=networks),))
    old = Copy(program=Program(pous=(drawn,)))
    found = compare(old, Copy(program=Program(pous=(pou,))))
    assert [(c.effect, c.summary) for c in found.changes] == [("equivalent", "language LD replaced by ST")]
    wrong = parse_program(f"PROGRAM P {VARS}\n{text.replace('OR c', 'OR a')}\nEND_PROGRAM", "p")
    assert compare(old, Copy(program=wrong)).verdict == "behaviour"


def test_a_doubtful_body_keeps_its_changes() -> None:
    found = both("WHILE a DO x := b; END_WHILE; y := x;", "WHILE a DO x := b; END_WHILE; y := x AND c;")
    assert found.verdict == "behaviour"
    assert all("the whole body acts the same" not in c.details for c in found.changes)


def test_a_new_output_or_a_local_that_an_action_reads_is_seen() -> None:
    old = "PROGRAM P VAR a, x : BOOL; END_VAR x := a; END_PROGRAM"
    for new in (
        "PROGRAM P VAR a, x : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR x := a; q := a; END_PROGRAM",
        "PROGRAM P VAR a, x, q : BOOL; END_VAR x := a; q := a; ACTION Act : x := q; END_ACTION END_PROGRAM",
    ):
        copies = [Copy(program=parse_program(text, "p")) for text in (old, new)]
        added = [c for c in compare(*copies).changes if c.kind == "added" and "statement" in c.summary]
        assert [c.effect for c in added] == ["behaviour"]


LOOP = """FUNCTION Sum : INT VAR_INPUT n : INT; END_VAR VAR i : INT; END_VAR
WHILE i < n DO i := i + 1; Sum := Sum + {}; END_WHILE; END_FUNCTION
FUNCTION Over : INT VAR_INPUT n : INT; END_VAR VAR i : INT; END_VAR
WHILE i < n DO i := i + {}; Over := Over + Sum(i); END_WHILE; END_FUNCTION
"""
MAIN = "PROGRAM P VAR k : INT; x : BOOL; END_VAR {} END_PROGRAM"
CALLS = tuple((f"IF {f}(k) > 3 THEN x := TRUE; ELSE x := FALSE; END_IF;", f"x := {f}(k) > 3;") for f in ("Sum", "Over"))


@pytest.mark.parametrize("calls", CALLS)
@pytest.mark.parametrize(
    ("new", "same"),
    [
        (LOOP.format("i", "1"), (True, True)),
        (LOOP.format("I", "1").replace("n : INT", "N : int (* so often *)"), (True, True)),
        (LOOP.format("i + 1", "1"), (False, False)),
        (LOOP.format("i", "2"), (True, False)),
    ],
)
def test_a_block_that_nobody_can_follow_does_the_same_only_where_it_is_the_same(
    calls: tuple[str, str], new: str, same: tuple[bool, bool]
) -> None:
    blocks = LOOP.format("i", "1"), new
    copies = (
        Copy(program=parse_program(text + MAIN.format(call), "p")) for text, call in zip(blocks, calls, strict=True)
    )
    found = {c.effect for c in compare(*copies).changes if c.path[0] == "P"}
    assert (found == {"equivalent"}) is same[CALLS.index(calls)], found


BLOCK = """FUNCTION_BLOCK B VAR_OUTPUT n : INT; END_VAR VAR k : INT; x : BOOL; END_VAR
{}
METHOD Go : BOOL n := 7; k := 3; Go := TRUE; END_METHOD
ACTION Up : n := 7; k := 3; END_ACTION
END_FUNCTION_BLOCK
PROGRAM P VAR b : B; x : BOOL; n : INT; END_VAR {} END_PROGRAM"""


@pytest.mark.parametrize("call", ["Go();", "x := Go();", "x := THIS^.Go();", "IF Go() THEN x := TRUE; END_IF;"])
@pytest.mark.parametrize("result", ["1", "3"])
def test_a_method_may_write_the_variables_of_its_block(call: str, result: str) -> None:
    """What ``k`` is afterwards is not known here: neither that it stayed nor a case in which it did."""
    bodies = (f"k := 1; {call} n := {value};" for value in ("k", result))
    copies = (Copy(program=parse_program(BLOCK.format(body, ""), "b")) for body in bodies)
    (change,) = compare(*copies).changes
    assert change.effect == "behaviour"
    assert change.witness is None or change.witness.moment == "statement"


@pytest.mark.parametrize("call", ["b.Go();", "x := b.Go();", "b.Up();", "IF b.Go() THEN x := TRUE; END_IF;"])
@pytest.mark.parametrize("result", ["1", "7"])
def test_a_method_or_action_may_write_the_variables_of_an_instance(call: str, result: str) -> None:
    bodies = (f"b.n := 1; {call} n := {value};" for value in ("b.n", result))
    copies = (Copy(program=parse_program(BLOCK.format("", body), "b")) for body in bodies)
    (change,) = compare(*copies).changes
    assert change.effect == "behaviour"
    assert change.witness is None or change.witness.moment == "statement"


@pytest.mark.parametrize(
    ("kind", "path", "expected"),
    [
        ("added", ("P", "statement:1"), "a x b"),
        ("removed", ("P", "statement:1"), "a y c"),
        ("changed", ("P", "statement:1", "branch:1"), "a"),
        ("added", ("P", "statement:1", "branch:1"), "a x b"),
        ("changed", ("P", "statement:2"), "z t.q t c"),
        ("moved", ("P", "statement:2"), "z t.q t c"),
        ("changed", ("P",), "a y c z t.q t x b"),
    ],
)
def test_a_change_speaks_of_what_its_pieces_write_and_then_of_what_they_read(
    kind: Kind, path: tuple[str, ...], expected: str
) -> None:
    codes = ("IF a THEN y := c; END_IF; z := t.Q;", "IF a THEN x := b; END_IF; z := c;")
    old, new = (by_place(of_body(Body("ST", b.st(code)), top("P"), ())) for code in codes)
    told = change("logic", kind, top("P")._replace(path=path), (None, None), "", ())
    assert whole_bodies._names(told, old, new) == tuple(expected.split())


@pytest.mark.parametrize("one", range(3))
@pytest.mark.parametrize("other", range(3))
def test_two_that_moved_past_each_other_may_act_differently_whichever_stayed(one: int, other: int) -> None:
    """WHILE keeps the whole body from being proved."""
    lines = ["x := a;", "y := b;", "z := c;"]
    lines[one] = f"WHILE a DO {'xyz'[one]} := t.Q; END_WHILE;"
    if one != other:
        lines[other] = "t(IN := b, PT := T#1s);"
    found = both(" ".join(lines), " ".join(reversed(lines)))
    assert found.verdict == ("behaviour" if one != other else "equivalent")
