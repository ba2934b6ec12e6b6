"""Branches, arms and loops part by part: each change with its place now and before, both texts, its effect and edits."""

from __future__ import annotations

import pytest

from asfound.analysis.places import top
from asfound.compare.context import Context, Scope
from asfound.compare.logic.branches import compare_case, compare_if, compare_loop, condition_changes
from asfound.compare.pairing.pair import Pair
from asfound.compare.result import Change
from asfound.model.copy import Copy
from asfound.model.logic import Case, Expression, For, If, Repeat, While
from asfound.model.program import Pou, Program, VariableDeclaration

from . import building as b

TYPES = {"BOOL": "abcdefgh", "INT": "ijkmxyz"}
DECLARED = tuple(VariableDeclaration(name, type) for type, names in TYPES.items() for name in names)
POU = Pou("P", "program", variables=DECLARED)
COPY = Copy(program=Program(pous=(POU,)))
AT = top("P")
Fact = tuple[object, ...]


def scope() -> Scope:
    return Scope(Context(COPY, COPY), (POU, POU))


def told(changes: list[Change]) -> list[Fact]:
    """Kind, effect, path, the old path where it is another one, both texts, and the edits."""
    return [
        (
            c.kind, c.effect, "/".join(c.path[1:]), "/".join(c.old_path[1:]) if c.old_path != c.path else "",
            c.before, c.after, *((e.field, e.of, *((e.inner[0].field,) if e.inner else ())) for e in c.edits),
        )
        for c in changes
    ]  # fmt: skip


def compared(old: str, new: str) -> list[Fact]:
    (before,), (after,) = b.st(old), b.st(new)
    if isinstance(before, If) and isinstance(after, If):
        return told(compare_if(scope(), AT, Pair(before, after, before)))
    if isinstance(before, Case) and isinstance(after, Case):
        return told(compare_case(scope(), AT, Pair(before, after, before)))
    assert isinstance(before, For | While | Repeat) and isinstance(after, For | While | Repeat)
    return told(compare_loop(scope(), AT, Pair(before, after, before)))


