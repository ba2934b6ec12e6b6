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


def load(text: str, archive: Path | None, profile: Path | None = None, *, quiet: bool = False) -> Loaded:
    """Read what a reference names; ``profile`` is for files and folders, a record carries its own."""
    found = reference.parse(text, archive)
    if isinstance(found, Path):
        return Loaded(text, text, _from_path(found, profile, quiet))
    if profile is not None:
        streams.note(_unused(text))
    from asfound.archive.archive import Archive
    from asfound.archive.selecting import default_copy

    with Archive.open(found.archive) as opened:
        record = opened.record(found.station, found.selector, found.copy)
        name = found.copy or default_copy(record)
        title = f"{described(record)}, copy {name}"
        total = sum(len(copy.sources) for copy in record.copies if copy.name == name)
        with streams.progress(f"Reading {text}", total, quiet=quiet) as watch:
            return Loaded(text, title, opened.copy(record, name, watch))


def _unused(text: str) -> str:
    return f"{text}: --profile is not used, a record carries the profiles it was stored with"


def load_copies(
    text: str, archive: Path | None, profile: Path | None = None, *, quiet: bool = False
) -> tuple[str, dict[str, Copy]]:
    """All copies of a record, or of a folder with folders ``running``, ``card`` and ``office``; and what was taken."""
    from asfound.model.copy import COPY_NAMES

    found = reference.parse(text, archive)
    if isinstance(found, Path):
        folders = {name: found / name for name in COPY_NAMES if (found / name).is_dir()}
        if not folders:
            advice = "name a record of an archive, or a folder that holds running, card and office"
            raise Problem("holds no copies", where=text, advice=advice)
        return text, {name: _from_path(folder, profile, quiet) for name, folder in folders.items()}
    if profile is not None:
        streams.note(_unused(text))
    if found.copy:
        raise Problem(f"names the one copy '{found.copy}'", where=text, advice=f"leave out :{found.copy}")
    from asfound.archive.archive import Archive

    with Archive.open(found.archive) as opened:
        record = opened.record(found.station, found.selector)
        total = sum(len(copy.sources) for copy in record.copies)
        with streams.progress(f"Reading {text}", total, quiet=quiet) as watch:
            return described(record), {copy.name: opened.copy(record, copy.name, watch) for copy in record.copies}


def gathered(path: Path, profile: Path | None = None) -> list[tuple[str, bytes]]:
    """The files of a copy, with the profile among them. Raises Problem when that is none, or its name is taken."""
    from asfound.readers.profile import SCHEMA, is_profile
    from asfound.readers.reader import Probe
    from asfound.readers.reading import gather

    files = gather(path)
    if profile is None:
        return files
    ((name, data),) = gather(profile) if not profile.is_dir() else [(profile.name, b"")]
    if not is_profile(Probe(data, name)):
        advice = f'its first line must be schema = "{SCHEMA}"; `asfound profile TABLE` proposes one'
        raise Problem("is no profile", where=str(profile), advice=advice)
    if (name, data) in files:
        return files
    if any(name == other for other, _ in files):
        raise Problem("a file of that name is among the exports", where=str(profile), advice="rename the profile")
    return [*files, (name, data)]


def addressed(text: str, archive: Path | None) -> list[tuple[str, bytes]]:
    """The files behind a reference under their paths as typed; those of a record are called ``COPY/FILE``."""
    found = reference.parse(text, archive)
    if isinstance(found, Path):
        files = gathered(found)
        return [((found / name if found.is_dir() else found).as_posix(), data) for name, data in files]
    from asfound.archive.archive import Archive
    from asfound.archive.selecting import default_copy

    with Archive.open(found.archive) as opened:
        record = opened.record(found.station, found.selector, found.copy)
        copy = found.copy or default_copy(record)
        return [(f"{copy}/{name}", data) for name, data in opened.files(record, copy)]


def _from_path(path: Path, profile: Path | None, quiet: bool) -> Copy:
    from asfound.readers.reading import read_files

    files = gathered(path, profile)
    with streams.progress(f"Reading {path}", len(files), quiet=quiet) as watch:
        try:
            return read_files(files, where=str(path) if path.is_dir() else "", watch=watch)
        except Problem as problem:
            raise _with_path(problem, path, [name for name, _ in files]) from None


def _with_path(problem: Problem, path: Path, names: list[str]) -> Problem:
    """Readers know the names of files below the folder; a command to type needs the whole path."""
    advice = problem.advice
    for name in names:
        whole = (path / name).as_posix() if path.is_dir() else path.as_posix()
        advice = advice.replace(f"`asfound profile {name}`", f"`asfound profile {whole}`")
    return Problem(problem.what, where=problem.where, advice=advice)


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
