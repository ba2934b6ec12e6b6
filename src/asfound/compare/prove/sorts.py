"""Elementary types as sorts of the solver (widths: IEC 61131-3:2013 table 10, from memory)."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

SIGNED = {"SINT": 8, "INT": 16, "DINT": 32, "LINT": 64}
UNSIGNED = {"USINT": 8, "UINT": 16, "UDINT": 32, "ULINT": 64, "BYTE": 8, "WORD": 16, "DWORD": 32, "LWORD": 64}
INTEGERS = SIGNED | UNSIGNED
TIMES = ("TIME", "LTIME")
WIDTHS = INTEGERS | dict.fromkeys(TIMES, 64)
_FLOATS = {"REAL": (8, 24), "LREAL": (11, 53)}


def is_signed(type: str) -> bool:
    """True for the types that are compared with a sign; durations are."""
    return type in SIGNED or type in TIMES


def sort_of(z3: Any, type: str) -> Any:
    """The sort of a type; unknown types share one sort on which nothing but equality is known."""
    if type == "BOOL":
        return z3.BoolSort()
    if type in WIDTHS:
        return z3.BitVecSort(WIDTHS[type])
    if type in _FLOATS:
        return z3.FPSort(*_FLOATS[type])
    return z3.DeclareSort("Any")


def common(types: Sequence[str]) -> str:
    """The type in which values of these types meet; empty when that is not known. ``?`` fits every number."""
    firm = sorted({t for t in types if not t.startswith("?")})
    if not firm:
        return "LREAL" if "?real" in types else "LINT" if types else ""
    if len(firm) == 1:
        fits = firm[0] in _FLOATS or ("?real" not in types and (firm[0] in INTEGERS or "?" not in types))
        return firm[0] if fits else ("BOOL" if firm[0] == "BOOL" and "?real" not in types else "")
    if all(t in SIGNED for t in firm) or all(t in UNSIGNED for t in firm):
        return max(firm, key=lambda t: INTEGERS[t])
    if all(t in TIMES for t in firm):
        return "LTIME"
    return "LREAL" if all(t in _FLOATS for t in firm) and "REAL" not in firm else ""
