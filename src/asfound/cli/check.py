"""``asfound check``."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import reference, streams
from asfound.cli.options import ArchiveOption, QuietOption, example
from asfound.model.problem import DIFFERS, DONE, Problem
from asfound.model.problem import command as command_line

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.archive.faults import Checked

EXAMPLE = example("check plant.git --from backup.git")


def check(
    where: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Argument(metavar="ARCHIVE", help="Only when --archive is not used."),
    ] = None,
    source: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--from", metavar="OTHER", help="Mend what can be mended from this copy of the archive."),
    ] = None,
    mend: Annotated[
        bool, typer.Option("--mend", help="Mend what the archive itself can mend; remove left-overs.")
    ] = False,
    aside: Annotated[
        str, typer.Option("--set-aside", metavar="STATION", help="Set a branch aside that nothing can mend.")
    ] = "",
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Read a whole archive and compare it with what vouches for it.

    Exit 0 when all is as stored, else 1.
    """
    from asfound.archive.archive import Archive
    from asfound.archive.faults import told
    from asfound.readers.cores import available
    from asfound.reports.words import number

    path = where or archive
    if path is None:
        raise Problem("no archive is named", advice=reference.NAME_IT)
    with contextlib.ExitStack() as stack:
        opened = stack.enter_context(Archive.open(path, damaged=True, processes=available()))
        other = stack.enter_context(Archive.open(source, damaged=True)) if source else None
        if aside:
            streams.say(f"{aside} is set aside as {opened.set_aside(aside)}; nothing was deleted")
        watch = stack.enter_context(streams.progress(f"Checking {path}", opened.count(), quiet=quiet))
        checked, mended = _done(opened, other, mend, watch)
    for line in told(checked.faults):
        streams.say(line)
    if not quiet:
        for line in told(checked.remarks):
            streams.note(line)
        if source is not None or mend:
            streams.say(f"mended {number(mended, 'piece')}{f' from {source}' if source else ''}")
        if checked.left:
            streams.note(_left(checked, path))
        streams.say(_verdict(checked))
        if checked.faults:
            streams.note(_advice(path, source, mend))
    raise typer.Exit(DIFFERS if checked.faults else DONE)


def _done(
    opened: Archive, other: Archive | None, mend: bool, watch: Callable[[str], None] | None
) -> tuple[Checked, int]:
    from asfound.evidence.commits import fault_of

    if other or mend:
        return opened.repair(other, watch, fault_of)
    return opened.check(watch, fault_of), 0


def _advice(path: Path, source: Path | None, mend: bool) -> str:
    if source:
        return f"{source} does not hold what is missing; try another copy with --from"
    if mend:
        return f"{command_line('check', path, '--from', 'OTHER')} also mends from another copy of the archive"
    return f"{command_line('check', path, '--mend')} mends what the archive itself can mend, --from OTHER the rest"


def _left(checked: Checked, path: Path) -> str:
    from asfound.reports.words import number

    files, size = number(checked.left, "file"), f"{checked.left_size:,} bytes"
    return f"killed processes left {files} behind, {size}; {command_line('check', path, '--mend')} removes them"


def _verdict(checked: Checked) -> str:
    from asfound.reports.words import number

    looked = ", ".join(
        (number(checked.stations, "station"), number(checked.records, "record"), number(checked.files, "file"))
    )
    if not checked.whole:
        return f"{number(len(checked.faults), 'fault')}; no record could be looked at"
    verdict = number(len(checked.faults), "fault") if checked.faults else "all as stored"
    return f"{looked}, {checked.size:,} bytes: {verdict}"


command = check
