"""Widths of the elementary integers and bit strings (IEC 61131-3:2013 table 10, from memory), in bits."""

from __future__ import annotations

SIGNED = {"SINT": 8, "INT": 16, "DINT": 32, "LINT": 64}
BITS = {"BYTE": 8, "WORD": 16, "DWORD": 32, "LWORD": 64}
UNSIGNED = {"USINT": 8, "UINT": 16, "UDINT": 32, "ULINT": 64} | BITS
INTEGERS = SIGNED | UNSIGNED


def limits(width: int, signed: bool) -> tuple[int, int]:
    """Least and greatest number of a width in bits.

    >>> limits(16, True), limits(8, False)
    ((-32768, 32767), (0, 255))
    """
    return (-(1 << (width - 1)), (1 << (width - 1)) - 1) if signed else (0, (1 << width) - 1)
