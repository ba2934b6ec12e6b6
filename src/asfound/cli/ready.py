"""``asfound ready``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import judging, streams
from asfound.cli.judging import DayOption, NewOption, PurposeOption, StationArgument
from asfound.cli.options import ArchiveOption, FirstArgument, JsonOption, QuietOption, example
from asfound.model.problem import DIFFERS, DONE

if TYPE_CHECKING:
    from asfound.checks.readiness.readiness import Readiness

EXAMPLE = example("ready plant.git booster-1 --for reset")


def ready(
    purpose: PurposeOption,
    first: FirstArgument = None,
    second: StationArgument = None,
    new: NewOption = None,
    understood: Annotated[
        bool, typer.Option("--understood", help="You have read the cautions and understood them.")
    ] = False,
    on: DayOption = None,
    json: JsonOption = None,
    html: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(metavar="FILE", help="Write one self-contained page to FILE."),
    ] = None,
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Say READY or NOT READY before a reset or a download, and why.

    Also before a firmware update or a battery change. Each check comes with what shows it and what to do. Exit 0 when
    ready, else 1. It gives no permission.
    """
    from asfound.reports import json as document
    from asfound.reports import readiness as report
    from asfound.reports import readinesspage as page

    found = judging.judged([first, second], purpose, new, on, archive, understood=understood, quiet=quiet).found
    if json != "-":
        found = _confirmed(found)
        for line in report.lines(found, streams.console().width, quiet=quiet):
            streams.say(line)
    if json is not None:
        streams.deliver(document.write(found), json)
    if html is not None:
        streams.deliver(page.write(found), str(html))
    raise typer.Exit(DONE if found.verdict == "ready" else DIFFERS)


def _confirmed(found: Readiness) -> Readiness:
    """Ask a person at a terminal whether the cautions are understood, when nothing else is missing."""
    if found.understood or found.reasons or not _is_terminal():
        return found
    from msgspec.structs import replace

    for caution in found.cautions:
        streams.say(f"* {caution}")
    understood = typer.confirm("Have you read and understood this?")
    return replace(found, understood=True, verdict="ready") if understood else found


def _is_terminal() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


command = ready
