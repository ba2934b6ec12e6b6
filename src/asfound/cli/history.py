"""``asfound history``."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import loading, opening, reference, streams
from asfound.cli.options import ArchiveOption, FirstArgument, example, station_argument
from asfound.model.problem import DIFFERS, FAILED, Problem
from asfound.model.problem import command as command_line

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from asfound.archive.joining import NotKept
    from asfound.model.record import Join, Record

_Word = Optional[str]  # noqa: UP045
EXAMPLE = example("history plant.git booster-1")


def history(
    first: FirstArgument = None,
    second: Annotated[_Word, station_argument("Without a station: all of them.")] = None,
    archive: ArchiveOption = None,
) -> None:
    """List the records, the latest first. Copies joined by = hold the same but for noise."""

    where, station = reference.station_or_all([word for word in (first, second) if word], archive)
    with opening.opened(where) as opened:
        names = [station] if station else list(opened.stations())
        if not names and not opened.lost():
            streams.say(f"{where} holds no records yet; {command_line('store', where, 'STATION')} ... makes the first")
        wrong: list[Problem] = []
        for at, name in enumerate(names):
            if at:
                streams.say("")
            try:
                for line in _lines(opened.history(name), opened.not_kept):
                    streams.say(line)
            except Problem as problem:  # the other stations are listed all the same
                if station:
                    raise
                wrong.append(problem)
        for each in wrong:
            streams.note(str(each))
        if wrong or opened.lost():
            raise typer.Exit(FAILED if wrong else DIFFERS)


def _lines(named: Sequence[tuple[str, Record | Join]], not_kept: Callable[[Join], NotKept | None]) -> Iterator[str]:
    """One line for each record, and below it its note and whatever is doubtful."""
    from asfound.model.record import Join

    rows: list[tuple[str, ...]] = []
    below: list[list[str]] = []
    for label, record in reversed(named):
        rows.append(_joining(record) if isinstance(record, Join) else _row(label, record))
        doubtful = _settings(not_kept(record)) if isinstance(record, Join) else record.clock
        note = "" if isinstance(record, Join) else record.note
        below.append([*note.splitlines(), *filter(None, [doubtful])])
    yield named[-1][1].station
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    for row, lines in zip(rows, below, strict=True):
        yield "  " + "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        yield from (f"  {'':{widths[0]}}  {line}" for line in lines)


def _row(label: str, record: Record) -> tuple[str, ...]:
    panel = ["panel noted"] if record.panel else []
    if not record.copies and not record.panel and not record.attachments:
        panel = ["station stated"]
    held = [
        *filter(None, [loading.agreement(record)]),
        *panel,
        *(f"{source.name} attached" for source in record.attachments),
    ]
    return f"@{label}", _minute(record.time), record.moment, record.person, ", ".join(held)


def _joining(join: Join) -> tuple[str, ...]:
    people = " and ".join(dict.fromkeys(line.person for line in join.lines))
    return "", _minute(join.time), "joined", people, "two lines of records, stored apart"


def _settings(lost: NotKept | None) -> str:
    """Which settings of the station were given up in a join; they stay in the history of git."""
    return f"the settings (station.toml) of @{lost.record} were not kept, those of the later line were" if lost else ""


def _minute(time: str) -> str:
    return time[:16].replace("T", " ")


command = history
