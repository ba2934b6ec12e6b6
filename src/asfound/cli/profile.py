"""``asfound profile``."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated, Optional

import typer

from asfound.cli import streams
from asfound.cli.options import example
from asfound.model.problem import Problem

EXAMPLE = example("profile upload/tags.csv --to upload/tags.profile.toml")


def profile(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A table that is not understood: text, .xlsx or .ods.")],
    to: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option("--to", metavar="FILE", help="Write it to FILE, which must not exist yet."),
    ] = None,
) -> None:
    """Propose how a table is to be read. Nothing is read by it before you have checked and saved the proposal.

    A profile lies beside the exports, or is named with --profile; it is stored with them in every record.
    """
    from asfound.archive import whole
    from asfound.readers.reading import gather
    from asfound.readers.tables.profile_proposal import propose

    if file.is_dir():
        raise Problem("is a folder", where=str(file), advice="name the one table in it")
    ((name, data),) = gather(file)
    text = propose(data, name)
    if to is None:
        streams.deliver(text, "-")
        return
    if os.path.lexists(to):
        raise _exists(to)
    try:
        whole.write(to, text.encode("utf-8"), replace=False)
    except FileExistsError:
        raise _exists(to) from None
    except OSError as error:
        raise whole.refused(error, to, "choose another file") from None
    streams.note(f"wrote {to}: check it before you read the table with it")


def _exists(to: Path) -> Problem:
    return Problem("exists already", where=str(to), advice="name another file, or remove it first")


command = profile
