"""Two lists of statements: what moved and why it matters, what is alike, and what became of the comments."""

from __future__ import annotations

import pytest

from asfound.analysis.places import top
from asfound.compare.context import Context, Scope
from asfound.compare.logic.dependence import dependences, in_order, unknown
from asfound.compare.logic.sequences import (
    Fingerprint,
    comment_change,
    comment_edits,
    compare_statements,
    fingerprint,
    resemblance,
)
from asfound.compare.pairing.pair import Pair
from asfound.compare.wording.phrases import edit
from asfound.model.copy import Copy
from asfound.model.program import Pou, Program, VariableDeclaration

from . import building as b

INTS = tuple(VariableDeclaration(name, "INT") for name in "abcdfgijkmnpqxyz")
POU = Pou(
    "P",
    "program",
    variables=(*INTS, VariableDeclaration("r", "POINTER TO INT"), VariableDeclaration("u", "INT", "external")),
)
COPY = Copy(program=Program(pous=(POU,)))
Fact = tuple[object, ...]


def scope() -> Scope:
    return Scope(Context(COPY, COPY), (POU, POU))


def told(old: str, new: str) -> list[Fact]:
    """Kind, effect, number now and before, both texts, and field, of and owner of each edit."""
    before, after = b.st(old), b.st(new)
    return [
        (
            c.kind, c.effect, c.path[-1].rpartition(":")[2], c.old_path[-1].rpartition(":")[2] if c.old_path else "",
            c.before, c.after, *((e.field, e.of, e.owner) for e in c.edits),
        )
        for c in compare_statements(scope(), top("P"), Pair(before, after, before))
    ]  # fmt: skip


