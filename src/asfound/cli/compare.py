"""``asfound compare``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Optional

import typer

from asfound.cli import loading, streams
from asfound.cli.completion import words
from asfound.cli.options import (
    ANYTHING,
    ArchiveOption,
    JsonOption,
    PaperOption,
    ProfileOption,
    QuietOption,
    example,
    reference_argument,
)
from asfound.model.problem import DIFFERS, DONE, Problem

if TYPE_CHECKING:
    from asfound.compare.result import Comparison

EXAMPLE = example("compare plant.git:booster-1@as-left plant.git:booster-1 --html report.html")


def compare(
    old: Annotated[str, reference_argument("OLD", ANYTHING)],
    new: Annotated[
        Optional[str],  # noqa: UP045
        reference_argument("NEW", "What to compare it with, written the same way."),
    ] = None,
    three: Annotated[
        bool, typer.Option("--three", help="Set running, card and office of OLD side by side: what a reset would do.")
    ] = False,
    json: JsonOption = None,
    html: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(metavar="FILE", help="Write one self-contained page to FILE."),
    ] = None,
    pdf: Annotated[
        Optional[Path],  # noqa: UP045
        typer.Option(metavar="FILE", help="Write a report to print and to keep (PDF/A-3b) to FILE."),
    ] = None,
    paper: PaperOption = "a4",
    markdown: Annotated[
        Optional[str],  # noqa: UP045
        typer.Option(metavar="FILE", help="Write Markdown for a review or a ticket to FILE, or to standard output."),
    ] = None,
    sarif: Annotated[
        Optional[str],  # noqa: UP045
        typer.Option(metavar="FILE", help="Write changes and findings, located in the files, as SARIF 2.1.0."),
    ] = None,
    fail_on: Annotated[
        Optional[str],  # noqa: UP045
        typer.Option(
            metavar="LEVEL",
            help="Exit 1 only from documentation, equivalent, undecided or behaviour up.",
            autocompletion=words("documentation", "equivalent", "undecided", "behaviour"),
        ),
    ] = None,
    tolerance: Annotated[
        str, typer.Option(metavar="NUMBER", help="Numbers of value lists that differ by no more are the same value.")
    ] = "0",
    archive: ArchiveOption = None,
    profile: ProfileOption = None,
    quiet: QuietOption = False,
) -> None:
    """Say what differs, and what effect it has. Exit 0 when nothing but noise differs, else 1."""
    from asfound.compare.comparison import compare as compared
    from asfound.compare.origins import with_origins

    _refuse_level(fail_on)
    _refuse_paper(paper, pdf)
    within = _number(tolerance)
    if three:
        _refuse_second(new, [html, pdf, markdown, sarif], tolerance)
        raise typer.Exit(_side_by_side(old, json, archive, profile, quiet))
    if new is None:
        raise Problem("there is nothing to compare with", where=old, advice="write OLD and NEW, or --three and one REF")
    sides = loading.load_pair((old, new), archive, profile, quiet=quiet)
    comparison = compared(sides[0].copy, sides[1].copy, old_reference=old, new_reference=new, tolerance=within)
    limits = dict.fromkeys(limit for side in sides for limit in side.limits)
    comparison = with_origins(comparison, sides[0].origin, sides[1].origin, tuple(limits))
    if html is not None:
        from asfound.reports import html as page

        streams.deliver(page.write(comparison, sides[0].copy, sides[1].copy), str(html))
    if pdf is not None:
        _write_pdf(comparison, sides, pdf, paper)
    if markdown is not None:
        from asfound.reports import markdown as text_for_reviews

        streams.deliver(text_for_reviews.write(comparison), markdown)
    if sarif is not None:
        _write_sarif(comparison, sides, sarif, archive)
    if json is not None:
        from asfound.reports import json as document

        streams.deliver(document.write(comparison), json)
    if "-" not in (json, markdown, sarif):
        from asfound.reports import terminal

        terminal.write(comparison, streams.console(), quiet=quiet)
    raise typer.Exit(exit_code(comparison, fail_on))


def _write_pdf(comparison: Comparison, sides: Sequence[loading.Loaded], to: Path, paper: str) -> None:
    from asfound.reports import json as document
    from asfound.reports import pdf

    attached = {"comparison.json": document.write(comparison).encode("utf-8")}
    time = datetime.now().astimezone()
    report = pdf.Report(comparison, sides[0].copy, sides[1].copy, time, attached=attached)
    streams.deliver_bytes(pdf.write(report, paper), to)


def _write_sarif(comparison: Comparison, sides: Sequence[loading.Loaded], to: str, archive: Path | None) -> None:
    from asfound.checks.inspection import inspect
    from asfound.reports import sarif

    old, new = (loading.addressed(side.exact, archive) for side in sides)
    streams.deliver(sarif.write(comparison, inspect(sides[1].copy, sides[1].reference), old, new), to)


def _refuse_paper(paper: str, pdf: Path | None) -> None:
    if paper not in ("a4", "letter"):
        raise Problem(f"'{paper}' is no paper", advice="write a4 or letter")
    if paper != "a4" and pdf is None:
        raise Problem("--paper is for the PDF only", advice="name a file with --pdf")


def _number(text: str) -> Fraction:
    """The tolerance as it is written, exactly."""
    if not re.fullmatch(r"[0-9]{1,12}(?:\.[0-9]{1,12})?", text):
        raise Problem(f"'{text}' is no tolerance", advice="write a number with a point, such as 0.01")
    return Fraction(text)


def _refuse_second(new: str | None, pages: Sequence[Path | str | None], tolerance: str) -> None:
    if tolerance != "0":
        raise Problem("--three takes no tolerance", advice="compare two of its copies with --tolerance")
    if new is not None:
        raise Problem("--three takes one reference", where=new, advice="leave it out; the copies of OLD are compared")
    for page in pages:
        if page is not None:
            raise Problem("--three writes no page", where=str(page), advice="compare two of its copies with --html")


def _side_by_side(text: str, json: str | None, archive: Path | None, profile: Path | None, quiet: bool) -> int:
    from asfound.compare.side_by_side import side_by_side
    from asfound.reports import copies as report
    from asfound.reports import json as document

    loaded = loading.load_copies(text, archive, profile, quiet=quiet)
    origins = [each.origin for each in loaded.values() if each.origin]
    stated = loading.equipment(text, archive).brings_back
    found = side_by_side({name: each.copy for name, each in loaded.items()}, text, origins, stated)
    if json is not None:
        streams.deliver(document.write(found), json)
    if json != "-":
        for line in report.lines(found, streams.console().width, quiet=quiet):
            streams.say(line)
    return DIFFERS if found.rows else DONE


def _refuse_level(level: str | None) -> None:
    from asfound.compare.result import EFFECTS

    if level is not None and level not in EFFECTS:
        raise Problem(f"'{level}' is no level", advice=f"write one of {', '.join(EFFECTS)}")


def exit_code(comparison: Comparison, fail_on: str | None = None) -> int:
    """1 when there is a change (of at least the effect ``fail_on``), else 0."""
    from asfound.compare.result import EFFECTS

    least = EFFECTS.index(fail_on) if fail_on else 0
    return DIFFERS if any(EFFECTS.index(change.effect) >= least for change in comparison.changes) else DONE


command = compare
