"""Arguments that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Optional

import typer

from asfound.cli import completion
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
RECORD = "[ARCHIVE:]STATION[@SELECTOR][:COPY]."
ANYTHING = f"FILE, FOLDER or {RECORD}"


def reference_argument(name: str, about: str) -> Any:
    """What names a file, a folder or a record."""
    return typer.Argument(metavar=name, help=about, autocompletion=completion.references)


Reference = Annotated[str, reference_argument("REF", ANYTHING)]
RecordReference = Annotated[str, reference_argument("REF", RECORD)]
FirstArgument = Annotated[
    Optional[str],  # noqa: UP045
    reference_argument("ARCHIVE", "Only when --archive is not used."),
]


def station_argument(about: str) -> Any:
    """The STATION of ``[ARCHIVE] STATION``."""
    return typer.Argument(metavar="STATION", help=about, autocompletion=completion.stations)


MomentOption = Annotated[
    str,
    typer.Option(
        "--moment",
        metavar="MOMENT",
        help="as-found, as-left or routine.",
        autocompletion=completion.words(*completion.MOMENTS),
    ),
]
PaperOption = Annotated[
    str,
    typer.Option(
        "--paper", metavar="PAPER", help="Of the PDF: a4 or letter.", autocompletion=completion.words("a4", "letter")
    ),
]


def example(command: str) -> str:
    """The end of a help text."""
    return f"\b\nExample:\n  asfound {command}"
