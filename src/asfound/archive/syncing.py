"""Two archives come to hold the same records: fetch, join, send; nothing is forced, nothing deleted.

Stations go in batches; the branches of a batch are moved before the next one is fetched, so an interrupted sync goes
on where it stopped (git also recognises objects that have arrived without their branch being moved). What arrives, and
what goes, is looked at as :mod:`.checking` does before a branch may point to it. A station with which anything is wrong
is left as it is on both sides and named; the others go on. If the other side gets new records in between, it refuses
ours, and everything is done again with them. A lock that an interrupted sync left on a stick is removed by the next
one, as in a store.

Cost: one connection to list, then two per batch with differences, and a look at each record that moves, on all cores;
stations without differences cost nothing.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import NamedTuple

from asfound.archive import record_lines, whole
from asfound.archive.checking import Signed, coming
from asfound.archive.faults import told
from asfound.archive.gitprogram import of_disk
from asfound.archive.joining import NotKept, ends_in_order, join, not_kept
from asfound.archive.orphans import GONE, lost
from asfound.archive.plumbing import Plumbing
from asfound.archive.references import well_named
from asfound.archive.remotes import Remote
from asfound.archive.safe_names import unescape
from asfound.archive.stations import PREFIX
from asfound.archive.storing import free, move_forward
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.readers.cores import spread

Watch = Callable[[str], None]
BATCH = 16
"""Stations per connection: what is sent or fetched again at most after an interruption."""
ROUNDS = 5


class Exchanged(NamedTuple):
    """What moved (or would) for one station: records that came, records that went, whether two lines were joined.

    ``not_kept`` are settings of the station that a join made here, or one that came, did not keep. ``refused`` says why
    nothing moved.
    """

    station: str
    fetched: int
    sent: int
    joined: bool
    not_kept: tuple[NotKept, ...] = ()
    refused: str = ""


class Means(NamedTuple):
    """``signed`` says what is wrong with the signature of a commit (see :mod:`.checking`)."""

    processes: int = 1
    signed: Signed | None = None


ALONE = Means()


def sync(git: Plumbing, address: str, watch: Watch | None = None, means: Means = ALONE) -> tuple[Exchanged, ...]:
    """Exchange all records with the archive at ``address``; what moved, by station, and what did not and why."""
    moved: dict[str, Exchanged] = {}
    with Remote(git.folder, address) as remote, remote.at_work():
        for _ in range(ROUNDS):
            there = remote.tips()
            for line, found in _fetched(git, remote, there, means, moved):
                moved[line] = _sum(moved.get(line), found)
                if watch:
                    watch(found.station)
            refused = _sent(git, remote, there, means, moved)
            if not refused:
                break
            if remote.is_near:
                for line in refused:
                    free(remote.place, line)
        else:
            line, reason = next(iter(refused.items()))
            raise Problem(
                f"did not take the records of {line.removeprefix(PREFIX)} ({reason})",
                where=address,
                advice="nothing is lost; try again later",
            )
        if remote.is_near and hasattr(os, "sync"):
            os.sync()  # so that a stick can be pulled out
    return _shown(moved)


def preview(git: Plumbing, address: str, watch: Watch | None = None, means: Means = ALONE) -> tuple[Exchanged, ...]:
    """What :func:`sync` would do; everything is fetched into a folder that is thrown away."""
    with whole.scratch() as objects:
        (objects / "info").mkdir()
        (objects / "info" / "alternates").write_text(f"{git.folder / 'objects'}\n", encoding="utf-8")
        aside = Plumbing(git.folder, objects)
        moved = {}
        try:
            with Remote(git.folder, address, objects) as remote:
                here, there = git.branches(PREFIX), remote.tips()
                differing = sorted(line for line in {*here, *there} if here.get(line) != there.get(line))
                reasons: dict[str, str] = {}
                for batch in _batches([line for line in differing if line in there]):
                    reasons |= _brought(remote, batch)
                ends = [(line, here.get(line, ""), there.get(line, "")) for line in differing if line not in reasons]
                coming = [(line, theirs, ours) for line, ours, theirs in ends if theirs]
                going = [(line, ours, theirs) for line, ours, theirs in ends if ours]
                reasons |= {**_reasons(aside, coming, means, objects), **_reasons(aside, going, means, objects)}
                for line in differing:
                    ours, theirs = here.get(line, ""), there.get(line, "")
                    moved[line] = _refused(line, reasons[line]) if line in reasons else _told(aside, line, ours, theirs)
                    if watch:
                        watch(moved[line].station)
        finally:
            aside.close()
    return _shown(moved)


def _shown(moved: dict[str, Exchanged]) -> tuple[Exchanged, ...]:
    named = (found for _, found in sorted(moved.items()))
    return tuple(found for found in named if found.fetched or found.sent or found.joined or found.refused)


def _sum(one: Exchanged | None, other: Exchanged) -> Exchanged:
    if one is None:
        return other
    fetched, sent = one.fetched + other.fetched, one.sent + other.sent
    told = tuple(dict.fromkeys((*one.not_kept, *other.not_kept)))
    return Exchanged(other.station, fetched, sent, one.joined or other.joined, told, one.refused or other.refused)


def _batches(names: Sequence[str]) -> Iterator[Sequence[str]]:
    for at in range(0, len(names), BATCH):
        yield names[at : at + BATCH]


def _refused(line: str, reason: str) -> Exchanged:
    return Exchanged(unescape(line.removeprefix(PREFIX)), 0, 0, False, (), reason)


def _told(git: Plumbing, line: str, ours: str, theirs: str) -> Exchanged:
    """How two ends differ, or why that cannot be told."""
    try:
        return _difference(git, line, ours, theirs)
    except Problem as problem:
        return _refused(line, problem.what)


def _fetched(
    git: Plumbing, remote: Remote, there: dict[str, str], means: Means, before: Mapping[str, Exchanged]
) -> Iterator[tuple[str, Exchanged]]:
    """Bring what differs and move our branches forward, batch by batch; what is wrong is refused by station."""
    here = git.branches(PREFIX)
    gone = lost(git)
    differing = [line for line, tip in there.items() if here.get(line) != tip and not _is_refused(before, line)]
    for line in [line for line in differing if f"refs/heads/{line}" in gone]:
        yield line, _refused(line, GONE)
    for batch in _batches([line for line in differing if f"refs/heads/{line}" not in gone]):
        reasons = _brought(remote, batch)
        ends = [(line, there[line], here.get(line, "")) for line in batch if line not in reasons]
        reasons |= _reasons(git, ends, means)
        for line in batch:
            found = (
                _refused(line, reasons[line]) if line in reasons else _told(git, line, here.get(line, ""), there[line])
            )
            yield line, found if found.refused else move_forward(git, line, _adoption(git, line, there[line]))


def _is_refused(moved: Mapping[str, Exchanged], line: str) -> bool:
    return line in moved and bool(moved[line].refused)


def _brought(remote: Remote, batch: Sequence[str]) -> dict[str, str]:
    """Fetch the branches; why each of those did not come that did not. One that is damaged stops no other."""
    reasons = {
        line: "its name is none that a branch can have" for line in batch if not well_named(f"refs/heads/{line}")
    }
    named = [line for line in batch if line not in reasons]
    if not named:
        return reasons
    try:
        remote.fetch(named)
    except Problem as problem:
        if of_disk(problem):
            raise
        remote.tips()  # it can still be reached, or that is the answer
        if not named[1:]:
            return reasons | {named[0]: f"the other archive does not give its records ({problem.what})"}
        for line in named:
            reasons |= _brought(remote, [line])
    return reasons


def _reasons(
    git: Plumbing, ends: Sequence[tuple[str, str, str]], means: Means, objects: Path | None = None
) -> dict[str, str]:
    """Why records must not move, by branch; ``ends`` are a branch, its new end, and what is known already."""
    look = partial(_reason, git.folder, objects, means.signed)
    found = zip(ends, spread(look, ends, means.processes), strict=True)
    return {line: reason for (line, _, _), reason in found if reason}


def _reason(folder: Path, objects: Path | None, signed: Signed | None, ends: tuple[str, str, str]) -> str:
    line, tip, have = ends
    git = Plumbing(folder, objects, damaged=True)  # it has been looked at
    try:
        faults = told(fault._replace(station="") for fault in coming(git, line, tip, have, signed))
    finally:
        git.close()
    more = f", and {len(faults) - 1} more" if faults[1:] else ""
    return f"{faults[0].removeprefix('@')}{more}" if faults else ""


def _adoption(git: Plumbing, line: str, theirs: str) -> Callable[[int | None], Exchanged]:
    def attempt(held: int | None) -> Exchanged:
        ours = git.tip(line)
        found = _difference(git, line, ours, theirs)
        if found.fetched or found.joined:
            git.sync(git.between(theirs, ours))
            new = join(git, ours, theirs) if found.joined else theirs
            git.move(line, new, ours, f"sync: {found.fetched} records fetched", held)
        return found._replace(sent=0)

    return attempt


def _difference(git: Plumbing, line: str, ours: str, theirs: str) -> Exchanged:
    """How two ends differ."""
    station = record_lines.at(git, ours or theirs).station
    came, went = git.beyond(theirs, ours), git.beyond(ours, theirs)
    fetched, sent = (
        sum(isinstance(record_lines.at(git, commit), Record) for commit, *_ in side) for side in (came, went)
    )
    joins = [(parents[0], parents[1]) for _, *parents in came if len(parents) == 2] if ours else []
    joins += [ends_in_order(git, ours, theirs)] if came and went else []
    said = tuple(found for ends in joins if (found := not_kept(git, *ends)))
    return Exchanged(station, fetched, sent, bool(came and went), said)


def _sent(
    git: Plumbing, remote: Remote, there: dict[str, str], means: Means, moved: dict[str, Exchanged]
) -> dict[str, str]:
    """Send what is ahead and sound; what the other side refused, with the reason."""
    tips = git.branches(PREFIX).items()
    here = {line: tip for line, tip in tips if there.get(line) != tip and not _is_refused(moved, line)}
    refused: dict[str, str] = {}
    for batch in _batches(list(here)):
        reasons = _reasons(git, [(line, here[line], there.get(line, "")) for line in batch], means)
        moved |= {line: _sum(moved.get(line), _refused(line, reason)) for line, reason in reasons.items()}
        sound = [line for line in batch if line not in reasons]
        refused |= remote.send({line: here[line] for line in sound}) if sound else {}
        for line in sound:
            if line not in refused:
                went = _difference(git, line, here[line], there.get(line, ""))
                moved[line] = _sum(moved.get(line), went._replace(fetched=0, joined=False))
    return refused
