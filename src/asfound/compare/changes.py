"""Making changes: one constructor, merging of several into one, the strongest effect, the final order.

A change carries id 0 until everything is known; numbers are given last, in the order of area, path and kind.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, get_args

import msgspec

from asfound.analysis.places import Place, natural_path
from asfound.compare.result import EFFECTS, Change, Effect
from asfound.prove.witness import Witness

Area = Literal["logic", "declaration", "datatype", "task", "tag", "hardware", "value", "force", "extension", "document"]
Kind = Literal["added", "removed", "changed", "renamed", "moved", "readdressed"]
AREAS: tuple[str, ...] = get_args(Area)
"""Order in which changes are told."""


def change(
    area: Area,
    kind: Kind,
    effect: Effect,
    place: Place,
    before: str | None,
    after: str | None,
    summary: str,
    details: Iterable[str] = (),
    witness: Witness | None = None,
) -> Change:
    """One change, not yet numbered; a text ends without a line break."""
    return Change(
        id=0,
        area=area,
        kind=kind,
        effect=effect,
        where=place.where,
        path=place.path,
        before=before.rstrip("\n") if before is not None else None,
        after=after.rstrip("\n") if after is not None else None,
        summary=" ".join(summary.split()),
        details=tuple(details),
        witness=witness,
    )


def one_sided_change(
    area: Area, kind: str, effect: Effect, place: Place, text: str, summary: str, details: Iterable[str] = ()
) -> Change:
    """A thing that only the new copy has (``kind`` is ``added``) or only the old one (``removed``)."""
    if kind == "added":
        return change(area, "added", effect, place, None, text, summary, details)
    return change(area, "removed", effect, place, text, None, summary, details)


def strongest(effects: Iterable[Effect]) -> Effect:
    """The strongest of some effects; ``documentation`` when there is none."""
    return EFFECTS[max((EFFECTS.index(e) for e in effects), default=0)]  # type: ignore[return-value]


def summed(lines: Sequence[str]) -> str:
    """The first line, and how many there are besides."""
    if not lines:
        return ""
    return lines[0] if len(lines) == 1 else f"{lines[0]} (and {len(lines) - 1} more)"


def listed(places: Sequence[str], limit: int = 200) -> tuple[str, ...]:
    """``used in ...`` lines of the places that use a name."""
    lines = tuple(f"used in {place}" for place in places[:limit])
    return lines if len(places) <= limit else (*lines, f"used in {len(places) - limit} more places")


def numbered(changes: Iterable[Change]) -> tuple[Change, ...]:
    """In final order, ids from 1."""
    ordered = sorted(changes, key=_order)
    return tuple(msgspec.structs.replace(c, id=n) for n, c in enumerate(ordered, 1))


def _order(c: Change) -> tuple[object, ...]:
    return (AREAS.index(c.area), natural_path(c.path), c.kind, c.summary, c.before or "", c.after or "", c.details)
