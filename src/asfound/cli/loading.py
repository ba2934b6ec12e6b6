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
    from asfound.archive.choosing import Chosen
    from asfound.compare.result import Origin
    from asfound.model.copy import Copy
    from asfound.model.record import Record
    from asfound.model.station import Equipment
    from asfound.readers.single_files import Files, Means, Parts, Watch

CACHE_VARIABLE = "ASFOUND_CACHE"
"""Environment variable: the folder of the cache, or ``off``."""


class Loaded(NamedTuple):
    """``title`` says in words what was taken (record, moment, day, copy); for a file or folder just its name.

    ``origin`` is the record, ``exact`` a reference to it that means no other one, ``limits`` what has to be said of
    the choice.
    """

    reference: str
    title: str
    copy: Copy
    exact: str
    origin: Origin | None = None
    limits: tuple[str, ...] = ()


class _Wanted(NamedTuple):
    """A copy about to be read: what it is called, its files, and how the copy is made once these are read.

    ``notes`` are for the person, unless quiet.
    """

    reference: str
    title: str
    files: Files
    read: Callable[[Watch | None, Parts], Copy]
    exact: str
    origin: Origin | None = None
    limits: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def load(
    text: str,
    archive: Path | None,
    profile: Path | None = None,
    *,
    quiet: bool = False,
    anew: bool = False,
    prefer: str = "",
) -> Loaded:
    """Read what a reference names; ``profile`` is for files and folders, a record carries its own.

    ``anew`` reads the bytes even where the cache knows what they hold. ``prefer`` is the copy of a record that is taken
    when the reference names none and the station has it.
    """
    with ExitStack() as stack:
        wanted = [_wanted(text, archive, profile, _Archives(stack), prefer)]
        return _loaded(wanted, _read(wanted, quiet, anew))[0]


def load_pair(
    texts: tuple[str, str], archive: Path | None, profile: Path | None = None, *, quiet: bool = False
) -> tuple[Loaded, Loaded]:
    """Two references that are compared, read at once, on all cores; of two records the same copy (see choosing)."""
    found = [reference.parse(text, archive) for text in texts]
    with ExitStack() as stack:
        archives = _Archives(stack)
        if isinstance(found[0], Path) or isinstance(found[1], Path):
            wanted = [_wanted(text, archive, profile, archives) for text in texts]
        else:
            wanted = _same_copy(texts, (found[0], found[1]), profile, archives)
        first, second = _loaded(wanted, _read(wanted, quiet))
        return first, second


def _loaded(wanted: Sequence[_Wanted], copies: Sequence[Copy]) -> list[Loaded]:
    return [
        Loaded(each.reference, each.title, copy, each.exact, each.origin, each.limits)
        for each, copy in zip(wanted, copies, strict=True)
    ]


def _same_copy(
    texts: tuple[str, str], found: tuple[reference.Stored, reference.Stored], profile: Path | None, archives: _Archives
) -> list[_Wanted]:
    from asfound.archive import choosing

    opened = [archives.at(each.archive) for each in found]
    asked = []
    for text, each, at in zip(texts, found, opened, strict=True):
        if profile is not None:
            streams.note(_unused(text))
        asked.append(choosing.Asked(text, at.admitted(each.station, each.selector), each.copy))
    chosen = choosing.pair(asked[0], asked[1])
    return [_from_record(text, at, each) for text, at, each in zip(texts, opened, chosen, strict=True)]


def load_copies(
    text: str, archive: Path | None, profile: Path | None = None, *, quiet: bool = False
) -> dict[str, Loaded]:
    """All copies of a visit up to a record, or of a folder with folders ``running``, ``card`` and ``office``."""
    from asfound.model.copy import COPY_NAMES

    found = reference.parse(text, archive)
    with ExitStack() as stack:
        if isinstance(found, Path):
            names = [name for name in COPY_NAMES if (found / name).is_dir()]
            if not names:
                advice = "name a record of an archive, or a folder that holds running, card and office"
                raise Problem("holds no copies", where=text, advice=advice)
            wanted = [_from_path(str(found / name), found / name, profile) for name in names]
        else:
            if profile is not None:
                streams.note(_unused(text))
            if found.copy:
                raise Problem(f"names the one copy '{found.copy}'", where=text, advice=f"leave out :{found.copy}")
            opened = _Archives(stack).at(found.archive)
            chosen = _visit(opened, found)
            names, wanted = list(chosen), [_from_record(text, opened, each) for each in chosen.values()]
        return dict(zip(names, _loaded(wanted, _read(wanted, quiet)), strict=True))


