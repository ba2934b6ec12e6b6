"""``asfound attest``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from asfound.cli import reference, signing, streams
from asfound.cli.options import ArchiveOption, QuietOption, RecordReference, example

EXAMPLE = example("attest plant.git:booster-1@as-left --key ~/.ssh/id_ed25519")


def attest(
    ref: RecordReference,
    copy: signing.CopyOption = "",
    since: signing.SinceOption = "",
    key: signing.KeyOption = None,
    to: Annotated[Path, typer.Option(metavar="FOLDER", help="Where the files of the statement go.")] = Path(),
    by: signing.ByOption = "",
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """State what a station held and what differs from before.

    As text and as JSON, signed if you like.
    """
    from asfound.archive import people
    from asfound.archive.safe_names import escape
    from asfound.evidence import placing, statement_files
    from asfound.reports import statement as words

    found = signing.with_copy(ref, reference.record(ref, archive), copy)
    person = people.stating(by)
    signer = signing.signer(key)
    with signing.stated(ref, found, since, person, quiet=quiet) as (_, stated):
        about = stated.matter
    name = escape(f"{about.record.station}-{about.label}")
    files = statement_files.documents(name, stated.statement, words.text(stated.statement), signer)
    placing.place(to, name, files)
    signing.warn(stated)
    if quiet:
        return
    streams.say(f"stated {signing.told(about)}")
    for file in files:
        streams.say(f"  {to / file}")
    streams.say(signing.said(signer))


command = attest
