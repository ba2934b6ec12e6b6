"""What differs inside one thing, edit by edit, and the one change that tells all of them."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.analysis.places import Place
from asfound.compare.changes import Area, Kind, change
from asfound.compare.parts.settings import differing_settings
from asfound.compare.result import Change, Edit, Effect
from asfound.compare.wording.phrases import edit
from asfound.model.program import Setting

Texts = tuple[str | None, str | None]


def differs(field: str, old: str, new: str, *, fold: bool = False, effect: Effect | None = None) -> list[Edit]:
    """The edit of a field, none where both are equal; with ``fold`` another case of letters is documentation.

    >>> [(e.old, e.new, e.effect) for e in differs("type", "INT", "")]
    [('INT', None, 'behaviour')]
    """
    if old == new:
        return []
    told_as: Effect | None = "documentation" if fold and old.lower() == new.lower() else effect
    return [edit(field, old or None, new or None, effect=told_as)]


def pragmas(old: Sequence[str], new: Sequence[str]) -> list[Edit]:
    """Pragmas, in the order in which they stand."""
    return [edit("pragmas", ", ".join(old) or None, ", ".join(new) or None)] if old != new else []


def settings(field: str, old: Sequence[Setting], new: Sequence[Setting], *, ordered: bool = False) -> list[Edit]:
    """One edit per setting, sorted; where only their order differs, that if ``ordered``."""
    found = [edit(field, before, after, of=name) for name, before, after in differing_settings(old, new)]
    return (
        [edit("order of settings")]
        if ordered and old != new and not found
        else sorted(found, key=lambda e: (e.of, e.old or "", e.new or ""))
    )


def reordered(of: str, old: Sequence[str], new: Sequence[str]) -> list[Edit]:
    """Names that both sides have, listed in another order."""
    ours, theirs = ([name.lower() for name in names] for names in (old, new))
    both = {*ours} & {*theirs}
    same = [name for name in ours if name in both] == [name for name in theirs if name in both]
    return [] if same else [edit("order of named", of=of)]


def told(
    area: Area, at: Place, subject: str, edits: Sequence[Edit], texts: Texts = (None, None), kind: Kind = "changed"
) -> list[Change]:
    """The change that all edits are of; none without edits."""
    return [change(area, kind, at, texts, subject, edits)] if edits else []
