"""What ``ready`` and ``checklist`` share: their words, and from them to a judgement."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple, Optional

import typer

from asfound.cli import completion, loading, opening, reference, streams
from asfound.cli.options import station_argument
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.checks.readiness.readiness import Readiness
    from asfound.checks.readiness.situation import Purpose, Situation

_Word = Optional[str]  # noqa: UP045
PURPOSES = "reset, download, firmware or battery"
StationArgument = Annotated[_Word, station_argument("STATION[@SELECTOR]: up to this record.")]
PurposeOption = Annotated[
    str,
    typer.Option(
        "--for",
        metavar="PURPOSE",
        help=f"{PURPOSES}.",
        autocompletion=completion.words("reset", "download", "firmware", "battery"),
    ),
]
NewOption = Annotated[
    _Word,
    typer.Option("--new", metavar="REF", help="What a download would bring.", autocompletion=completion.references),
]
DayOption = Annotated[_Word, typer.Option("--on", metavar="DAY", help="Judge for this day instead of today.")]


class Judged(NamedTuple):
    """A judgement, and the situation it was made of."""

    found: Readiness
    situation: Situation


def judged(
    words: list[str | None],
    purpose: str,
    new: str | None,
    day: str | None,
    archive: Path | None,
    *,
    understood: bool,
    quiet: bool,
) -> Judged:
    """Look at a station of an archive and judge it."""
    from asfound.checks.readiness.gathering import gather
    from asfound.checks.readiness.readiness import readiness
    from asfound.checks.readiness.station_toml import read
    from asfound.reports.words import CAUTIONS

    chosen, today = _purpose(purpose), _day(day)
    if new is not None and chosen != "download":
        raise Problem("--new is for a download", where=new, advice="write --for download")
    where, name = reference.station([word for word in words if word], archive)
    station, _, selector = name.partition("@")
    loaded = None if new is None else loading.load(new, archive or where, quiet=quiet, anew=True, prefer="office")
    with opening.opened(where) as opened, streams.progress(f"Judging {name}", 1, quiet=quiet):
        brought = (_brought(loaded), loaded.copy) if loaded is not None else None
        situation = gather(opened, station, chosen, today, selector=selector, new=brought)
        record = opened.record(station, selector)
        settings = opened.settings(station, record if selector else None)
        levels = read(settings, f"station.toml of {station}").ready.of(chosen)
    return Judged(readiness(situation, record.station, levels, CAUTIONS, understood=understood), situation)


def _brought(loaded: loading.Loaded) -> str:
    """What a download would bring: a project is downloaded from the office, unless another copy is named."""
    one = loaded.origin
    return f"{one.station}@{one.record}:{one.copy}" if one else loaded.reference


def _purpose(text: str) -> Purpose:
    from asfound.checks.readiness.situation import PURPOSES as ALL

    for purpose in ALL:
        if purpose == text:
            return purpose
    raise Problem(f"'{text}' is no purpose", advice=f"write --for {PURPOSES}")


def _day(text: str | None) -> str:
    """The one place that looks at the clock."""
    if text is None:
        return datetime.now().astimezone().date().isoformat()
    try:
        if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
            return datetime.fromisoformat(text).date().isoformat()
    except ValueError:
        pass
    raise Problem(f"'{text}' is no day", advice="write --on YEAR-MONTH-DAY, such as 2026-03-31")
