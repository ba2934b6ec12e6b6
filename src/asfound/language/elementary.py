"""The elementary types of IEC 61131-3:2013 table 10, from memory: each fact once, the rest is made from them."""

from __future__ import annotations

from typing import NamedTuple


class Type(NamedTuple):
    """``kind``: bool, signed, unsigned, bits, real, string, char, duration, date. ``bits`` is 0 where they are open.

    ``initial`` is the value of a variable without one, empty where makers differ. ``long`` is a second name, ``prefix``
    what literals may begin with besides the names.
    """

    name: str
    kind: str
    bits: int = 0
    initial: str = ""
    prefix: str = ""
    long: str = ""


TYPES = (
    Type("BOOL", "bool", 1, "FALSE"),
    *(Type(name, "signed", bits, "0") for name, bits in (("SINT", 8), ("INT", 16), ("DINT", 32), ("LINT", 64))),
    *(Type(name, "unsigned", bits, "0") for name, bits in (("USINT", 8), ("UINT", 16), ("UDINT", 32), ("ULINT", 64))),
    *(Type(name, "bits", bits, "0") for name, bits in (("BYTE", 8), ("WORD", 16), ("DWORD", 32), ("LWORD", 64))),
    Type("REAL", "real", 32, "0.0"),
    Type("LREAL", "real", 64, "0.0"),
    Type("STRING", "string", 0, "''"),
    Type("WSTRING", "string", 0, '""'),
    Type("CHAR", "char", 8),
    Type("WCHAR", "char", 16),
    Type("TIME", "duration", 32, "T#0s", "T"),  # no size in the standard; common practice
    Type("LTIME", "duration", 64, "LT#0s", "LT"),
    Type("DATE", "date", prefix="D"),
    Type("LDATE", "date", 64, prefix="LD"),
    Type("TOD", "date", long="TIME_OF_DAY"),
    Type("LTOD", "date", 64, long="LTIME_OF_DAY"),
    Type("DT", "date", long="DATE_AND_TIME"),
    Type("LDT", "date", 64, long="LDATE_AND_TIME"),
)


def _sized(*kinds: str) -> dict[str, int]:
    return {type.name: type.bits for type in TYPES if type.kind in kinds}


SIGNED, BITS, REALS = _sized("signed"), _sized("bits"), _sized("real")
UNSIGNED = _sized("unsigned", "bits")
INTEGERS = SIGNED | UNSIGNED
"""Bits by name; integers and bit strings are one, for both are kept and counted as whole numbers."""
TIMES = tuple(_sized("duration"))
STRINGS = frozenset(_sized("string", "char"))
SHORT = {type.long: type.name for type in TYPES if type.long}
"""Types with two names: the long one and the short one, which is used."""
ELEMENTARY = frozenset((*(type.name for type in TYPES), *SHORT))
SIZES = {type.name: type.bits for type in TYPES if type.bits}
QUOTES = {type.name: type.initial[0] for type in TYPES if type.kind == "string"}
PREFIXES = {
    word: type.prefix if type.kind == "duration" else type.name
    for type in TYPES
    if type.kind in ("duration", "date")
    for word in (type.name, type.prefix, type.long)
    if word
}
"""What a literal of a duration or date may begin with (table 8, 9), and how we write that."""
_INITIAL = {type.name: type.initial for type in TYPES}


def initial_value(type: str) -> str:
    """What a variable of an elementary type holds at first, empty where that is not fixed.

    >>> initial_value("int"), initial_value("STRING[20]"), initial_value("DATE")
    ('0', "''", '')
    """
    return _INITIAL.get(type.partition("[")[0].strip().upper(), "")


def limits(width: int, signed: bool) -> tuple[int, int]:
    """Least and greatest number of a width in bits.

    >>> limits(16, True), limits(8, False)
    ((-32768, 32767), (0, 255))
    """
    return (-(1 << (width - 1)), (1 << (width - 1)) - 1) if signed else (0, (1 << width) - 1)
