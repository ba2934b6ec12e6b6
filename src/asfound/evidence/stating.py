"""From a record of an archive to the statement about it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from msgspec import UNSET

import asfound
from asfound.archive.archive import Archive
from asfound.archive.choosing import newest
from asfound.archive.content import attached_paths
from asfound.archive.safe_names import stored_paths
from asfound.archive.selecting import default_copy
from asfound.compare.comparison import compare
from asfound.compare.origins import origin, passed_over, with_origins
from asfound.compare.result import Comparison, Origin
from asfound.evidence.statement import (
    SCHEMA,
    Earlier,
    File,
    Predicate,
    StatedCopy,
    Statement,
    compared,
    without_controller,
    wrapped,
)
from asfound.model.copy import Copy, Source
from asfound.model.problem import Problem
from asfound.model.record import Record
from asfound.readers.single_files import Watch


class Matter(NamedTuple):
    """What a statement is about: a record, one of its copies, and the earlier record it is compared with, if any.

    ``passed`` are later records that the reference admits as well but that lack the copy.
    """

    record: Record
    label: str
    copy: str
    earlier: Record | None
    earlier_label: str
    passed: tuple[Record, ...] = ()

    @property
    def references(self) -> tuple[str, str]:
        """The two sides of the comparison as a person writes them."""
        station = self.record.station
        return f"{station}@{self.earlier_label}:{self.copy}", f"{station}@{self.label}:{self.copy}"

    @property
    def origins(self) -> tuple[Origin | None, Origin]:
        """The two sides of the comparison as records; None where there is no earlier one."""
        earlier = origin(self.earlier_label, self.earlier, self.copy) if self.earlier else None
        return earlier, origin(self.label, self.record, self.copy)


class Stated(NamedTuple):
    """The statement, and what it was made from."""

    matter: Matter
    statement: Statement
    comparison: Comparison | None
    old: Copy | None
    new: Copy


def matter(archive: Archive, station: str, selector: str = "", copy: str = "", since: str = "") -> Matter:
    """The record and what it is compared with: ``since`` selects a record of the station.

    Without ``copy`` the running one is meant: nothing else proves anything about a controller. Without ``since`` it is
    the last one as left before it, or none. A :class:`Problem` when one of the two does not hold the copy, or is none.
    """
    name = copy or "running"
    record = archive.record(station, selector, name)
    chosen = newest(archive.admitted(station, selector), name)
    if not copy:
        _refuse_without_running(record)
    known = [(label, entry) for label, entry in archive.history(station) if isinstance(entry, Record)]
    label = _label(known, record)
    earlier = archive.record(station, since, name) if since else _as_left_before(known, record, name)
    if earlier is not None and name not in [c.name for c in earlier.copies]:
        where = f"record {earlier.number} of station {station}"
        raise Problem(
            f"there is no copy '{name}' to compare with",
            where=where,
            advice="name another with --since; `asfound history` lists them",
        )
    order = [entry for _, entry in known]
    if earlier is not None and order.index(earlier) >= order.index(record):
        what = f"record {_label(known, earlier)} is not before record {label}"
        raise Problem(
            what, where=f"station {station}", advice="name an earlier one with --since; `asfound history` lists them"
        )
    passed = chosen.passed if chosen else ()
    return Matter(record, label, name, earlier, _label(known, earlier) if earlier else "", passed)


def _refuse_without_running(record: Record) -> None:
    best = default_copy(record)  # a Problem when the record holds none at all
    if best != "running":
        raise Problem(
            f"holds no running copy, only {' and '.join(copy.name for copy in record.copies)}: nothing would be proved "
            "about the controller",
            where=f"record {record.number} of station {record.station}",
            advice=f"name a record with a running copy; or --copy {best}, which states that copy and says so",
        )


def _label(known: Sequence[tuple[str, Record]], record: Record) -> str:
    return next(label for label, entry in known if entry == record)


def _as_left_before(known: Sequence[tuple[str, Record]], record: Record, copy: str) -> Record | None:
    at = [entry for _, entry in known].index(record)
    before = [entry for _, entry in known[:at] if entry.moment == "as-left"]
    return next((entry for entry in reversed(before) if copy in [c.name for c in entry.copies]), None)


def state(archive: Archive, about: Matter, *, by: str, time: datetime, watch: Watch | None = None) -> Stated:
    """Compare and state; ``by`` is who states it, ``time`` when (with a zone)."""
    new = archive.copy(about.record, about.copy, watch)
    old = archive.copy(about.earlier, about.copy, watch) if about.earlier else None
    comparison = None
    if old is not None:
        references = about.references
        comparison = compare(old, new, old_reference=references[0], new_reference=references[1])
        comparison = with_origins(comparison, *about.origins, passed_over(about.origins[1], about.passed))
    said = compared(comparison, about.copy, _earlier(archive, about)) if comparison else None
    record = about.record
    predicate = Predicate(
        schema=SCHEMA,
        station=record.station,
        record=about.label,
        moment=record.moment,
        time=record.time,
        person=record.person,
        note=record.note,
        clock=record.clock,
        commit=archive.commit_of(record),
        stored_with=record.tool_version,
        stated_by=by,
        stated_time=time.isoformat(timespec="seconds"),
        stated_with=asfound.__version__,
        copies=tuple(
            StatedCopy(c.name, c.normal_sha256, _files(f"originals/{c.name}", c.sources)) for c in record.copies
        ),
        attachments=_attachments(record),
        panel=record.panel,
        compared=said,
        caution=UNSET if about.copy == "running" else without_controller(about.copy),
        brings_back=archive.equipment(record.station).brings_back,
    )
    return Stated(about, wrapped(predicate), comparison, old, new)


def _files(folder: str, sources: Sequence[Source]) -> tuple[File, ...]:
    paths = stored_paths(source.name for source in sources)
    return tuple(File(f"{folder}/{paths[s.name]}", s.name, s.sha256, s.size) for s in sources)


def _attachments(record: Record) -> tuple[File, ...]:
    paths = zip(attached_paths(record.attachments), record.attachments, strict=True)
    return tuple(File(path, source.name, source.sha256, source.size) for path, source in paths)


def _earlier(archive: Archive, about: Matter) -> Earlier:
    record = about.earlier
    assert record is not None
    return Earlier(about.earlier_label, record.moment, record.time, record.person, archive.commit_of(record))
