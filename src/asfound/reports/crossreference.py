"""A cross-reference for somebody at a terminal: declarations first, then every use in the order of the program."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from itertools import groupby

from asfound.analysis.crossreference import CrossReference, Use
from asfound.model.visible import visible

GAP = 2


def lines(found: CrossReference, width: int) -> Iterator[str]:
    """Lines of the report; a place and a statement share a line where they fit."""
    yield f"{visible(found.asked)}: {tally(found)}"
    if found.also:
        also = f"Also reached as {', '.join(map(visible, found.also))}."
        yield from textwrap.wrap(also, width, break_long_words=False, break_on_hyphens=False)
    if found.perhaps:
        perhaps = f"Perhaps also reached as {', '.join(map(visible, found.perhaps))}: {visible(found.counted)}."
        yield from textwrap.wrap(perhaps, width, break_long_words=False, break_on_hyphens=False)
    words = max(len(use.access) for use in found.uses)
    places = min(max(len(visible(use.where)) for use in found.uses), width // 2)
    for declared, group in groupby(found.uses, key=lambda use: use.access in ("declared", "used as type")):
        yield ""
        yield "Declared" if declared else "Used"
        for use in group:
            yield from _row(use, words, places, width)


def tally(found: CrossReference) -> str:
    """``2 declarations, 1 write, 3 reads``."""
    names = {
        "declared": "declaration",
        "used as type": "use as a type",
        "written": "write",
        "read": "read",
        "called": "call",
    }
    parts = []
    for access, word in names.items():
        count = sum(use.access == access for use in found.uses)
        if count:
            many = word.replace("use as", "uses as") if access == "used as type" else f"{word}s"
            parts.append(f"{count} {word if count == 1 else many}")
    return ", ".join(parts)


def _row(use: Use, words: int, places: int, width: int) -> Iterator[str]:
    name = "" if use.name.lower() in use.text.lower() else f"{use.name}: "
    head = f"  {use.access.ljust(words)}{' ' * GAP}{visible(use.where).ljust(places)}{' ' * GAP}"
    text = visible(name + use.text) + (" (perhaps)" if use.perhaps else "")
    if len(head) + len(text) <= width:
        yield head + text
        return
    yield head.rstrip()
    indent = " " * (4 + words)
    yield from textwrap.wrap(
        text, width, initial_indent=indent, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )
