"""Places that may overlap: where one of them is written, nothing can be proved by looking at locations one by one.

Overlap is assumed unless it is excluded. Direct addresses overlap when their bits do in one of the ways to count words
that are possible (see analysis.numbering), or when their bits cannot be told; a variable that is declared elsewhere may
lie anywhere, when it is written anywhere but among inputs; an argument by reference may be anything outside of the
body, or a pin, of its type; a whole and a part of it overlap. Two names that are both declared elsewhere are taken to
be two variables.
Cost: n log n for direct addresses plus the overlaps found; every argument by reference, address of unknown bits and
variable declared elsewhere beside direct addresses is held against all locations it may meet, one by one.
"""

from __future__ import annotations

import operator
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from asfound.prove.encoder import Encoder
from asfound.prove.proof_side import Location

Share = Callable[[str, str], bool]
_BITS = re.compile(r"%([IQM])([\d/]+)\+(\d+)")
MAX_TIED = 100
"""Pairs of overlapping addresses for which a case is looked for; beyond that the search takes longer than the proof."""
_REACHABLE = frozenset(("global", "outside", "located", "in_out", "input", "output"))


def overlaps(
    locations: Mapping[str, Location], written: frozenset[str], share: Share = operator.eq
) -> tuple[bool, bool]:
    """Whether two locations, one of them written, may overlap; and whether two inputs do (a start may be none).

    ``share`` says of two folded types whether variables of them may be one, or one a part of the other.
    """
    pairs = [*_reachable([p for p in locations.values() if p.kind in _REACHABLE], share), *_nested(locations)]
    changed = any(a.key in written or b.key in written for a, b in pairs)
    return changed, any(a.kind == b.kind == "located" or b.key.startswith(a.key) for a, b in pairs)


def starts(encoder: Encoder, locations: Mapping[str, Location], inputs: Mapping[str, str]) -> list[Any] | None:
    """What the start must keep to, so that addresses that share bits begin with one memory; None when unknown.

    ``inputs`` are the keys of the starting values by the key of the location. Each way to count that is possible and
    both orders of the bytes in a word are kept at once: such a start exists whatever the controller does.
    """
    if any(True for _ in _nested(locations)):
        return None
    tied: list[Any] = []
    pairs = list(islice(_reachable([p for p in locations.values() if p.kind in _REACHABLE]), MAX_TIED))
    if len(pairs) == MAX_TIED:
        return None
    for a, b in pairs:
        found = [encoder.inputs.get(inputs[p.key]) for p in (a, b)]
        first, second = _spans(a.key), _spans(b.key)
        if not first or not second:
            return None
        if found[0] is None or found[1] is None:
            continue
        terms = found[0].term, found[1].term
        if any(_size(encoder, term) != len(spans[0]) for term, spans in zip(terms, (first, second), strict=True)):
            return None
        ways = max(len(first), len(second))
        for one, other in zip(*(f * ways if len(f) == 1 else f for f in (first, second)), strict=True):
            for bit in range(max(one.start, other.start), min(one.stop, other.stop)):
                tied += [
                    _bit(encoder, terms[0], bit - one.start, high) == _bit(encoder, terms[1], bit - other.start, high)
                    for high in (False, True)
                ]
    return tied


def _size(encoder: Encoder, term: Any) -> int:
    """Bits of a term, 0 for one whose bits are not known."""
    return 1 if encoder.z3.is_bool(term) else int(term.size()) if encoder.z3.is_bv(term) else 0


def _bit(encoder: Encoder, term: Any, number: int, high_first: bool) -> Any:
    """Bit ``number`` of the memory of a value, its bytes low or high first."""
    if encoder.z3.is_bool(term):
        return term
    at = term.size() - 8 - number // 8 * 8 + number % 8 if high_first else number
    return encoder.z3.Extract(at, at, term) == encoder.number(1, 1)


