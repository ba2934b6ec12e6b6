"""``asfound note``."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Optional

import typer

from asfound.cli import loading, opening, reference, streams
from asfound.cli.options import ArchiveOption, FirstArgument, MomentOption, QuietOption, example, station_argument
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from asfound.model.panel import Panel

EXAMPLE = example("note plant.git booster-1 --lit force,run,supply --dark rest --switch run --card '256 kB'")
_Word = Optional[str]  # noqa: UP045
_Path = Optional[Path]  # noqa: UP045


def note(
    first: FirstArgument = None,
    second: Annotated[_Word, station_argument("Where the note goes.")] = None,
    lit: Annotated[str, typer.Option(metavar="LIST", help="system fault, bus fault, force, stop, run, supply.")] = "",
    flashing: Annotated[str, typer.Option(metavar="LIST", help="Indicators that flash.")] = "",
    dark: Annotated[str, typer.Option(metavar="LIST", help="Indicators that are dark; rest: all not named.")] = "",
    absent: Annotated[str, typer.Option(metavar="LIST", help="Indicators that this controller does not have.")] = "",
    explain: Annotated[str, typer.Option(metavar="TEXT", help="Why a fault indicator is lit.")] = "",
    switch: Annotated[str, typer.Option(metavar="POSITION", help="run, stop, memory reset or absent.")] = "",
    card: Annotated[str, typer.Option(metavar="SIZE", help="Size of the memory card, or none.")] = "",
    battery: Annotated[str, typer.Option(metavar="STATE", help="good, low or none.")] = "",
    supply_voltage: Annotated[str, typer.Option(metavar="TEXT", help="Supply voltage, and its selector.")] = "",
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
    settings: Annotated[
        _Path, typer.Option(metavar="FILE", help="A new station.toml: which checks are mandatory, advised or off.")
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

    where, name = reference.station([word for word in (first, second) if word], archive)
    given: dict[str, Any] = {
        "explanation": explain, "switch": switch, "card": card, "battery": battery, "voltage": supply_voltage,
        "protection": protection, "safety": safety,
    }  # fmt: skip
    lights = {"lit": lit, "flashing": flashing, "absent": absent, "dark": dark}
    panel = _panel(given, lights, serial or [])
    with opening.opened(where) as opened:
        opened.record(name)
        data = _settings(settings, name) if settings else b""
        if panel is None and not data:
            panel = _asked()
        record = opened.store(
            name,
            moment,
            {},
            note=text,
            person=by or usual_person(),
            time=datetime.now().astimezone(),
            panel=panel,
            settings=data,
        )
    if not quiet:
        streams.say(f"stored {loading.described(record)}")
        for line in panel.lines() if panel else ():
            streams.say(f"  {line}")


def _settings(path: Path, station: str) -> bytes:
    from asfound.checks.readiness.station_toml import read_for
    from asfound.readers.reading import gather

    if path.is_dir():
        raise Problem("is a folder", where=str(path), advice="name the file station.toml")
    ((_, data),) = gather(path)
    read_for(data, station, str(path))
    return data


def _panel(given: dict[str, str], lights: dict[str, str], serials: list[str]) -> Panel | None:
    """The panel that the options describe; None when they say nothing of it."""
    from asfound.model import panel as words

    stated = {**{key: text.strip() for key, text in given.items() if text.strip()}, **_lights(lights)}
    for field, allowed in (
        ("switch", words.SWITCHES),
        ("battery", words.BATTERIES),
        ("protection", words.PROTECTIONS),
    ):
        if stated.get(field, allowed[0]) not in allowed:
            raise Problem(f"'{stated[field]}' is no {field}", advice=f"write one of {', '.join(allowed)}")
    _refuse_size(stated.get("card", "none"))
    if not stated and not serials:
        return None
    return words.Panel(**stated, serials=tuple(map(_serial, serials)))  # type: ignore[arg-type]


def _lights(lists: dict[str, str]) -> dict[str, str]:
    """``{field: how}``; an indicator that is named twice or does not exist is refused."""
    from asfound.model.panel import INDICATORS

    found: dict[str, str] = {}
    for how, text in lists.items():
        names = [" ".join(part.replace("-", " ").split()).lower() for part in text.split(",") if part.strip()]
        if names == ["rest"] and how == "dark":
            names = [name for name in INDICATORS if name not in found]
        for name in names:
            if name not in INDICATORS:
                raise Problem(f"'{name}' is no indicator", advice=f"write one of {', '.join(INDICATORS)}")
            if name in found:
                raise Problem(f"the indicator '{name}' is named twice", advice="name it once")
            found[name] = how
    return {name.replace(" ", "_"): how for name, how in found.items()}


def _refuse_size(card: str) -> None:
    from asfound.checks.memory_card import size_of

    if card != "none" and size_of(card) is None:
        raise Problem(f"'{card}' is no size of a card", advice="write a number with its unit, such as 256 kB, or none")


def _serial(text: str) -> Any:
    from asfound.model.program import Setting

    what, equals, number = text.partition("=")
    if not equals or not what.strip() or not number.strip():
        raise Problem(f"'{text}' is no serial number", advice="write WHAT=NUMBER, such as CPU=A-1234")
    return Setting(what.strip(), number.strip())


QUESTIONS = (
    ("switch", "Mode switch (run, stop, memory reset, absent)"),
    ("card", "Memory card (its size, such as 256 kB, or none)"),
    ("battery", "Battery (good, low, none)"),
    ("voltage", "Supply voltage (and its selector, if any)"),
    ("protection", "Passwords (none, known, unknown; never the password itself)"),
    ("safety", "Signature or checksum of the safety program, or none"),
)


def _asked() -> Panel:
    """A form on the terminal; an empty answer is not noted."""
    from asfound.model.panel import INDICATORS, LIGHTS

    if not _is_terminal():
        raise Problem("nothing is noted", advice="say what you see, such as --lit run,supply --dark rest")
    streams.say("An empty answer is not noted.")
    lists: dict[str, list[str]] = {how: [] for how in LIGHTS}
    for name in INDICATORS:
        how = _answer(f"Indicator {name} ({', '.join(LIGHTS)})")
        if how and how not in lists:
            raise Problem(f"'{how}' is no state of an indicator", advice=f"write one of {', '.join(LIGHTS)}")
        if how:
            lists[how].append(name)
    given = {field: _answer(question) for field, question in QUESTIONS}
    if "system fault" in lists["lit"] or "bus fault" in lists["lit"]:
        given["explanation"] = _answer("Why is a fault indicator lit")
    serials = [part for part in _answer("Serial numbers (CPU=A-1234, ...)").split(",") if part.strip()]
    panel = _panel(given, {how: ",".join(names) for how, names in lists.items()}, serials)
    if panel is None:
        raise Problem("nothing is noted", advice="answer at least one question")
    return panel


def _is_terminal() -> bool:
    return sys.stdin.isatty()


def _answer(question: str) -> str:
    answer: str = typer.prompt(question, default="", show_default=False)
    return answer.strip()


command = note
