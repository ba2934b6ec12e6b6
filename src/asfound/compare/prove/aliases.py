"""Places that may overlap: where one of them is written, nothing can be proved by looking at places one by one.

Overlap is assumed unless it is excluded. Direct addresses overlap when their bits do, counting in bytes or counting in
words of their own size (makes differ), or when their bits cannot be told; a variable that is declared elsewhere may lie
anywhere, when it is written anywhere but among inputs; an argument by reference may be anything outside of the body, or
a pin, of its type; a whole and a part of it overlap. Two names that are both declared elsewhere are taken to be two
variables.
Cost: the square of the number of such places.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from itertools import combinations

from asfound.compare.prove.side import Place

_BITS = re.compile(r"%([IQM])(\d+)\+(\d+)")
_REACHABLE = frozenset(("global", "outside", "located", "in_out", "input", "output"))


def overlaps(places: Mapping[str, Place], written: frozenset[str]) -> tuple[bool, bool]:
    """Whether two places, one of them written, may overlap; and whether two inputs do, so that a start may be none."""
    wide = [p for p in places.values() if p.kind in _REACHABLE]
    pairs = [(a, b) for a, b in combinations(wide, 2) if _may_be_one(a, b)]
    pairs += list(_nested(places))
    changed = any(a.key in written or b.key in written for a, b in pairs)
    return changed, any(a.kind == b.kind == "located" or b.key.startswith(a.key) for a, b in pairs)


def _may_be_one(a: Place, b: Place) -> bool:
    if a.kind == b.kind == "located":
        return _bits_meet(a.key, b.key)
    if "in_out" in (a.kind, b.kind):
        return not a.type or not b.type or _base(a) == _base(b) or _large(a) or _large(b)
    here = a if a.kind == "located" else b
    return {a.kind, b.kind} == {"located", "outside"} and not here.key.startswith("%I")


def _base(place: Place) -> str:
    return place.type.lower()


def _large(place: Place) -> bool:
    """A member or element lies in something larger that may be the same."""
    return "." in place.key or "[" in place.key


def _bits_meet(a: str, b: str) -> bool:
    first, second = _BITS.fullmatch(a), _BITS.fullmatch(b)
    if first is None or second is None:
        return a[1:2] == b[1:2] or "?" in (a[1:2], b[1:2])
    if first.group(1) != second.group(1):
        return False
    ranges = [(int(m.group(2)), int(m.group(3))) for m in (first, second)]
    if ranges[0][1] == ranges[1][1] == 1:
        return ranges[0] == ranges[1]
    return any(_meet(*(count(start, size) for start, size in ranges)) for count in (_by_bytes, _by_words))


def _by_bytes(start: int, size: int) -> range:
    return range(start, start + size)


def _by_words(start: int, size: int) -> range:
    """The same address where the number counts units of its own size; a single bit lies in a unit of any size."""
    return (
        range(start // 8 * size, start // 8 * size + size) if size > 1 else range(start // 8 * 8, start // 8 * 64 + 64)
    )


def _meet(a: range, b: range) -> bool:
    return a.start < b.stop and b.start < a.stop


def _nested(places: Mapping[str, Place]) -> Iterable[tuple[Place, Place]]:
    """A place that is used as a whole although parts of it are used as well."""
    for key, place in places.items():
        at = max(key.rfind("."), key.rfind("["))
        while at > 0:
            whole = places.get(key[:at])
            if whole is not None and "§" not in key[:at]:
                yield whole, place
            at = max(key.rfind(".", 0, at), key.rfind("[", 0, at))
