"""Making changes: one constructor, merging of several into one, the strongest effect, the final order.

A change carries id 0 until everything is known; numbers are given last, in the order of area, path and kind.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, get_args

import msgspec

from asfound.analysis.places import Place, natural_path
from asfound.compare.result import EFFECTS, Change, Edit, Effect, Sides
from asfound.compare.wording.phrases import details as details_of
from asfound.compare.wording.phrases import edit
from asfound.compare.wording.phrases import summary as summary_of
from asfound.language.readable import plain
from asfound.prove.witness import Witness

Area = Literal["logic", "declaration", "datatype", "task", "tag", "hardware", "value", "force", "extension", "document"]
Kind = Literal["added", "removed", "changed", "renamed", "moved", "readdressed"]
AREAS: tuple[str, ...] = get_args(Area)
"""Order in which changes are told."""
_COUNTED = frozenset(("worksheet", "network", "statement", "branch", "arm", "channel"))
"""Steps of a path that hold a number, not a name."""


def change(
    area: Area,
    kind: Kind,
    place: Place,
    texts: tuple[str | None, str | None],
    subject: str,
    edits: Sequence[Edit],
    *,
    effect: Effect | None = None,
    witness: Witness | None = None,
    names: Sequence[str] = (),
    statements: Sides | msgspec.UnsetType = msgspec.UNSET,
) -> Change:
    """One change, not yet numbered and without words; a text ends without a line break.

    Its effect is the strongest of its edits unless it is given, ``names`` (folded) is what its path names.
    """
    before, after = (None if text is None else plain(text).rstrip("\n") for text in texts)
    return Change(
        id=0,
        area=area,
        kind=kind,
        effect=effect or effect_of(edits),
        where=place.where,
        path=place.path,
        old_path=place.old if kind != "added" else (),
        before=before,
        after=after,
        summary="",
        subject=subject,
        edits=tuple(edits),
        names=tuple(names) or _named_by(place.path[-1]),
        witness=witness,
        statements=statements,
    )


def _named_by(step: str) -> tuple[str, ...]:
    """The folded name in the last step of a path; none where the step only counts (``network:3``)."""
    kind, colon, name = step.partition(":")
    if not colon:
        return (step.lower(),)
    if kind == "module":
        name = name.rpartition(":")[2]
    return () if kind in _COUNTED or not name else (name.lower(),)


def one_sided_change(
    area: Area,
    kind: str,
    place: Place,
    text: str,
    edits: Sequence[Edit],
    subject: str = "",
    *,
    effect: Effect | None = None,
) -> Change:
    """A thing that only the new copy has (``kind`` is ``added``) or only the old one (``removed``)."""
    if kind == "added":
        return change(area, "added", place, (None, text), subject, edits, effect=effect)
    return change(area, "removed", place, (text, None), subject, edits, effect=effect)


def one_sided_edit(
    field: str,
    kind: str,
    said: str,
    *,
    of: str = "",
    owner: str = "",
    inner: Sequence[Edit] = (),
    effect: Effect | None = None,
) -> Edit:
    """The edit of a thing that only the new copy has (``kind`` is ``added``) or only the old one."""
    old, new = (None, said) if kind == "added" else (said, None)
    return edit(field, old, new, of=of, owner=owner, inner=inner, effect=effect)


def used(places: Sequence[str], of: str = "", limit: int = 200) -> tuple[Edit, ...]:
    """Notes of the places that use a name; of which name, where there are several."""
    found = tuple(edit("used", new=place, of=of) for place in places[:limit])
    return found if len(places) <= limit else (*found, edit("used more", new=str(len(places) - limit), of=of))


def strongest(effects: Iterable[Effect]) -> Effect:
    """The strongest of some effects; ``documentation`` when there is none."""
    return EFFECTS[max((EFFECTS.index(e) for e in effects), default=0)]  # type: ignore[return-value]


def effect_of(edits: Sequence[Edit]) -> Effect:
    """The strongest effect of some edits."""
    return strongest(e.effect for e in edits if e.effect is not None)


def numbered(changes: Iterable[Change]) -> tuple[Change, ...]:
    """In final order, ids from 1, in words."""
    return tuple(
        msgspec.structs.replace(c, id=n, summary=summary_of(c.subject, c.edits), details=details_of(c.edits))
        for n, c in enumerate(sorted(changes, key=_order), 1)
    )


def _order(c: Change) -> tuple[object, ...]:
    return (AREAS.index(c.area), natural_path(c.path), c.kind, c.subject, c.before or "", c.after or "", _key(c.edits))


def _key(edits: Sequence[Edit]) -> tuple[object, ...]:
    return tuple((e.field, e.of, e.owner, e.old or "", e.new or "", _key(e.inner)) for e in edits)
