"""How many bits a value of a declared type takes."""

from __future__ import annotations

import re
from functools import lru_cache

from asfound.language.elementary import SIZES

_ARRAY = re.compile(r"ARRAY\s*\[([^\]]*)\]\s*OF\s+(\w+)\s*", re.IGNORECASE)
_BOUNDS = re.compile(r"\s*(-?\d{1,9})\s*\.\.\s*(-?\d{1,9})\s*")


@lru_cache(maxsize=4096)
def size(type: str) -> int | None:
    """Bits of an elementary type, or of an array of one with constant bounds; None for any other.

    >>> size("int"), size("ARRAY[0..3, 1..2] OF WORD"), size("Motor")
    (16, 128, None)
    """
    found = _ARRAY.fullmatch(type.strip())
    if found is None:
        return SIZES.get(type.strip().upper())
    count = SIZES.get(found.group(2).upper())
    for part in found.group(1).split(","):
        bounds = _BOUNDS.fullmatch(part)
        if count is None or bounds is None:
            return None
        count *= max(int(bounds.group(2)) - int(bounds.group(1)) + 1, 0)
    return count
