"""The comparison as one self-contained HTML file: opens offline, asks for nothing, works without JavaScript.

Everything that comes from an export passes :func:`asfound.reports.cards.text` or ``html.escape``; the content policy
in the head forbids scripts and every request should something slip through.
"""

from __future__ import annotations

from asfound.compare.result import EFFECTS, Comparison, Side
from asfound.model.copy import Copy
from asfound.reports.cards import Context, badge, card, kind, text
from asfound.reports.page import cautions, page
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


def write(comparison: Comparison, old: Copy | None, new: Copy | None, *, title: str = "", more: str = "") -> str:
    """Return the whole page; ``old`` and ``new`` tell the types of variables, so that networks are drawn rightly.

    ``more`` are sections about the new record (:mod:`asfound.reports.page_sections`), as HTML.
    """
    name = title or heading(comparison)
    context = Context(old, new, followers(comparison.changes), Reaches(comparison.changes))
    sections = [
        _cover(comparison, name),
        _matters(comparison),
        _limits(comparison),
        _changes(comparison, context),
        more,
        cautions(CAUTIONS),
        _digests(comparison),
    ]
    return page(name, "".join(sections), skip=("changes", "Skip to the changes"), sheets=("report.css", "handover.css"))


def _cover(comparison: Comparison, name: str) -> str:
    return (
        f'<header class="cover {comparison.verdict}">\n<p class="kicker">Comparison of controller programs</p>\n'
        f"<h1>{text(name)}</h1>\n"
        f'{_sentence("crossing", crossing(comparison))}<p class="verdict">{text(verdict(comparison))}</p>\n'
        f"{_sentence('which', between(comparison))}{_counts(comparison)}{_compared(comparison)}</header>\n"
    )


def _sentence(name: str, words: str) -> str:
    return f'<p class="{name}">{text(words)}</p>\n' if words else ""


def _counts(comparison: Comparison) -> str:
    cells = "".join(
        f'<li class="{effect}{"" if getattr(comparison.counts, effect) else " zero"}">'
        f'<span class="count">{getattr(comparison.counts, effect)}</span>{badge(effect)}'
        f"<span>{EFFECT_MEANINGS[effect]}</span></li>"
        for effect in reversed(EFFECTS)
    )
    return f'<ul class="counts" aria-label="{text(tally(comparison))}">{cells}</ul>\n'


def _compared(comparison: Comparison) -> str:
    sides = (("Before", comparison.old), ("Now", comparison.new))
    return f'<div class="sides">{"".join(_side(name, side) for name, side in sides)}</div>\n'


def _side(name: str, side: Side) -> str:
    items = "".join(
        f"<li><span>{text(source.name)}</span> "
        f'<code title="SHA-256 {text(source.sha256)}">{text(source.sha256[:12])}</code>'
        f"{_unread(source.format)}</li>"
        for source in side.sources
    )
    files_ = (
        f"<ul>{items}</ul>"
        if len(side.sources) <= 6
        else (f"<details><summary>{number(len(side.sources), 'file')}</summary><ul>{items}</ul></details>")
    )
    return f"<section><h2>{name}</h2><p><strong>{text(side.reference)}</strong></p>{files_ if items else ''}</section>"


def _unread(format_: str) -> str:
    return "" if format_ else " <em>unknown format, compared byte by byte</em>"


def _matters(comparison: Comparison) -> str:
    items = "".join(
        f'<li><a href="#change-{change.id}">{kind(change)}{text(change.where)}</a> '
        f"<span>{text(change.summary)}</span></li>"
        for change in matters(comparison)
    )
    hidden = unlisted(comparison)
    more = (
        f"<p>{number(hidden, 'more follows', 'more follow')} from these and can be found with their cause.</p>"
        if hidden
        else ""
    )
    inside = f"<ol>{items}</ol>" if items else "<p>No change of behaviour was found, and nothing is undecided.</p>"
    return f'<section class="matters"><h2>What matters</h2>{inside}{more}</section>\n'


def _limits(comparison: Comparison) -> str:
    if not comparison.limits:
        return ""
    items = "".join(f"<li>{text(limit)}</li>" for limit in comparison.limits)
    return f'<section class="limits"><h2>What this comparison cannot vouch for</h2><ul>{items}</ul></section>\n'


def _changes(comparison: Comparison, context: Context) -> str:
    found = groups(comparison.changes)
    parts = "".join(
        f'<section class="group"><h3>{text(group.title)}</h3>'
        f"{''.join(card(change, context) for change in group.changes)}"
        "</section>\n"
        for group in found
    )
    return (
        f'<section id="changes" tabindex="-1"><h2>Changes</h2><p class="tally">{text(tally(comparison))}</p>'
        f"{_legend() if found else ''}{parts}</section>\n"
    )


def _legend() -> str:
    kinds = "".join(f"<li><b>{text(sign)}</b> {word}</li>" for word, sign in KIND_SIGNS.items())
    effects = "".join(f"<li><b>{EFFECT_SIGNS[e]}</b> {EFFECT_WORDS[e]}</li>" for e in reversed(EFFECTS))
    return f'<ul class="legend" aria-label="Signs">{kinds}{effects}</ul>\n'


def _digests(comparison: Comparison) -> str:
    rows = "".join(_digest_rows(name, side) for name, side in (("before", comparison.old), ("now", comparison.new)))
    return (
        '<section class="digests"><h2>Digests</h2><p>SHA-256 of the exact bytes of every file, and of the normal form '
        "made of them: equal normal forms mean that nothing but noise differs.</p>"
        '<div class="sheet" tabindex="0" role="group" aria-label="Digests"><table><thead><tr><th scope="col">side</th>'
        f'<th scope="col">file</th><th scope="col">bytes</th><th scope="col">SHA-256</th></tr></thead><tbody>{rows}'
        "</tbody></table></div></section>\n"
    )


def _digest_rows(name: str, side: Side) -> str:
    rows = [
        f"<tr><td>{name}</td><td>{text(s.name)}</td><td>{s.size}</td><td><code>{text(s.sha256)}</code></td></tr>"
        for s in side.sources
    ]
    if side.normal_sha256:
        rows.append(
            f"<tr><td>{name}</td><td><em>normal form</em></td><td></td>"
            f"<td><code>{text(side.normal_sha256)}</code></td></tr>"
        )
    return "".join(rows)
