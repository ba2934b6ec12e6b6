"""``asfound sync``."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import opening, reference, streams
from asfound.cli.options import ArchiveOption, QuietOption, example
from asfound.model.problem import DIFFERS, Problem, typed

if TYPE_CHECKING:
    from asfound.archive.joining import NotKept
    from asfound.archive.syncing import Exchanged

EXAMPLE = example("sync plant.git /media/stick --dry-run")
_Word = Optional[str]  # noqa: UP045


def sync(
    first: Annotated[_Word, typer.Argument(metavar="ARCHIVE", help="Only when --archive is not used.")] = None,
    second: Annotated[
        _Word, typer.Argument(metavar="OTHER", help="A folder, a stick, or any address that git understands.")
    ] = None,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only say what would move; change nothing.")] = False,
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Exchange records with another archive.

    Both hold the same in the end, and nothing is replaced or deleted.
    """
    from asfound.evidence.commits import fault_of
    from asfound.readers.cores import available
    from asfound.reports.words import number

    here, there = _sides(first, second, archive)
    with (
        opening.opened(here, available()) as opened,
        streams.progress("Syncing", opened.count(), quiet=quiet) as watch,
    ):
        moved = opened.sync(there, watch, dry_run=dry_run, time=datetime.now().astimezone(), signed=fault_of)
        if not opened.apart:
            streams.note(
                f"warning: {there} shares its files with {here} and counts as no second place; copy it instead"
            )
    for found in moved:
        if found.refused:
            streams.note(f"{found.station}: not exchanged: {found.refused}")
        for lost in found.not_kept:
            streams.note(_warning(found.station, lost, here, dry_run))
    exchanged = [found for found in moved if found.fetched or found.sent or found.joined]
    for found in [] if quiet else exchanged:
        streams.say(_line(found, dry_run))
    if not moved and not quiet:
        streams.say(f"{here} and {there} hold the same already")
    if refused := [found for found in moved if found.refused]:
        streams.note(f"{number(len(refused), 'station')} not exchanged; `asfound check` on both archives says more")
        raise typer.Exit(DIFFERS)


def _sides(first: str | None, second: str | None, archive: Path | None) -> tuple[Path, str]:
    if first and second:
        return Path(first), second
    if first and archive:
        return archive, first
    raise Problem("two archives are needed", advice=f"write ARCHIVE OTHER, or set {reference.VARIABLE}")


def _warning(station: str, lost: NotKept, archive: Path, dry_run: bool) -> str:
    """Two people gave the station settings; nobody else says that those of one are no longer in force."""
    no, yes = ("would not be", "would") if dry_run else ("are not", "are")
    sentence = f"warning: {station}: the settings (station.toml) of record @{lost.record}"
    sentence += f" {no} in force, those of the later line {yes}"
    if dry_run:  # the record may be in either archive still
        return sentence
    return f"{sentence}; {typed('git', '-C', archive, 'show', f'{lost.commit[:12]}:station.toml')} shows them"


def _line(found: Exchanged, dry_run: bool) -> str:
    """``booster-1: 2 records fetched, 1 sent, two lines joined``, or that it would be so."""
    parts = [f"{count} {word}" for count, word in ((found.fetched, "fetched"), (found.sent, "sent")) if count]
    if found.joined:
        parts.append("two lines of records joined")
    words = f"{', '.join(parts)}"
    return f"{found.station}: {'would be: ' if dry_run else ''}{words}"


command = sync
