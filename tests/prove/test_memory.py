"""A solver lives no longer than the question it answers: large comparisons ask hundreds of them."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest
import z3

import asfound

TEXT = "PROGRAM P VAR a, b, c : BOOL; n : INT; END_VAR {} END_PROGRAM"
OLD = "a := b AND c; IF n > 3 THEN c := a; END_IF; n := n + 1;"
NEW = "a := c AND b OR n = 4; IF n >= 3 THEN c := a; END_IF; n := n + 2;"


@pytest.fixture
def uncollected() -> Iterator[None]:
    gc.collect()
    gc.disable()
    yield
    gc.enable()


@pytest.mark.usefixtures("uncollected")
def test_no_solver_waits_for_the_collector() -> None:
    before = _contexts()
    old, new = (asfound.read(TEXT.format(body).encode(), "p.st") for body in (OLD, NEW))
    assert asfound.compare(old, new).verdict == "behaviour"
    assert _contexts() == before


def _contexts() -> int:
    return sum(isinstance(each, z3.Context) for each in gc.get_objects())