IF = "IF a THEN i := 1; ELSIF b THEN j := 2; k := j; ELSIF c THEN m := 3; END_IF;"
CASE = "CASE i OF 1: x := 1; 2: y := 2; z := y; 3, 4: k := 3; END_CASE;"
ROWS: dict[str, tuple[str, str, list[Fact]]] = {
    "the same IF": (IF, IF, []),
    "another condition": (
        IF, IF.replace("b THEN", "d THEN"),
        [("changed", "behaviour", "branch:2", "", "b", "d", ("condition", "", "operand"))],
    ),
    "a condition in other letters": (
        IF, IF.replace("b THEN", "B THEN"),
        [("changed", "documentation", "branch:2", "", "b", "B", ("condition", "", "spelling alone"))],
    ),
    "another statement": (
        IF, IF.replace("m := 3", "m := 4"),
        [("changed", "behaviour", "branch:3/statement:1", "", "m := 3;", "m := 4;", ("literal", "",))],
    ),
    "a branch that goes": (
        IF, IF.replace("ELSIF b THEN j := 2; k := j; ", ""),
        [("removed", "behaviour", "branch:2", "", "IF b THEN\n  j := 2;\n  k := j;\nEND_IF;", None, ("IF branch removed", ""))],
    ),
    "a branch that goes, and what is in one behind it": (
        IF, IF.replace("ELSIF b THEN j := 2; k := j; ", "").replace("m := 3", "m := 4"),
        [("changed", "behaviour", "branch:2/statement:1", "branch:3/statement:1", "m := 3;", "m := 4;", ("literal", "")),
         ("removed", "behaviour", "branch:2", "", "IF b THEN\n  j := 2;\n  k := j;\nEND_IF;", None, ("IF branch removed", ""))],
    ),
    "a branch that comes": (
        IF.replace("ELSIF b THEN j := 2; k := j; ", ""), IF,
        [("added", "behaviour", "branch:2", "", None, "IF b THEN\n  j := 2;\n  k := j;\nEND_IF;", ("IF branch added", ""))],
    ),
    "branches in another order": (
        IF, "IF b THEN j := 2; k := j; ELSIF a THEN i := 1; ELSIF c THEN m := 3; END_IF;",
        [("moved", "behaviour", "branch:2", "branch:1", None, "a", ("order of branches", ""))],
    ),
    "an ELSE that comes": (
        IF, IF.replace("END_IF", "ELSE i := 0; END_IF"),
        [("added", "behaviour", "else/statement:1", "", None, "i := 0;", ("code added", ""))],
    ),
    "a branch known by what is in it": (
        "IF a AND b THEN i := 1; j := k; END_IF;", "IF c THEN x := 5; ELSIF a AND d THEN i := 1; j := k; END_IF;",
        [("changed", "behaviour", "branch:2", "branch:1", "a AND b", "a AND d", ("condition", "", "operand")),
         ("added", "behaviour", "branch:1", "", None, "IF c THEN\n  x := 5;\nEND_IF;", ("IF branch added", ""))],
    ),
    "the same CASE": (CASE, CASE, []),
    "another selector": (
        CASE, CASE.replace("CASE i", "CASE j"),
        [("changed", "behaviour", "", "", "i", "j", ("selector", "", "operand"))],
    ),
    "other labels": (
        CASE, CASE.replace("2: y", "2, 7: y"),
        [("changed", "behaviour", "arm:2, 7", "arm:2", "2", "2, 7", ("labels", ""))],
    ),
    "labels in another order": (
        CASE, CASE.replace("3, 4:", "4, 3:"),
        [("changed", "documentation", "arm:4, 3", "arm:3, 4", "3, 4", "4, 3", ("labels", ""))],
    ),
    "what an arm does": (
        CASE, CASE.replace("y := 2", "y := 5"),
        [("changed", "behaviour", "arm:2/statement:1", "", "y := 2;", "y := 5;", ("literal", ""))],
    ),
    "an arm that goes": (
        CASE, CASE.replace("2: y := 2; z := y; ", ""),
        [("removed", "behaviour", "arm:2", "", "2:\n  y := 2;\n  z := y;", None, ("CASE arm removed", ""))],
    ),
    "an arm that comes": (
        CASE.replace("2: y := 2; z := y; ", ""), CASE,
        [("added", "behaviour", "arm:2", "", None, "2:\n  y := 2;\n  z := y;", ("CASE arm added", ""))],
    ),
    "arms in another order": (
        CASE, "CASE i OF 2: y := 2; z := y; 1: x := 1; 3, 4: k := 3; END_CASE;",
        [("moved", "undecided", "arm:1", "", None, "1", ("order of arms", ""))],
    ),
    "an ELSE of a CASE that goes": (
        CASE.replace("END_CASE", "ELSE x := 0; END_CASE"), CASE,
        [("removed", "behaviour", "else/statement:1", "", "x := 0;", None, ("code removed", ""))],
    ),
    "the same loop": ("WHILE a DO i := 1; END_WHILE;", "WHILE a DO i := 1; END_WHILE;", []),
    "a WHILE": (
        "WHILE a DO i := 1; END_WHILE;", "WHILE b DO i := 2; END_WHILE;",
        [("changed", "behaviour", "", "", "a", "b", ("loop condition", "", "operand")),
         ("changed", "behaviour", "loop/statement:1", "", "i := 1;", "i := 2;", ("literal", ""))],
    ),
    "a REPEAT": (
        "REPEAT i := 1; UNTIL a END_REPEAT;", "REPEAT i := 1; UNTIL b END_REPEAT;",
        [("changed", "behaviour", "", "", "a", "b", ("loop condition", "", "operand"))],
    ),
    "each part of a FOR": (
        "FOR i := 1 TO 5 BY 2 DO x := i; END_FOR;", "FOR j := 2 TO 6 BY 3 DO x := i; END_FOR;",
        [("changed", "behaviour", "", "", "i", "j", ("loop variable", "", "operand")),
         ("changed", "behaviour", "", "", "1", "2", ("first value", "", "literal")),
         ("changed", "behaviour", "", "", "5", "6", ("last value", "", "literal")),
         ("changed", "behaviour", "", "", "2", "3", ("step width", "", "literal"))],
    ),
    "a step of one": ("FOR i := 1 TO 5 DO x := i; END_FOR;", "FOR i := 1 TO 5 BY 1 DO x := i; END_FOR;", []),
    "a step that comes": (
        "FOR i := 1 TO 5 DO x := i; END_FOR;", "FOR i := 1 TO 5 BY 2 DO x := i; END_FOR;",
        [("changed", "behaviour", "", "", "1", "2", ("step width", "", "literal"))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_each_part_of_a_branch_or_loop_is_told_where_it_is(name: str) -> None:
    old, new, expected = ROWS[name]
    assert compared(old, new) == expected


CONDITIONS: list[tuple[str, str, list[Fact]]] = [
    ("a", "a", []),
    ("a AND b", "b AND a", [("changed", "equivalent", "", "", "a AND b", "b AND a", ("condition", "here", "order of operands"))]),
    ("a", "A", [("changed", "documentation", "", "", "a", "A", ("condition", "here", "spelling alone"))]),
    (
        "a", "a AND (b OR NOT b)",
        [("changed", "equivalent", "", "", "a", "a AND (b OR NOT b)", ("condition", "here", "expression added"), ("proved", ""))],
    ),
    ("a", "NOT a", [("changed", "behaviour", "", "", "a", "NOT a", ("condition", "here", "form of operand"))]),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "expected"), CONDITIONS)
def test_a_condition_says_why_it_acts_the_same(old: str, new: str, expected: list[Fact]) -> None:
    pair: Pair[Expression] = Pair(b.e(old), b.e(new), b.e(old))
    found = told(condition_changes(scope(), AT, pair, of="here"))
    assert found == expected


def test_the_text_before_is_the_one_that_was_written_and_a_case_shows_the_difference() -> None:
    (found,) = condition_changes(scope(), AT, Pair(b.e("a"), b.e("b"), b.e("was")))
    assert (found.before, found.after, found.area) == ("was", "b", "logic")
    assert found.witness is not None
