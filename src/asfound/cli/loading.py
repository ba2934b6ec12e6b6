"""From a reference to a copy, and the words that say which one was taken."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from asfound.cli import reference, streams
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.model.copy import Copy
    from asfound.model.record import Record


class Loaded(NamedTuple):
    """``title`` says in words what was taken (record, moment, day, copy); for a file or folder just its name."""

    reference: str
    title: str
    copy: Copy


def load(text: str, archive: Path | None, *, quiet: bool = False) -> Loaded:
    """Read what a reference names."""
    found = reference.parse(text, archive)
    if isinstance(found, Path):
        return Loaded(text, text, _from_path(found, quiet))
    from asfound.archive.archive import Archive
    from asfound.archive.selecting import default_copy

    with Archive.open(found.archive) as opened:
        record = opened.record(found.station, found.selector)
        name = found.copy or default_copy(record)
        title = f"{described(record)}, copy {name}"
        total = sum(len(copy.sources) for copy in record.copies if copy.name == name)
        with streams.progress(f"Reading {text}", total, quiet=quiet) as watch:
            return Loaded(text, title, opened.copy(record, name, watch))


def load_copies(text: str, archive: Path | None, *, quiet: bool = False) -> tuple[str, dict[str, Copy]]:
    """All copies of a record, or of a folder with folders ``running``, ``card`` and ``office``; and what was taken."""
    from asfound.model.copy import COPY_NAMES

    found = reference.parse(text, archive)
    if isinstance(found, Path):
        folders = {name: found / name for name in COPY_NAMES if (found / name).is_dir()}
        if not folders:
            advice = "name a record of an archive, or a folder that holds running, card and office"
            raise Problem("holds no copies", where=text, advice=advice)
        return text, {name: _from_path(folder, quiet) for name, folder in folders.items()}
    if found.copy:
        raise Problem(f"names the one copy '{found.copy}'", where=text, advice=f"leave out :{found.copy}")
    from asfound.archive.archive import Archive

    with Archive.open(found.archive) as opened:
        record = opened.record(found.station, found.selector)
        total = sum(len(copy.sources) for copy in record.copies)
        with streams.progress(f"Reading {text}", total, quiet=quiet) as watch:
            return described(record), {copy.name: opened.copy(record, copy.name, watch) for copy in record.copies}


def _from_path(path: Path, quiet: bool) -> Copy:
    from asfound.readers.reading import gather, read_files

    files = gather(path)
    with streams.progress(f"Reading {path}", len(files), quiet=quiet) as watch:
        return read_files(files, where=str(path) if path.is_dir() else "", watch=watch)


def say_about(loaded: Loaded) -> None:
    """Which copy this is, and what it cannot vouch for: on standard error, so that the answer stays clean."""
    if loaded.title != loaded.reference:
        streams.note(loaded.title)
    for finding in loaded.copy.findings:
        streams.note(f"{finding.severity}: {finding.where}: {finding.text}")
    for limit in loaded.copy.limits:
        streams.note(f"limit: {limit}")


def described(record: Record) -> str:
    """A record in words: ``booster-1 record 2 (as-found, 2026-11-17)``."""
    return f"{record.station} record {record.number} ({record.moment}, {record.time[:10]})"


def agreement(record: Record) -> str:
    """The copies of a record; ``=`` between those whose normal forms are equal: ``running = office, card``."""
    groups: dict[str, list[str]] = {}
    for copy in record.copies:
        groups.setdefault(copy.normal_sha256, []).append(copy.name)
    return ", ".join(" = ".join(names) for names in groups.values())
