"""The judgement before a restart as one self-contained page."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.checks.readiness.readiness import Readiness
from asfound.checks.readiness.table import Line
from asfound.reports.cards import badge, kind, reach, text
from asfound.reports.page import cautions, listed, page, table
from asfound.reports.reach import Reaches
from asfound.reports.readiness import CHANGED, LOSSES, ORDER, SIGNS, shown, verdict


def write(found: Readiness) -> str:
    """Return the whole page."""
    open_ = [line for line in found.checks if line.check in found.reasons]
    advised = [line for line in found.checks if line.state == "open" and line not in open_]
    rest = [line for line in found.checks if line.state != "open"]
    sections = [
        f'<header class="cover">\n<p class="kicker">Before a restart, judged for {text(found.day)}</p>\n'
        f'<h1>{text(found.station)}</h1>\n<p class="verdict">{text(verdict(found))}</p>\n</header>\n',
        _checks("checks", "What stands in the way", open_, "Nothing."),
        cautions(found.cautions),
        _checks("advised", "Advised, and open", advised, "Nothing."),
        _losses(found),
        _changes(found),
        _checks("done", "In order, or not needed here", rest, "Nothing."),
        f'<section class="limits"><h2>What this cannot vouch for</h2>{listed(found.limits)}</section>\n',
    ]
    return page(f"{found.station}: {found.verdict}", "".join(sections), skip=("checks", "Skip to the checks"))


def _checks(id_: str, title: str, lines: Sequence[Line], none: str) -> str:
    inside = "".join(map(_check, lines)) or f"<p>{none}</p>"
    return f'<section id="{id_}"><h2>{title}</h2>{inside}</section>\n'


def _check(line: Line) -> str:
    todo = f'<p class="summary"><strong>To do:</strong> {text(line.todo)}</p>' if line.todo else ""
    sources = "".join(f"<li>{shown_}</li>" for each in line.evidence if (shown_ := text(shown(each))))
    return (
        f'<article class="change{" behaviour" if line.state == "open" else ""}"><header><h3>'
        f'<span class="kind" aria-hidden="true">{SIGNS[line.state]}</span>{text(line.title)}</h3>'
        f'<span class="badge documentation">{line.level}, {line.state}</span></header>'
        f'<p class="summary">{text(line.text)}</p>{todo}'
        f'<ul class="details">{sources}<li>source: {text(line.source)}</li></ul></article>\n'
    )


def _losses(found: Readiness) -> str:
    rows = ((str(n), x.kind, x.where, x.now, x.after, x.back) for n, x in enumerate(found.losses, 1))
    heads = ("", "kind", "where", "now", "at worst", "how it is put back")
    return f'<section class="losses"><h2>{LOSSES}</h2>{table(heads, rows, LOSSES)}<p>{ORDER}</p></section>\n'


def _changes(found: Readiness) -> str:
    if not found.changes:
        return ""
    reaches = Reaches(found.changes, found.changes)
    items = "".join(
        f'<article class="change {change.effect}" id="change-{change.id}"><header>'
        f"<h3>{kind(change)}{text(change.where)}</h3>{badge(change.effect)}</header>"
        f'<p class="summary">{text(change.summary)}</p>' + reach(reaches.told(change)) + "</article>\n"
        for change in found.changes
    )
    return f'<section id="changes"><h2>{CHANGED}</h2>{items}</section>\n'
