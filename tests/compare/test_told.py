"""Everything that differs is told whole: one pair for each thing that can (see told/), and every line about it."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.model.program import Body

from . import building as b
from .told.bodies import BODIES
from .told.charts import CHARTS
from .told.expressions import EXPRESSIONS
from .told.parts_kit import V, block, data, enum
from .told.plant import PLANT
from .told.programs import PROGRAM
from .told.read import READ
from .told.statements import STATEMENTS
from .told.tasks import TASKS

ROWS = {**EXPRESSIONS, **STATEMENTS, **BODIES, **CHARTS, **PROGRAM, **TASKS, **PLANT, **READ}


def test_no_row_hides_another() -> None:
    tables = (EXPRESSIONS, STATEMENTS, BODIES, CHARTS, PROGRAM, TASKS, PLANT, READ)
    assert len(ROWS) == sum(map(len, tables))


@pytest.mark.parametrize("name", ROWS)
def test_everything_that_differs_is_told(name: str) -> None:
    old, new, expected = ROWS[name]
    assert b.lines(old, new) == expected


@pytest.mark.parametrize("name", ROWS)
def test_the_other_way_round_the_texts_change_places(name: str) -> None:
    old, new, _ = ROWS[name]
    there, back = compare(old, new).changes, compare(new, old).changes
    assert sorted(c.effect for c in there) == sorted(c.effect for c in back)
    if not any(c.kind == "moved" and None in (c.before, c.after) for c in there):  # what is told where it stands now
        assert sorted(f"{c.before}/{c.after}" for c in there) == sorted(f"{c.after}/{c.before}" for c in back)


def test_more_uses_than_are_listed_are_counted() -> None:
    old, new = (
        block(variables=(V("x", type),), bodies=(Body("ST", b.st("x := x + 1;" * 203)),)) for type in ("INT", "DINT")
    )
    found = b.only(new, old).details
    assert (len(found), found[1], found[-2:]) == (
        202, "used in Pump / statement 1", ("used in Pump / statement 200", "used in 3 more places")
    )  # fmt: skip


def test_places_of_values_count_from_one() -> None:
    old, new = data(values=enum("A", "B", "C", "D")), data(values=enum("B", "D", "A", "E"))
    edits = {(e.field, e.of, e.old, e.new) for e in b.only(new, old).edits}
    assert edits == {
        ("enum value removed", "C", "3", None), ("enum value added", "E", None, "4"), ("enum value moved", "A", "1", "3")
    }  # fmt: skip
