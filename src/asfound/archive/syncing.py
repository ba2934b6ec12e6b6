"""Two archives come to hold the same records: fetch, join, send; nothing is forced, nothing deleted.

Stations go in batches; the branches of a batch are moved before the next one is fetched, so an interrupted sync goes
on where it stopped (git also recognises objects that have arrived without their branch being moved). What arrives is
looked at before a branch may point to it: records only, of this station, each with one parent, a joining one with two.
If the other side gets new records in between, it refuses ours, and everything is done again with them. A lock that an
interrupted sync left on a stick is removed by the next one, as in a store.

Cost: one connection to list, then two per batch with differences; stations without differences cost nothing.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import NamedTuple

from asfound.archive import lines
from asfound.archive.joining import NotKept, ends_in_order, join, not_kept
from asfound.archive.plumbing import Plumbing
from asfound.archive.remotes import Remote
from asfound.archive.stations import PREFIX, branch
from asfound.archive.storing import free, move_forward
from asfound.model.problem import Problem
from asfound.model.record import Join, Record

Watch = Callable[[str], None]
BATCH = 16
"""Stations per connection: what is sent or fetched again at most after an interruption."""
ROUNDS = 5


class Exchanged(NamedTuple):
    """What moved (or would) for one station: records that came, records that went, whether two lines were joined.

    ``not_kept`` are settings of the station that a join made here, or one that came, did not keep.
    """

    station: str
    fetched: int
    sent: int
    joined: bool
    not_kept: tuple[NotKept, ...] = ()


def sync(git: Plumbing, address: str, watch: Watch | None = None) -> tuple[Exchanged, ...]:
    """Exchange all records with the archive at ``address``; what moved, by station."""
    moved: dict[str, Exchanged] = {}
    with Remote(git.folder, address) as remote:
        for _ in range(ROUNDS):
            there = remote.tips()
            for line, found in _fetched(git, remote, there):
                moved[line] = _sum(moved.get(line), found)
                if watch:
                    watch(found.station)
            refused = _sent(git, remote, there, moved)
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


def preview(git: Plumbing, address: str, watch: Watch | None = None) -> tuple[Exchanged, ...]:
    """What :func:`sync` would do; everything is fetched into a folder that is thrown away."""
    with tempfile.TemporaryDirectory(prefix="asfound-") as folder:
        objects = Path(folder)
        (objects / "info").mkdir()
        (objects / "info" / "alternates").write_text(f"{git.folder / 'objects'}\n", encoding="utf-8")
        aside = Plumbing(git.folder, objects)
        moved = {}
        try:
            with Remote(git.folder, address, objects) as remote:
                here, there = git.branches(PREFIX), remote.tips()
                differing = sorted(line for line in {*here, *there} if here.get(line) != there.get(line))
                for batch in _batches([line for line in differing if line in there]):
                    remote.fetch(batch)
                for line in differing:
                    moved[line] = _difference(aside, line, here.get(line, ""), there.get(line, ""))
                    if watch:
                        watch(moved[line].station)
        finally:
            aside.close()
    return _shown(moved)


def _shown(moved: dict[str, Exchanged]) -> tuple[Exchanged, ...]:
    return tuple(found for _, found in sorted(moved.items()) if found.fetched or found.sent or found.joined)


def _sum(one: Exchanged | None, other: Exchanged) -> Exchanged:
    if one is None:
        return other
    fetched, sent = one.fetched + other.fetched, one.sent + other.sent
    told = tuple(dict.fromkeys((*one.not_kept, *other.not_kept)))
    return Exchanged(other.station, fetched, sent, one.joined or other.joined, told)


def _batches(names: Sequence[str]) -> Iterator[Sequence[str]]:
    for at in range(0, len(names), BATCH):
        yield names[at : at + BATCH]


def _fetched(git: Plumbing, remote: Remote, there: dict[str, str]) -> Iterator[tuple[str, Exchanged]]:
    """Bring what differs and move our branches forward, batch by batch."""
    here = git.branches(PREFIX)
    for batch in _batches([line for line, tip in there.items() if here.get(line) != tip]):
        remote.fetch(batch)
        for line in batch:
            yield line, move_forward(git, line, _adoption(git, line, there[line]))


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
    """How two ends differ, after a look at everything that would be new here."""
    station = lines.at(git, ours or theirs).station
    came, went = git.beyond(theirs, ours), git.beyond(ours, theirs)
    fetched = sum([_is_record(git, line, commit, parents) for commit, *parents in came])
    sent = sum(isinstance(lines.at(git, commit), Record) for commit, *_ in went)
    joins = [(parents[0], parents[1]) for _, *parents in came if len(parents) == 2] if ours else []
    joins += [ends_in_order(git, ours, theirs)] if came and went else []
    told = tuple(found for ends in joins if (found := not_kept(git, *ends)))
    return Exchanged(station, fetched, sent, bool(came and went), told)


def _is_record(git: Plumbing, line: str, commit: str, parents: Sequence[str]) -> bool:
    """Whether a commit that came is an ordinary record; a :class:`Problem` when it is none of this station."""
    found = lines.at(git, commit)
    allowed = (2,) if isinstance(found, Join) else (0, 1)
    if f"{branch(found.station)}" != line or len(parents) not in allowed:
        raise Problem(
            f"the other archive has a commit {commit[:12]} that is no record of its station",
            where=line.removeprefix(PREFIX),
            advice="run `asfound check` on the other archive",
        )
    return isinstance(found, Record)


def _sent(git: Plumbing, remote: Remote, there: dict[str, str], moved: dict[str, Exchanged]) -> dict[str, str]:
    """Send what is ahead; what was refused, with the reason."""
    here = {line: tip for line, tip in git.branches(PREFIX).items() if there.get(line) != tip}
    refused: dict[str, str] = {}
    for batch in _batches(list(here)):
        refused |= remote.send({line: here[line] for line in batch})
        for line in batch:
            if line not in refused:
                went = _difference(git, line, here[line], there.get(line, ""))
                moved[line] = _sum(moved.get(line), went._replace(fetched=0, joined=False))
    return refused
