"""Two lines of records of one station, stored apart, become one again without touching either.

The join is a commit on top of both ends. It is a function of the two ends alone (no clock, no person, no computer), so
two laptops that join the same ends make the same commit, and pairs of three laptops always meet. Its files are those of
the line whose last record is the later one, with a ``record.json`` that says what was joined. So of two settings of the
station (``station.toml``) given apart, one is in force afterwards and the other only in the history: :func:`not_kept`
names its record, at every sync that brings the join and in the history ever after.
"""

from __future__ import annotations

from datetime import datetime
from typing import NamedTuple

from asfound.archive import record_lines
from asfound.archive.content import JOIN_SCHEMA, heads_of
from asfound.archive.people import git_date
from asfound.archive.plumbing import Plumbing
from asfound.model.problem import Problem
from asfound.model.record import Join, Line, Record

PERSON = "asfound"


class NotKept(NamedTuple):
    """Settings of a station that a join did not keep: the record they came with, as ``3.1f9c2a``, and its commit."""

    record: str
    commit: str


def join(git: Plumbing, one: str, other: str) -> str:
    """Store the joining record of two ends; its commit. No branch is moved."""
    earlier, later = ends = _ordered(git, one, other)
    record = _record(git, ends)
    heads = heads_of(record, _settings(git, ends))
    blobs = git.blobs(heads.values())
    entries = {**git.entries(later.commit), **{n: f"100644 blob {b}" for n, b in zip(heads, blobs, strict=True)}}
    tree = git.tree(entries)
    date = git_date(datetime.fromisoformat(record.time))
    commit = git.commit(tree, [earlier.commit, later.commit], message_of(record), PERSON, "", date)
    git.sync([*blobs, tree, commit])
    return commit


def _record(git: Plumbing, ends: tuple[Line, Line]) -> Join:
    earlier, later = ends
    return Join(
        schema=JOIN_SCHEMA,
        station=record_lines.at(git, earlier.commit).station,
        number=max(end.number for end in ends),
        time=later.time,
        lines=ends,
    )


def _settings(git: Plumbing, ends: tuple[Line, Line]) -> bytes:
    earlier, later = ends
    return record_lines.settings_at(git, later.commit) or record_lines.settings_at(git, earlier.commit)


def differs(git: Plumbing, commit: str, found: Join, message: str) -> str:
    """In what a joining record is not the one that joining its lines gives, or nothing."""
    try:
        ends = _ordered(git, *(line.commit for line in found.lines))
        if found != _record(git, ends) or message != message_of(found):
            return "it says something else of the lines it joins than these say themselves"
        if git.file(commit, "station.toml") != heads_of(found, _settings(git, ends))["station.toml"]:
            return "it brings settings of the station that none of the lines it joins leaves in force"
    except Problem:
        return ""  # told where it is missing
    return ""


def not_kept(git: Plumbing, earlier: str, later: str) -> NotKept | None:
    """The settings that somebody gave one line apart from the other, and that their join does not keep.

    ``earlier`` and ``later`` are the ends in the order of the join. None when both have the same, or when only the one
    that is kept was changed since they parted.
    """
    kept, found = record_lines.settings_at(git, later), record_lines.settings_at(git, earlier)
    if not kept or found == kept:
        return None
    for commit, *parents in git.beyond(earlier, later):
        if record_lines.settings_at(git, commit) == found and found not in [
            record_lines.settings_at(git, each) for each in parents
        ]:
            return NotKept(record_lines.longer(commit, record_lines.at(git, commit).number, []), commit)
    return None


def ends_in_order(git: Plumbing, one: str, other: str) -> tuple[str, str]:
    """Two ends as a join of them has its parents: the one that ends earlier first."""
    earlier, later = _ordered(git, one, other)
    return earlier.commit, later.commit


def _ordered(git: Plumbing, one: str, other: str) -> tuple[Line, Line]:
    earlier, later = sorted(
        (_end(git, commit) for commit in (one, other)),
        key=lambda end: (datetime.fromisoformat(end.time), end.commit),
    )
    return earlier, later


def _end(git: Plumbing, commit: str) -> Line:
    found = record_lines.at(git, commit)
    person = found.person if isinstance(found, Record) else found.lines[-1].person
    return Line(commit, found.number, record_lines.latest_time(git, commit), person)


def message_of(record: Join) -> str:
    """The words of the commit."""
    head = f"{record.station}: two lines of records joined\n\nThey were stored apart; both are kept:\n"
    ends = [f"  up to record {line.number}, {line.time}, {line.person}\n" for line in record.lines]
    return f"{head}{''.join(ends)}\nStation: {record.station}\n"
