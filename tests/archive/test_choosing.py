"""Which record and copy is meant on each side of a comparison, and which records belong to one visit."""

from __future__ import annotations

import pytest

from asfound.archive.choosing import Admitted, Asked, Chosen, pair, visit
from asfound.model.copy import MOMENTS
from asfound.model.problem import Problem
from asfound.model.record import Record, StoredCopy


def record(number: int, moment: str, day: str, *copies: str) -> tuple[str, Record]:
    stored = tuple(StoredCopy(copy, (), "") for copy in copies)
    return str(number), Record("", "S", number, moment, f"{day}T08:00:00+01:00", "Ada", "1", stored)  # type: ignore[arg-type]


def asked(text: str, records: Admitted, copy: str = "") -> Asked:
    return Asked(text, records, copy)


def short(chosen: Chosen) -> str:
    return f"{chosen.label}:{chosen.copy}"


LEFT = [record(1, "as-left", "2026-01-01", "running", "office")]
OFFICE_AFTER = [*LEFT, record(2, "as-found", "2026-02-01", "running"), record(3, "routine", "2026-03-01", "office")]


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        # An office project stored after the visit is not set against what ran, nor passed over in silence.
        (asked("S@as-left", LEFT), asked("S", OFFICE_AFTER), ("1:running", "2:running")),
        (asked("S@as-left", LEFT, "office"), asked("S", OFFICE_AFTER), ("1:office", "3:office")),
        (asked("S@as-left", LEFT), asked("S", OFFICE_AFTER, "office"), ("1:office", "3:office")),
        # The first copy that both have.
        (asked("S@1", LEFT), asked("S@3", OFFICE_AFTER[2:]), ("1:office", "3:office")),
        # Named on both sides: that is the question.
        (asked("S", OFFICE_AFTER, "office"), asked("S", OFFICE_AFTER, "running"), ("3:office", "2:running")),
        (asked("S@1", LEFT), asked("S@1", LEFT), ("1:running", "1:running")),
    ],
)
def test_the_same_copy_of_the_newest_records_that_hold_it(old: Asked, new: Asked, expected: tuple[str, str]) -> None:
    assert tuple(map(short, pair(old, new))) == expected


def test_later_records_without_the_copy_are_told() -> None:
    _, new = pair(asked("S@as-left", LEFT), asked("S", OFFICE_AFTER))
    assert [one.number for one in new.passed] == [3]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (
            asked("S@2", OFFICE_AFTER[1:2]),
            asked("S@3", OFFICE_AFTER[2:]),
            "S@2 and S@3: have no copy in common: the first holds running, the second office; name a copy of each, such "
            "as S@2:running.",
        ),
        (
            asked("S@2:running", OFFICE_AFTER[1:2], "running"),
            asked("S@3", OFFICE_AFTER[2:]),
            "S@3: holds no running copy to compare with that of S@2:running; it holds office; to compare one of these "
            "write it, such as S@3:office.",
        ),
        (
            asked("S@2:card", OFFICE_AFTER[1:2], "card"),
            asked("S@3:office", OFFICE_AFTER[2:], "office"),
            "S@2:card: there is no copy 'card'; it holds running.",
        ),
        # Nothing may be called equal to itself because what came later holds another copy.
        (
            asked("S@as-left", LEFT),
            asked("S", [*LEFT, record(2, "routine", "2026-03-01", "office")]),
            "station S: no record after record 1 holds a running copy, record 2 holds office; store the running copy "
            "first, or name a copy on both sides, such as S:office.",
        ),
    ],
)
def test_what_cannot_be_compared_is_refused(old: Asked, new: Asked, words: str) -> None:
    with pytest.raises(Problem) as caught:
        pair(old, new)
    assert str(caught.value) == words


@pytest.mark.parametrize(
    ("records", "expected"),
    [
        # One after the other on arrival, and again on leaving.
        ([record(1, "as-found", "2026-01-01", "running"), record(2, "as-found", "2026-01-01", "card")], {"running": "1", "card": "2"}),
        ([record(1, "as-found", "2026-01-01", "running", "card"), record(2, "as-left", "2026-01-02", "running")], {"running": "2", "card": "1"}),
        # Notes of the panel hold nothing and part nothing.
        ([record(1, "as-found", "2026-01-01", "running"), record(2, "as-left", "2026-01-01"), record(3, "as-found", "2026-01-01", "card")], {"running": "1", "card": "3"}),
        # The visit before ended when it was left.
        ([record(1, "as-left", "2025-01-01", "card"), record(2, "as-found", "2026-01-01", "running")], {"running": "2"}),
        # Exports on a schedule are no visit, unless of the same day.
        ([record(1, "routine", "2026-01-01", "card"), record(2, "routine", "2026-01-02", "running")], {"running": "2"}),
        ([record(1, "routine", "2026-01-02", "card"), record(2, "routine", "2026-01-02", "running")], {"running": "2", "card": "1"}),
        ([record(1, "routine", "2025-01-01", "card"), record(2, "as-found", "2026-01-01", "running")], {"running": "2"}),
    ],
)  # fmt: skip
def test_the_copies_of_one_visit_may_be_in_several_records(records: Admitted, expected: dict[str, str]) -> None:
    assert {name: chosen.label for name, chosen in visit(records).items()} == expected


def test_every_moment_has_its_place_in_a_visit() -> None:
    for moment in MOMENTS:
        assert visit([record(1, moment, "2026-01-01", "office")])
