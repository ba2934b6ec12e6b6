"""Sections of pages that are about one record: its copies side by side, findings, who says so, cautions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.checks.findings import Inspection
from asfound.compare.result import QUIET
from asfound.compare.side_by_side import FATES, Copies
from asfound.evidence.statement import Statement, caution
from asfound.reports.cards import badge, text
from asfound.reports.copies import SIGNS, VERDICTS, counted, fates, office, side_by_side, verdict
from asfound.reports.inspection import SIGNS as SEVERITIES
from asfound.reports.inspection import tally
from asfound.reports.words import number


def section(name: str, title: str, inside: str) -> str:
    """A section of a page."""
    return f'<section class="{name}"><h2>{text(title)}</h2>{inside}</section>\n'


def table(label: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table whose cells are HTML; it scrolls by itself where it is wider than the page."""
    head = "".join(f'<th scope="col">{each}</th>' for each in heads)
    body = "".join(f"<tr>{''.join(f'<td>{cell}</td>' for cell in row)}</tr>" for row in rows)
    return (
        f'<div class="sheet" tabindex="0" role="group" aria-label="{text(label)}"><table><thead><tr>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
    )


def copies(found: Copies | None) -> str:
    """What a memory reset would lose, replace and bring back; nothing when there is but one copy."""
    if found is None:
        return ""
    pairs = "".join(
        f"<li>{pair.first} and {pair.second}: {text(VERDICTS.get(pair.verdict) or counted(pair.counts))}</li>"
        for pair in found.pairs
    )
    sentence = verdict(found)
    said = f"<p>{text(sentence)}</p>" if sentence else ""
    rows = [row for fate in FATES for row in found.rows if row.fate == fate and row.effect not in QUIET]
    cells = (
        (
            f"{_sign(SIGNS[row.fate])} {row.fate}",
            text(row.where),
            text(row.summary),
            badge(row.effect),
            text(office(row)),
        )
        for row in rows
    )
    heads = (fates(found), "where", "what", "effect", "office")
    quiet = len(found.rows) - len(rows)
    more = f"<p>{number(quiet, 'more difference')} in what people read, or proved to act the same.</p>" if quiet else ""
    listed = table("Copies side by side", heads, cells) if rows else ""
    return section("copies", side_by_side(found.stored), f"{said}<ul>{pairs}</ul>{listed}{more}")


def _sign(sign: str) -> str:
    return f'<span class="kind" aria-hidden="true">{sign}</span>'


def findings(found: Inspection | None) -> str:
    """What the inspections found, errors and warnings one by one, notes counted."""
    if found is None:
        return ""
    told = [f for f in found.findings if f.severity != "note"]
    items = "".join(
        f"<li><strong>{_sign(SEVERITIES[f.severity])}{f.severity}: {text(f.text)}</strong>"
        f"<p>{text(f.where)}. Because {text(f.reason)}.</p></li>"
        for f in told
    )
    listed = f"<ul>{items}</ul>" if items else ""
    return section("findings", f"Findings in {found.reference}", f"<p>{text(tally(found))}</p>{listed}")


def statement(said: Statement | None, fingerprint: str) -> str:
    """Who states all this, what that proves and what it does not."""
    if said is None:
        return ""
    found = said.predicate
    signed = f"Signed with the key <code>{text(fingerprint)}</code>." if fingerprint else "Not signed."
    warned = (f"<strong>{text(caution(found))}</strong>",) if caution(found) else ()
    lines = (
        *warned,
        f"Stated by {text(found.stated_by)} on {text(found.stated_time)}. {signed}",
        f"Record {text(found.record)} of {text(found.station)}, stored by {text(found.person)} on {text(found.time)}, "
        f"commit <code>{text(found.commit)}</code>.",
        text(found.proved),
        text(found.not_proved),
    )
    return section("stated", "What is stated, and what that proves", "".join(f"<p>{line}</p>" for line in lines))
