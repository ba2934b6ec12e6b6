"""``asfound history``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import loading, reference, streams
from asfound.cli.options import ArchiveOption, example

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from asfound.model.record import Record

_Word = Optional[str]  # noqa: UP045
EXAMPLE = example("history plant.git booster-1")


def history(
    first: Annotated[_Word, typer.Argument(metavar="ARCHIVE", help="Only when --archive is not used.")] = None,
    second: Annotated[_Word, typer.Argument(metavar="STATION", help="Without a station: all of them.")] = None,
    archive: ArchiveOption = None,
) -> None:
    """List the records, the latest first. Copies joined by = hold the same but for noise."""
    from asfound.archive.archive import Archive

    where, station = reference.station_or_all([word for word in (first, second) if word], archive)
    with Archive.open(where) as opened:
        names = [station] if station else list(opened.stations())
        if not names:
            streams.say(f"{where} holds no records yet")
        for at, name in enumerate(names):
            if at:
                streams.say("")
            for line in _lines(opened.records(name)):
                streams.say(line)


def _lines(records: Sequence[Record]) -> Iterator[str]:
    """One line for each record, and its note below."""
    yield records[0].station
    rows = [
        (f"@{r.number}", r.time[:16].replace("T", " "), r.moment, r.person, loading.agreement(r)) for r in records[::-1]
    ]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row, record in zip(rows, reversed(records), strict=True):
        yield "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        yield from (f"  {'':{widths[0]}}  {line}" for line in record.note.splitlines())


command = history
