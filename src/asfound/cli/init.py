"""``asfound init``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from asfound.cli import streams
from asfound.cli.options import example

EXAMPLE = example("init plant.git")


def init(archive: Annotated[Path, typer.Argument(metavar="ARCHIVE", help="A new folder for it.")]) -> None:
    """Make a new, empty archive."""
    from asfound.archive.archive import Archive

    Archive.create(archive).close()
    streams.say(f"made the archive {archive}")


command = init
