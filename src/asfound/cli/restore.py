"""``asfound restore``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from asfound.cli import loading, opening, reference, streams
from asfound.cli.options import ArchiveOption, RecordReference, example

EXAMPLE = example("restore plant.git:booster-1@2 --to out/")


def restore(
    ref: RecordReference,
    to: Annotated[Path, typer.Option(metavar="FOLDER", help="Where the files go, in a folder for each copy.")],
    archive: ArchiveOption = None,
) -> None:
    """Write the exact files of a record back.

    Each is checked against its stored digest; nothing is replaced.
    """

    found = reference.record(ref, archive)
    with opening.opened(found.archive) as opened:
        record = opened.record(found.station, found.selector, found.copy)
        done = opened.restore(record, to, [found.copy] if found.copy else [])
    for file in done:
        if file.renamed:
            streams.note(f"{file.name} cannot be called so here; it is {file.path}")
    count = "1 file" if len(done) == 1 else f"{len(done)} files"
    streams.say(f"restored {count} of {loading.described(record)} to {to}, checked")


command = restore
