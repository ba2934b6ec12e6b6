"""From a reference to a copy, and the words that say which one was taken."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from asfound.cli import opening, reference, streams
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.model.copy import Copy
    from asfound.model.record import Record
    from asfound.readers.parts import Files, Means, Parts, Watch

CACHE_VARIABLE = "ASFOUND_CACHE"
"""Environment variable: the folder of the cache, or ``off``."""


class Loaded(NamedTuple):
    """``title`` says in words what was taken (record, moment, day, copy); for a file or folder just its name."""

    reference: str
    title: str
    copy: Copy


class _Wanted(NamedTuple):
    """A copy about to be read: what it is called, its files, and how the copy is made once these are read."""

    reference: str
    title: str
    files: Files
    read: Callable[[Watch | None, Parts], Copy]


def load(
    text: str, archive: Path | None, profile: Path | None = None, *, quiet: bool = False, anew: bool = False
) -> Loaded:
    """Read what a reference names; ``profile`` is for files and folders, a record carries its own.

    ``anew`` reads the bytes even where the cache knows what they hold.
    """
    (loaded,) = load_all([text], archive, profile, quiet=quiet, anew=anew)
    return loaded


def load_all(
    texts: Sequence[str], archive: Path | None, profile: Path | None = None, *, quiet: bool = False, anew: bool = False
) -> list[Loaded]:
    """Several references at once, on all cores."""
    with ExitStack() as stack:
        archives = _Archives(stack)
        wanted = [_wanted(text, archive, profile, archives) for text in texts]
        copies = _read(wanted, quiet, anew)
        return [Loaded(each.reference, each.title, copy) for each, copy in zip(wanted, copies, strict=True)]


def load_copies(
    text: str, archive: Path | None, profile: Path | None = None, *, quiet: bool = False
) -> tuple[str, dict[str, Copy]]:
    """All copies of a record, or of a folder with folders ``running``, ``card`` and ``office``; and what was taken."""
    from asfound.model.copy import COPY_NAMES

    found = reference.parse(text, archive)
    with ExitStack() as stack:
        if isinstance(found, Path):
            title, names = text, [name for name in COPY_NAMES if (found / name).is_dir()]
            if not names:
                advice = "name a record of an archive, or a folder that holds running, card and office"
                raise Problem("holds no copies", where=text, advice=advice)
            wanted = [_from_path(str(found / name), found / name, profile) for name in names]
        else:
            if profile is not None:
                streams.note(_unused(text))
            if found.copy:
                raise Problem(f"names the one copy '{found.copy}'", where=text, advice=f"leave out :{found.copy}")
            opened, record = _opened(found, _Archives(stack))
            title, names = described(record), [copy.name for copy in record.copies]
            wanted = [_from_record(text, opened, record, name) for name in names]
        return title, dict(zip(names, _read(wanted, quiet), strict=True))


def _unused(text: str) -> str:
    return f"{text}: --profile is not used, a record carries the profiles it was stored with"


def _wanted(text: str, archive: Path | None, profile: Path | None, archives: _Archives) -> _Wanted:
    found = reference.parse(text, archive)
    if isinstance(found, Path):
        return _from_path(text, found, profile)
    if profile is not None:
        streams.note(_unused(text))
    from asfound.archive.selecting import default_copy

    opened, record = _opened(found, archives)
    return _from_record(text, opened, record, found.copy or default_copy(record))


class _Archives:
    """Archives open until the end of the stack; one that several references name is opened once."""

    def __init__(self, stack: ExitStack) -> None:
        self._stack, self._open = stack, dict[Path, "Archive"]()

    def at(self, path: Path) -> Archive:
        """The archive at a path."""
        if path not in self._open:
            self._open[path] = self._stack.enter_context(opening.opened(path))
        return self._open[path]


def _opened(found: reference.Stored, archives: _Archives) -> tuple[Archive, Record]:
    opened = archives.at(found.archive)
    return opened, opened.record(found.station, found.selector, found.copy)


def _from_record(text: str, opened: Archive, record: Record, name: str) -> _Wanted:
    def read(watch: Watch | None, parts: Parts) -> Copy:
        return opened.copy(record, name, watch, parts)

    return _Wanted(text, f"{described(record)}, copy {name}", opened.files(record, name), read)


def _from_path(text: str, path: Path, profile: Path | None) -> _Wanted:
    files = gathered(path, profile)

    def read(watch: Watch | None, parts: Parts) -> Copy:
        from asfound.readers.reading import read_files

        try:
            return read_files(files, where=str(path) if path.is_dir() else "", watch=watch, parts=parts)
        except Problem as problem:
            raise _with_path(problem, path, [name for name, _ in files]) from None

    return _Wanted(text, text, files, read)


def _read(wanted: Sequence[_Wanted], quiet: bool, anew: bool = False) -> list[Copy]:
    """The copies, each of their files read once."""
    from asfound.readers.parts import Parts

    files = [file for each in wanted for file in each.files]
    chosen = means(files, anew)
    _tell_unused(chosen.cache)
    parts = Parts(chosen)
    title = " and ".join(dict.fromkeys(each.reference for each in wanted))
    size = sum(len(data) for _, data in files)
    with streams.progress(f"Reading {title}", len(files), size=size, quiet=quiet) as watch:
        told = parts.prepare(files, watch)
        return [each.read(None if told else watch, parts) for each in wanted]


def means(files: Files, anew: bool = False) -> Means:
    """All cores, and the cache if a file is large enough for it: where ``ASFOUND_CACHE`` says, ``off`` for nowhere."""
    from asfound.readers.cache import SMALLEST
    from asfound.readers.cores import available
    from asfound.readers.parts import Means

    named = os.environ.get(CACHE_VARIABLE, "")
    if anew or named.lower() == "off" or not any(len(data) >= SMALLEST for _, data in files):
        return Means(None, available())
    if named:
        return Means(Path(named), available())
    from platformdirs import user_cache_path

    return Means(user_cache_path("asfound", appauthor=False), available())


@lru_cache
def _tell_unused(cache: Path | None) -> None:
    """Say, once, when the cache that somebody named is not used: that person waits for what it was to save."""
    from asfound.readers.cache import refusal

    if cache is not None and os.environ.get(CACHE_VARIABLE) and (why := refusal(cache)):
        advice = "name a folder of your own that nobody else can write to, or a new one"
        streams.note(f"{CACHE_VARIABLE}: {cache} is not used, {why}; {advice}.")


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
    from asfound.archive.selecting import default_copy

    with opening.opened(found.archive) as opened:
        record = opened.record(found.station, found.selector, found.copy)
        copy = found.copy or default_copy(record)
        return [(f"{copy}/{name}", data) for name, data in opened.files(record, copy)]


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
