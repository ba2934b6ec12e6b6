"""Sentences from edits: the only place where they are made, after everything is decided; nothing reads them back."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec.structs import replace

from asfound.compare.result import Edit, Effect
from asfound.compare.wording.fields import Field, came, name
from asfound.compare.wording.logic import LOGIC
from asfound.compare.wording.parts import PARTS
from asfound.compare.wording.renames import RENAMES

FIELDS: dict[str, Field] = {**PARTS, **LOGIC, **RENAMES}
"""Every field that an edit can be of."""


def edit(
    field: str,
    old: str | None = None,
    new: str | None = None,
    *,
    of: str = "",
    owner: str = "",
    inner: Sequence[Edit] = (),
    effect: Effect | None = None,
) -> Edit:
    """An edit with the effect of its field, unless another one is given."""
    return Edit(field, old, new, of, owner, tuple(inner), effect or FIELDS[field].effect)


def phrase(e: Edit) -> str:
    """One edit in the words of the trade.

    >>> phrase(edit("type", "INT", "DINT"))
    'type INT -> DINT'
    """
    words = FIELDS[e.field].words
    if not isinstance(words, str):
        return words(e)
    said = {"old": e.old or "none", "new": e.new or "none", "name": name(e), "came": came(e), "of": e.of}
    said["inner"] = summed(e.inner) if "{inner}" in words else ""
    said["about"] = summed(e.inner, e.of) if "{about}" in words else ""
    said["all"] = ", ".join(map(phrase, e.inner)) if "{all}" in words else ""
    return words.format(**said, owner=e.owner)


def summed(edits: Sequence[Edit], subject: str = "") -> str:
    """What it is about, the first edit, and how many there are besides, inside of it too; notes are not counted.

    >>> inside = edit("literal", "1", "2"), edit("literal", "3", "4")
    >>> summed((edit("input", of="IN", owner="TON t", inner=inside), edit("title", "a", "b")), "t")
    'input IN of TON t: 1 -> 2 (and 2 more)'
    """
    if not edits:
        return subject
    first, more = _with_one(edits[0])
    more += len(differences(edits[1:]))
    said = phrase(first)
    told = FIELDS[first.field].named or subject in first.owner.split()
    about = f"{subject}: " if subject and not told else ""
    return about + said + (f" (and {more} more)" if more and not FIELDS[first.field].whole else "")


def _with_one(e: Edit) -> tuple[Edit, int]:
    """An edit that tells one of the edits inside of it, and how many more there are."""
    row = FIELDS[e.field]
    if row.whole or not e.inner or not isinstance(row.words, str) or not re.search("{inner}|{about}", row.words):
        return e, 0
    one, more = _with_one(e.inner[0])
    return replace(e, inner=(one,)), more + len(differences(e.inner[1:]))


def differences(edits: Sequence[Edit]) -> list[Edit]:
    """The edits without what only explains."""
    return [e for e in edits if not FIELDS[e.field].note]


def summary(subject: str, edits: Sequence[Edit]) -> str:
    """One line about a change: what it is about, and its first edit."""
    return " ".join(summed(one_by_one(edits), subject).split())


def details(edits: Sequence[Edit]) -> tuple[str, ...]:
    """A line for each edit; for a headline what differs inside of it, or itself when there is nothing besides."""
    told = sorted(one_by_one(edits), key=lambda e: not FIELDS[e.field].proof)
    opened = ([i for i in e.inner if i.effect] if FIELDS[e.field].whole else [e] for e in told)
    lines = tuple(phrase(e) for each in opened for e in each)
    return lines or tuple(map(phrase, edits))


def further(edits: Sequence[Edit]) -> tuple[str, ...]:
    """A line for each edit that the summary does not tell."""
    return tuple(map(phrase, one_by_one(edits)[1:]))


def one_by_one(edits: Sequence[Edit]) -> tuple[Edit, ...]:
    """The edits as they are told, with those apart that one of them holds several of."""
    found: list[Edit] = []
    for e in edits:
        found += [replace(e, inner=(i,)) for i in e.inner] if FIELDS[e.field].each else [e]
    return tuple(found)
