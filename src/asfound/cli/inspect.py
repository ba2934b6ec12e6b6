"""``asfound inspect``."""

from __future__ import annotations

from typing import Annotated

import typer

from asfound.cli import loading, streams
from asfound.cli.completion import words
from asfound.cli.options import ArchiveOption, JsonOption, ProfileOption, QuietOption, Reference, example
from asfound.model.problem import DIFFERS, DONE, Problem

EXAMPLE = example("inspect plant.git:booster-1")


def inspect(
    ref: Reference,
    json: JsonOption = None,
    fail_on: Annotated[
        str,
        typer.Option(
            metavar="LEVEL",
            help="Exit 1 from this severity up: note, warning or error.",
            autocompletion=words("note", "warning", "error"),
        ),
    ] = "warning",
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Look for overlaps, doubtful tags and hardware, values, forces.

    Each finding has a severity, a reason and what shows it. Exit 1 when there is a warning or an error.
    """
    from asfound.checks.findings import SEVERITIES
    from asfound.checks.inspection import inspect as inspected
    from asfound.reports import inspection as report
    from asfound.reports import json as document

    if fail_on not in SEVERITIES:
        raise Problem(f"'{fail_on}' is no severity", advice=f"write one of {', '.join(SEVERITIES)}")
    loaded = loading.load(ref, archive, profile, quiet=quiet)
    found = inspected(loaded.copy, ref)
    if json is not None:
        streams.deliver(document.write(found), json)
    if json != "-":
        if not quiet and loaded.title != loaded.reference:
            streams.note(loaded.title)
        for line in report.lines(found, streams.console().width, quiet=quiet):
            streams.say(line)
    least = SEVERITIES.index(fail_on)
    failed = any(SEVERITIES.index(f.severity) >= least for f in found.findings)
    raise typer.Exit(DIFFERS if failed else DONE)


command = inspect
