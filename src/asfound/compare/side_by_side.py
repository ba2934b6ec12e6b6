"""The copies of one record side by side: what would be lost, brought back and replaced if the card came back.

What brings the program back after a memory reset is stated of a station and not assumed here: the card, built-in
memory, nothing. Every change from running to card is one row, and the office copy is placed beside it: it
holds the piece as running does, as the card does, as neither, or not at all. What only the office copy holds otherwise
is a row of its own.
Where a piece stands in the office copy is told by content, not by number: a piece of running that no change from
running to office mentions is in the office copy as it is. Cost: three comparisons.
A list (of hardware, tags, values or forces) that only one of running and card holds is neither lost nor brought back:
it is one row, not comparable.
Known weakness: of two pieces with the very same text in one POU, one of them changed, either may be meant.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal as Choice

from asfound.analysis.enabling import readings
from asfound.analysis.numbering import together
from asfound.compare.comparison import compare
from asfound.compare.parts.one_sided_lists import is_one_sided, under_names
from asfound.compare.parts.one_sided_lists import limits as one_sided_limits
from asfound.compare.result import Change, Comparison, Counts, Edit, Effect, Origin
from asfound.compare.wording.phrases import summary
from asfound.model.copy import COPY_NAMES, Copy
from asfound.model.logic import Node
from asfound.model.problem import Problem
from asfound.model.station import NOT_STATED, BringsBack

SCHEMA = "asfound/copies/1"
Fate = Choice["lost", "brought back", "replaced", "not comparable", "office only"]
FATES: tuple[Fate, ...] = ("lost", "replaced", "brought back", "not comparable", "office only")
_BY_KIND: dict[str, Fate] = {"removed": "lost", "added": "brought back"}


class Row(Node, frozen=True, omit_defaults=False):
    """One piece that not all copies hold alike. ``held`` are groups of copies that agree, ``lacking`` those without it.

    ``running``, ``card`` and ``office`` are the texts of the piece, null where the copy lacks it, is not stored, or
    the piece is described by its summary only. ``edits`` are what differs, as data (see a comparison).
    """

    fate: Fate
    area: str
    effect: Effect
    where: str
    path: tuple[str, ...]
    summary: str
    details: tuple[str, ...]
    held: tuple[tuple[str, ...], ...]
    lacking: tuple[str, ...] = ()
    running: str | None = None
    card: str | None = None
    office: str | None = None
    edits: tuple[Edit, ...] = ()


class Pair(Node, frozen=True, omit_defaults=False):
    """Two of the copies, with the verdict and the counts of their comparison."""

    first: str
    second: str
    verdict: str
    counts: Counts


class Copies(Node, frozen=True, omit_defaults=False):
    """``stored`` are the names of the copies; in ``agreement`` those that hold the same but for noise are one group.

    The fate of a row is what becomes of it if the card comes back; ``brings_back`` says what does.
    """

    schema: str
    reference: str
    stored: tuple[str, ...]
    agreement: tuple[tuple[str, ...], ...]
    pairs: tuple[Pair, ...]
    rows: tuple[Row, ...]
    limits: tuple[str, ...]
    origins: tuple[Origin, ...] = ()
    brings_back: BringsBack = BringsBack()


def side_by_side(
    copies: Mapping[str, Copy],
    reference: str = "",
    origins: Sequence[Origin] = (),
    brings_back: BringsBack = NOT_STATED,
) -> Copies:
    """Rows of everything on which the copies (``running``, ``card``, ``office``; at least two) do not agree.

    ``origins`` are the records that they are of, one for each; ``brings_back`` is stated of the station. Raises
    :class:`Problem` when fewer than two are there.
    """
    stored = tuple(name for name in COPY_NAMES if name in copies)
    if len(stored) < 2:
        raise Problem(
            f"only the {' '.join(stored) or 'no'} copy is there",
            where=reference,
            advice="two or three of running, card and office are needed to set them side by side",
        )
    numbering = together([copies[name] for name in stored])
    found = {
        (a, b): compare(copies[a], copies[b], old_reference=a, new_reference=b, numbering=numbering)
        for n, a in enumerate(stored)
        for b in stored[n + 1 :]
    }
    return Copies(
        schema=SCHEMA,
        reference=reference,
        stored=stored,
        agreement=_agreement(stored, found),
        pairs=tuple(Pair(a, b, each.verdict, each.counts) for (a, b), each in found.items()),
        rows=_rows(stored, found),
        limits=(*_days(origins), *_limits({name: copies[name] for name in stored}, found, brings_back)),
        origins=tuple(origins),
        brings_back=brings_back,
    )


Pairs = Mapping[tuple[str, str], Comparison]


def _agreement(stored: Sequence[str], found: Pairs) -> tuple[tuple[str, ...], ...]:
    groups: list[list[str]] = []
    for name in stored:
        same = [g for g in groups if not found[g[0], name].changes]
        if same:
            same[0].append(name)
        else:
            groups.append([name])
    return tuple(map(tuple, groups))


def _days(origins: Sequence[Origin]) -> tuple[str, ...]:
    """Copies that were stored on several days may differ for what happened in between."""
    days = [(each.copy, each.time[:10]) for each in origins]
    if len({day for _, day in days}) < 2:
        return ()
    said = ", ".join(f"{copy} of {day}" for copy, day in days)
    return (f"the copies are of several days ({said}): what changed in between is not known here",)


def _limits(stored: Mapping[str, Copy], found: Pairs, brings_back: BringsBack) -> tuple[str, ...]:
    missing = [name for name in COPY_NAMES if name not in stored]
    by_card = brings_back.reset in ("", "card")
    said = {
        "running": "no running copy is stored: what a reset would lose is not known",
        "card": f"no card copy is stored{': what a reset would bring back is not known' if by_card else ''}",
        "office": "no office copy is stored: whether the piece exists in the project is not known",
    }
    pairwise = {limit for a, b in found for limit in one_sided_limits({"old": stored[a], "new": stored[b]})}
    pairwise |= {limit for a, b in found for limit in readings((stored[a], stored[b]))}
    own = dict.fromkeys(limit for comparison in found.values() for limit in comparison.limits if limit not in pairwise)
    return (*(said[name] for name in missing), *one_sided_limits(stored), *own, *readings(stored.values()))


def _rows(stored: Sequence[str], found: Pairs) -> tuple[Row, ...]:
    reset = found.get(("running", "card"))
    rows = [_reset_row(change, found) for change in reset.changes] if reset else []
    for first in ("running", "card"):
        other = found.get((first, "office"))
        if other is not None:
            known = _keys(reset.changes) if reset else frozenset()
            rows += [_office_row(c, stored) for c in other.changes if _key(c) not in known and not _covered(c, reset)]
            break
    return tuple(sorted(rows, key=lambda row: FATES.index(row.fate)))


Key = tuple[str, str, str | None, tuple[str, ...]]


def _key(change: Change) -> Key:
    """What a piece of the older side is recognised by: its text, or its path when it has none."""
    return change.area, change.path[0], change.before, () if change.before else change.path


def _keys(changes: Sequence[Change]) -> frozenset[Key]:
    return frozenset(_key(change) for change in changes)


def _covered(change: Change, reset: Comparison | None) -> bool:
    """Is the piece part of something that the card lacks or has altogether?"""
    return reset is not None and any(_whole(c) and _below(c, change.path) for c in reset.changes)


def _whole(change: Change) -> bool:
    return change.kind in ("added", "removed")


def _below(change: Change, path: tuple[str, ...]) -> bool:
    return path[: len(change.path)] == change.path


def _reset_row(change: Change, found: Pairs) -> Row:
    first, second = change.kind != "added", change.kind != "removed"
    groups = {"running": ["running"] if first else [], "card": ["card"] if second else [], "neither": [], "lacking": []}
    groups["lacking"] = [name for name, there in (("running", first), ("card", second)) if not there]
    office = _office(change, found) if ("running", "office") in found else None
    if office is not None:
        groups[office].append("office")
    texts = {"running": change.before, "card": change.after}
    whole_list = _is_whole_list(change)
    edits = under_names(change.edits, "running", "card") if whole_list else change.edits
    return Row(
        fate="not comparable" if whole_list else _BY_KIND.get(change.kind, "replaced"),
        area=change.area,
        effect=change.effect,
        where=change.where,
        path=change.path,
        summary=summary(change.subject, edits),
        details=change.details,
        edits=edits,
        held=tuple(tuple(groups[name]) for name in ("running", "card", "neither") if groups[name]),
        lacking=tuple(groups["lacking"]),
        running=change.before,
        card=change.after,
        office=texts.get(office or ""),
    )


def _is_whole_list(change: Change) -> bool:
    return is_one_sided(change.area, change.kind, change.effect, change.path)


Place = Choice["running", "card", "neither", "lacking"]


def _office(change: Change, found: Pairs) -> Place:
    """How the office copy holds a piece that differs between running and card."""
    if _is_whole_list(change):
        return _office_list(change, found)
    sides: tuple[tuple[Choice["running", "card"], str | None], ...]
    sides = (("running", change.before), ("card", change.after))
    bare = change.before is None and change.after is None
    told: list[str] = []
    for name, text in sides:
        if text is None and not bare:
            continue
        mentioned = [c for c in found[name, "office"].changes if _mentions(c, change, text)]
        if not mentioned:
            return name
        told += [c.kind for c in mentioned]
    return "lacking" if set(told) == {"removed"} else "neither"


def _office_list(change: Change, found: Pairs) -> Place:
    """The same for a list that only one of them holds: whatever differs in that area is about it."""
    holder: Choice["running", "card"] = "running" if change.kind == "removed" else "card"
    told = [c for c in found[holder, "office"].changes if c.area == change.area]
    if not told:
        return holder
    return "lacking" if any(map(_is_whole_list, told)) else "neither"


def _mentions(change: Change, row: Change, text: str | None) -> bool:
    """Does a change to the office copy speak of the piece of a row: the text, or all it stands in?"""
    if change.area != row.area:
        return False
    if _is_whole_list(change):
        return True
    if change.path[0] != row.path[0]:
        return False
    if _whole(change) and len(change.path) < len(row.path) and _below(change, row.path):
        return True
    return change.before == text if text is not None else change.path == row.path


def _office_row(change: Change, stored: Sequence[str]) -> Row:
    others = tuple(name for name in stored if name != "office")
    edits = under_names(change.edits, others[0], "office") if _is_whole_list(change) else change.edits
    held = [others if change.kind != "added" else (), ("office",) if change.kind != "removed" else ()]
    return Row(
        fate="office only",
        area=change.area,
        effect=change.effect,
        where=change.where,
        path=change.path,
        summary=summary(change.subject, edits),
        details=change.details,
        edits=edits,
        held=tuple(group for group in held if group),
        lacking={"added": others, "removed": ("office",)}.get(change.kind, ()),
        running=change.before if "running" in stored else None,
        card=change.before if "card" in stored else None,
        office=change.after,
    )
