"""Literals: one spelling for each, and exact values to compare.

Sources: IEC 61131-3:2013 tables 5 to 9 (numeric, string, duration, date literals), from memory.
"""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from asfound.language.elementary import ELEMENTARY, INTEGERS, PREFIXES, REALS, STRINGS

UNITS = (
    ("d", 86_400_000_000_000), ("h", 3_600_000_000_000), ("m", 60_000_000_000), ("s", 1_000_000_000),
    ("ms", 1_000_000), ("us", 1_000), ("ns", 1),
)  # fmt: skip
"""Units of a duration in nanoseconds, longest first."""
_NANOSECONDS = dict(UNITS)

_TYPED = re.compile(r"([^\W\d]\w*)\s*#\s*(.+)", re.DOTALL)
_DIGITS = r"[0-9][0-9_]{0,499}"
"""A longer number, or one in digits of another script, is no literal of any controller and stays text."""
_BASED = re.compile(r"([+-]?)([0-9]{1,4})#([0-9a-z][0-9a-z_]{0,499})", re.IGNORECASE | re.ASCII)
_INTEGER = re.compile(rf"[+-]?{_DIGITS}")
_REAL = re.compile(rf"[+-]?{_DIGITS}(?:\.{_DIGITS})?(?:e[+-]?0*[0-9]{{1,3}})?", re.IGNORECASE | re.ASCII)
_PART = re.compile(rf"({_DIGITS}(?:\.{_DIGITS})?)\s*(ms|us|ns|d|h|m|s)[_\s]*", re.IGNORECASE | re.ASCII)
_DATE = re.compile(r"([0-9]{1,9})-([0-9]{1,9})-([0-9]{1,9})")
_CLOCK = re.compile(r"([0-9]{1,9}):([0-9]{1,9})(?::([0-9]{1,9})(?:\.([0-9]+))?)?")
_QUOTED = re.compile(r"'(?:[^'$]|\$.)*'|\"(?:[^\"$]|\$.)*\"", re.DOTALL)

Value = tuple[str, int | Fraction | bool | str]
"""Kind (``bool int real duration date tod dt string wstring enum text``) and the exact value."""


@lru_cache(maxsize=16384)
def canonical(text: str, type: str = "") -> str:
    """The one spelling of a literal; ``type`` is the declared type, so that ``1`` of a BOOL becomes ``TRUE``.

    Never raises: text that is no literal comes back without outer white space and otherwise untouched.

    >>> canonical("TIME#1500ms"), canonical("16#0f_f"), canonical("1", "BOOL"), canonical("int#+05")
    ('T#1s500ms', '16#FF', 'TRUE', 'INT#5')
    """
    stripped = text.strip()
    upper = stripped.upper()
    if upper in ("TRUE", "FALSE"):
        return upper
    if type.upper() == "BOOL" and (truth := _truth(stripped)):
        return truth
    typed = _TYPED.fullmatch(stripped)
    if typed:
        return _canonical_typed(typed.group(1), typed.group(2), stripped)
    if _QUOTED.fullmatch(stripped):
        return stripped
    return _canonical_number(stripped) or stripped


def _truth(text: str) -> str:
    upper = text.upper().removeprefix("BOOL#")
    return {"1": "TRUE", "0": "FALSE", "2#1": "TRUE", "2#0": "FALSE", "TRUE": "TRUE", "FALSE": "FALSE"}.get(upper, "")


def _canonical_typed(prefix: str, rest: str, whole: str) -> str:
    name = prefix.upper()
    if name in PREFIXES:
        return _canonical_moment(PREFIXES[name], rest) or whole
    if name == "BOOL":
        return f"BOOL#{truth}" if (truth := _truth(rest)) else whole
    if name in STRINGS and _QUOTED.fullmatch(rest):
        return f"{name}#{rest}"
    number = _canonical_number(rest) if name in INTEGERS | REALS else ""
    return f"{name}#{number}" if number else whole


def _canonical_number(text: str) -> str:
    based = _BASED.fullmatch(text)
    if based:
        digits = based.group(3).replace("_", "").upper().lstrip("0") or "0"
        sign = "-" if based.group(1) == "-" else ""
        return f"{sign}{int(based.group(2))}#{digits}"
    if _INTEGER.fullmatch(text):
        sign = "-" if text.startswith("-") else ""
        return sign + (text.lstrip("+-").replace("_", "").lstrip("0") or "0")
    return _canonical_real(text) if _REAL.fullmatch(text) else ""


def _canonical_real(text: str) -> str:
    number = Decimal(text.replace("_", ""))
    sign, digits, exponent = number.as_tuple()
    significant = "".join(map(str, digits)).lstrip("0")
    trimmed = significant.rstrip("0")
    power = int(exponent) + len(significant) - len(trimmed)
    minus = "-" if sign else ""
    if not trimmed:
        return f"{minus}0.0"
    point = len(trimmed) + power
    if -5 < point <= 16:
        padded = trimmed.rjust(len(trimmed) + max(0, 1 - point), "0")
        point = max(point, 1)
        whole, part = padded[:point].ljust(point, "0"), padded[point:]
        return f"{minus}{whole}.{part or '0'}"
    return f"{minus}{trimmed[0]}.{trimmed[1:] or '0'}E{point - 1}"


