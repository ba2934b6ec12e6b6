"""The records of a station in order, and what each of them is called.

Order: a record never stands before one that it was stored on top of; apart from that the earlier time comes first.
So on one laptop the order is that of storing, whatever its clock said, and two lines that were stored apart mix by
time. Cost: one git command, and one read of ``record.json`` per record.

Numbers: the number of a record is written into it when it is stored, one more than the greatest number among all that
it is stored on top of. Nothing changes it afterwards, on any laptop, in any sync. Two laptops that store the same
station apart may therefore both write a record 3, and after a sync both are there. ``STATION@3`` is then refused and
both are named: ``3.1f9c2a`` and ``3.a04e77``, the number and the beginning of the commit's id. That longer name is
valid for every record on every laptop, before and after any sync, in whatever order three laptops meet.

Rejected: numbering again when joining (what somebody wrote down as ``booster-1@3`` would mean another record the next
day), and preferring the record stored on this laptop (the same words would mean two records to two people).

A join has no number and no copies of its own; whoever asks for the latest record gets the last one that is no join.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from asfound.archive.content import record_from, station_toml
from asfound.archive.plumbing import Plumbing
from asfound.model.problem import Problem
from asfound.model.record import Join, Record

SHORTEST = 6
"""Characters of a commit's id in the longer name of a record; more when two of one number begin alike."""


class Entry(NamedTuple):
    """A record with its commit."""

    commit: str
    record: Record


class Joined(NamedTuple):
    """A joining record with its commit."""

    commit: str
    join: Join


def read(git: Plumbing, tip: str) -> tuple[Entry | Joined, ...]:
    """All records up to a commit, joining ones too, in order; a :class:`Problem` when it is none."""
    commits = [commit for commit, *_ in git.history(tip)]
    if commits[-1:] != [tip]:  # a tag leads to one, a folder to none
        advice = "`asfound check --from OTHER` mends it from another copy of the archive"
        raise Problem(f"a branch ends at {tip[:12]}, which is no record", where=str(git.folder), advice=advice)
    return tuple(entry(git, commit) for commit in commits)


def entry(git: Plumbing, commit: str) -> Entry | Joined:
    """The record at a commit."""
    found = at(git, commit)
    return Joined(commit, found) if isinstance(found, Join) else Entry(commit, found)


def at(git: Plumbing, commit: str) -> Record | Join:
    """What ``record.json`` of a commit says."""
    return record_from(git.file(commit, "record.json"), f"{git.folder}, commit {commit[:12]}")


def settings_at(git: Plumbing, commit: str) -> bytes:
    """The ``station.toml`` that somebody gave the station before or at a commit; nothing when nobody did."""
    found = git.file(commit, "station.toml")
    return b"" if found == station_toml(at(git, commit).station) else found


def labels(entries: Sequence[Entry]) -> dict[str, str]:
    """By commit, what each record is called after the ``@``: ``3``, or ``3.1f9c2a`` where another has that number."""
    count = Counter(entry.record.number for entry in entries)
    return {
        commit: str(record.number)
        if count[record.number] == 1
        else longer(commit, record.number, [e.commit for e in entries if e.record.number == record.number])
        for commit, record in entries
    }


def longer(commit: str, number: int, others: Sequence[str]) -> str:
    """The longer name, long enough to tell the commit from the others of its number."""
    length = SHORTEST
    while sum(other.startswith(commit[:length]) for other in others) > 1 and length < len(commit):
        length += 1
    return f"{number}.{commit[:length]}"


def latest_time(git: Plumbing, commit: str) -> str:
    """The latest time among a record and all it was stored on top of, as it stands there."""
    found = at(git, commit)
    while isinstance(found, Record) and found.clock and (parents := git.parents(commit)):
        commit = parents[0]
        found = at(git, commit)
    return found.time
