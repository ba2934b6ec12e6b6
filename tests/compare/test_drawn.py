"""What is drawn of a rung that came, went or changed: all of it, for a page that leaves something out misleads."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.compare.result import Sides
from asfound.model.copy import Copy
from asfound.model.logic import Label, Remark, Statement
from asfound.model.program import Network

from . import building as b

COIL = b.coil("LIMIT_HIGH", "START")
SAID = Network((COIL,), label="again", title="one\ntwo", comment="three", leftovers=("contact X",))
DRAWN = (Remark("one two"), Remark("three"), Label("again"), COIL, Remark("without effect: contact X"))
PLAIN = Network((COIL,))


def sides(old: Copy, new: Copy) -> tuple[object, object]:
    (found,) = (c.statements for c in compare(old, new).changes if c.statements and COIL in [*_all(c.statements)])
    return found


def _all(sides: Sides) -> Iterator[Statement]:
    return chain.from_iterable(side or () for side in sides)


def test_a_rung_of_one_side_is_drawn_with_all_that_is_said_of_it() -> None:
    less, more = b.with_rungs(*b.RUNGS), b.with_rungs(*b.RUNGS, SAID)
    assert sides(less, more) == (None, DRAWN)
    assert sides(more, less) == (DRAWN, None)
    assert sides(less, b.with_rungs(*b.RUNGS, PLAIN)) == (None, (COIL,))


def test_a_rung_that_changed_is_drawn_on_both_sides() -> None:
    other = replace(SAID, statements=(b.coil("LIMIT_HIGH", "NOT START"),))
    old, new = b.with_rungs(*b.RUNGS, SAID), b.with_rungs(*b.RUNGS, other)
    assert sides(old, new) == (DRAWN, tuple(other.statements[0] if s is COIL else s for s in DRAWN))
