"""Addresses of an unknown style, read by the patterns of a profile and made canonical.

A pattern is a regular expression for the whole cell (upper and lower case are one; :mod:`profile_patterns` says what it
may hold). Its named groups say what the
numbers mean; which of ``byte``, ``word`` or ``number`` it has decides how they are counted:

=========  ==========================================================================================
``byte``   counts bytes; ``bit`` (0 to 7) may follow
``word``   counts words of 16 bits; ``bit`` (0 to 15) may follow
``number`` counts single bits (or timers and counters); always without ``bit``
``block``  a number in front, which keeps addresses of different blocks apart: ``%MX5.0.1``
``area``   which area, through the table ``areas``, unless ``area`` itself says it for the whole pattern
``size``   X, B, W, D or L, through the table ``sizes``, unless ``size`` says it
=========  ==========================================================================================

The result is an address of IEC 61131-3 that counts bytes and bits from 0. Bits of a word are counted on from its first
byte, so that bits and words of one table overlap as they do in the controller; which of the two bytes comes first in
its memory is not known and not claimed.
"""

from __future__ import annotations

import msgspec

from asfound.model.logic import Node
from asfound.readers.tables.profile_patterns import Unusable, compiled

AREAS = ("I", "Q", "M", "T", "C")
SIZES = {"X": 1, "B": 8, "W": 16, "D": 32, "L": 64}
COUNTS = ("byte", "word", "number")
GROUPS = (*COUNTS, "bit", "block", "area", "size")


class AddressPattern(Node, frozen=True):
    """One style of address. ``base`` is 8, 10 or 16, ``first`` the number of the first byte, word or point."""

    pattern: str
    area: str = ""
    size: str = ""
    areas: dict[str, str] = msgspec.field(default_factory=dict)
    sizes: dict[str, str] = msgspec.field(default_factory=dict)
    base: int = 10
    first: int = 0


def mistake(rule: AddressPattern) -> tuple[str, str] | None:
    """What is wrong with a pattern and what to do about it, or None."""
    try:
        groups = compiled(rule.pattern).groupindex
    except Unusable as error:
        what, advice = error.args
        return what, advice
    unknown = [group for group in groups if group not in GROUPS]
    if unknown:
        return f"there is no group '{unknown[0]}'", f"the groups are {', '.join(GROUPS)}"
    if sum(count in groups for count in COUNTS) != 1:
        return (
            "the pattern does not say what the number counts",
            "name one group byte, word or number: (?P<byte>[0-9]+)",
        )
    if "bit" in groups and "number" in groups:
        return "number counts bits already", "leave the group bit out, or call the other one byte or word"
    return _wrong_words(rule, "area" in groups, "size" in groups) or _wrong_counts(rule)


def _wrong_words(rule: AddressPattern, area: bool, size: bool) -> tuple[str, str] | None:
    if not area and rule.area not in AREAS:
        return f"the area '{rule.area}' is none", f"write one of {', '.join(AREAS)}"
    if area and (rule.area or not rule.areas):
        return "the group area needs its table", 'write areas = { IN = "I", OUT = "Q" } and no other area'
    if size and (rule.size or not rule.sizes):
        return "the group size needs its table", 'write sizes = { W = "W" } and no other size'
    for key, words, known in (("areas", rule.areas, AREAS), ("sizes", rule.sizes, tuple(SIZES))):
        bad = sorted(value for value in words.values() if value not in known)
        if bad:
            return f"{key}: '{bad[0]}' is none", f"write one of {', '.join(known)}"
    if rule.size and rule.size not in SIZES:
        return f"the size '{rule.size}' is none", f"write one of {', '.join(SIZES)}"
    return None


def _wrong_counts(rule: AddressPattern) -> tuple[str, str] | None:
    if rule.base not in (8, 10, 16):
        return f"the base {rule.base} is none", "write 8, 10 or 16"
    if rule.first < 0:
        return "the first number is below 0", "write 0 or 1"
    return None


def canonical(text: str, rules: tuple[AddressPattern, ...]) -> str | None:
    """Canonical address by the first pattern that fits, or None.

    >>> canonical("in17", (AddressPattern("IN(?P<number>[0-7]+)", area="I", base=8),))
    '%IX1.7'
    """
    if len(text) > 100:
        return None
    for rule in rules:
        found = compiled(rule.pattern).fullmatch(text)
        address = _address(rule, found.groupdict()) if found else None
        if address is not None:
            return address
    return None


def _address(rule: AddressPattern, found: dict[str, str | None]) -> str | None:
    area = rule.area or _word(rule.areas, found.get("area"))
    number = _number(found, rule)
    if not area or number is None:
        return None
    count, at = number
    if area in ("T", "C"):
        return f"{area}{at}" if count == "number" else None
    bit = found.get("bit")
    size = rule.size or _word(rule.sizes, found.get("size")) or _default(count, bit is not None)
    place = _place(count, at, int(bit) if bit is not None and bit.isdecimal() else None, size)
    if place is None or (bit is not None and not bit.isdecimal()):
        return None
    block = found.get("block")
    if block is not None:
        return f"%{area}{size}{int(block)}.{place}" if block.isdecimal() else None
    return f"%{area}{size}{place}"


def _word(words: dict[str, str], text: str | None) -> str:
    """The meaning of a letter; a group that matched nothing looks up the empty text."""
    folded = {key.lower(): value for key, value in words.items()}
    return folded.get((text or "").lower(), "")


def _number(found: dict[str, str | None], rule: AddressPattern) -> tuple[str, int] | None:
    for count in COUNTS:
        text = found.get(count)
        if text is not None:
            try:
                number = int(text, rule.base) - rule.first
            except ValueError:
                return None
            return (count, number) if number >= 0 else None
    return None


def _default(count: str, bit: bool) -> str:
    return "X" if bit or count == "number" else "W" if count == "word" else "B"


def _place(count: str, at: int, bit: int | None, size: str) -> str | None:
    """``byte`` or ``byte.bit``, None when the parts do not fit together."""
    if count == "number":
        byte, rest = divmod(at * SIZES[size], 8)
        return f"{byte}.{rest}" if size == "X" else str(byte)
    byte = 2 * at if count == "word" else at
    if (bit is not None) != (size == "X"):
        return None
    if bit is None:
        return str(byte)
    limit = 15 if count == "word" else 7
    return f"{byte + bit // 8}.{bit % 8}" if bit <= limit else None
