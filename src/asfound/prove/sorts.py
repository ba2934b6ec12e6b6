"""Elementary types as sorts of the solver; a duration has the most bits that are met."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.language.elementary import INTEGERS, SIGNED, TIMES, UNSIGNED, limits

WIDTHS = INTEGERS | dict.fromkeys(TIMES, 64)
FLOATS = {"REAL": (8, 24), "LREAL": (11, 53)}
KNOWN = frozenset(("BOOL", *WIDTHS, *FLOATS))
"""Types with a sort of their own; every other type shares one on which nothing but equality is known."""


def is_signed(type: str) -> bool:
    """True for the types that are compared with a sign; durations are."""
    return type in SIGNED or type in TIMES


def bounds(type: str) -> tuple[int, int]:
    """Least and greatest value of an integer or duration type.

    >>> bounds("INT"), bounds("BYTE")
    ((-32768, 32767), (0, 255))
    """
    return limits(WIDTHS[type], is_signed(type))


def wide(type: str) -> int:
    """Bits in which a calculation of a type is followed beyond its range."""
    return 64 if WIDTHS[type] < 64 else 128


def common(types: Sequence[str]) -> str:
    """The type in which values of these types meet; empty when that is not known. ``?`` fits every number."""
    firm = sorted({t for t in types if not t.startswith("?")})
    if not firm:
        return "LREAL" if "?real" in types else "LINT" if types else ""
    if len(firm) == 1:
        fits = firm[0] in FLOATS or ("?real" not in types and (firm[0] in INTEGERS or "?" not in types))
        return firm[0] if fits else ("BOOL" if firm[0] == "BOOL" and "?real" not in types else "")
    if all(t in SIGNED for t in firm) or all(t in UNSIGNED for t in firm):
        return max(firm, key=lambda t: INTEGERS[t])
    if all(t in TIMES for t in firm):
        return "LTIME"
    return "LREAL" if all(t in FLOATS for t in firm) and "REAL" not in firm else ""
