"""Signs of how words are counted: which neighbours lie how far apart, and what the modules' byte ranges hold.

The wide addresses of one area and size are sorted by number; each is held against the next. Two words one apart lie
beside each other where words count words, two apart where they count bytes; double words four apart (bytes), two apart
(words) or one apart (double words). A value that is declared wider than its address counts as wide as it is, and only
beside another of its kind. Where both distances occur in one group the frequent one is a sign when the other is rare
enough to be a mistake; else the group is a sign for neither (``ways`` is empty), which no other sign can make up for.
Words are "one apart" by chance in no program that counts bytes, while every second word may well be left out: so two
words two apart say little, and a group that says so against another is a contradiction, not a vote.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Literal as Choice
from typing import NamedTuple

from asfound.analysis.ranges import inside, module_bytes
from asfound.analysis.sizes import size
from asfound.language import addresses, printer
from asfound.language.addresses import WIDTHS, Way
from asfound.language.walk import every_pou
from asfound.model.copy import Copy

RARE = 8
"""One odd pair among this many is taken for a mistake; the inspection then tells it."""
_ANY = re.compile(r"%[IQM][WDL]\d")
_USE = re.compile(r"\(\*.*?\*\)|'(?:\$.|[^'$])*'|\"(?:\$.|[^\"$])*\"|(%[IQM][WDL]\d{1,18})(?![\d.])", re.DOTALL)
SHOWN = 4
"""Addresses that are named in a sentence; the others are counted."""
_APART = {1: "one", 2: "two", 3: "three", 4: "four", 8: "eight"}
Group = dict[int, int]
"""Bits that the value at each number takes, 0 when unknown."""
Groups = dict[tuple[str, str], Group]
"""By area and size letter."""


class Sign(NamedTuple):
    """``ways`` it allows, what it says of words, in words of the trade, and how many pairs stand behind it."""

    ways: frozenset[str]
    words: Choice["byte", "word", ""]
    text: str
    strength: int
    size: str = "W"


def signs(copy: Copy, form: Mapping[str, str] | None = None) -> tuple[bool, list[Sign]]:
    """Whether any address is as wide as a word, and every sign of how they are counted."""
    groups = _declared(copy)
    for text in _texts(copy, form):
        for use in _USE.finditer(text) if _ANY.search(text) else ():
            _add(groups, use.group(1) or "", "")
    found = [sign for key, group in sorted(groups.items()) if (sign := _neighbours(key, group)) is not None]
    places = [(area, letter, number) for (area, letter), group in groups.items() for number in sorted(group)]
    return bool(groups), [*found, *_in_modules(places, module_bytes(copy.hardware))]


def _texts(copy: Copy, form: Mapping[str, str] | None) -> Iterator[str]:
    if form is None:
        yield from map(printer.pou, copy.program.pous)
    else:
        yield from (text for path, text in form.items() if path.startswith("program/pous/"))


def _declared(copy: Copy) -> Groups:
    groups: Groups = {}
    for pou in every_pou(copy.program.pous):
        for variable in pou.variables:
            _add(groups, variable.address, variable.type)
    for block in copy.program.globals:
        for variable in block.variables:
            _add(groups, variable.address, variable.type)
    for table in copy.tables:
        for tag in table.tags:
            _add(groups, tag.address, tag.type)
    return groups


def _add(groups: Groups, text: str, type: str) -> None:
    if not text.startswith("%"):
        return
    address = addresses.parse(text)
    if address is None or address.size not in ("W", "D", "L") or len(address.parts) != 1:
        return
    group = groups.setdefault((address.area, address.size), {})
    width = max(WIDTHS[address.size], size(type) or 0) if not type or size(type) else 0
    known = group.get(address.parts[0])
    group[address.parts[0]] = width if known is None else max(known, width)


# --- neighbours --------------------------------------------------------------------------------------------------


def _neighbours(key: tuple[str, str], group: Group) -> Sign | None:
    """What the distances in one area and size say."""
    area, letter = key
    pairs = [pair for pair in pairwise(sorted(group)) if _alike(group, pair, WIDTHS[letter])]
    by_ways: dict[frozenset[str], list[tuple[int, int]]] = {}
    for pair in pairs:
        if ways := _ways(pair[1] - pair[0], group[pair[0]], WIDTHS[letter]):
            by_ways.setdefault(ways, []).append(pair)
    bytes_ = by_ways.pop(frozenset({"byte"}), [])
    if not by_ways:
        return _sign(key, {"byte"}, bytes_, group) if bytes_ else None
    ways = min(by_ways, key=lambda w: (len(w), sorted(w)))
    closer = [pair for found in by_ways.values() for pair in found]
    spread = _of_one_parity(bytes_, group) if letter == "W" else bytes_
    if len(closer) > 2 * len(spread):
        return _sign(key, ways, by_ways[ways], group)
    if len(spread) >= RARE * len(closer):
        return _sign(key, {"byte"}, bytes_, group)
    names = f"%{area}{letter}"
    text = f"{_listed(names, closer)} are close, {_listed(names, spread)} are further apart"
    return Sign(frozenset(), "", text, len(closer) + len(spread), letter)


def _alike(group: Group, pair: tuple[int, int], width: int) -> bool:
    """A known size; one that is wider than its address is followed by another that is."""
    first, second = group[pair[0]], group[pair[1]]
    return first == width or 0 < width < first == second


def _ways(apart: int, bits: int, width: int) -> frozenset[str]:
    """The ways in which the second of two begins where the first ends."""
    ways = (Way("byte"), Way("word"), Way("size"))
    return frozenset(way.words for way in ways if apart * addresses.unit(width, way) == bits)


def _of_one_parity(pairs: Sequence[tuple[int, int]], group: Group) -> list[tuple[int, int]]:
    """Pairs on even numbers, or on odd ones where these are more: words that count bytes lie on one of them."""
    odd = sum(number % 2 for number in group)
    parity = int(2 * odd > len(group))
    return [pair for pair in pairs if pair[0] % 2 == parity]


def _sign(
    key: tuple[str, str], ways: set[str] | frozenset[str], pairs: Sequence[tuple[int, int]], group: Group
) -> Sign:
    (area, letter), bits = key, group[pairs[0][0]]
    apart, _ = Counter(b - a for a, b in pairs).most_common(1)[0]
    far = _APART.get(apart, str(apart))
    wide = bits // WIDTHS[letter]
    each = f", each {wide} wide" if wide > 1 else ""
    text = f"{_listed(f'%{area}{letter}', pairs)} are neighbours {far} apart{each}"
    return Sign(frozenset(ways), "byte" if "byte" in ways else "word", text, len(pairs), letter)


def _listed(name: str, pairs: Sequence[tuple[int, int]]) -> str:
    return _some([f"{name}{number}" for number in sorted({number for pair in pairs for number in pair})])


def _some(names: Sequence[str]) -> str:
    """``%IW0, %IW1, %IW2, %IW3 and 2 more``."""
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return f"{', '.join(names[:SHOWN])}{more}"


# --- modules -----------------------------------------------------------------------------------------------------


def _in_modules(places: Sequence[tuple[str, str, int]], covered: Mapping[str, Sequence[range]]) -> Iterator[Sign]:
    """Whether the inputs and outputs lie in the byte ranges of the modules one way, and mostly not the other."""
    looked_at = [place for place in places if place[0] in covered]
    held = {
        way: [p for p in looked_at if inside(_span(p, way), covered[p[0]])]
        for way in (Way("byte"), Way("word"), Way("size"))
    }
    by_byte, *others = held.values()
    by_word = max(others, key=len)
    kinds: tuple[Choice["byte", "word"], ...] = ("byte", "word")
    for kind, these, those in zip(kinds, (by_byte, by_word), (by_word, by_byte), strict=True):
        if looked_at and 4 * len(these) >= 3 * len(looked_at) and 2 * len(those) <= len(these):
            ways = frozenset({"byte"} if kind == "byte" else {"word", "size"})
            names = [f"%{area}{letter}{number}" for area, letter, number in these]
            text = f"{_some(names)} lie in the byte ranges of the modules only when counted by {kind}"
            yield Sign(ways, kind, text, len(these))


def _span(place: tuple[str, str, int], way: Way) -> range:
    area, letter, number = place
    return addresses.bits(addresses.Address(area, letter, (number,)), way) or range(0)
