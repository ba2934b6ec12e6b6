"""``asfound where``."""

from __future__ import annotations

from typing import Annotated

import typer

from asfound.cli import loading, streams
from asfound.cli.options import ArchiveOption, JsonOption, ProfileOption, QuietOption, Reference, example

EXAMPLE = example("where %IX0.3 plant.git:booster-1")


def where(
    name: Annotated[
        str,
        typer.Argument(metavar="NAME", help="Variable, tag, block or step, POU.NAME, or an address (%IX0.3)."),
    ],
    ref: Reference,
    json: JsonOption = None,
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Say where a name or an address is declared, read and written.

    Also where it is called, and under the other names of the same memory.
    """
    from asfound.analysis.crossreference import cross_reference
    from asfound.reports.crossreference import lines
    from asfound.reports.json import write

    loaded = loading.load(ref, archive, profile, quiet=quiet)
    found = cross_reference(loaded.copy, name)
    if json is not None:
        streams.deliver(write(found), json)
        return
    if not quiet:
        loading.say_about(loaded)
        if found.counted:
            streams.note(f"limit: {found.counted}")
    for line in lines(found, streams.console().width):
        streams.say(line)


command = where
