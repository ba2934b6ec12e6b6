"""``asfound attest``."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from asfound.cli import loading, reference, signing, streams
from asfound.cli.options import ArchiveOption, QuietOption, RecordReference, example
from asfound.model.problem import Problem

EXAMPLE = example("attest plant.git:booster-1@as-left --key ~/.ssh/id_ed25519")


def attest(
    ref: RecordReference,
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
    from asfound.archive.archive import Archive
    from asfound.archive.names import escape
    from asfound.archive.people import name_and_address, usual_person
    from asfound.evidence import documents, stating
    from asfound.reports import statement as words

    found = reference.parse(ref, archive)
    if isinstance(found, Path):
        raise Problem("is not in an archive", where=ref, advice=reference.STORE_FIRST)
    person = by or usual_person()
    name_and_address(person)
    signer = signing.signer(key)
    with Archive.open(found.archive) as opened:
        about = stating.matter(opened, found.station, found.selector, found.copy, since)
        with streams.progress(f"Reading {ref}", 4, quiet=quiet) as watch:
            stated = stating.state(opened, about, by=person, time=datetime.now().astimezone(), watch=watch)
    name = escape(f"{about.record.station}-{about.label}")
    files = documents.documents(name, stated.statement, words.text(stated.statement), signer)
    signing.write_new(to, files)
    if quiet:
        return
    earlier = loading.described(about.earlier) if about.earlier else "no earlier record"
    streams.say(f"stated {loading.described(about.record)}, compared with {earlier}")
    for file in files:
        streams.say(f"  {to / file}")
    streams.say(f"signed with {signer.public.fingerprint}" if signer else signing.UNSIGNED)


command = attest
