"""Pins, their types and their order of the standard function blocks, and the standard functions.

Source: IEC 61131-3:2013, tables 22 to 36 (functions) and 43 to 46 (function blocks), from memory.
"""

from __future__ import annotations

import re
from typing import NamedTuple


class Pin(NamedTuple):
    """``type`` may be a generic one (``ANY_INT``)."""

    name: str
    type: str


class Block(NamedTuple):
    """A standard function block."""

    name: str
    inputs: tuple[Pin, ...]
    outputs: tuple[Pin, ...]


def _pins(text: str) -> tuple[Pin, ...]:
    return tuple(Pin(*part.split(":")) for part in text.split())


def _block(name: str, inputs: str, outputs: str) -> Block:
    return Block(name, _pins(inputs), _pins(outputs))


_COUNTED = ("INT", "DINT", "LINT", "UDINT", "ULINT")


def _counters() -> list[Block]:
    found = []
    for kind in ("", *_COUNTED):
        suffix, value = (f"_{kind}", kind) if kind else ("", "INT")
        found += [
            _block(f"CTU{suffix}", f"CU:BOOL R:BOOL PV:{value}", f"Q:BOOL CV:{value}"),
            _block(f"CTD{suffix}", f"CD:BOOL LD:BOOL PV:{value}", f"Q:BOOL CV:{value}"),
            _block(f"CTUD{suffix}", f"CU:BOOL CD:BOOL R:BOOL LD:BOOL PV:{value}", f"QU:BOOL QD:BOOL CV:{value}"),
        ]
    return found


def _timers() -> list[Block]:
    return [
        _block(name + suffix, f"IN:BOOL PT:{kind}", f"Q:BOOL ET:{kind}")
        for name in ("TP", "TON", "TOF")
        for suffix, kind in (("", "TIME"), ("_TIME", "TIME"), ("_LTIME", "LTIME"))
    ]


BLOCKS = {
    block.name: block
    for block in (
        _block("SR", "S1:BOOL R:BOOL", "Q1:BOOL"),
        _block("RS", "S:BOOL R1:BOOL", "Q1:BOOL"),
        _block("R_TRIG", "CLK:BOOL", "Q:BOOL"),
        _block("F_TRIG", "CLK:BOOL", "Q:BOOL"),
        *_counters(),
        *_timers(),
        _block("RTC", "IN:BOOL PDT:DT", "Q:BOOL CDT:DT"),
    )
}
"""Standard function blocks by upper case name."""

FUNCTIONS = {
    "ABS": "ANY_NUM", "SQRT": "ANY_REAL", "LN": "ANY_REAL", "LOG": "ANY_REAL", "EXP": "ANY_REAL", "SIN": "ANY_REAL",
    "COS": "ANY_REAL", "TAN": "ANY_REAL", "ASIN": "ANY_REAL", "ACOS": "ANY_REAL", "ATAN": "ANY_REAL",
    "ATAN2": "ANY_REAL", "ADD": "ANY_NUM", "MUL": "ANY_NUM", "SUB": "ANY_NUM", "DIV": "ANY_NUM", "MOD": "ANY_INT",
    "EXPT": "ANY_REAL", "MOVE": "ANY", "SHL": "ANY_BIT", "SHR": "ANY_BIT", "ROL": "ANY_BIT", "ROR": "ANY_BIT",
    "AND": "ANY_BIT", "OR": "ANY_BIT", "XOR": "ANY_BIT", "NOT": "ANY_BIT", "SEL": "ANY", "MAX": "ANY_ELEMENTARY",
    "MIN": "ANY_ELEMENTARY", "LIMIT": "ANY_ELEMENTARY", "MUX": "ANY", "GT": "BOOL", "GE": "BOOL", "EQ": "BOOL",
    "LE": "BOOL", "LT": "BOOL", "NE": "BOOL", "LEN": "ANY_INT", "LEFT": "ANY_STRING", "RIGHT": "ANY_STRING",
    "MID": "ANY_STRING", "CONCAT": "ANY_STRING", "INSERT": "ANY_STRING", "DELETE": "ANY_STRING",
    "REPLACE": "ANY_STRING", "FIND": "ANY_INT", "TRUNC": "ANY_INT", "ADD_TIME": "TIME", "SUB_TIME": "TIME",
    "ADD_TOD_TIME": "TOD", "ADD_DT_TIME": "DT", "SUB_DATE_DATE": "TIME", "SUB_TOD_TIME": "TOD", "SUB_TOD_TOD": "TIME",
    "SUB_DT_TIME": "DT", "SUB_DT_DT": "TIME", "MULTIME": "TIME", "DIVTIME": "TIME", "MUL_TIME": "TIME",
    "DIV_TIME": "TIME", "CONCAT_DATE_TOD": "DT", "DATE_AND_TIME_TO_TIME_OF_DAY": "TOD", "DATE_AND_TIME_TO_DATE": "DATE",
}  # fmt: skip
"""Standard functions by upper case name, with the (generic) type of their result. None of them has a memory."""

NAMED_INPUTS = {
    "SEL": ("G", "IN0", "IN1"), "LIMIT": ("MN", "IN", "MX"), "SHL": ("IN", "N"), "SHR": ("IN", "N"),
    "ROL": ("IN", "N"), "ROR": ("IN", "N"), "LEFT": ("IN", "L"), "RIGHT": ("IN", "L"), "MID": ("IN", "L", "P"),
    "DELETE": ("IN", "L", "P"), "INSERT": ("IN1", "IN2", "P"), "REPLACE": ("IN1", "IN2", "L", "P"),
    "ATAN2": ("Y", "X"), "LEN": ("IN",), "ABS": ("IN",), "SQRT": ("IN",), "NOT": ("IN",), "MOVE": ("IN",),
}  # fmt: skip
"""Names of inputs, in order, where they are not IN1, IN2, ..."""

_TYPE = (
    r"(?:BOOL|BYTE|D?WORD|LWORD|U?[SDL]?INT|L?REAL|L?TIME|L?DATE|L?TOD|L?DT|W?STRING|W?CHAR|TIME_OF_DAY|DATE_AND_TIME"
    r"|\*+|BCD)"
)
_CONVERSION = re.compile(rf"{_TYPE}_(?:BCD_)?TO_(?:BCD_)?{_TYPE}|TO_{_TYPE}|{_TYPE}_TRUNC_{_TYPE}|TRUNC_{_TYPE}")


def block(type_name: str) -> Block | None:
    """The standard function block of that type name, in any case."""
    return BLOCKS.get(type_name.upper())


def is_standard_function(name: str) -> bool:
    """Whether a name is a standard function, conversions included; any case.

    >>> is_standard_function("limit"), is_standard_function("INT_TO_REAL"), is_standard_function("MyScale")
    (True, True, False)
    """
    word = name.upper()
    return word in FUNCTIONS or _CONVERSION.fullmatch(word) is not None


def input_names(function: str, count: int) -> tuple[str, ...]:
    """Names of the first ``count`` inputs of a standard function in positional order.

    >>> input_names("SEL", 3), input_names("ADD", 2)
    (('G', 'IN0', 'IN1'), ('IN1', 'IN2'))
    """
    word = function.upper()
    if word == "MUX":
        return ("K", *(f"IN{number}" for number in range(count - 1)))
    named = NAMED_INPUTS.get(word)
    if named is None and count == 1:
        return ("IN",)
    return named[:count] if named else tuple(f"IN{number}" for number in range(1, count + 1))
