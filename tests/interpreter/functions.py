"""Standard functions (IEC 61131-3:2013 tables 22 to 36, from memory) on values."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import reduce
from itertools import pairwise

from interpreter.kinds import FLOATS, SIGNED, TIMES, WIDTHS, Elementary, NotRun
from interpreter.numbers import Stopped, Val, calculated, common, compared, kept, rounded, stored, wrapped
from interpreter.readings import Readings

OPERATORS = {"ADD": "+", "SUB": "-", "MUL": "*", "DIV": "/", "MOD": "MOD", "EXPT": "**"}
COMPARISONS = {"GT": ">", "GE": ">=", "EQ": "=", "LE": "<=", "LT": "<", "NE": "<>"}
BITS = {"AND": lambda a, b: a & b, "OR": lambda a, b: a | b, "XOR": lambda a, b: a ^ b}
_REALS = {
    "SQRT": math.sqrt, "LN": math.log, "LOG": math.log10, "EXP": math.exp, "SIN": math.sin, "COS": math.cos,
    "TAN": math.tan, "ASIN": math.asin, "ACOS": math.acos, "ATAN": math.atan,
}  # fmt: skip
_STRINGS = ("LEN", "LEFT", "RIGHT", "MID", "CONCAT", "INSERT", "DELETE", "REPLACE", "FIND")
_SHIFTS = ("SHL", "SHR", "ROL", "ROR")
_TYPE = r"BOOL|BYTE|D?WORD|LWORD|U?[SDL]?INT|L?REAL|L?TIME|W?STRING"
_CONVERSION = re.compile(rf"(?:({_TYPE})_)?(TRUNC_|TO_)({_TYPE})")


def known(name: str) -> bool:
    """Whether a name in capitals is a function of this module."""
    return (
        name in OPERATORS or name in COMPARISONS or name in BITS or name in _REALS or name in _STRINGS
        or name in _SHIFTS or name in ("NOT", "MOVE", "ABS", "SEL", "MUX", "MAX", "MIN", "LIMIT", "TRUNC")
        or name in ("ADD_TIME", "SUB_TIME", "MULTIME", "DIVTIME", "MUL_TIME", "DIV_TIME")
        or _CONVERSION.fullmatch(name) is not None
    )  # fmt: skip


def call(name: str, args: Sequence[Val], readings: Readings) -> Val:
    """The result at the declared width: a function returns a value of a type."""
    if name in OPERATORS:
        return reduce(lambda a, b: calculated(OPERATORS[name], a, b, 0, readings.stops), args)
    if name in COMPARISONS:
        pairs = pairwise(args)
        return Val(all(compared(COMPARISONS[name], a, b, readings.wide) for a, b in pairs), "BOOL")
    if name in BITS:
        return reduce(lambda a, b: bitwise(name, a, b), args)
    if name in _SHIFTS:
        return _shifted(name, args[0], args[1].content, readings.modulo)
    if name in _STRINGS:
        return _text(name, [a.content for a in args])
    if found := _CONVERSION.fullmatch(name):
        return converted(args[0], found[1] or "", found[3], trunc=found[2] == "TRUNC_", saturates=readings.saturates)
    return _other(name, args, readings)


def _other(name: str, args: Sequence[Val], readings: Readings) -> Val:
    match name:
        case "NOT":
            return inverted(args[0])
        case "MOVE":
            return args[0]
        case "SEL" | "MUX":
            return chosen(name, args[0], len(args) - 1, readings, lambda n: args[n + 1])
        case "MAX" | "MIN":
            return reduce(lambda a, b: _extreme(name, a, b), args)
        case "LIMIT":
            return _extreme("MIN", _extreme("MAX", args[0], args[1]), args[2])
        case "ABS":
            content = abs(args[0].content)
            return Val(kept(content, args[0].type, 0), args[0].type)
        case "TRUNC":
            return Val(_truncated(args[0].content), "DINT")
        case "ADD_TIME" | "SUB_TIME" | "MULTIME" | "DIVTIME" | "MUL_TIME" | "DIV_TIME":
            sign = {"A": "+", "S": "-", "M": "*", "D": "/"}[name[0]]
            return calculated(sign, args[0], args[1], 0, readings.stops)
    try:
        return Val(kept(_REALS[name](float(args[0].content)), "REAL", readings.wide), "REAL")
    except (ValueError, OverflowError):
        return Val(0.0, "REAL")


def chosen(name: str, by: Val, count: int, readings: Readings, input: object) -> Val:
    """SEL and MUX; ``input`` gives the input of a number from 0."""
    number = int(by.content)
    if not 0 <= number < count:
        if readings.stops:
            raise Stopped(f"{name} beyond its inputs")
        number = 0
    return input(number)  # type: ignore[operator]


def _extreme(name: str, a: Val, b: Val) -> Val:
    type = common(a, b)
    pick = max if name == "MAX" else min
    return Val(pick(a.content, b.content), type)


def bitwise(operator: str, a: Val, b: Val) -> Val:
    if "BOOL" in (a.type, b.type):
        return Val(BITS[operator](bool(a.content), bool(b.content)), "BOOL")
    type = common(a, b)
    if type == "?INT":
        return Val(BITS[operator](a.content, b.content), type)
    if type not in WIDTHS:
        raise NotRun(f"{operator} of {type}")
    return Val(wrapped(BITS[operator](a.content, b.content), type), type)


def inverted(v: Val) -> Val:
    if v.type == "BOOL":
        return Val(not v.content, "BOOL")
    if v.type not in WIDTHS:
        raise NotRun(f"NOT of {v.type}")
    return Val(wrapped(~v.content, v.type), v.type)


def _shifted(name: str, v: Val, by: int, modulo: bool) -> Val:
    type = v.type if v.type in WIDTHS else "DWORD"
    width = WIDTHS[type]
    bits = int(v.content) & ((1 << width) - 1)
    if name.startswith("RO"):
        by = (by if name == "ROL" else -by) % width
        return Val(wrapped(bits << by | bits >> (width - by), type), type)
    if modulo:
        by %= width
    if not 0 <= by < width:
        return Val(0, type)
    return Val(wrapped(bits << by if name == "SHL" else bits >> by, type), type)


def _text(name: str, a: Sequence[object]) -> Val:
    s, rest = str(a[0]), a[1:]
    number = [n if isinstance(n, int) else 0 for n in rest]
    match name:
        case "LEN":
            return Val(len(s), "INT")
        case "LEFT":
            return Val(s[: max(number[0], 0)], "STRING")
        case "RIGHT":
            return Val(s[len(s) - min(max(number[0], 0), len(s)) :], "STRING")
        case "MID":
            first = max(number[1], 1) - 1
            return Val(s[first : first + max(number[0], 0)], "STRING")
        case "CONCAT":
            return Val("".join(map(str, a)), "STRING")
        case "FIND":
            return Val(s.find(str(rest[0])) + 1, "INT")
        case "INSERT":
            at = min(max(number[1], 0), len(s))
            return Val(s[:at] + str(rest[0]) + s[at:], "STRING")
        case "DELETE":
            first = max(number[1], 1) - 1
            return Val(s[:first] + s[first + max(number[0], 0) :], "STRING")
    first = max(number[2], 1) - 1
    return Val(s[:first] + str(rest[0]) + s[first + max(number[1], 0) :], "STRING")


def _truncated(number: float) -> int:
    return math.trunc(number) if math.isfinite(number) else 0


def converted(v: Val, source: str, target: str, trunc: bool = False, saturates: bool = False) -> Val:
    """``SOURCE_TO_TARGET``; a duration counts in milliseconds."""
    content = v.content
    if source:
        content = stored(v, Elementary(source, length=80), False)
    if isinstance(content, str) and target not in ("STRING", "WSTRING"):
        found = re.match(r"\s*[+-]?\d+", content)
        content = int(found[0]) if found else 0
    if (source or v.type) in TIMES and target not in TIMES:
        content //= 1_000_000
    if target in TIMES and (source or v.type) not in TIMES:
        content = int(content) * 1_000_000
    if target in ("STRING", "WSTRING"):
        return Val(str(content).upper() if isinstance(content, bool) else str(content), target)
    if target in WIDTHS and isinstance(content, float):
        content = _truncated(content) if trunc else rounded(content)
        if saturates:
            low = -(1 << WIDTHS[target] - 1) if target in SIGNED else 0
            content = min(max(content, low), low + (1 << WIDTHS[target]) - 1)
    if target in FLOATS:
        content = float(content)
    return Val(stored(Val(content, v.type), Elementary(target), False), target)
