"""``asfound note``."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import loading, opening, reference, streams
from asfound.cli.options import ArchiveOption, FirstArgument, MomentOption, QuietOption, example, station_argument
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Mapping

    from asfound.archive.archive import Archive
    from asfound.archive.stated import Tables
    from asfound.model.panel import Panel
    from asfound.model.station import Equipment, Role

EXAMPLE = example("note plant.git booster-1 --lit Operating,Supply --dark rest --switch Operate --card '1 GB'")
_Word = Optional[str]  # noqa: UP045
_Path = Optional[Path]  # noqa: UP045


def note(
    first: FirstArgument = None,
    second: Annotated[_Word, station_argument("Where the note goes.")] = None,
    lit: Annotated[str, typer.Option(metavar="LIST", help="Indicators that are lit, as printed on the device.")] = "",
    flashing: Annotated[str, typer.Option(metavar="LIST", help="Indicators that flash.")] = "",
    dark: Annotated[str, typer.Option(metavar="LIST", help="Indicators that are dark; rest: all not named.")] = "",
    explain: Annotated[str, typer.Option(metavar="TEXT", help="Why a fault indicator is lit.")] = "",
    switch: Annotated[str, typer.Option(metavar="POSITION", help="Where the mode switch stands, or none.")] = "",
    mode: Annotated[str, typer.Option(metavar="MODE", help="As a tool shows it: run, stop, other.")] = "",
    card: Annotated[str, typer.Option(metavar="SIZE", help="Memory card, with its size; or none.")] = "",
    battery: Annotated[str, typer.Option(metavar="STATE", help="good, low or none.")] = "",
    supply_voltage: Annotated[str, typer.Option(metavar="TEXT", help="With how a selector is set.")] = "",
    serial: Annotated[
        Optional[list[str]],  # noqa: UP045
        typer.Option(metavar="WHAT=NUMBER", help="A serial number (may be given again)."),
    ] = None,
    protection: Annotated[
        str, typer.Option(metavar="STATE", help="Passwords: none, known or unknown. Never the password itself.")
    ] = "",
    safety: Annotated[
        str, typer.Option(metavar="TEXT", help="Signature or checksum of the safety program, or none.")
    ] = "",
    indicators: Annotated[
        str, typer.Option(metavar="LIST", help="The station's indicators, each NAME=ROLE; once. Or none.")
    ] = "",
    positions: Annotated[
        str, typer.Option(metavar="LIST", help="Its positions of the mode switch, each NAME=ROLE; once. Or none.")
    ] = "",
    brings_back: Annotated[
        str,
        typer.Option(
            metavar="LIST", help="reset, restart, firmware, each =card, =built-in, =battery or =nothing; once."
        ),
    ] = "",
    source: Annotated[str, typer.Option(metavar="TEXT", help="Who or what says so, such as a manual.")] = "",
    lacks: Annotated[
        str, typer.Option(metavar="LIST", help="What it does not have: card, battery, clock, forces, safety program.")
    ] = "",
    settings: Annotated[
        _Path, typer.Option(metavar="FILE", help="A new station.toml, with all that is stated of the station.")
    ] = None,
    moment: MomentOption = "routine",
    text: Annotated[str, typer.Option("--note", metavar="TEXT", help="What the next person should know.")] = "",
    by: Annotated[str, typer.Option(metavar="NAME", help="Who saw it (else the user.name of git).")] = "",
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Store what a person sees on the panel of a controller.

    Without options it asks. `asfound ready` judges by it.
    """
    from asfound.archive.people import usual_person
    from asfound.cli import panel_words

    where, name = reference.station([word for word in (first, second) if word], archive)
    given = {
        "explanation": explain, "switch": switch, "mode": mode, "card": card, "battery": battery,
        "voltage": supply_voltage, "protection": protection, "safety": safety,
    }  # fmt: skip
    lights = {"lit": lit, "flashing": flashing, "dark": dark}
    tables = panel_words.tables(indicators, positions, brings_back, source, lacks)
    with opening.opened(where) as opened:
        opened.record(name)
        about = _Station(opened, name, _settings(settings, name) if settings else b"")
        about.state(tables)
        panel = panel_words.panel(given, lights, serial or [], about.equipment, about.known())
        if panel is None and not about.changed:
            panel = _asked(about)
        record = opened.store(
            name,
            moment,
            {},
            note=text,
            person=by or usual_person(),
            time=datetime.now().astimezone(),
            panel=panel,
            settings=about.changed,
        )
    if not quiet:
        streams.say(f"stored {loading.described(record)}")
        stated = panel_words.told(about.equipment) if about.changed else ()
        for line in (*stated, *(panel.lines() if panel else ())):
            streams.say(f"  {line}")


class _Station:
    """What is stated of a station; ``changed`` is its new station.toml, empty when it stays as it is."""

    def __init__(self, archive: Archive, name: str, changed: bytes) -> None:
        self.changed, self._where = changed, f"station.toml of {name}"
        self._now = changed or archive.settings(name)
        self._panels = [record.panel for record in archive.records(name) if record.panel]

    def state(self, tables: Tables) -> None:
        """State more."""
        from asfound.archive.stated import stating

        if tables:
            self.changed = self._now = stating(self._now, tables, self._where)

    @property
    def equipment(self) -> Equipment:
        """What the station has."""
        from asfound.archive.stated import stated

        return stated(self._now, self._where).equipment

    def known(self) -> Mapping[str, Role] | None:
        """Its indicators: as stated, else as they were noted before."""
        from asfound.model.panel import known

        return known(self.equipment, self._panels)


def _asked(about: _Station) -> Panel | None:
    """A form on the terminal: what is not stated of the station yet, then what is seen."""
    from asfound.cli import panel_words

    if not _is_terminal():
        raise Problem("nothing is noted", advice="say what you see, such as --lit Operating --dark rest")
    streams.say("An empty answer is not noted.")
    about.state(panel_words.asked_of_station(_answer, about.equipment, about.known()))
    panel = panel_words.asked(_answer, about.equipment, about.known())
    if panel is None and not about.changed:
        raise Problem("nothing is noted", advice="answer at least one question")
    return panel


def _settings(path: Path, station: str) -> bytes:
    from asfound.checks.readiness.station_toml import read_for
    from asfound.readers.reading import gather

    if path.is_dir():
        raise Problem("is a folder", where=str(path), advice="name the file station.toml")
    ((_, data),) = gather(path)
    read_for(data, station, str(path))
    return data


def _is_terminal() -> bool:
    return sys.stdin.isatty()


def _answer(question: str) -> str:
    answer: str = typer.prompt(question, default="", show_default=False)
    return answer.strip()


command = note
