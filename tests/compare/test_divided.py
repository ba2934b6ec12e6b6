"""Rungs split and merged: told as such, and never when a statement changed on the way."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.model.program import Extension

from . import building as b

A, B, C = b.coil("A", "X AND Y"), b.coil("B", "X AND Y"), b.coil("C", "Z")
OTHER = b.RUNGS[0]
ONE, TWO = b.with_rungs(OTHER, b.rung(A, B), OTHER), b.with_rungs(OTHER, b.rung(A), b.rung(B), OTHER)
THREE = b.with_rungs(OTHER, b.rung(A, B, C), OTHER), b.with_rungs(OTHER, b.rung(A), b.rung(B), b.rung(C), OTHER)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (ONE, TWO, "rung 2 split into rungs 2 and 3"),
        (TWO, ONE, "rungs 2 and 3 merged into rung 2"),
        (*THREE, "rung 2 split into rungs 2 to 4"),
        (*THREE[::-1], "rungs 2 to 4 merged into rung 2"),
    ],
)
def test_a_split_or_merge_is_one_change_that_acts_the_same(old: object, new: object, said: str) -> None:
    (change,) = compare(old, new).changes  # type: ignore[arg-type]
    assert (change.kind, change.effect, change.summary) == ("changed", "equivalent", said)
    assert change.before == change.after


def test_a_comment_that_came_with_the_split_is_told() -> None:
    new = b.with_rungs(OTHER, b.rung(A, comment="first"), b.rung(B), OTHER)
    (change,) = compare(ONE, new).changes
    assert "comment added: first" in change.details


@pytest.mark.parametrize(
    "new",
    [
        b.with_rungs(OTHER, b.rung(A), b.rung(b.coil("B", "X")), OTHER),
        b.with_rungs(OTHER, b.rung(B), b.rung(b.coil("A", "B AND Z")), OTHER),
        b.with_rungs(b.rung(A), OTHER, OTHER),
    ],
)
def test_an_edit_on_the_way_is_not_hidden(new: object) -> None:
    changes = compare(ONE, new).changes  # type: ignore[arg-type]
    assert not any("split" in c.summary for c in changes)
    assert "behaviour" in {c.effect for c in changes}


@pytest.mark.parametrize(
    "more", [{"label": "again"}, {"leftovers": ("contact X",)}, {"extensions": (Extension("addData", "1"),)}]
)
def test_a_rung_that_holds_more_than_statements_takes_no_part(more: dict[str, Any]) -> None:
    for first in (True, False):
        rungs = [replace(b.rung(A), **more) if first else b.rung(A), b.rung(B) if first else replace(b.rung(B), **more)]
        told = compare(ONE, b.with_rungs(OTHER, *rungs, OTHER)).changes
        assert told and not any("split" in c.summary for c in told)
