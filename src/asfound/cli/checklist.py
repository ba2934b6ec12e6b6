"""``asfound checklist``."""

from __future__ import annotations

from typing import Annotated

import typer

from asfound.cli import judging, streams
from asfound.cli.judging import DayOption, NewOption, PurposeOption, StationArgument
from asfound.cli.options import ArchiveOption, FirstArgument, QuietOption, example

EXAMPLE = example("checklist plant.git booster-1 --for reset --to checklist.html")


def checklist(
    purpose: PurposeOption,
    first: FirstArgument = None,
    second: StationArgument = None,
    to: Annotated[str, typer.Option(metavar="FILE", help="Where the page goes, - for standard output.")] = "-",
    new: NewOption = None,
    on: DayOption = None,
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Write one page to sign by hand, with the values of the station.

    Steps before, during and after a memory reset, a download, a firmware update or a battery change.
    """
    from asfound.reports import checklist as report

    made = judging.judged([first, second], purpose, new, on, archive, understood=False, quiet=quiet)
    streams.deliver(report.write(made.found, made.situation), to)
    if to != "-" and not quiet:
        streams.say(f"wrote {to}; print it on one page")


command = checklist