def _reachable(wide: Sequence[Location], share: Share = operator.eq) -> Iterator[tuple[Location, Location]]:
    """Pairs that may be one, each in the order of ``wide``; only pairs of kinds that can meet are looked at."""
    by_kind: dict[str, list[tuple[int, Location]]] = {}
    for one in enumerate(wide):
        by_kind.setdefault(one[1].kind, []).append(one)
    located, passed = by_kind.get("located", []), by_kind.get("in_out", [])
    near = {tuple(sorted(pair)) for pair in _near(located)}
    near |= {(min(a, b), max(a, b)) for a, _ in passed for b in range(len(wide)) if a != b}
    near |= {(min(a, b), max(a, b)) for a, _ in located for b, _ in by_kind.get("outside", ())}
    yield from ((wide[a], wide[b]) for a, b in sorted(near) if _may_be_one(wide[a], wide[b], share))


def _near(located: Sequence[tuple[int, Location]]) -> Iterator[tuple[int, int]]:
    """Numbers of direct addresses that may share bits in one of the ways to count.

    Two single bits share what they are only when they are written twice, so they are not held against each other.
    """
    spans: dict[tuple[str, int], list[tuple[int, int, int, bool]]] = {}
    plain: dict[str, int] = {}
    known = [(number, location.key, _spans(location.key)) for number, location in located]
    ways = max((len(found) for _, _, found in known), default=0)
    for number, key, found in known:
        if not found:
            yield from ((number, other) for other, _ in located if other != number)
            continue
        single = len(found[0]) == 1
        if single and (twin := plain.setdefault(key, number)) != number:
            yield twin, number
        for way in range(ways):
            at = found[way if len(found) > 1 else 0]
            spans.setdefault((key[1], way), []).append((at.start, at.stop, number, single))
    for group in spans.values():
        yield from _meeting(group)


def _spans(key: str) -> tuple[range, ...]:
    """The bits of a location in each way to count, one for all where they do not differ; none when they are unknown."""
    found = _BITS.fullmatch(key)
    if found is None:
        return ()
    return tuple(range(int(start), int(start) + int(found.group(3))) for start in found.group(2).split("/"))


def _meeting(spans: Iterable[tuple[int, int, int, bool]]) -> Iterator[tuple[int, int]]:
    """Pairs of spans that meet, one of them at least of several bits: one sweep in the order of their starts."""
    wide: list[tuple[int, int]] = []
    bits: list[tuple[int, int]] = []
    for start, stop, number, single in sorted(spans):
        wide = [each for each in wide if each[0] > start]
        yield from ((other, number) for _, other in wide)
        if not single:
            bits = [each for each in bits if each[0] > start]
            yield from ((other, number) for _, other in bits)
        (bits if single else wide).append((stop, number))


def _may_be_one(a: Location, b: Location, share: Share = operator.eq) -> bool:
    if a.kind == b.kind == "located":
        return _bits_meet(a.key, b.key)
    if "in_out" in (a.kind, b.kind):
        return not a.type or not b.type or share(a.type.lower(), b.type.lower()) or _large(a) or _large(b)
    here = a if a.kind == "located" else b
    return {a.kind, b.kind} == {"located", "outside"} and not here.key.startswith("%I")


def _large(location: Location) -> bool:
    """A member or element lies in something larger that may be the same."""
    return "." in location.key or "[" in location.key


def _bits_meet(a: str, b: str) -> bool:
    first, second = _spans(a), _spans(b)
    if not first or not second:
        return a[1:2] == b[1:2] or "?" in (a[1:2], b[1:2])
    ways = max(len(first), len(second))
    first, second = (found * ways if len(found) == 1 else found for found in (first, second))
    return a[1] == b[1] and any(map(_meet, first, second))


def _meet(a: range, b: range) -> bool:
    return a.start < b.stop and b.start < a.stop


def _nested(locations: Mapping[str, Location]) -> Iterable[tuple[Location, Location]]:
    """A location that is used as a whole although parts of it are used as well."""
    for key, location in locations.items():
        at = max(key.rfind("."), key.rfind("["))
        while at > 0:
            whole = locations.get(key[:at])
            if whole is not None and "§" not in key[:at]:
                yield whole, location
            at = max(key.rfind(".", 0, at), key.rfind("[", 0, at))
