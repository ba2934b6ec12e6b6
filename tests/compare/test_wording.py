"""Differences in words, in a ladder and elsewhere."""

from __future__ import annotations

import pytest

from asfound.analysis.canonical import canonical, folded
from asfound.compare.context import Context, Scope
from asfound.compare.logic.expressions import differences
from asfound.compare.wording.logic import LOGIC
from asfound.compare.wording.parts import PARTS
from asfound.compare.wording.phrases import FIELDS, phrase
from asfound.compare.wording.renames import RENAMES
from asfound.model.copy import Copy
from asfound.readers.reading import read
from asfound.reports.words import details

from . import building as b


def scope(*, ladder: bool = False) -> Scope:
    return Scope(Context(Copy(), Copy()), (None, None), ladder)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("A AND B", "B AND A", ()),
        ("LOW", "LOW OR BYPASS", ("contact BYPASS added in parallel to LOW",)),
        ("LOW OR BYPASS", "LOW", ("contact BYPASS removed from the parallel branches",)),
        ("A AND B", "A AND B AND NOT C", ("normally closed contact C added in series",)),
        ("A AND B", "A AND NOT B", ("B: normally open -> normally closed",)),
        ("A AND (B OR C)", "A AND (B OR D)", ("contact C replaced by D",)),
        ("A AND x > 5", "A AND x > 8", ("comparison x > 5 -> x > 8",)),
        ("A AND x > 5", "A AND x >= 5", ("comparison x > 5 -> x >= 5",)),
        ("ADD(x, 5)", "ADD(x, 6)", ("input 2 of ADD: 5 -> 6",)),
        ("MAX(x, y)", "MIN(x, y)", ("function MAX replaced by MIN",)),
    ],
)
def test_in_a_ladder(old: str, new: str, expected: tuple[str, ...]) -> None:
    assert tuple(map(phrase, differences(scope(ladder=True), b.e(old), b.e(new)))) == expected


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("A OR B", "A OR B OR C", ("operand C added by OR",)),
        ("A", "NOT A", ("A -> NOT A",)),
        ("x * 2", "x * 3", ("x * 2 -> x * 3",)),
    ],
)
def test_elsewhere(old: str, new: str, expected: tuple[str, ...]) -> None:
    assert tuple(map(phrase, differences(scope(), b.e(old), b.e(new)))) == expected


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A AND B", "b AND a"),
        ("NOT (A OR B)", "NOT B AND NOT A"),
        ("NOT NOT A", "A"),
        ("x > y", "y < x"),
        ("NOT (x = 1)", "x <> 1"),
        ("A AND A AND B", "A AND B"),
        ("x + 1", "1 + x"),
    ],
)
def test_equal_canonical_keys(one: str, other: str) -> None:
    assert canonical(b.e(one)) == canonical(b.e(other))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("x - 1", "1 - x"),
        ("A AND Own(1)", "Own(1) AND A"),
        ("'a'", "'A'"),
        ("a^", "b^"),
        ("a^", "a"),
        ("a[1]^", "a[2]^"),
        ("a.b", "a.c"),
        ("a[1]", "a[2]"),
        ("a[1, 2]", "a[2, 1]"),
        ("%IX0.0", "%IX0.1"),
        ("F(a)", "F(b)"),
        ("F(p := a)", "F(q := a)"),
        ("F(p => a)", "F(p := a)"),
        ("F(p => a)", "F(p => b)"),
        ("-x", "x"),
        ("x ** 2", "x * 2"),
        ("x MOD 2", "x / 2"),
        ("1", "2"),
        ("T#1s", "T#2s"),
    ],
)
def test_different_canonical_keys(one: str, other: str) -> None:
    assert canonical(b.e(one)) != canonical(b.e(other))
    assert folded(b.e(one)) != folded(b.e(other))


def test_folded_keys_forget_spelling_only() -> None:
    assert folded(b.e("Motor.Q AND 16#FF = x")) == folded(b.e("MOTOR.q AND 255 = X"))
    assert folded(b.e("A AND B")) != folded(b.e("B AND A"))


def test_a_field_stands_in_one_table() -> None:
    assert len(FIELDS) == len(PARTS) + len(LOGIC) + len(RENAMES)


def test_several_statements_of_one_rung_are_told_edit_by_edit() -> None:
    old = b.rung(b.timer("DELAY", "START AND PERMIT", "T#8s"), b.coil("RUN", "DELAY.Q"))
    new = b.rung(b.timer("DELAY", "START AND DOOR", "T#3s"), b.coil("RUN", "DELAY.Q AND DOOR", "set"))
    found = b.only(b.with_rung(2, new), b.with_rung(2, old))
    assert found.summary == "input IN of TON DELAY: contact PERMIT replaced by DOOR (and 3 more)"
    told = (
        "input IN of TON DELAY: contact PERMIT replaced by DOOR",
        "preset PT of TON DELAY: T#8s -> T#3s",
        "RUN: coil -> set coil",
        "RUN: contact DOOR added in series with DELAY.Q",
    )
    assert found.details == told
    assert tuple(details(found)) == told[1:], "the summary tells the first one"


def test_a_condition_that_differs_twice_tells_both() -> None:
    head = "PROGRAM P VAR a, b, c, d, x : BOOL; END_VAR "
    old, new = (
        read(f"{head}IF {c} THEN x := TRUE; END_IF; END_PROGRAM".encode(), "p.st") for c in ("a AND b", "c AND d")
    )
    found = b.only(new, old)
    assert found.summary.endswith(" (and 3 more)") and len(found.details) == 4
    assert all(line.startswith("condition: ") for line in found.details)
