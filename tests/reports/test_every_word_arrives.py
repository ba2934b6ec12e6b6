"""What a comparison says of a change reaches every report: the summary, and each detail that the summary is not.

Each change is reported alone, with and without its details; a detail adds its text once more, unless it is the one
that the summary already says. So no detail is swallowed because it is written like a part of another text.
"""

from __future__ import annotations

import html as entities
import io
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import cache
from importlib import import_module
from inspect import getsource, signature
from itertools import pairwise
from pathlib import Path
from pkgutil import iter_modules

import msgspec
import pytest
from msgspec.structs import replace
from rich.console import Console

import asfound
import asfound.reports as package
from asfound.checks.findings import Counts, Inspection
from asfound.compare.result import Change, Comparison
from asfound.model.visible import visible
from asfound.reports import html, json, markdown, pdf, sarif, terminal

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
WHEN = datetime(2026, 11, 17, 16, 5, tzinfo=UTC)
WRITTEN = """PROGRAM P VAR a, b, c, d, ab : BOOL; i : INT; t : TON; q AT %QX0.0 : BOOL; w AT %QW2 : INT; END_VAR
{} END_PROGRAM"""
BODIES = [
    ("q := a OR b OR ab;", "q := a;"),
    ("q := (a OR b) AND (c OR b);", "q := a AND c;"),
    ("q := (a OR b) AND (c OR ab) AND (d OR b);", "q := a AND c AND d;"),
    ("q := a AND b AND (c OR b);", "q := NOT a AND (c OR NOT a);"),
    ("t(IN := a, PT := T#5s); q := t.Q; w := i;", "t(IN := b AND a, PT := T#8s); q := NOT t.Q; w := i + 1;"),
]


def said(text: str) -> str:
    """A text as it is held against another: how it is wrapped, marked and escaped plays no part."""
    lines = visible(text.replace("\n", " ").replace("\N{ZERO WIDTH SPACE}", ""))
    return re.sub(r"[\s`\\]", "", lines.replace("\N{MINUS SIGN}", "-"))


def reports(comparison: Comparison) -> dict[str, str]:
    """What each report says, as one text."""
    stream = io.StringIO()
    terminal.write(comparison, Console(file=stream, width=100))
    data = pdf.content(pdf.Report(comparison, None, None, WHEN))
    log = sarif.document(comparison, Inspection("", "", (), Counts(), (), ()), (), ())
    return {
        "terminal": stream.getvalue(),
        "page": entities.unescape(re.sub(r"<[^>]*>", "", html.write(comparison, None, None))),
        "Markdown": markdown.write(comparison),
        "PDF": "\n".join(_texts(data)),
        "SARIF": "\n".join(_texts(msgspec.to_builtins(log))),
        "JSON": "\n".join(_texts(msgspec.json.decode(json.write(comparison)))),
    }


def test_every_report_of_a_comparison_is_asked() -> None:
    modules = [import_module(f"{package.__name__}.{found.name}") for found in iter_modules(package.__path__)]
    taking = {m.__name__.rpartition(".")[2]: signature(m.write).parameters for m in modules if hasattr(m, "write")}
    own = {name for name, parameters in taking.items() if "comparison" in parameters}
    assert {name for name in own if f"{name}." not in getsource(reports)} == set()


def _texts(data: object) -> Iterator[str]:
    match data:
        case str():
            yield data
        case dict():
            for each in data.values():
                yield from _texts(each)
        case list() | tuple():
            for each in data:
                yield from _texts(each)


def swallowed(comparison: Comparison, change: Change) -> list[str]:
    """What a report does not say of a change."""
    alone = replace(change, follows_from=None)
    with_, without = (
        {name: said(text) for name, text in reports(replace(comparison, changes=(c,))).items()}
        for c in (alone, replace(alone, details=(), edits=alone.edits[:1]))
    )
    details, summary = [said(d) for d in change.details], said(change.summary)
    missing = [f"{name}: {change.summary}" for name, text in with_.items() if summary not in text]
    for written, detail in zip(change.details, details, strict=True):
        times = sum(d.count(detail) for d in details)
        by_summary = max((d.count(detail) for d in details if d in summary), default=0)
        for name, text in with_.items():
            if text.count(detail) - without[name].count(detail) < times - by_summary:
                missing.append(f"{name}: {change.summary} | {written}")
    return missing


def named(pair: tuple[Path, Path]) -> str:
    return "-".join(pair[0].parts[-3:])


def pairs() -> list[tuple[Path, Path]]:
    """Folders and files of two sides: the cases of tests/pairs, the visits of the samples, the stages of the corpus."""
    found = [
        (next(p.parent.glob("old*")), next(p.parent.glob("new*")))
        for p in sorted((ROOT / "tests/pairs").glob("*/expected.txt"))
    ]
    for station in sorted((ROOT / "sample_exports").iterdir()):
        for old, new in pairwise(sorted(p for p in station.glob("*-*") if p.is_dir())):
            found += [(old / "running", new / "running")] if (old / "running").is_dir() else []
    stages = sorted((CORPUS / "evolution").rglob("*.xml")) if CORPUS.is_dir() else []
    return found + list(pairwise(stages))


@cache
def compared(pair: tuple[Path, Path]) -> Comparison:
    return asfound.compare(*(asfound.read(side) for side in pair))


def one_of_each(changes: tuple[Change, ...], most: int = 2) -> list[Change]:
    """A few changes of each shape: hundreds of one kind say the same."""
    kinds: dict[object, list[Change]] = {}
    for change in changes:
        kinds.setdefault((change.area, change.kind, change.effect, min(len(change.details), 3)), []).append(change)
    return [change for alike in kinds.values() for change in alike[:most]]


@pytest.mark.parametrize("pair", pairs(), ids=named)
def test_every_word_of_a_change_reaches_every_report(pair: tuple[Path, Path]) -> None:
    found = compared(pair)
    missing = [m for change in one_of_each(found.changes) for m in swallowed(found, change)]
    assert not missing, "\n".join(missing)


@pytest.mark.parametrize("bodies", BODIES, ids=lambda pair: pair[0])
def test_details_written_like_a_part_of_another_arrive(bodies: tuple[str, str]) -> None:
    found = asfound.compare(*(asfound.read(WRITTEN.format(body).encode(), "p.st") for body in bodies))
    missing = [m for change in found.changes for m in swallowed(found, change)]
    assert not missing, "\n".join(missing)


@pytest.mark.parametrize("pair", pairs(), ids=named)
def test_every_change_is_listed_in_every_report(pair: tuple[Path, Path]) -> None:
    found = compared(pair)
    told = {name: said(text) for name, text in reports(found).items()}
    if len(found.changes) > markdown.MOST:
        del told["Markdown"]  # says how many are left out
    missing = [
        f"{name}: {c.summary}" for name, text in told.items() for c in found.changes if said(c.summary) not in text
    ]
    assert not missing, "\n".join(missing)
