"""The parts of the printed report as plain data for the template: texts, numbers, drawings as SVG."""

from __future__ import annotations

import re
from typing import Any

from asfound.checks.findings import Inspection
from asfound.compare.result import QUIET, Change, Side
from asfound.compare.side_by_side import FATES, Copies
from asfound.evidence.statement import Statement, caution
from asfound.model.visible import visible
from asfound.prove.witness import Witness
from asfound.reports import inspection as findings_words
from asfound.reports.cards import Context, chart_drawings, drawings
from asfound.reports.copies import SIGNS, VERDICTS, counted, fates, office, side_by_side, verdict
from asfound.reports.reach import Told
from asfound.reports.words import (
    EFFECT_SIGNS,
    EFFECT_WORDS,
    KIND_SIGNS,
    details,
    differences,
    number,
    typographic,
    witness_caption,
)

LONGEST = 60
"""Lines of a text difference that are printed; the attached comparison has them all."""
_LONG_WORD = re.compile(r"\S{24,}")
_SEPARATOR = re.compile(r"(?<=[_.,:;/\\()#=-])")
_STYLE = """<style>
.ladder text { font: 12.5px "DejaVu Sans Mono"; fill: #000 }
.ladder .wire { stroke: #000; stroke-width: 1.25; fill: none }
.ladder .rail { stroke: #000; stroke-width: 3 }
.ladder .symbol { stroke: #000; stroke-width: 2; fill: none }
.ladder .block, .ladder .bubble { stroke: #000; stroke-width: 1.5; fill: #fff }
.ladder .frame { stroke: #000; stroke-width: 1.5; fill: none; stroke-dasharray: 5 3 }
.ladder .gap { fill: #fff; stroke: none }
.ladder .title, .ladder .name { font-weight: 700 }
.ladder .kind { font-size: 11.5px; font-weight: 700 }
.ladder .pin { font-size: 12px }
.ladder .remark { font-style: italic; fill: #333 }
.ladder .sign { font-size: 15px; font-weight: 700 }
.mark-added text, .mark-removed text, .mark-changed text { font-weight: 700 }
.mark-added text { fill: #003c85 } .mark-removed text { fill: #7d2f00 } .mark-changed text { fill: #5a1f7d }
.mark-added path, .mark-added rect { stroke: #003c85; stroke-width: 2.75 }
.mark-removed path, .mark-removed rect { stroke: #7d2f00; stroke-width: 2.75 }
.mark-changed path, .mark-changed rect { stroke: #5a1f7d; stroke-width: 2.75 }
</style>"""
"""The print colours of ``report.css``; a signed element is bolder too, so that grey print shows it."""


def shown(text: str) -> str:
    """A text on one line that may be broken after a separator where a word is long."""
    return _LONG_WORD.sub(lambda word: _SEPARATOR.sub("\N{ZERO WIDTH SPACE}", word[0]), visible(text))


def side(name: str, found: Side) -> dict[str, Any]:
    """One side of the comparison with its files and digests."""
    files = [
        {"name": shown(s.name), "size": s.size, "sha256": s.sha256, "known": bool(s.format)} for s in found.sources
    ]
    return {"name": name, "reference": shown(found.reference), "files": files, "normal": found.normal_sha256}


def line(change: Change) -> dict[str, Any]:
    """What stands of a change in a list."""
    return {
        "id": change.id,
        "sign": typographic(KIND_SIGNS[change.kind]),
        "kind": change.kind,
        "effect": change.effect,
        "badge": f"{EFFECT_SIGNS[change.effect]} {EFFECT_WORDS[change.effect]}",
        "where": shown(change.where),
        "summary": shown(change.summary),
    }


