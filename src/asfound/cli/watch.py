"""``asfound watch``."""

from __future__ import annotations

import sys
import time
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import completion, loading, opening, reference, streams
from asfound.cli.options import ArchiveOption, FirstArgument, MomentOption, ProfileOption, QuietOption, example
from asfound.cli.options import station_argument as station
from asfound.cli.store import doubts, warn
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.archive.watching import Seen, Watcher
    from asfound.model.record import Record
    from asfound.readers.single_files import Files

EXAMPLE = example("watch export/ plant.git booster-1 --every 60")
_Word = Optional[str]  # noqa: UP045
_COPIES = ("running", "card", "office")


def watch(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where exports are written to.")],
    first: FirstArgument = None,
    second: Annotated[_Word, station("Where the record goes.")] = None,
    copy: Annotated[
        str,
        typer.Option(
            metavar="COPY",
            help="What FOLDER is: running, card or office.",
            autocompletion=completion.words(*_COPIES),
        ),
    ] = "running",
    every: Annotated[
        int, typer.Option(metavar="SECONDS", min=1, max=86_400, help="Look this often.", show_default=True)
    ] = 10,
    once: Annotated[bool, typer.Option("--once", help="Store what is there once it has settled, then end.")] = False,
    moment: MomentOption = "routine",
    by: Annotated[str, typer.Option(metavar="NAME", help="Who stores it (else the user.name of git).")] = "",
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Store a record whenever an export lands in a folder.

    All of FOLDER is one copy. It is stored when three looks in a row have seen no change, unless the latest record
    holds the same bytes. What goes wrong is said once and tried again. Ctrl+C ends it.
    """
    where, name = reference.station([word for word in (first, second) if word], archive)
    watcher = _watcher(folder, where, name, copy, moment, by, profile)
    if not quiet and not once:
        _say(f"watching {folder} for {name}, every {every} s; Ctrl+C ends it")
    while True:
        if _step(watcher, folder, where, copy, once, quiet) and once:
            return
        time.sleep(every)


def _watcher(folder: Path, where: Path, name: str, copy: str, moment: str, by: str, profile: Path | None) -> Watcher:
    """Everything that can be wrong from the start is refused here."""
    from asfound.archive.content import checked_moment
    from asfound.archive.people import name_and_address, usual_person
    from asfound.archive.settling import look
    from asfound.archive.stations import checked
    from asfound.archive.watching import Target, Watcher
    from asfound.readers.cores import available

    if copy not in _COPIES:
        raise Problem(f"'{copy}' is no copy", advice=f"a copy is one of {', '.join(_COPIES)}")
    person = by or usual_person()
    checked(name), checked_moment(moment), name_and_address(person)
    opening.opened(where).close()
    look(folder)
    if reference.is_archive(folder):
        raise Problem(
            "is an archive", where=str(folder), advice="write FOLDER first: asfound watch FOLDER ARCHIVE STATION"
        )
    if where.resolve().is_relative_to(folder.resolve()):  # each record would be the next change
        raise Problem("lies in the folder that is watched", where=str(where), advice="watch another folder")
    if profile is not None:
        loading.gathered(profile)

    def stored(archive: Archive, files: Files) -> Record:
        warn({copy: list(files)})
        now = datetime.now().astimezone()
        return archive.store(name, moment, {copy: files}, person=person, time=now, again=False)

    target = Target(lambda: opening.opened(where, available()), name, copy, stored)
    return Watcher(folder, target, lambda path: loading.gathered(path, profile))


def _step(watcher: Watcher, folder: Path, where: Path, copy: str, once: bool, quiet: bool) -> bool:
    """One look, and what is to be said of it; whether it came to an end."""
    from asfound.archive.settling import look

    try:
        seen = watcher.step()
        if once and not seen and not look(folder):
            raise Problem("holds no files", where=str(folder), advice="export into it first")
    except Problem as problem:
        if once:
            raise
        if watcher.news(problem):
            streams.note(f"{_clock()}: {problem}")
        return False
    if seen:
        watcher.fine()
        if seen.stored:
            doubts(seen.record, quiet)
        if not quiet and (seen.stored or once):
            _say(_line(seen, where, copy))
    return seen is not None


def _line(seen: Seen, where: Path, copy: str) -> str:
    record = loading.described(seen.record)
    if not seen.stored:
        return f"nothing new: {record} holds the same bytes"
    if seen.before is None:
        return f"{_clock()}: stored {record}; the first with a copy {copy}"
    changes = _changes(seen.record, seen.before, where, copy)
    return f"{_clock()}: stored {record}; since record {seen.before.number}: {changes}"


def _changes(record: Record, before: Record, where: Path, copy: str) -> str:
    """The verdict in one sentence. The record is safe by now: that it cannot be compared is no failure."""
    from asfound.compare.comparison import compare
    from asfound.reports.words import verdict

    try:
        with opening.opened(where) as opened:
            return verdict(compare(opened.copy(before, copy), opened.copy(record, copy)))
    except Problem as problem:
        return f"it could not be compared: {problem}"


def _clock() -> str:
    return datetime.now().astimezone().isoformat(sep=" ", timespec="seconds")[:19]


def _say(line: str) -> None:
    """A line that whoever reads the log sees at once."""
    streams.say(line)
    sys.stdout.flush()


command = watch
