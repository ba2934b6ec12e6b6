"""The comparison for somebody at a terminal: the verdict first, then every change with its reason.

Nothing depends on colour: every mark is also a sign or a word. Output that is piped or stored has no escape codes and
is laid out for a fixed width, so that it is the same on every machine. All text of ours is ASCII, and names that the
encoding of the console cannot show are escaped.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from asfound.compare.result import Change, Comparison
from asfound.model.visible import visible
from asfound.reports.characters import characters
from asfound.reports.ladder import layout_all
from asfound.reports.pieces import Piece, pieces
from asfound.reports.reach import Reaches
from asfound.reports.words import (
    EFFECT_WORDS,
    KIND_SIGNS,
    between,
    crossing,
    details,
    differences,
    followers,
    groups,
    heading,
    number,
    tally,
    verdict,
    witness_sentence,
)

if TYPE_CHECKING:
    from rich.console import Console

PIPED_WIDTH = 100
"""Columns when the output is no terminal."""
LONGEST = 16
"""Lines of an added or removed piece that are shown."""
_STYLES = {"+": "blue", "-": "yellow", "behaviour": "bold", "head": "bold underline", "verdict": "bold", "": ""}


def write(comparison: Comparison, console: Console, *, quiet: bool = False) -> None:
    """Print ``comparison``; ``quiet`` prints the verdict and the counts only."""
    width = max(console.width, 30) if console.is_terminal else PIPED_WIDTH
    for text, style in lines(comparison, width, quiet=quiet):
        safe = text.encode(console.encoding, "backslashreplace").decode(console.encoding)
        console.print(safe, style=_STYLES[style] or None, markup=False, highlight=False, emoji=False, soft_wrap=True)


def lines(comparison: Comparison, width: int, *, quiet: bool = False) -> Iterator[tuple[str, str]]:
    """Yield the lines of the report and the name of their style; none is wider than ``width`` unless a name is."""
    if crossing(comparison):
        yield from _wrapped(crossing(comparison), 0, width, "verdict")
    yield from _wrapped(f"{verdict(comparison)} {between(comparison)}".rstrip(), 0, width, "verdict")
    if comparison.changes:
        yield from _wrapped(tally(comparison), 0, width)
    if quiet:
        return
    if not between(comparison) and (comparison.old.reference or comparison.new.reference):
        yield from _wrapped(f"{heading(comparison)}.", 0, width)
    follow, reaches = followers(comparison.changes), Reaches(comparison.changes)
    for group in groups(comparison.changes):
        yield "", ""
        yield from _wrapped(group.title, 0, width, "head")
        for change in group.changes:
            yield from _change(change, follow, reaches, 2, width)
    if comparison.limits:
        yield "", ""
        yield from _wrapped("What this comparison cannot vouch for", 0, width, "head")
        for limit in comparison.limits:
            yield from _wrapped(visible(limit), 2, width, lead="* ")


def _change(
    change: Change, follow: Mapping[int, Sequence[Change]], reaches: Reaches, indent: int, width: int
) -> Iterator[tuple[str, str]]:
    sign = KIND_SIGNS[change.kind]
    head = f"{sign} {visible(change.where)} [{EFFECT_WORDS[change.effect]}]"
    yield from _wrapped(head, indent, width, "behaviour" if change.effect == "behaviour" else "", hang=2)
    inner = indent + 4
    yield from _wrapped(visible(change.summary), indent + 2, width)
    for detail in details(change):
        yield from _wrapped(visible(detail), inner, width)
    yield from compared(change, inner, width)
    if change.witness is not None:
        yield from _wrapped(witness_sentence(change.witness), inner, width)
    if told := reaches.told(change):
        yield from _wrapped(told.sentence(numbered=False), inner, width)
        for item in told.items:
            yield from _wrapped(item, inner + 2, width, hang=2)
    for other in follow.get(change.id, ()):
        yield from _change(other, follow, reaches, inner, width)


def compared(change: Change, indent: int, width: int) -> Iterator[tuple[str, str]]:
    """Old and new: as ladder where it fits, else the lines that changed."""
    drawn = [line for piece in pieces(change, None, None) for line in _drawing(piece, width - indent - 2)]
    if drawn and max(len(line) for line, _ in drawn) <= width - indent:
        yield from ((f"{' ' * indent}{line}", style) for line, style in drawn)
        return
    found = list(differences(change.before, change.after))
    for line in found[:LONGEST]:
        style = line.sign if line.sign in "+-" else ""
        lead = f"{line.sign} "
        yield from _wrapped(line.whole, indent, width, style, lead=lead)
    if len(found) > LONGEST:
        more = number(len(found) - LONGEST, "more line")
        yield from _wrapped(f"... {more}; --html and --json have them all", indent, width)


def _drawing(piece: Piece, width: int) -> Iterator[tuple[str, str]]:
    drawing = layout_all(piece.statements, piece.types, width=width - 4)
    for line in characters(drawing, piece.marks).splitlines():
        yield f"{piece.sign} {line}", piece.sign.strip()


def _wrapped(
    text: str, indent: int, width: int, style: str = "", *, lead: str = "", hang: int = 0
) -> Iterator[tuple[str, str]]:
    """Yield ``text`` in lines below ``lead``; long names are never broken."""
    first, rest = " " * indent + lead, " " * (indent + len(lead) + hang)
    kept = textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False,
        drop_whitespace=True,
    )  # fmt: skip
    yield from ((line, style) for line in kept or [first.rstrip()])