A, B, C = "a := 1;", "b := 2;", "c := a + 3;"
ROWS: dict[str, tuple[str, str, list[Fact]]] = {
    "nothing": (A + B + C, A + B + C, []),
    "one that came": (A + C, A + B + C, [("added", "behaviour", "2", "", None, B, ("code added", "", ""))]),
    "one that went": (A + B + C, A + C, [("removed", "behaviour", "2", "", B, None, ("code removed", "", ""))]),
    "one that changed and moved down": (
        B + C, A + B + "c := a + 4;",
        [("changed", "behaviour", "3", "2", C, "c := a + 4;", ("calculation", "", "")),
         ("added", "behaviour", "1", "", None, A, ("code added", "", ""))],
    ),
    "one that moved past what does not concern it": (
        A + C + B, B + A + C,
        [("moved", "equivalent", "1", "3", B, B, ("moved", "statement", B), ("unaffected", "", ""))],
    ),
    "one that moved past what reads it": (
        A + C + B, C + B + A,
        [("moved", "behaviour", "3", "1", A, A, ("moved", "statement", A), ("read before written", "a", ""))],
    ),
    "one that moved past what writes what it reads": (
        C + A + B, A + B + C,
        [("moved", "behaviour", "3", "1", C, C, ("moved", "statement", C), ("read after written", "a", ""))],
    ),
    "one that moved past what nobody sees": (
        "u := 1;" + A + "Theirs();", A + "Theirs();" + "u := 1;",
        [("moved", "undecided", "3", "1", "u := 1;", "u := 1;", ("moved", "statement", "u := 1;"), ("elsewhere", "u", ""))],
    ),
    "one that moved and is spelled otherwise": (
        A + C + B, "B := 2;" + A + C,
        [("moved", "equivalent", "1", "3", B, "B := 2;", ("moved", "statement", "B := 2;"), ("unaffected", "", ""), ("spelling", "", ""))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_what_stayed_moved_came_and_went(name: str) -> None:
    old, new, expected = ROWS[name]
    found = told(old, new)
    assert [fact[:6] for fact in found] == [fact[:6] for fact in expected]
    assert [fact[6:8] for fact in found] == [fact[6:8] for fact in expected]


def test_one_that_moved_and_acts_otherwise_says_both() -> None:
    (found,) = compare_statements(scope(), top("P"), Pair(b.st(A + C + B), b.st(C + B + "a := 5;"), b.st(A + C + B)))
    assert (found.kind, found.effect) == ("changed", "behaviour")
    assert [(e.field, e.old, e.new, e.of) for e in found.edits] == [
        ("literal", "1", "5", ""), ("moved too", "1", "3", "statement"), ("read before written", None, None, "a"),
    ]  # fmt: skip


PASSED = "c := {} + k + 3;"


@pytest.mark.parametrize(("was", "now"), [("a", "d"), ("d", "a")])
def test_what_is_passed_counts_as_it_was_and_as_it_is(was: str, now: str) -> None:
    changes = told(A + PASSED.format(was) + B, PASSED.format(now) + B + A)
    (moved,) = [fact for fact in changes if fact[0] == "moved"]
    assert (moved[1], moved[-1]) == ("behaviour", ("read before written", "a", ""))


@pytest.mark.parametrize(("was", "now"), [("a", "d"), ("d", "a")])
def test_what_moves_counts_as_it_was_and_as_it_is(was: str, now: str) -> None:
    changes = told(A + PASSED.format(was) + B, PASSED.format(now) + A + B)
    told_of = [fact for fact in changes if "c :=" in str(fact[4]) or fact[0] == "moved"]
    assert "read before written" in str(told_of) or "read after written" in str(told_of)


WHY: dict[str, tuple[str, str, list[Fact]]] = {
    "nothing in common": ("a := b;", "c := d;", []),
    "both read it": ("a := b;", "c := b;", []),
    "read before written": ("a := 1;", "c := A;", [("read before written", "A", "")]),
    "read after written": ("c := a;", "a := 1;", [("read after written", "a", "")]),
    "written by both": ("a := 1;", "a := 2;", [("written last by the first", "a", "")]),
    "several, by name": (
        "b := 1; a := 1;", "c := b; d := a;", [("read before written", "a", ""), ("read before written", "b", "")],
    ),
    "a return": ("a := 1;", "RETURN;", [("program flow", "", "")]),
    "a return before": ("RETURN;", "a := 1;", [("program flow", "", "")]),
    "what nobody sees": ("u := 1;", "Theirs();", [("elsewhere", "u", "")]),
    "what nobody sees touches nothing of its own": ("a := 1;", "Theirs();", []),
    "a reference": ("r^ := 1;", "a := 2;", [("referred", "r", "")]),
    "a reference behind": ("a := 1;", "b := r^;", [("referred", "r", "")]),
}  # fmt: skip


@pytest.mark.parametrize("name", WHY)
def test_why_the_order_of_two_matters(name: str) -> None:
    first, second, expected = WHY[name]
    found = dependences(scope(), b.st(first), b.st(second))
    assert [(e.field, e.of, e.owner) for e in found] == expected


def test_reasons_are_sorted_and_what_is_known_comes_first() -> None:
    named = [edit("read after written", of=of) for of in "ab"]
    hidden = [edit("elsewhere", of=""), edit("elsewhere", of="a")]
    flow = edit("program flow")
    assert in_order([hidden[0], flow, *named[::-1], hidden[1], named[0]]) == (*named, flow, hidden[1], hidden[0])
    kinds = ("elsewhere", "elsewhere written", "through a reference", "counted")
    assert unknown([edit(kind, of="a", inner=(named[0],)) for kind in kinds])
    assert not unknown([hidden[0], named[0]])
    assert unknown([])


def prints(*writes: str, features: str = "") -> Fingerprint:
    return Fingerprint(frozenset(writes), frozenset(features.split()))


RESEMBLANCES: list[tuple[Fingerprint, Fingerprint, float]] = [
    (prints("y", features="y a b"), prints("y", features="y a b"), 1.0),
    (prints("y", features="y a b"), prints("y", features="y c d"), 0.55),
    (prints("y", features="y a b"), prints("z", features="z a b"), 0.45),
    (prints("y", features="y a b"), prints("y", features="y a c"), 0.55 + 0.45 / 3),
    (prints("y", features="y a"), prints("z", features="z a"), 0.225),
    (prints("y", features="y a"), prints("y", features="y a"), 0.775),
    (prints("y", "z"), prints("y"), 0.275),
    (prints(features="a b"), prints(features="a b"), 1.0),
    (prints(features="a"), prints(features="a"), 0.5),
    (prints(features="a b"), prints(features="a c"), 1 / 3),
    (prints(), prints(), 0.0),
    (prints("y"), prints(), 0.0),
]


@pytest.mark.parametrize(("one", "other", "expected"), RESEMBLANCES)
def test_targets_weigh_more_than_operands_and_few_operands_little(
    one: Fingerprint, other: Fingerprint, expected: float
) -> None:
    assert resemblance(one, other) == pytest.approx(expected)
    assert resemblance(other, one) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("code", "writes"),
    [
        ("y := a;", {"y"}),
        ("y := a; z := b;", {"y", "z"}),
        ("IF a = 1 THEN y := b; END_IF;", {"y"}),
        ("RETURN;", {"return"}),
    ],
)
def test_a_piece_is_known_by_what_it_writes_and_where_it_leads(code: str, writes: set[str]) -> None:
    assert fingerprint(b.st(code)).writes == writes


REMARKS: dict[str, tuple[str, str, list[tuple[str, str | None, str | None]]]] = {
    "the same": ("(* a *) x := 1;", "(* a *) x := 1;", []),
    "one that came": ("x := 1;", "(* a *) x := 1;", [("comment added", None, "a")]),
    "one that went": ("(* a *) x := 1;", "x := 1;", [("comment removed", "a", None)]),
    "another one": ("(* a *) x := 1;", "(* b *) x := 1;", [("comment", "a", "b")]),
    "moved by itself": ("(* a *) x := 1; y := 2;", "x := 1; (* a *) y := 2;", [("comments moved", None, None)]),
    "one moved behind the others": (
        "(* a *) x := 1; (* b *) y := 2; (* c *) z := 3;", "(* b *) x := 1; (* c *) y := 2; (* a *) z := 3;",
        [("comment moved", None, "a")],
    ),
    "one of two, the other is gone": (
        "(* a *) x := 1; (* b *) y := 2;", "x := 1; (* c *) (* d *) y := 2;",
        [("comments", None, "4"), ("comment removed", "a", None), ("comment removed", "b", None),
         ("comment added", None, "c"), ("comment added", None, "d")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", REMARKS)
def test_what_became_of_the_comments(name: str) -> None:
    old, new, expected = REMARKS[name]
    before, after = b.st(old), b.st(new)
    found = compare_statements(scope(), top("P"), Pair(before, after, before))
    assert [(e.field, e.old, e.new) for c in found for e in c.edits] == expected
    assert all((c.kind, c.effect, c.path) == ("changed", "documentation", ("P",)) for c in found)
    assert len(found) == bool(expected)


def test_a_comment_goes_with_the_statement_before_which_it_stands() -> None:
    before, after = b.st("(* a *) x := 1; y := 2; (* b *) z := 3;"), b.st("(* b *) z := 3; (* a *) x := 1; y := 2;")
    found = compare_statements(scope(), top("P"), Pair(before, after, before))
    assert [c.kind for c in found] == ["moved"]
    assert [e.field for e in found[0].edits] == ["moved", "unaffected"]


def test_edits_of_comments_under_any_name() -> None:
    assert comment_edits(["a"], ["b"], "drawn") == (edit("drawn", "a", "b"),)
    assert comment_edits(["a", "b", "c"], ["b", "c", "a", "d"]) == (
        edit("comment added", new="d"), edit("comment moved", new="a"),
    )  # fmt: skip
    assert comment_edits(["a", "b", "c"], ["b", "c", "a"], alone=lambda i, j: (i, j) != (0, 2)) == ()


def test_one_change_for_the_comments_of_a_place() -> None:
    one = comment_change(top("P"), ["a", "b"], [], [edit("comment removed", "a")])
    assert (one.before, one.after, [e.field for e in one.edits]) == ("a\nb", None, ["comment removed"])
    two = comment_change(top("P"), ["a"], ["b"], [edit("comment removed", "a"), edit("comment added", new="b")])
    assert [(e.field, e.new) for e in two.edits] == [
        ("comments", "2"),
        ("comment removed", None),
        ("comment added", "b"),
    ]
