"""No output shows a struct of the program as Python writes it (``Body(language=...``): people read the outputs."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pytest
from rich.console import Console

import asfound
from asfound.checks.inspection import inspect
from asfound.compare.result import Comparison
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from asfound.reports import html, json, markdown, pdf, sarif, terminal

ROOT = Path(__file__).parents[2]
EVOLUTION = ROOT.parent / "shared" / "corpus" / "evolution"
STRUCT = re.compile(r"[A-Za-z]\([a-z_]\w*=.{,60}")
SIDES = [
    tuple(next(p.parent.glob(f"{s}*")) for s in ("old", "new")) for p in (ROOT / "tests/pairs").glob("*/expected.txt")
]
PAIRS = [
    *sorted(SIDES),
    *(
        pair
        for station in ("booster-1", "screens-1")
        for pair in pairwise(sorted((ROOT / "sample_exports" / station).glob("*/running")))
    ),
    *pairwise(sorted(EVOLUTION.glob("*.xml"))),
]


def named(sides: tuple[Path, Path]) -> str:
    return "-".join((*sides[0].parts[-3:-1], sides[0].stem))


def outputs(found: Comparison, old: Copy, new: Copy) -> Iterator[tuple[str, str]]:
    """Every output of a comparison, and the normal form, which ``show`` prints and archives keep."""
    screen = io.StringIO()
    terminal.write(found, Console(file=screen, width=500))
    yield "terminal", screen.getvalue()
    yield "page", re.sub("<style>.*?</style>", "", html.write(found, old, new), flags=re.S)
    yield "markdown", markdown.write(found)
    yield "JSON", json.write(found)
    yield "SARIF", sarif.write(found, inspect(new), (), ())
    yield "PDF", str(pdf.content(pdf.Report(found, old, new, datetime(2026, 1, 1, tzinfo=UTC))))
    for copy in (old, new):
        yield from normal_form(copy).items()


@pytest.mark.parametrize("sides", PAIRS, ids=named)
def test_no_output_shows_a_struct(sides: tuple[Path, Path]) -> None:
    old, new = (asfound.read(side) for side in sides)
    shown = {
        name: said[0] for name, text in outputs(asfound.compare(old, new), old, new) if (said := STRUCT.search(text))
    }
    assert shown == {}
