"""The comparison as PDF/A-3b to print and to keep, with the documents it was made from attached inside.

The same words, drawings and order as the page (:mod:`asfound.reports.html`), set by typst from ``report.typ``. Texts
of an export go in as data and are never read as markup. Nothing depends on the computer: the fonts are those that
typst brings; only where they lack a character are the fonts of the system asked, and what none of them has is spelled
``U+4E2D``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from importlib.resources import files
from typing import Any

import msgspec

from asfound.checks.findings import Inspection
from asfound.compare.result import EFFECTS, Comparison
from asfound.compare.side_by_side import Copies
from asfound.evidence.statement import Statement
from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.reports import pdfparts as parts
from asfound.reports.cards import Context
from asfound.reports.reach import Reaches
from asfound.reports.words import (
    CAUTIONS,
    EFFECT_MEANINGS,
    EFFECT_SIGNS,
    EFFECT_WORDS,
    KIND_SIGNS,
    between,
    crossing,
    followers,
    groups,
    heading,
    matters,
    number,
    tally,
    unlisted,
    verdict,
)

PAPERS = {"a4": "a4", "letter": "us-letter"}
LONG = 12
"""Changes from which a list of contents is worth its page."""


@dataclass(frozen=True, slots=True)
class Report:
    """What is printed. ``attached`` are documents put inside, ``time`` is the date of the file."""

    comparison: Comparison
    old: Copy | None
    new: Copy | None
    time: datetime
    title: str = ""
    copies: Copies | None = None
    inspection: Inspection | None = None
    statement: Statement | None = None
    fingerprint: str = ""
    attached: Mapping[str, bytes] = field(default_factory=dict)


def write(report: Report, paper: str = "a4") -> bytes:
    """Return the file. A :class:`Problem` when there is no such paper."""
    if paper not in PAPERS:
        raise Problem(f"'{paper}' is no paper", advice=f"write one of {', '.join(PAPERS)}")
    data = msgspec.json.encode(content(report)).decode("utf-8")
    for system, text in ((False, data), (True, data), (True, re.sub("[^\\x00-\\xff]", _spelled, data))):
        made = _compiled(text, paper, report, system=system)
        if made is not None:
            return made
    raise AssertionError("typst cannot set ASCII")


def _spelled(sign: re.Match[str]) -> str:
    return sign[0] if sign[0] in _KNOWN else f"U+{ord(sign[0]):04X}"


_KNOWN = "\N{MINUS SIGN}\N{HORIZONTAL ELLIPSIS}\N{ZERO WIDTH SPACE}"


def _compiled(data: str, paper: str, report: Report, *, system: bool) -> bytes | None:
    """The file, or None when a font lacks a character."""
    import typst

    source = (files("asfound.reports") / "report.typ").read_bytes()
    inputs = {"data": data, "paper": PAPERS[paper], "title": report.title or heading(report.comparison)}
    inputs |= {f"attached:{name}": text.decode("utf-8") for name, text in report.attached.items()}
    compiler = typst.Compiler(ignore_system_fonts=not system)
    try:
        made = compiler.compile(
            source, format="pdf", pdf_standards=["a-3b"], sys_inputs=inputs, timestamp=int(report.time.timestamp())
        )
    except typst.TypstError as error:
        if "could not be displayed" in str(error):
            return None
        raise
    assert isinstance(made, bytes)
    return made


def content(report: Report) -> dict[str, Any]:
    """Return everything the template prints, as plain data."""
    comparison = report.comparison
    context = Context(report.old, report.new, followers(comparison.changes), Reaches(comparison.changes))
    told = matters(comparison)
    hidden = unlisted(comparison)
    return {
        "time": [report.time.year, report.time.month, report.time.day],
        "crossing": crossing(comparison),
        "verdict": verdict(comparison),
        "which": parts.shown(between(comparison)),
        "counts": [
            {
                "count": getattr(comparison.counts, effect),
                "effect": effect,
                "badge": f"{EFFECT_SIGNS[effect]} {EFFECT_WORDS[effect]}",
                "meaning": EFFECT_MEANINGS[effect],
            }
            for effect in reversed(EFFECTS)
        ],
        "sides": [parts.side(n, s) for n, s in (("Before", comparison.old), ("Now", comparison.new))],
        "matters": [parts.line(change) for change in told],
        "more": f"{number(hidden, 'more follows', 'more follow')} from these." if hidden else "",
        "limits": [parts.shown(limit) for limit in comparison.limits],
        "tally": tally(comparison),
        "legend": [f"{sign} {word}" for word, sign in KIND_SIGNS.items()]
        + [f"{EFFECT_SIGNS[e]} {EFFECT_WORDS[e]}" for e in reversed(EFFECTS)],
        "groups": [
            {"title": parts.shown(g.title), "changes": [parts.card(c, context) for c in g.changes]}
            for g in groups(comparison.changes)
        ],
        "long": len(comparison.changes) >= LONG,
        "copies": parts.copies(report.copies),
        "findings": parts.findings(report.inspection),
        "statement": parts.statement(report.statement, report.fingerprint),
        "cautions": list(CAUTIONS),
        "attached": list(report.attached),
    }
