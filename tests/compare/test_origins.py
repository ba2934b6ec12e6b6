"""Which record and copy a side is, and the limits of a comparison: what is said of the choice and of the work left."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.compare.context import Budget
from asfound.compare.origins import origin, passed_over, with_origins
from asfound.compare.result import Origin
from asfound.compare.side_by_side import side_by_side
from asfound.model.copy import Copy
from asfound.model.record import Record

from . import building as b

RUNNING = Origin("North", "2", "as-found", "2026-03-01T10:00:00Z", "running")
CARD = Origin("North", "2", "as-found", "2026-03-01T10:00:00Z", "card")
OFFICE = Origin("North", "1", "routine", "2026-02-01T10:00:00Z", "office")
SAME = "both sides are one record: nothing was stored in between"
NEITHER = "neither side was read from the running controller: this says nothing about what it runs"


@pytest.mark.parametrize(
    ("old", "new", "limits"),
    [
        (RUNNING, RUNNING, (SAME,)),
        (CARD, CARD, (SAME, NEITHER)),
        (CARD, OFFICE, (NEITHER,)),
        (RUNNING, OFFICE, ()),
        (OFFICE, RUNNING, ()),
        (None, None, ()),
        (OFFICE, None, ()),
    ],
)
def test_what_the_choice_of_records_cannot_vouch_for(
    old: Origin | None, new: Origin | None, limits: tuple[str, ...]
) -> None:
    found = with_origins(compare(b.STATION, Copy()), old, new, ("said before",))
    assert (found.old.origin, found.new.origin) == (old, new)
    assert found.limits[: len(limits) + 1] == ("said before", *limits)
    assert found.limits[len(limits) + 1 :] == compare(b.STATION, Copy()).limits


def test_copies_of_several_days_are_told() -> None:
    copies = {"running": b.STATION, "office": b.STATION}
    said = "the copies are of several days (running of 2026-03-01, office of 2026-02-01): what changed in between is not known here"
    assert side_by_side(copies, origins=(RUNNING, OFFICE)).limits[0] == said
    assert not [limit for limit in side_by_side(copies, origins=(RUNNING, CARD)).limits if "days" in limit]


def test_work_that_was_left_is_told() -> None:
    budget = Budget(2)
    assert budget.limits() == ()
    assert [budget.allow() for _ in range(3)] == [True, True, False]
    assert budget.limits() == ("1 pair of statements was not tried to be proved equal: the limit was reached",)
    budget.allow()
    budget.gave_up = 1
    budget.exhausted |= {"P", "A"}
    assert budget.limits() == (
        "A: too many differences to pair every piece",
        "P: too many differences to pair every piece",
        "2 pairs of statements were not tried to be proved equal: the limit was reached",
        "1 proof was given up at the time limit",
    )
    budget.gave_up = 2
    assert budget.limits()[-1] == "2 proofs were given up at the time limit"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b.rung(b.coil("LAMP", "RUN AND (A OR B)")), b.rung(b.coil("LAMP", "RUN AND A OR RUN AND B"))),
        (b.rung(b.timer("DELAY", "A AND (A OR B)", "T#8s")), b.rung(b.timer("DELAY", "A", "T#8s"))),
    ],
)
def test_what_is_not_tried_is_undecided(old: object, new: object, monkeypatch: pytest.MonkeyPatch) -> None:
    copies = b.with_rung(2, old), b.with_rung(2, new)  # type: ignore[arg-type]
    assert compare(*copies).verdict == "equivalent"
    monkeypatch.setattr("asfound.compare.comparison.Budget", lambda: Budget(0))
    monkeypatch.setattr("asfound.compare.context.BODIES", 0)
    found = compare(*copies)
    assert found.verdict == "undecided"
    assert any("not tried to be proved equal" in limit for limit in found.limits)


def test_later_records_without_the_copy_are_told() -> None:
    records = [Record("", "North", n, "as-found", "2026-03-01T10:00:00Z", "A", "1", ()) for n in (3, 4)]
    assert origin("2", records[0], "card") == Origin("North", "2", "as-found", "2026-03-01T10:00:00Z", "card")
    assert passed_over(OFFICE, []) == []
    assert passed_over(OFFICE, records[:1]) == ["North record 3, later than record 1, holds no office copy"]
    assert passed_over(OFFICE, records) == ["North records 3, 4, later than record 1, hold no office copy"]
