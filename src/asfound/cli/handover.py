"""``asfound handover``."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from asfound.cli import reference, signing, streams
from asfound.cli.options import ArchiveOption, PaperOption, QuietOption, RecordReference, example

if TYPE_CHECKING:
    from asfound.archive.archive import Archive
    from asfound.compare.side_by_side import Copies
    from asfound.evidence.keys import Signer
    from asfound.evidence.stating import Matter, Stated
    from asfound.model.station import BringsBack

EXAMPLE = example("handover plant.git:booster-1 --to handover --key ~/.ssh/id_ed25519")


def handover(
    ref: RecordReference,
    to: Annotated[Path, typer.Option(metavar="FOLDER", help="A new or empty folder.")],
    zip_: Annotated[bool, typer.Option("--zip", help="Write one file FOLDER.zip instead of the folder.")] = False,
    paper: PaperOption = "a4",
    copy: signing.CopyOption = "",
    since: signing.SinceOption = "",
    key: signing.KeyOption = None,
    by: signing.ByOption = "",
    archive: ArchiveOption = None,
    quiet: QuietOption = False,
) -> None:
    """Write a folder for a client: files, report, statement, history.

    Of one station, and how to check all that.
    """
    from asfound.archive import people
    from asfound.evidence.handover import refuse_existing

    found = signing.with_copy(ref, reference.record(ref, archive), copy)
    person = people.stating(by)
    refuse_existing(to, packed=zip_)
    signer = signing.signer(key)
    with signing.stated(ref, found, since, person, quiet=quiet) as (opened, stated):
        written = write(opened, stated, signer, to, paper=paper, packed=zip_)
    signing.warn(stated)
    if not quiet:
        streams.say(f"handed over {signing.told(stated.matter)}: {written}")
        streams.say(signing.said(signer))


def write(
    archive: Archive, stated: Stated, signer: Signer | None, to: Path, *, paper: str = "a4", packed: bool = False
) -> Path:
    """Make all documents and write the folder, or the packed file; what was written."""
    from asfound.evidence import handover as folder
    from asfound.reports.statement import text

    documents = pages(archive, stated, signer, paper)
    return folder.write(archive, stated.matter.record, documents, signer, to, text, packed=packed)


def pages(archive: Archive, stated: Stated, signer: Signer | None, paper: str) -> dict[str, bytes]:
    """``{file name: bytes}`` of everything in a hand-over that is made and not stored."""
    from asfound.checks.inspection import inspect
    from asfound.evidence import commits, signers, statement_files
    from asfound.evidence.folder import SIGNERS, STATEMENT
    from asfound.model.station import NOT_STATED
    from asfound.reports import handover as first
    from asfound.reports import html, json, markdown, page_sections, pdf
    from asfound.reports import statement as words

    said = stated.statement.predicate
    fingerprint = signer.public.fingerprint if signer else ""
    copies = _copies(archive, stated.matter, said.brings_back or NOT_STATED)
    inspection = inspect(stated.new, stated.matter.references[1])
    made = {"inspection.json": json.write(inspection)}
    if copies:
        made["copies.json"] = json.write(copies)
    if stated.comparison:
        made["comparison.json"] = json.write(stated.comparison)
        more = (
            page_sections.copies(copies)
            + page_sections.findings(inspection)
            + page_sections.statement(stated.statement, fingerprint)
        )
        made["report.html"] = html.write(stated.comparison, stated.old, stated.new, more=more)
        made["report.md"] = markdown.write(stated.comparison)
    if signer:
        made[SIGNERS] = signers.line(said.stated_by, signer.public)
    found = {name: text.encode("utf-8") for name, text in made.items()}
    found |= statement_files.documents(STATEMENT, stated.statement, words.text(stated.statement), signer)
    if stated.comparison:
        time = datetime.fromisoformat(said.stated_time)
        inner = ("comparison.json", "copies.json", "inspection.json", "statement.json", "statement.dsse.json")
        inside = {name: found[name] for name in (*inner, "statement.txt", "statement.txt.sig") if name in found}
        report = pdf.Report(stated.comparison, stated.old, stated.new, time, "", copies, inspection)
        report = replace(report, statement=stated.statement, fingerprint=fingerprint, attached=inside)
        found["report.pdf"] = pdf.write(report, paper)
    commit_signed = commits.signer_of(archive.commit_object(stated.matter.record)) is not None
    names = [*found, "VERIFY.txt", "SHA256SUMS", "history.bundle", "record.json", "originals/", "normal/"]
    names += ["attachments/"] if said.attachments else []
    check = first.steps(said, signed=bool(signer), commit_signed=commit_signed)
    contents = first.Contents(stated.statement, stated.comparison, copies, inspection, fingerprint)
    found["index.html"] = first.index(contents, names, check).encode("utf-8")
    found["VERIFY.txt"] = first.instructions(said, fingerprint, commit_signed=commit_signed).encode("utf-8")
    return found


def _copies(archive: Archive, about: Matter, stated: BringsBack) -> Copies | None:
    from asfound.compare.origins import origin
    from asfound.compare.side_by_side import side_by_side

    stored = [copy.name for copy in about.record.copies]
    if len(stored) < 2:
        return None
    copies = {name: archive.copy(about.record, name) for name in stored}
    origins = [origin(about.label, about.record, name) for name in stored]
    return side_by_side(copies, f"{about.record.station}@{about.label}", origins, stated)


command = handover
