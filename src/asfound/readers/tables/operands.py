"""Addresses as tag tables write them, made canonical.

Two forms are known. IEC 61131-3: ``%IX0.0``, ``%QW4``, ``%I0.0`` (language.addresses). The operand form of DIN 19239,
in German and English letters: ``E 0.0``, ``EB4``, ``AW6``, ``MD10``, ``T5``, ``Z3`` (from memory; the standard was
withdrawn, tables written in it are still common). Everything else is not understood: nothing is guessed.
"""

from __future__ import annotations

import re

from asfound.language import addresses

AREAS = {"E": "I", "I": "I", "A": "Q", "Q": "Q", "M": "M"}
COUNTED = {"T": "T", "Z": "C", "C": "C"}
_OPERAND = re.compile(r"%?([EIAQM])\s*([XBWD]?)\s*(\d{1,6})(?:\.([0-7]))?")
_COUNTED = re.compile(r"([TZC])\s*(\d{1,5})")


def canonical(text: str) -> str | None:
    """Canonical spelling of an address, or None when it is in no known form.

    >>> canonical("E 0.0"), canonical("AW04"), canonical("z3"), canonical("B5.BX0.0")
    ('%IX0.0', '%QW4', 'C3', None)
    """
    if not text.isascii():  # digits and letters of other scripts look alike
        return None
    folded = text.strip().upper()
    operand = _OPERAND.fullmatch(folded)
    if operand:
        area, size, number, bit = operand.groups()
        if (bit is not None) == (size in ("", "X")) and (size != "X" or folded.startswith("%")):
            place = str(int(number)) if bit is None else f"{int(number)}.{bit}"
            return f"%{AREAS[area]}{size or 'X'}{place}"
        if not folded.startswith("%") or area in "EA":
            return None
    counted = _COUNTED.fullmatch(folded)
    if counted:
        return f"{COUNTED[counted[1]]}{int(counted[2])}"
    return addresses.canonical(text.strip()) if addresses.parse(text.strip()) is not None else None
