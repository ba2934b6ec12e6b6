"""Which record of a station is meant: ``N``, ``N.ID``, ``YYYY-MM-DD``, a moment, or nothing for the latest."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.archive.record_lines import Entry, labels
from asfound.model.copy import COPY_NAMES, MOMENTS
from asfound.model.problem import Problem
from asfound.model.record import Record

_DATE = re.compile(r"\d{4}-\d\d-\d\d")
_NUMBER = re.compile(r"([0-9]+)(?:\.([0-9a-f]{4,40}))?")


def select(entries: Sequence[Entry], selector: str, where: str, copy: str = "", listing: str = "") -> Entry:
    """The latest record that the selector admits and that holds the ``copy``; where none does, any copy at all.

    A number may name a record without copies (what a person saw on the panel); anything else does so only where there
    is no other. ``listing`` is the command that lists the records, for a message.
    """
    found = admitted(entries, selector, where, listing)
    return _holding(found, copy) or _holding(found) or found[-1]


def admitted(entries: Sequence[Entry], selector: str, where: str, listing: str = "") -> Sequence[Entry]:
    """All records that the selector admits, in order; a :class:`Problem` when there is none.

    Without a selector all of them. A day is counted in the time zone that each record was stored with.
    """
    if not selector:
        return entries
    if number := _NUMBER.fullmatch(selector):
        return [_numbered(entries, selector, int(number[1]), number[2] or "", where, listing)]
    if _DATE.fullmatch(selector):
        found = [entry for entry in entries if entry.record.time[:10] == selector]
        there = f"records of {_listed(entry.record.time[:10] for entry in entries)}"
    elif selector.lower() in MOMENTS:
        found = [entry for entry in entries if entry.record.moment == selector.lower()]
        there = f"records of the moments {_listed(entry.record.moment for entry in entries)}"
    else:
        raise Problem(
            f"'{selector}' selects no record",
            where=where,
            advice="write a number, a day such as 2026-03-31, as-found, as-left or routine",
        )
    return found or [_none(selector, there, where, listing)]


def _holding(entries: Sequence[Entry], copy: str = "") -> Entry | None:
    """The last record that holds a copy of this name, or any."""
    held = (e for e in reversed(entries) if any(copy in ("", stored.name) for stored in e.record.copies))
    return next(held, None)


def _numbered(entries: Sequence[Entry], selector: str, number: int, start: str, where: str, listing: str) -> Entry:
    found = [entry for entry in entries if entry.record.number == number and entry.commit.startswith(start)]
    if len(found) > 1:
        names = labels(entries)
        which = " and ".join(f"@{names[e.commit]} ({e.record.person}, {e.record.time[:16]})" for e in found)
        raise Problem(f"there are {len(found)} records '{selector}'", where=where, advice=f"write {which}")
    numbers = [entry.record.number for entry in entries]
    there = f"records {min(numbers)} to {max(numbers)}" if len(entries) > 1 else f"only record {numbers[0]}"
    return found[0] if found else _none(selector, there, where, listing)


def _none(selector: str, there: str, where: str, listing: str) -> Entry:
    raise Problem(
        f"there is no record '{selector}'",
        where=where,
        advice=f"the archive has {there}{f'; {listing} lists them' if listing else ''}",
    )


def _listed(words: object) -> str:
    return ", ".join(dict.fromkeys(words))  # type: ignore[call-overload]


def default_copy(record: Record) -> str:
    """The copy that is meant when none is named: running, else card, else office."""
    stored = [copy.name for copy in record.copies]
    if not stored:
        where = f"record {record.number} of station {record.station}"
        raise Problem(
            "holds no copy, only what was noted",
            where=where,
            advice="name another record; `asfound history` lists them",
        )
    return next(name for name in COPY_NAMES if name in stored)
