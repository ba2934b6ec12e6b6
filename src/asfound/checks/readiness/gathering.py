"""From an archive to a situation: the latest copies, read and really restored, and what was noted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from asfound.archive import whole
from asfound.archive.archive import Archive
from asfound.checks.readiness.situation import Held, New, Note, Proof, Purpose, Second, Situation
from asfound.compare.comparison import compare
from asfound.compare.side_by_side import side_by_side
from asfound.model.copy import COPY_NAMES, Copy
from asfound.model.problem import Problem
from asfound.model.record import Record

Named = tuple[str, Record]


def gather(
    archive: Archive,
    station: str,
    purpose: Purpose,
    today: str,
    *,
    selector: str = "",
    new: tuple[str, Copy] | None = None,
) -> Situation:
    """What is known about a station up to the record that ``selector`` names (else up to the last one)."""
    records = _records(archive, station, selector)
    held = {name: found for name in COPY_NAMES if (found := _held(archive, records, name)) is not None}
    notes = tuple(Note(label, record.time, record.panel) for label, record in records if record.panel)
    last = archive.record(station, selector) if selector else None
    noted = Situation(
        purpose,
        today,
        notes=notes,
        second=_second(archive, station, records),
        equipment=archive.equipment(station, last),
    )
    if noted.without_card():
        held.pop("card", None)
    whole = with_copies(noted, held)
    return replace(whole, new=_new(whole.running, new)) if new else whole


def with_copies(s: Situation, held: Mapping[str, Held]) -> Situation:
    """The situation with these copies, set side by side."""
    copies = {name: each.copy for name, each in held.items()}
    side = side_by_side(copies, brings_back=s.equipment.brings_back) if len(held) > 1 else None
    return replace(s, running=held.get("running"), card=held.get("card"), office=held.get("office"), side=side)


def _records(archive: Archive, station: str, selector: str) -> list[Named]:
    named = [(f"{r.station}@{label}", r) for label, r in archive.history(station) if isinstance(r, Record)]
    if not selector:
        return named
    last = archive.record(station, selector)
    return named[: 1 + next(at for at, (_, record) in enumerate(named) if record == last)]


def _held(archive: Archive, records: Sequence[Named], name: str) -> Held | None:
    for label, record in reversed(records):
        if any(stored.name == name for stored in record.copies):
            reference = f"{label}:{name}"
            return Held(reference, record.time, archive.copy(record, name), prove(archive, record, name))
    return None


def prove(archive: Archive, record: Record, name: str) -> Proof:
    """Restore one copy into a temporary folder and compare every byte with what the archive holds."""
    size = 0
    try:
        with whole.scratch() as folder:
            stored = dict(archive.files(record, name))
            done = archive.restore(record, folder, [name])
            if sorted(file.name for file in done) != sorted(stored):
                return Proof(len(done), 0, "not all files came back")
            for file in done:
                data = file.path.read_bytes()
                size += len(data)
                if data != stored[file.name]:
                    return Proof(len(done), size, f"{file.name} came back with other bytes")
    except (Problem, OSError) as error:
        return Proof(0, size, str(error).rstrip("."))
    return Proof(len(done), size)


def _second(archive: Archive, station: str, records: Sequence[Named]) -> Second | None:
    found = archive.elsewhere(station)
    if found is None:
        return None
    lacking = tuple(label for label, record in records if record in found.lacking)
    return Second(found.address, found.time, lacking)


def _new(running: Held | None, new: tuple[str, Copy]) -> New | None:
    if running is None:
        return None
    reference, copy = new
    found = compare(running.copy, copy, old_reference=running.reference, new_reference=reference)
    return New(reference, copy, found)
