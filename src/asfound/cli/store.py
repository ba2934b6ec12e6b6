"""``asfound store``."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import loading, opening, reference, signing, streams
from asfound.cli.options import (
    ArchiveOption,
    FirstArgument,
    MomentOption,
    ProfileOption,
    QuietOption,
    example,
    station_argument,
)
from asfound.model.problem import nearest

if TYPE_CHECKING:
    from asfound.model.record import Record

EXAMPLE = example("store plant.git booster-1 --moment as-found --running upload/ --card card/ --office project/")

_Word = Optional[str]  # noqa: UP045
_Path = Optional[Path]  # noqa: UP045


def store(
    moment: MomentOption,
    first: FirstArgument = None,
    second: Annotated[_Word, station_argument("Where the record goes.")] = None,
    running: Annotated[_Path, typer.Option(metavar="PATH", help="What was uploaded from the controller.")] = None,
    card: Annotated[_Path, typer.Option(metavar="PATH", help="What is on its memory card.")] = None,
    office: Annotated[_Path, typer.Option(metavar="PATH", help="The project on the engineer's disk.")] = None,
    note: Annotated[str, typer.Option(metavar="TEXT", help="What the next person should know.")] = "",
    by: Annotated[str, typer.Option(metavar="NAME", help="Who stores it (else the user.name of git).")] = "",
    attach: Annotated[
        Optional[list[Path]],  # noqa: UP045
        typer.Option(metavar="FILE", help="Store this file, of any size, as it is (may be given again)."),
    ] = None,
    key: signing.KeyOption = None,
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Store what a station holds: exact bytes and normal form.

    At one moment, up to three copies, each a file or a folder. Hidden files in a folder (names that begin with a dot)
    are left out.
    """
    from asfound.archive.people import usual_person
    from asfound.readers.cores import available

    where, name = reference.station([word for word in (first, second) if word], archive)
    given = {"running": running, "card": card, "office": office}
    sign = signing.commits(key)
    with opening.opened(where, available()) as opened:
        files = {copy: loading.gathered(path, profile) for copy, path in given.items() if path is not None}
        warn(files)
        total = sum(map(len, files.values()))
        size = sum(len(data) for pairs in files.values() for _, data in pairs)
        with streams.progress(f"Storing {name}", total, size=size, quiet=quiet) as watch:
            record = opened.store(
                name,
                moment,
                files,
                note=note,
                person=by or usual_person(),
                time=datetime.now().astimezone(),
                attach=attach or (),
                watch=watch,
                sign=sign,
            )
        doubts(record, quiet)
        near = nearest(name, set(opened.stations()) - {record.station}) if record.number == 1 else ""
        if near and not quiet:
            streams.note(f"{record.station} is a new station in this archive; it also has {near}")
        if not quiet:
            streams.say(f"stored {loading.described(record)}: {loading.agreement(record)}")


def doubts(record: Record, quiet: bool) -> None:
    """Say what is doubtful about a record just stored."""
    if record.clock:
        streams.note(f"warning: {record.clock}; set the clock of this computer")
    for copy in () if quiet else record.copies:
        for source in copy.sources:
            if not source.format:
                streams.note(f"{copy.name}/{source.name}: not understood, stored as it is")


def warn(files: dict[str, list[tuple[str, bytes]]]) -> None:
    """Say before storing what had better not be stored; nothing comes out of an archive again."""
    from asfound.archive.secrets import suspicion

    for copy, pairs in files.items():
        for name, data in pairs:
            if found := suspicion(name, data):
                streams.note(f"warning: {copy}/{name} looks as if it held {found}; whoever has the archive can read it")


command = store
