"""Which record of a station is meant: ``N``, ``YYYY-MM-DD``, a moment, or nothing for the latest."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.model.copy import COPY_NAMES, MOMENTS
from asfound.model.problem import Problem
from asfound.model.record import Record

_DATE = re.compile(r"\d{4}-\d\d-\d\d")


def select(records: Sequence[Record], selector: str, where: str) -> Record:
    """The record that the selector names. A day is counted in the time zone that each record was stored with."""
    if not selector:
        return records[-1]
    if selector.isdecimal():
        found = [record for record in records if record.number == int(selector)]
        there = f"records 1 to {records[-1].number}" if len(records) > 1 else "only record 1"
    elif _DATE.fullmatch(selector):
        found = [record for record in records if record.time[:10] == selector]
        there = f"records of {_listed(record.time[:10] for record in records)}"
    elif selector.lower() in MOMENTS:
        found = [record for record in records if record.moment == selector.lower()]
        there = f"records of the moments {_listed(record.moment for record in records)}"
    else:
        raise Problem(
            f"'{selector}' selects no record",
            where=where,
            advice="write a number, a day such as 2026-03-31, as-found, as-left or routine",
        )
    if not found:
        raise Problem(f"there is no record '{selector}'", where=where, advice=f"the archive has {there}")
    return found[-1]


def _listed(words: object) -> str:
    return ", ".join(dict.fromkeys(words))  # type: ignore[call-overload]


def default_copy(record: Record) -> str:
    """The copy that is meant when none is named: running, else card, else office."""
    stored = [copy.name for copy in record.copies]
    return next(name for name in COPY_NAMES if name in stored)