def _canonical_moment(prefix: str, rest: str) -> str:
    if prefix in ("T", "LT"):
        nanoseconds = _nanoseconds(rest)
        return f"{prefix}#{duration(nanoseconds)}" if nanoseconds is not None else ""
    parts = _moment(prefix, rest)
    return f"{prefix}#{parts}" if parts else ""


def duration(nanoseconds: int) -> str:
    """Compound units without a prefix.

    >>> duration(90_500_000_000), duration(0)
    ('1m30s500ms', '0s')
    """
    rest, parts = abs(nanoseconds), ""
    for unit, size in UNITS:
        count, rest = divmod(rest, size)
        parts += f"{count}{unit}" if count else ""
    return ("-" if nanoseconds < 0 else "") + (parts or "0s")


def _nanoseconds(text: str) -> int | None:
    body = text.strip()
    sign = -1 if body.startswith("-") else 1
    body = body.lstrip("+-").strip()
    at, total = 0, Fraction(0)
    while at < len(body):
        part = _PART.match(body, at)
        if part is None:
            return None
        total += Fraction(part.group(1).replace("_", "")) * _NANOSECONDS[part.group(2).lower()]
        at = part.end()
    return sign * int(total) if body and total.denominator == 1 else None


def _moment(prefix: str, text: str) -> str:
    body = text.strip().replace("_", "")
    kind = prefix.removeprefix("L")
    date, clock = (body, "") if kind == "DATE" else ("", body)
    if kind == "DT":
        head, _, clock = body.rpartition("-")
        date = head
    day = _date(date) if date or kind != "TOD" else ""
    hour = _clock(clock) if clock or kind != "DATE" else ""
    if day is None or hour is None:
        return ""
    return "-".join(part for part in (day, hour) if part)


def _date(text: str) -> str | None:
    found = _DATE.fullmatch(text)
    return "{:04}-{:02}-{:02}".format(*map(int, found.groups())) if found else None


def _clock(text: str) -> str | None:
    found = _CLOCK.fullmatch(text)
    if found is None:
        return None
    hours, minutes, seconds = (int(found.group(i) or 0) for i in (1, 2, 3))
    part = (found.group(4) or "").rstrip("0")
    return f"{hours:02}:{minutes:02}:{seconds:02}" + (f".{part}" if part else "")


@lru_cache(maxsize=16384)
def value(text: str) -> Value:
    """Kind and exact value of a literal, to be compared with ``==``; unknown text is ``("text", text)``.

    >>> value("16#FF") == value("255"), value("T#1s500ms") == value("t#1500ms"), value("TRUE") == value("BOOL#1")
    (True, True, True)
    """
    spelled = canonical(text)
    if spelled in ("TRUE", "FALSE"):
        return "bool", spelled == "TRUE"
    typed = _TYPED.fullmatch(spelled)
    if typed is None:
        return _plain(spelled) or ("text", spelled)
    prefix, rest = typed.group(1).upper(), typed.group(2)
    if prefix in ("T", "LT"):
        nanoseconds = _nanoseconds(rest)
        return ("duration", nanoseconds) if nanoseconds is not None else ("text", spelled)
    if prefix == "BOOL" and rest in ("TRUE", "FALSE"):
        return "bool", rest == "TRUE"
    if prefix in PREFIXES:
        known = _moment(PREFIXES[prefix], rest)
        return (PREFIXES[prefix].removeprefix("L").lower(), rest) if known else ("text", spelled)
    return _of_type(prefix, rest) or ("text", spelled)


def _plain(text: str) -> Value | None:
    based = _BASED.fullmatch(text)
    if based:
        try:
            return "int", int(based.group(1) + based.group(3), int(based.group(2)))
        except ValueError:
            return None
    if _INTEGER.fullmatch(text):
        return "int", int(text)
    if _REAL.fullmatch(text):
        return "real", Fraction(text)
    if _QUOTED.fullmatch(text):
        return ("string" if text[0] == "'" else "wstring"), unescape(text)
    return None


def _of_type(prefix: str, rest: str) -> Value | None:
    found = _plain(rest)
    if prefix in REALS and found and found[0] in ("int", "real"):
        return "real", Fraction(found[1])
    if prefix in INTEGERS and found and found[0] == "int":
        return found
    if prefix in STRINGS and found and found[0] in ("string", "wstring"):
        return ("wstring" if prefix.startswith("W") else "string"), found[1]
    return ("enum", f"{prefix}#{rest}".upper()) if prefix not in ELEMENTARY else None


_ESCAPES = {"L": "\n", "N": "\n", "P": "\f", "R": "\r", "T": "\t"}


def unescape(quoted: str) -> str:
    """Characters of a quoted string, ``$`` escapes resolved (IEC 61131-3:2013 tables 6 and 7, from memory).

    >>> unescape("'a$$b$41'")
    'a$bA'
    """
    digits = 2 if quoted[0] == "'" else 4
    return re.sub(rf"\$([0-9A-Fa-f]{{{digits}}}|.)", _character, quoted[1:-1], flags=re.DOTALL)


def _character(found: re.Match[str]) -> str:
    code = found.group(1)
    return chr(int(code, 16)) if len(code) > 1 else _ESCAPES.get(code.upper(), code)
