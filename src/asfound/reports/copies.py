"""The copies of a record side by side, for somebody about to turn the switch: what a memory reset would do."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from asfound.compare.result import EFFECTS, Counts, Origin
from asfound.compare.side_by_side import FATES, Copies, Fate, Row
from asfound.model.visible import visible
from asfound.reports.words import EFFECT_WORDS, number, record, visible_lines

LONGEST = 6
"""Lines of a piece that are shown."""
RESET = "A memory reset clears the work memory; what runs afterwards is what the card holds."
"""Common practice of controllers with a memory card."""
HEADS: dict[Fate, str] = {
    "lost": "It would lose, because the card does not hold it",
    "replaced": "It would put the card's version in place of the running one",
    "brought back": "It would bring back, because only the card holds it",
    "not comparable": "Cannot be compared, because only one of running and card holds such a list",
    "office only": "The office copy differs",
}
SIGNS: dict[Fate, str] = {"lost": "-", "replaced": "~", "brought back": "+", "not comparable": "?", "office only": "i"}
VERDICTS = {"identical": "the same bytes", "noise": "the same but for ids, times and positions"}


def lines(found: Copies, width: int, *, quiet: bool = False) -> Iterator[str]:
    """Lines of the report; none is wider than ``width`` unless a name is."""
    if found.origins:
        yield from _wrapped(f"{which(found.origins)}.", 0, width)
    for pair in found.pairs:
        said = VERDICTS.get(pair.verdict) or counted(pair.counts)
        yield from _wrapped(f"{pair.first} and {pair.second}: {said}", 0, width)
    if {"running", "card"} <= {*found.stored}:
        yield ""
        yield from _wrapped(verdict(found), 0, width)
    if quiet:
        return
    for fate in FATES:
        yield from _group(fate, [row for row in found.rows if row.fate == fate], width)
    if found.limits:
        yield ""
        yield "What this comparison cannot vouch for"
        for limit in found.limits:
            yield from _wrapped(f"* {visible(limit)}", 2, width, hang=2)


def which(origins: Sequence[Origin]) -> str:
    """``booster-1 record 2 (as-found, 2026-11-17): running and card; record 1 (as-left, 2025-10-14): office``."""
    groups: dict[str, list[str]] = {}
    for each in origins:
        groups.setdefault(record(each), []).append(each.copy)
    return "; ".join(f"{words}: {listed(names)}" for words, names in groups.items())


def listed(names: Sequence[str]) -> str:
    """``running, card and office``."""
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def counted(counts: Counts) -> str:
    """``2 may act differently, 1 undecided, 7 documentation``."""
    parts = [f"{n} {EFFECT_WORDS[e]}" for e in reversed(EFFECTS) if (n := getattr(counts, e))]
    return ", ".join(parts)


def side_by_side(names: Sequence[str]) -> str:
    """``Running, card and office side by side``."""
    return f"{listed(names)} side by side".capitalize()


def verdict(found: Copies) -> str:
    """What a memory reset would do, in one sentence."""
    rows = [row for row in found.rows if row.fate not in ("office only", "not comparable")]
    lists = sum(row.fate == "not comparable" for row in found.rows)
    open_ = f"{number(lists, 'list')} that only one of running and card holds cannot be compared."
    if not rows and lists:
        return f"{RESET} It would change nothing of what both hold; {open_}"
    if not rows:
        return f"{RESET} It would change nothing: running and card hold the same."
    words: dict[Fate, str] = {"lost": "lose", "replaced": "replace", "brought back": "bring back"}
    counts = [(word, sum(row.fate == fate for row in rows)) for fate, word in words.items()]
    said = [f"{word} {number(count, 'piece')}" for word, count in counts if count]
    return f"{RESET} It would {', '.join(said)}.{f' {open_.capitalize()}' if lists else ''}"


def _group(fate: Fate, rows: Sequence[Row], width: int) -> Iterator[str]:
    if not rows:
        return
    told = [row for row in rows if row.effect not in ("documentation", "equivalent")]
    yield ""
    yield f"{HEADS[fate]}: {len(rows)}"
    for row in told:
        yield from _row(row, width)
    quiet = len(rows) - len(told)
    if quiet:
        words = f"{number(quiet, 'difference')} in what people read, or proved to act the same; --json has them all"
        yield from _wrapped(f"i {words}", 2, width, hang=2)


def _row(row: Row, width: int) -> Iterator[str]:
    head = f"{SIGNS[row.fate]} {visible(row.where)} [{EFFECT_WORDS[row.effect]}]"
    yield from _wrapped(head, 2, width, hang=2)
    piece = row.running if row.fate == "lost" else row.card if row.fate == "brought back" else None
    if piece is None:
        yield from _wrapped(visible(row.summary), 4, width)
    else:
        shown = visible_lines(piece)
        for line in shown[:LONGEST]:
            yield from _wrapped(line, 4, width, hang=2)
        if len(shown) > LONGEST:
            yield from _wrapped(f"... {number(len(shown) - LONGEST, 'more line')}; --json has them all", 4, width)
    place = office(row)
    if place:
        yield from _wrapped(place, 4, width)


def office(row: Row) -> str:
    """Where the office copy stands in a row; empty when there is none, or when the row is about nothing else."""
    if row.fate == "office only":
        return ""
    if "office" in row.lacking:
        return "The office copy does not hold it either." if row.fate == "lost" else "The office copy does not hold it."
    group = next((g for g in row.held if "office" in g), None)
    if group is None:
        return ""
    if group == ("office",) and row.fate == "not comparable":
        return "The office copy holds another version."
    if group == ("office",):
        return "The office copy holds a third version."
    return f"The office copy holds it as {' and '.join(n for n in group if n != 'office')} does."


def _wrapped(text: str, indent: int, width: int, hang: int = 0) -> Iterator[str]:
    first, rest = " " * indent, " " * (indent + hang)
    kept = textwrap.wrap(
        text, width, initial_indent=first, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False
    )
    yield from kept or [""]
