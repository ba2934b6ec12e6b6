"""Differences in words, in a ladder and elsewhere."""

from __future__ import annotations

import pytest

from asfound.analysis.canonical import canonical, folded
from asfound.compare.logic.expressions import differences
from asfound.compare.wording.phrases import phrase

from . import building as b


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
    assert tuple(map(phrase, differences(b.e(old), b.e(new), ladder=True))) == expected


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("A OR B", "A OR B OR C", ("operand C added by OR",)),
        ("A", "NOT A", ("A -> NOT A",)),
        ("x * 2", "x * 3", ("x * 2 -> x * 3",)),
    ],
)
def test_elsewhere(old: str, new: str, expected: tuple[str, ...]) -> None:
    assert tuple(map(phrase, differences(b.e(old), b.e(new)))) == expected


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


@pytest.mark.parametrize(("one", "other"), [("x - 1", "1 - x"), ("A AND Own(1)", "Own(1) AND A"), ("'a'", "'A'")])
def test_different_canonical_keys(one: str, other: str) -> None:
    assert canonical(b.e(one)) != canonical(b.e(other))


def test_folded_keys_forget_spelling_only() -> None:
    assert folded(b.e("Motor.Q AND 16#FF = x")) == folded(b.e("MOTOR.q AND 255 = X"))
    assert folded(b.e("A AND B")) != folded(b.e("B AND A"))
