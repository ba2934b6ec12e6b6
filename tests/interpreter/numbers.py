"""Values and the arithmetic of their types: integers wrap at their width, REAL rounds to single precision."""

from __future__ import annotations

import math
import struct
from typing import Any, NamedTuple

from interpreter.kinds import FLOATS, SIGNED, TIMES, UNSIGNED, WIDTHS, Elementary, NotRun


class Stopped(Exception):
    """The cycle ends here: a division by zero, an index out of bounds."""


class TooLong(Exception):
    """A cycle runs longer than any watchdog allows: nothing is said about such a run."""


class Val(NamedTuple):
    """A value and its type in capitals; ``?INT`` and ``?REAL`` are literals that take the type beside them."""

    content: Any
    type: str


def wrapped(number: int, type: str) -> int:
    width = WIDTHS[type]
    number &= (1 << width) - 1
    return number - (1 << width) if type in SIGNED and number >> (width - 1) else number


def single(number: float) -> float:
    try:
        return struct.unpack("<f", struct.pack("<f", number))[0]
    except OverflowError:
        return math.copysign(math.inf, number)


def common(a: Val, b: Val) -> str:
    """The type in which two operands are calculated."""
    if a.type == b.type:
        return a.type
    for x, y in ((a, b), (b, a)):
        if x.type == "?INT" and y.type in WIDTHS:
            return y.type if wrapped(x.content, y.type) == x.content else _fitting(x.content)
        if x.type == "?INT" and (y.type in FLOATS or y.type in TIMES or y.type == "?REAL" or y.type.startswith("ENUM")):
            return y.type
        if x.type == "?REAL" and y.type in FLOATS:
            return y.type
        if x.type == "?REAL" or (x.type in FLOATS and y.type in WIDTHS):
            return "LREAL" if x.type == "?REAL" else x.type
        if x.type in TIMES and (y.type in WIDTHS or y.type in FLOATS):
            return x.type
    if {a.type, b.type} <= WIDTHS.keys():
        return _common_integer(a.type, b.type)
    if {a.type, b.type} <= FLOATS.keys() | set(TIMES):
        return "LREAL" if a.type in FLOATS else "LTIME"
    raise NotRun(f"{a.type} with {b.type}")


def _fitting(number: int) -> str:
    return next(t for t in ("SINT", "INT", "DINT", "LINT", "ULINT") if wrapped(number, t) == number)


def _common_integer(a: str, b: str) -> str:
    if WIDTHS[a] != WIDTHS[b]:
        wide, slim = (a, b) if WIDTHS[a] > WIDTHS[b] else (b, a)
        return wide if wide in SIGNED or slim in UNSIGNED else _signed(2 * WIDTHS[wide])
    return a if (a in SIGNED) == (b in SIGNED) else _signed(2 * WIDTHS[a])


def _signed(width: int) -> str:
    return next((t for t, w in SIGNED.items() if w == width), "LINT")


def kept(number: Any, type: str, wide: int) -> Any:
    """An intermediate result: at the width of its type, or at least ``wide`` bits."""
    if type == "?INT":
        return wrapped(number, "LINT")
    if type in TIMES:
        return wrapped(int(number), "LINT")
    if type in FLOATS or type == "?REAL":
        return single(number) if type == "REAL" and wide < 64 else number
    return wrapped(number, type if WIDTHS[type] >= wide else _signed(wide))


def calculated(operator: str, left: Val, right: Val, wide: int, stops: bool) -> Val:
    type = common(left, right)
    a, b = left.content, right.content
    if operator in ("/", "MOD") and b == 0:
        if stops:
            raise Stopped("division by zero")
        return Val(0.0 if type in FLOATS else 0, type)
    if type in FLOATS or type == "?REAL":
        ways = [single(float(n)) if type == "REAL" and wide < 64 else float(n) for n in (a, b)]
        return Val(kept(_real(operator, *ways), type, wide), type)
    if operator == "**":
        return calculated(operator, Val(float(a), "REAL"), Val(float(b), "REAL"), wide, stops)
    if type in TIMES:
        return Val(kept(_duration(operator, a, b), type, wide), type)
    if type not in WIDTHS and type != "?INT":
        raise NotRun(f"{operator} of {type}")
    return Val(kept(_whole(operator, a, b), type, wide), type)


def _whole(operator: str, a: int, b: int) -> int:
    match operator:
        case "+":
            return a + b
        case "-":
            return a - b
        case "*":
            return a * b
    quotient = abs(a) // abs(b) * (1 if (a < 0) == (b < 0) else -1)
    return quotient if operator == "/" else a - quotient * b


def _duration(operator: str, a: Any, b: Any) -> int:
    if isinstance(b, float):
        return int(a * b) if operator == "*" else int(a / b)
    return _whole(operator, a, b)


def _real(operator: str, a: float, b: float) -> float:
    try:
        match operator:
            case "+":
                return a + b
            case "-":
                return a - b
            case "*":
                return a * b
            case "/":
                return a / b
            case "**":
                return float(a**b)
    except (OverflowError, ZeroDivisionError, TypeError, ValueError):
        return math.inf
    return math.fmod(a, b)


def compared(operator: str, left: Val, right: Val, wide: int) -> bool:
    a, b = left.content, right.content
    if "REAL" in (left.type, right.type) and wide < 64:
        a, b = single(float(a)), single(float(b))
    return {"=": a == b, "<>": a != b, "<": a < b, "<=": a <= b, ">": a > b, ">=": a >= b}[operator]


def stored(v: Val, kind: Elementary, checks: bool) -> Any:
    """A value as a variable of that kind holds it."""
    name, content = kind.name, v.content
    if name == "BOOL":
        return bool(content)
    if name in WIDTHS:
        content = wrapped(rounded(content) if isinstance(content, float) else int(content), name)
        if checks and kind.low is not None and not kind.low <= content <= (kind.high or 0):
            raise Stopped("subrange left")
        return content
    if name in FLOATS:
        return single(float(content)) if name == "REAL" else float(content)
    if name in ("STRING", "WSTRING"):
        return str(content)[: kind.length]
    return content


def rounded(number: float) -> int:
    """To the nearest whole number, halves to the even one (IEC 61131-3, REAL_TO_*, from memory)."""
    return round(number) if math.isfinite(number) else 0
