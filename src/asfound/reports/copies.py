"""The copies of a record side by side, for somebody about to turn the switch: what a memory reset would do."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from asfound.compare.result import EFFECTS, QUIET, Counts, Origin
from asfound.compare.side_by_side import FATES, Copies, Fate, Row
from asfound.model.visible import visible
from asfound.reports.words import EFFECT_WORDS, number, record, visible_lines

LONGEST = 6
"""Lines of a piece that are shown."""
BY_CARD: dict[Fate, str] = {
    "lost": "It would lose, because the card does not hold it",
    "replaced": "It would put the card's version in place of the running one",
    "brought back": "It would bring back, because only the card holds it",
}
HEADS: dict[Fate, str] = {
    "lost": "Only the running copy holds",
    "replaced": "The card holds another version",
    "brought back": "Only the card holds",
    "not comparable": "Cannot be compared, because only one of running and card holds such a list",
    "office only": "The office copy differs",
}
"""Where it is not stated that the card comes back; else :data:`BY_CARD`."""
SIGNS: dict[Fate, str] = {"lost": "-", "replaced": "~", "brought back": "+", "not comparable": "?", "office only": "i"}
VERDICTS = {"identical": "the same bytes", "noise": "the same but for ids, times and positions"}


def lines(found: Copies, width: int, *, quiet: bool = False) -> Iterator[str]:
    """Lines of the report; none is wider than ``width`` unless a name is."""
    if found.origins:
        yield from _wrapped(f"{which(found.origins)}.", 0, width)
    for pair in found.pairs:
        said = VERDICTS.get(pair.verdict) or counted(pair.counts)
        yield from _wrapped(f"{pair.first} and {pair.second}: {said}", 0, width)
    if said := verdict(found):
        yield ""
        yield from _wrapped(said, 0, width)
    if quiet:
        return
    for fate in FATES:
        yield from _group(head(fate, found), [row for row in found.rows if row.fate == fate], width)
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


def head(fate: Fate, found: Copies) -> str:
    """The title above the rows of one fate."""
    return (BY_CARD if found.brings_back.reset == "card" else HEADS).get(fate, HEADS[fate])


def fates(found: Copies) -> str:
    """The title above the fates of a table."""
    return "a reset makes it" if found.brings_back.reset == "card" else "if the card comes back"


def verdict(found: Copies) -> str:
    """What a memory reset would do, as far as it is stated what brings the program back; empty without running."""
    place = found.brings_back.reset
    if "running" not in found.stored or ("card" not in found.stored and place in ("", "card")):
        return ""
    if "card" not in found.stored:
        return _origin(found)
    rows = [row for row in found.rows if row.fate not in ("office only", "not comparable")]
    loud = [row for row in rows if row.effect not in QUIET]
    quiet = len(rows) - len(loud)
    more = f" {number(quiet, 'difference')} more in what people read, or proved to act the same." if quiet else ""
    return f"{_origin(found)} {_effect(found, loud, quiet)}{more}{_open(found)}"


def _origin(found: Copies) -> str:
    """Where the program comes from after a memory reset."""
    source = found.brings_back.source
    said = {
        "card": "After a memory reset the card brings the program back",
        "built-in": "After a memory reset built-in non-volatile memory brings the program back; no copy shows it",
        "battery": "After a memory reset memory held by a battery brings the program back; no copy shows it",
        "nothing": "After a memory reset nothing brings the program back: all that runs is lost until it is downloaded",
        "": "What brings the program back after a memory reset is not stated for this station",
    }[found.brings_back.reset]
    return f"{said} (according to: {visible(source)})." if source and found.brings_back.reset else f"{said}."


def _effect(found: Copies, rows: Sequence[Row], quiet: int) -> str:
    """What that does to the pieces on which running and card do not agree."""
    place = found.brings_back.reset
    same = "Running and card hold the same" if not _lists(found) else "What running and card both hold is the same"
    if not rows and quiet:
        return "It would change nothing that acts." if place == "card" else "Running and card act the same."
    if not rows:
        return f"It would change nothing: {same[0].lower()}{same[1:]}." if place == "card" else f"{same}."
    if place in ("built-in", "battery", "nothing"):
        return f"Running and card differ in {number(len(rows), 'piece')}."
    words: dict[Fate, str] = {"lost": "lose", "replaced": "replace", "brought back": "bring back"}
    counts = [(word, sum(row.fate == fate for row in rows)) for fate, word in words.items()]
    said = ", ".join(f"{word} {number(count, 'piece')}" for word, count in counts if count)
    return f"It would {said}." if place == "card" else f"If the card does, a reset would {said}."


def _open(found: Copies) -> str:
    lists = _lists(found)
    return f" {number(lists, 'list')} that only one of running and card holds cannot be compared." if lists else ""


def _lists(found: Copies) -> int:
    return sum(row.fate == "not comparable" for row in found.rows)


def _group(title: str, rows: Sequence[Row], width: int) -> Iterator[str]:
    if not rows:
        return
    told = [row for row in rows if row.effect not in QUIET]
    yield ""
    yield f"{title}: {len(rows)}"
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
