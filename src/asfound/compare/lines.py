"""What differs inside one thing, line by line, each with its effect, and the one change that tells all of them."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Area, Kind, strongest, summed, worded
from asfound.compare.parts.settings import differing_settings
from asfound.compare.result import Change, Effect
from asfound.model.program import Setting

Lines = list[tuple[Effect, str]]
Texts = tuple[str | None, str | None]


def differs(what: str, old: str, new: str, effect: Effect, *, fold: bool = False) -> Lines:
    """``what old -> new``, no line where they are equal; with ``fold`` another case of letters is documentation.

    >>> differs("type", "INT", "", "behaviour")
    [('behaviour', 'type INT -> none')]
    """
    if old == new:
        return []
    told_as: Effect = "documentation" if fold and old.lower() == new.lower() else effect
    return [(told_as, f"{what} {old or 'none'} -> {new or 'none'}")]


def pragmas(old: Sequence[str], new: Sequence[str]) -> Lines:
    """Pragmas, in the order in which they stand."""
    return [("undecided", f"pragmas: {named(old)} -> {named(new)}")] if old != new else []


def named(items: Sequence[str]) -> str:
    """The items of a list, or that there is none."""
    return ", ".join(items) or "none"


def settings(old: Sequence[Setting], new: Sequence[Setting], what: str, effect: Effect) -> Lines:
    """One line per setting; ``what`` they are called."""
    return [(effect, f"{what} {line}") for line in differing_settings(old, new)]


def told(
    area: Area, at: Place, what: str, lines: Lines, texts: Texts = (None, None), kind: Kind = "changed"
) -> list[Change]:
    """The change that all lines are details of; none without lines."""
    if not lines:
        return []
    details = [line for _, line in lines]
    return [worded(area, kind, strongest(e for e, _ in lines), at, *texts, f"{what}: {summed(details)}", details)]
