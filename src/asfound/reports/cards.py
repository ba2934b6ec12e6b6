"""The parts of the HTML page that show one change each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from asfound.compare.result import Change
from asfound.model.copy import Copy
from asfound.model.visible import visible
from asfound.prove.witness import Witness
from asfound.reports import chart_part
from asfound.reports.ladder import layout_all
from asfound.reports.pieces import Piece, pieces
from asfound.reports.reach import Reaches, Told
from asfound.reports.svg import svg
from asfound.reports.words import (
    EFFECT_SIGNS,
    EFFECT_WORDS,
    KIND_SIGNS,
    Line,
    details,
    differences,
    number,
    witness_caption,
)

_LONG = 30
"""Lines of a text difference above which it is folded away."""
_LINE_CLASSES = {"+": "mark-added", "-": "mark-removed", "...": "skipped", " ": "same"}
_LINE_WORDS = {"+": "added", "-": "removed"}
_CAPTIONS = {"-": "Before", "+": "Now", " ": "Before and now"}


@dataclass(frozen=True, slots=True)
class Context:
    """What every card needs: both copies, the changes that follow from others, what each can reach."""

    old: Copy | None
    new: Copy | None
    followers: Mapping[int, Sequence[Change]]
    reaches: Reaches


def text(value: str) -> str:
    """Return ``value`` safe inside HTML text and quoted attributes, on one line."""
    return escape(visible(value))


def badge(effect: str) -> str:
    """Return the sign and the words of an effect."""
    sign = f'<span class="sign" aria-hidden="true">{EFFECT_SIGNS[effect]}</span>'
    return f'<span class="badge {effect}">{sign} {EFFECT_WORDS[effect]}</span>'


def kind(change: Change) -> str:
    """Return the sign of a change, with its word for a screen reader."""
    return (
        f'<span class="kind {change.kind}" title="{change.kind}"><span aria-hidden="true">'
        f'{escape(_sign(change))}</span><span class="hidden">{change.kind}: </span></span>'
    )


def _sign(change: Change) -> str:
    sign = KIND_SIGNS[change.kind]
    return "\N{MINUS SIGN}" if sign == "-" else sign


def card(change: Change, context: Context, level: int = 4) -> str:
    """Return the section of one change, with what follows from it inside."""
    body = [
        f'<article class="change {change.effect}" id="change-{change.id}" aria-labelledby="head-{change.id}">',
        f'<header><h{level} id="head-{change.id}">{kind(change)}{text(change.where)}</h{level}>'
        f'{badge(change.effect)}<a class="anchor" href="#change-{change.id}">{change.id}</a></header>',
        f'<p class="summary">{text(change.summary)}</p>',
        _list(details(change), "details"),
        _compared(change, context),
        _witness(change.witness) if change.witness else "",
        reach(context.reaches.told(change)),
        _followers(change, context, level),
        "</article>\n",
    ]
    return "".join(body)


def _list(items: Sequence[str], name: str) -> str:
    return f'<ul class="{name}">{"".join(f"<li>{text(item)}</li>" for item in items)}</ul>' if items else ""


def reach(told: Told | None) -> str:
    """Return what a change can reach; the change that has the list is linked."""
    if told is None:
        return ""
    same = f'<a href="#change-{told.same.id}">{text(told.other())}</a>' if told.same is not None else ""
    items = "".join(f"<li>{text(item)}</li>" for item in told.items)
    listed = f"<ul>{items}</ul>" if items else ""
    return f'<div class="reach"><p>{text(told.head)}{same}{text(told.tail)}</p>{listed}</div>'


def _followers(change: Change, context: Context, level: int) -> str:
    follow = context.followers.get(change.id, ())
    if not follow:
        return ""
    cards = "".join(card(other, context, min(level + 1, 6)) for other in follow)
    summary = f"{number(len(follow), 'change follows', 'changes follow')} from this"
    return (
        f'<details class="followers"{"" if len(follow) > 8 else " open"}><summary>{summary}</summary>{cards}</details>'
    )


def _witness(witness: Witness) -> str:
    names = [*witness.old, *(name for name in witness.new if name not in witness.old)]
    rows = [
        f'<tr><th scope="row">{text(n)}</th><td>{text(v)}</td><td>{text(v)}</td></tr>'
        for n, v in (*witness.inputs.items(), *((f"if {n}", v) for n, v in witness.assumed.items()))
    ]
    rows += [
        f'<tr class="result"><th scope="row">{text(name)}</th><td>{_cell(witness.old, name)}</td>'
        f"<td>{_cell(witness.new, name)}</td></tr>"
        for name in names
    ]
    return (
        f'<table class="witness"><caption>{witness_caption(witness)}</caption><thead><tr>'
        '<th scope="col">variable</th>'
        f'<th scope="col">before</th><th scope="col">now</th></tr></thead><tbody>{"".join(rows)}</tbody></table>'
    )


def _cell(values: Mapping[str, str], name: str) -> str:
    return text(values[name]) if name in values else '<span class="none">not written</span>'


# --- before and after -----------------------------------------------------------------------------------------------


def _compared(change: Change, context: Context) -> str:
    found = drawings(change, context)
    if found:
        return _panels(change, *found)
    charts = chart_drawings(change, context)
    return (_panels(change, *charts) if charts else "") + _texts(change)


def chart_drawings(change: Change, context: Context) -> list[tuple[str, str]]:
    """Return the step that a change is about, before and now; they stand beside the text, not in its place."""
    return [
        (caption, svg(drawing, found, title=f"{visible(change.where)}, {caption}", name=f"{caption}-{change.id}"))
        for caption, drawing, found in chart_part.both(change, context.old, context.new)
    ]


def drawings(change: Change, context: Context) -> list[tuple[str, str]]:
    """Return the drawings of a change, each a caption and an SVG; none when it is to be shown as text."""
    return [(_CAPTIONS[piece.sign], _svg(change, piece)) for piece in pieces(change, context.old, context.new)]


def _svg(change: Change, piece: Piece) -> str:
    side = "before" if piece.sign == "-" else "now"
    drawing = layout_all(piece.statements, piece.types)
    return svg(drawing, piece.marks, title=f"{visible(change.where)}, {side}", name=f"{side}-{change.id}")


def _panels(change: Change, *panels: tuple[str, str]) -> str:
    parts = "".join(
        f'<figure><figcaption>{caption}</figcaption><div class="sheet" tabindex="0" role="group" '
        f'aria-label="{text(change.where)}, {caption.lower()}">{drawing}</div></figure>'
        for caption, drawing in panels
    )
    return f'<div class="panels">{parts}</div>'


def _texts(change: Change) -> str:
    """Text difference; nothing when the summary already holds all of it."""
    if change.before is None and change.after is None:
        return ""
    lines = differences(change.before, change.after)
    if not lines:
        return ""
    rows = "".join(_line(line) for line in lines)
    table = (
        '<div class="sheet" tabindex="0" role="group" aria-label="Text before and now">'
        f'<pre class="difference">{rows}</pre></div>'
    )
    if len(lines) > _LONG:
        return f"<details><summary>{number(len(lines), 'line')} of text</summary>{table}</details>"
    return table


def _line(line: Line) -> str:
    word = f'<span class="hidden">{_LINE_WORDS[line.sign]}: </span>' if line.sign in _LINE_WORDS else ""
    changed = f"<mark>{escape(line.text)}</mark>" if line.head or line.tail else escape(line.text)
    sign = "\N{MINUS SIGN}" if line.sign == "-" else "\N{HORIZONTAL ELLIPSIS}" if line.sign == "..." else line.sign
    if line.text == "" and (line.head or line.tail):
        changed = ""
    return (
        f'<span class="line {_LINE_CLASSES[line.sign]}"><span class="sign" aria-hidden="true">{sign}</span>{word}'
        f"{escape(line.head)}{changed}{escape(line.tail)}\n</span>"
    )