def equipment(text: str, archive: Path | None) -> Equipment:
    """What is stated of the station that a reference names; nothing for a folder, or what cannot be understood."""
    from asfound.archive.archive import Archive
    from asfound.model.station import Equipment

    found = reference.parse(text, archive)
    if isinstance(found, Path):
        return Equipment()
    with Archive.open(found.archive) as opened:
        try:
            return opened.equipment(found.station)
        except Problem:  # a limit of every copy of the station says it
            return Equipment()


def _visit(opened: Archive, found: reference.Stored) -> dict[str, Chosen]:
    from asfound.archive import choosing

    record = opened.record(found.station, found.selector)
    known = opened.admitted(found.station)
    return choosing.visit(known[: 1 + next(at for at, (_, one) in enumerate(known) if one == record)])


def _unused(text: str) -> str:
    return f"{text}: --profile is not used, a record carries the profiles it was stored with"


def _wanted(text: str, archive: Path | None, profile: Path | None, archives: _Archives, prefer: str = "") -> _Wanted:
    found = reference.parse(text, archive)
    if isinstance(found, Path):
        return _from_path(text, found, profile)
    if profile is not None:
        streams.note(_unused(text))
    opened = archives.at(found.archive)
    return _from_record(text, opened, _chosen(opened, found, prefer))


def _chosen(opened: Archive, found: reference.Stored, prefer: str = "") -> Chosen:
    """The record that a reference means by itself: the latest with the copy, else its best copy."""
    from asfound.archive.choosing import Chosen, newest
    from asfound.archive.selecting import default_copy

    known = opened.admitted(found.station, found.selector)
    if prefer and not found.copy and (preferred := newest(known, prefer)):
        return preferred
    record = opened.record(found.station, found.selector, found.copy)
    label = next(label for label, one in known if one == record)
    return Chosen(label, record, found.copy or default_copy(record))


class _Archives:
    """Archives open until the end of the stack; one that several references name is opened once."""

    def __init__(self, stack: ExitStack) -> None:
        self._stack, self._open = stack, dict[Path, "Archive"]()

    def at(self, path: Path) -> Archive:
        """The archive at a path."""
        if path not in self._open:
            self._open[path] = self._stack.enter_context(opening.opened(path))
        return self._open[path]


def _from_record(text: str, opened: Archive, chosen: Chosen) -> _Wanted:
    from asfound.compare.origins import origin, passed_over

    record, name = chosen.record, chosen.copy

    def read(watch: Watch | None, parts: Parts) -> Copy:
        return opened.copy(record, name, watch, parts)

    source = origin(chosen.label, record, name)
    exact = f"{opened.path}:{record.station}@{chosen.label}:{name}"
    limits = tuple(passed_over(source, chosen.passed))
    return _Wanted(text, f"{described(record)}, copy {name}", opened.files(record, name), read, exact, source, limits)


def _from_path(text: str, path: Path, profile: Path | None) -> _Wanted:
    files = gathered(path, profile)
    lying: Files = ()
    if profile is None and path.is_file():
        from asfound.cli.beside import profiles_beside

        lying = profiles_beside(path, files[0][1])
        files = [*files, *lying]
    told = tuple(f"{path.name} is read with {name}, which lies beside it" for name, _ in lying)

    def read(watch: Watch | None, parts: Parts) -> Copy:
        from asfound.readers.reading import read_files

        try:
            return read_files(files, where=str(path) if path.is_dir() else "", watch=watch, parts=parts)
        except Problem as problem:
            raise _with_path(problem, path, [name for name, _ in files]) from None

    return _Wanted(text, text, files, read, text, notes=told)


def _read(wanted: Sequence[_Wanted], quiet: bool, anew: bool = False) -> list[Copy]:
    """The copies, each of their files read once."""
    from asfound.readers.single_files import Parts

    for line in [] if quiet else [line for each in wanted for line in each.notes]:
        streams.note(line)
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
    from asfound.readers.single_files import Means

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
    from asfound.readers.reader import Probe
    from asfound.readers.reading import gather, with_linked
    from asfound.readers.tables.profile import SCHEMA, is_profile

    files = with_linked(path)
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
        return [(((found if found.is_dir() else found.parent) / name).as_posix(), data) for name, data in files]
    with opening.opened(found.archive) as opened:
        chosen = _chosen(opened, found)
        return [(f"{chosen.copy}/{name}", data) for name, data in opened.files(chosen.record, chosen.copy)]


def _with_path(problem: Problem, path: Path, names: list[str]) -> Problem:
    """Readers know the names of files below the folder; a command to type needs the whole path."""
    advice = problem.advice
    for name in names:
        whole = ((path if path.is_dir() else path.parent) / name).as_posix()
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
