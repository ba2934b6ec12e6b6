"""Values as people write them in a value list, compared as what they mean.

A text is first read as a literal of IEC 61131-3; then the spellings that lists use instead are tried: a duration
without its prefix (``1m30s``, ``250 ms``) or as a clock (``00:01:30``), a date of ISO 8601 (``2026-03-01``, with time
``2026-03-01T06:30:00``), and a comma as decimal sign (``5,20``) where a point would read as the same number of digits.
Numbers keep the digits they are written with: two numbers are the same when they are equal exactly, or within a
tolerance that somebody states.
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

from asfound.language import literals
from asfound.language.literals import Value

_DURATION = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]+)?\s*(?:ms|us|ns|d|h|m|s)[\s_]*)+", re.IGNORECASE)
_CLOCK = re.compile(r"([0-9]{1,3}):([0-5][0-9]):([0-5][0-9](?:\.[0-9]+)?)")
_ISO = re.compile(r"([0-9]{4}-[0-9]{2}-[0-9]{2})(?:[T ]([0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?))?")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")


@lru_cache(maxsize=16384)
def meaning(text: str) -> Value:
    """Kind and exact value of a written value; a text nobody understands is ``("text", text)``.

    >>> meaning("T#90s") == meaning("1m30s") == meaning("00:01:30"), meaning("2026-03-01") == meaning("D#2026-3-1")
    (True, True)
    >>> meaning("5,20") == meaning("5.2"), meaning("5.2") == meaning("5.3")
    (True, False)
    """
    # Between quotes a blank is a letter like any other.
    stripped = text.strip() if "'" in text or '"' in text else " ".join(text.split())
    for written in (stripped, *_spellings(stripped)):
        found = literals.value(written)
        if found[0] != "text":
            return found
    return "text", stripped


def _spellings(text: str) -> list[str]:
    """The literal that a text of a list stands for, if any."""
    if _DURATION.fullmatch(text):
        return [f"T#{text.replace(' ', '')}"]
    clock = _CLOCK.fullmatch(text)
    if clock:
        return [f"T#{clock[1]}h{clock[2]}m{clock[3]}s"]
    moment = _ISO.fullmatch(text)
    if moment:
        return [f"DT#{moment[1]}-{moment[2]}" if moment[2] else f"D#{moment[1]}"]
    return [text.replace(",", ".")] if _COMMA.fullmatch(text) else []


def same(old: str, new: str, tolerance: Fraction = Fraction(0)) -> bool:
    """Do two written values mean the same? Numbers may differ by ``tolerance``, in their own unit.

    >>> same("5.2", "5.20"), same("5.2", "5.21"), same("5.2", "5.21", Fraction(1, 100))
    (True, False, True)
    """
    if old == new:
        return True
    a, b = meaning(old), meaning(new)
    if a[0] in ("int", "real") and b[0] in ("int", "real"):
        return abs(Fraction(a[1]) - Fraction(b[1])) <= tolerance
    return a == b and a[0] != "text"


def shift(old: str, new: str) -> str:
    """How far a value moved: ``+0.6``, ``-15s``; empty when it is no number and no duration."""
    a, b = meaning(old), meaning(new)
    if a[0] == b[0] == "duration":
        by = int(b[1]) - int(a[1])
        return ("+" if by > 0 else "") + literals.duration(by) if by else ""
    if a[0] in ("int", "real") and b[0] in ("int", "real") and a[1] != b[1]:
        moved = Fraction(b[1]) - Fraction(a[1])
        return f"{'+' if moved > 0 else '-'}{literals.canonical(_decimal(abs(moved))).removesuffix('.0')}"
    return ""


def _decimal(value: Fraction) -> str:
    """Exact decimal digits; differences of written decimals always have them."""
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
    digits = str(int(value * 10**places)).rjust(places + 1, "0")
    return f"{digits[: len(digits) - places]}.{digits[len(digits) - places :] or '0'}"
