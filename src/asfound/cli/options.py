"""Arguments that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Optional

import typer

from asfound.cli.reference import VARIABLE

ArchiveOption = Annotated[
    Optional[Path],  # noqa: UP045 - read at run time by typer
    typer.Option("--archive", envvar=VARIABLE, metavar="ARCHIVE", help="The archive to use when no other is named."),
]
QuietOption = Annotated[bool, typer.Option("--quiet", "-q", help="Say only what is needed, show no progress.")]
JsonOption = Annotated[
    Optional[str],  # noqa: UP045
    typer.Option("--json", metavar="FILE", help="Write JSON to FILE, or to standard output for -."),
]
ProfileOption = Annotated[
    Optional[Path],  # noqa: UP045
    typer.Option("--profile", metavar="FILE", help="Read tables with this profile, as if it lay beside them."),
]
Reference = Annotated[str, typer.Argument(metavar="REF", help="FILE, FOLDER or [ARCHIVE:]STATION[@SELECTOR][:COPY].")]


def example(command: str) -> str:
    """The end of a help text."""
    return f"\b\nExample:\n  asfound {command}"
