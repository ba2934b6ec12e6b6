"""A record added to its station: bytes first, then the branch; again on the new tip when another process was faster."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from asfound.archive import disk, record_lines
from asfound.archive.attaching import Attachment
from asfound.archive.content import Content, attached_paths, bodies_of, heads_of, message_of, on_top_of
from asfound.archive.leftovers import WORK
from asfound.archive.orphans import refuse_lost
from asfound.archive.plumbing import Plumbing, Sign
from asfound.archive.record_lines import settings_at
from asfound.archive.stations import branch
from asfound.archive.storing import committed, move_forward
from asfound.model.record import Record


class Held(Exception):
    """The latest record holds the same bytes already."""

    def __init__(self, record: Record) -> None:
        super().__init__(record)
        self.record = record


class Pending(NamedTuple):
    """What is to be added. ``described`` makes the record, given ``station`` and ``attachments``.

    Unless ``again``, nothing is added when the latest record with each of the copies holds the same bytes already.
    """

    station: str
    contents: Sequence[Content]
    attached: Sequence[Attachment]
    described: Callable[..., Record]
    settings: bytes = b""
    sign: Sign | None = None
    again: bool = True


def add(git: Plumbing, pending: Pending, records: Callable[[], Sequence[Record]]) -> Record:
    """Add it and return the record; ``records`` are those of the station. Raises :class:`Held`."""
    with disk.at_work(git.folder / WORK):
        blobs = _blobs(git, pending)
        sources = [file.source for file in pending.attached]
        line = branch(pending.station)

        def attempt(held: int | None) -> Record:
            tip = git.tip(line)
            if not tip:
                refuse_lost(git, line)
            elif not pending.again and (last := _held(pending.contents, records())):
                raise Held(last)
            record = pending.described(station=pending.station, attachments=sources)
            if tip:
                record = on_top_of(record, record_lines.at(git, tip), record_lines.latest_time(git, tip))
            kept = pending.settings or (settings_at(git, tip) if tip else b"")
            commit = committed(git, record, heads_of(record, kept), blobs, tip, pending.sign)
            git.move(line, commit, tip, message_of(record).split("\n", 1)[0], held)
            return record

        return move_forward(git, line, attempt)


def _blobs(git: Plumbing, pending: Pending) -> Mapping[str, str]:
    """``{path: blob id}`` of everything in the record whatever its number; all of it is written."""
    big = git.big_blobs(file.piece() for file in pending.attached) if pending.attached else []
    bodies = bodies_of(pending.contents)
    blobs = dict(zip(bodies, git.blobs(bodies.values()), strict=True))
    return blobs | dict(zip(attached_paths([file.source for file in pending.attached]), big, strict=True))


def _held(contents: Sequence[Content], records: Sequence[Record]) -> Record | None:
    """The latest record with any of the copies, if the latest ones with each hold the same bytes; else None."""
    latest: list[Record] = []
    for content in contents:
        wanted = {(source.name, source.sha256) for source in content.copy.sources}
        held = [(r, copy) for r in records for copy in r.copies if copy.name == content.name][-1:]
        if not held or {(source.name, source.sha256) for source in held[0][1].sources} != wanted:
            return None
        latest.append(held[0][0])
    return max(latest, key=records.index, default=None)