def card(change: Change, context: Context) -> dict[str, Any]:
    """Everything of a change, and of the changes that follow from it."""
    told = context.reaches.told(change) or Told("")
    drawn = drawings(change, context)
    lines = [] if drawn else _lines(change)
    return {
        **line(change),
        "details": [shown(detail) for detail in details(change)],
        "drawings": [_drawing(caption, svg) for caption, svg in drawn or chart_drawings(change, context)],
        "lines": lines[:LONGEST],
        "left": max(len(lines) - LONGEST, 0),
        "witness": _witness(change.witness) if change.witness else [],
        "caption": witness_caption(change.witness) if change.witness else "",
        "reach": shown(told.head),
        "same": told.same.id if told.same is not None else 0,
        "other": shown(told.other()),
        "nearest": shown(told.tail),
        "outputs": list(map(shown, told.items)),
        "followers": [card(other, context) for other in context.followers.get(change.id, ())],
    }


def _drawing(caption: str, svg: str) -> dict[str, Any]:
    width = re.search(r' width="(\d+)"', svg)
    assert width
    body = re.sub(r"<desc.*?</desc>", "", svg, flags=re.DOTALL).replace(">", f">{_STYLE}", 1)
    title = re.search(r"<title[^>]*>(.*?)</title>", svg, re.DOTALL)
    return {"caption": caption, "svg": body, "width": int(width[1]), "alt": visible(title[1]) if title else caption}


def _lines(change: Change) -> list[dict[str, str]]:
    if change.before is None and change.after is None:
        return []
    found = differences(change.before, change.after)
    return [
        {"sign": typographic(x.sign), "head": shown(x.head), "text": shown(x.text), "tail": shown(x.tail)}
        for x in found
    ]


def _witness(witness: Witness) -> list[dict[str, Any]]:
    names = dict.fromkeys([*witness.old, *witness.new])
    named = [*witness.inputs.items(), *((f"if {n}", v) for n, v in witness.assumed.items())]
    given = [{"name": shown(n), "old": shown(v), "new": shown(v), "result": False} for n, v in named]
    return given + [
        {
            "name": shown(n),
            "old": shown(witness.old.get(n, "not written")),
            "new": shown(witness.new.get(n, "not written")),
            "result": True,
        }
        for n in names
    ]


def copies(found: Copies | None) -> dict[str, Any] | None:
    """Running, card and office side by side."""
    if found is None:
        return None
    rows = [row for fate in FATES for row in found.rows if row.fate == fate and row.effect not in QUIET]
    quiet = len(found.rows) - len(rows)
    return {
        "title": side_by_side(found.stored),
        "fates": fates(found),
        "verdict": shown(verdict(found)),
        "pairs": [f"{p.first} and {p.second}: {VERDICTS.get(p.verdict) or counted(p.counts)}" for p in found.pairs],
        "rows": [
            {
                "sign": typographic(SIGNS[row.fate]),
                "fate": row.fate,
                "where": shown(row.where),
                "summary": shown(row.summary),
                "effect": EFFECT_WORDS[row.effect],
                "office": shown(office(row)),
            }
            for row in rows
        ],
        "more": f"{number(quiet, 'more difference')} in what people read, or proved to act the same." if quiet else "",
    }


def findings(found: Inspection | None) -> dict[str, Any] | None:
    """What the inspections found; notes are counted only."""
    if found is None:
        return None
    return {
        "title": f"Findings in {shown(found.reference)}",
        "tally": findings_words.tally(found),
        "rows": [
            {
                "severity": f"{findings_words.SIGNS[f.severity]} {f.severity}",
                "text": shown(f.text),
                "where": shown(f.where),
                "reason": shown(f.reason),
            }
            for f in found.findings
            if f.severity != "note"
        ],
    }


def statement(said: Statement | None, fingerprint: str) -> list[str]:
    """Who states all this, and what that proves; nothing when nobody does."""
    if said is None:
        return []
    found = said.predicate
    signed = f"Signed with the key {fingerprint}." if fingerprint else "Not signed."
    warned = [caution(found)] if caution(found) else []
    return [
        *warned,
        f"Stated by {shown(found.stated_by)} on {found.stated_time}. {signed}",
        f"Record {found.record} of {shown(found.station)} ({found.moment}), stored by {shown(found.person)} on "
        f"{found.time}, commit {found.commit}.",
        found.proved,
        found.not_proved,
    ]
