"""Overlaps of addresses that a change made, or took away."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal as Choice

from asfound.analysis.numbering import Numbering
from asfound.analysis.overlaps import (
    Claim,
    Overlap,
    Row,
    bytes_of,
    claims_of,
    harmless,
    module_claims,
    overlaps,
    overlaps_by_counting,
    tag_rows,
)
from asfound.compare.changes import change, one_sided_edit
from asfound.compare.result import Change, Edit
from asfound.compare.wording.phrases import edit, phrase
from asfound.model.copy import Copy


def compare_overlaps(old: Copy, new: Copy, numbering: Numbering) -> list[Change]:
    """One change for each module or tag that overlaps others now and did not before, or the other way round.

    Two names for one address are left out: they read and write the same thing. Only what lies at the bytes of a tag
    that differs is swept: of all the rest both sides know. Undecided where it hangs on how words are counted.
    """
    modules = module_claims(old), module_claims(new)
    rows = tag_rows(old), tag_rows(new)
    if modules[0] == modules[1]:
        modules = [], []
    before = _told([*overlaps(modules[0]), *overlaps_by_counting(_near(rows[0], rows[1], numbering))])
    after = _told([*overlaps(modules[1]), *overlaps_by_counting(_near(rows[1], rows[0], numbering))])
    changes = [_change("added", pairs) for pairs in _grouped(after, before)]
    return changes + [_change("removed", pairs) for pairs in _grouped(before, after)]


Key = tuple[str, str, str, str, bool]


def _near(
    rows: Sequence[tuple[Row, str]], others: Sequence[tuple[Row, str]], numbering: Numbering
) -> list[list[Claim]]:
    """The tags at the bytes of those that the other side does not have."""
    known = {row for row, _ in others}
    fresh = {row[1] for row, _ in rows if row not in known}
    touched = {byte for address in fresh for byte in _bytes(address, numbering)}
    near = (each for each in rows if touched and not touched.isdisjoint(_bytes(each[0][1], numbering)))
    return claims_of(near, numbering)


def _bytes(address: str, numbering: Numbering) -> list[tuple[str, int]]:
    """Area and number of each byte of an address, eight at most for each way to count words."""
    memory = numbering.at(address)
    return [(memory.area, byte) for span in memory.spans for byte in range(span.start // 8, (span.stop - 1) // 8 + 1)]


def _told(found: Iterable[Overlap]) -> dict[Key, Overlap]:
    return {_key(o): o for o in found if not harmless(o)}


def _key(overlap: Overlap) -> Key:
    low, high = sorted((overlap.first.name.lower(), overlap.second.name.lower()))
    return overlap.first.kind, overlap.first.area, low, high, overlap.sure


def _grouped(these: dict[Key, Overlap], others: dict[Key, Overlap]) -> list[list[Overlap]]:
    """The overlaps that only one side has, by their first claim."""
    groups: dict[tuple[str, str, int, bool], list[Overlap]] = {}
    for key, overlap in these.items():
        if key not in others:
            at = key[0], overlap.first.name, overlap.first.span.start, overlap.sure
            groups.setdefault(at, []).append(overlap)
    return list(groups.values())


def _change(kind: Choice["added", "removed"], pairs: Sequence[Overlap]) -> Change:
    first = pairs[0].first
    edits = [_edit(kind, o) for o in pairs]
    lines = "\n".join(map(phrase, edits))
    sure = pairs[0].sure
    now = "addresses overlap now" if kind == "added" else "addresses no longer overlap"
    now = now if sure else now.replace("overlap", "may overlap", 1)
    texts = (None, lines) if kind == "added" else (lines, None)
    at = first.place.down("addresses", "overlap")
    area: Choice["hardware", "tag"] = "hardware" if first.kind == "module" else "tag"
    return change(area, kind, at, texts, now, edits)


def _edit(kind: str, overlap: Overlap) -> Edit:
    one, other = overlap.first.text, overlap.second.text
    if not overlap.sure:
        return one_sided_edit("possible overlap", kind, other, of=one)
    shared = edit("shared", new=bytes_of(overlap.first.area, overlap.span))
    return one_sided_edit("overlap", kind, other, of=one, inner=(shared,))
