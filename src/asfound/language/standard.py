"""The standard's library: functions and function blocks, each fact once; the types stand in elementary.py.

Source: IEC 61131-3:2013, from memory; the table stands beside each part. A name that the program declares itself is not
the standard's: :class:`~asfound.analysis.symbols.Symbols` knows the names of a copy, :func:`declaring` those of an
export while it is read.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache, wraps
from typing import NamedTuple, ParamSpec, TypeVar

from asfound.language.elementary import ELEMENTARY, INTEGERS, REALS, SHORT, SIGNED, limits

P = ParamSpec("P")
T = TypeVar("T")

_DECLARED: ContextVar[frozenset[str]] = ContextVar("declared", default=frozenset())


@contextmanager
def declaring(names: Iterable[str]) -> Iterator[None]:
    """Inside of it these names (any case) are the program's."""
    token = _DECLARED.set(frozenset(name.lower() for name in names))
    try:
        yield
    finally:
        _DECLARED.reset(token)


def remembered(size: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """As ``lru_cache``, for what depends on the names that the program declares."""

    def decorate(work: Callable[P, T]) -> Callable[P, T]:
        @lru_cache(maxsize=size)
        def kept(_: frozenset[str], *args: P.args, **named: P.kwargs) -> T:
            return work(*args, **named)

        @wraps(work)
        def found(*args: P.args, **named: P.kwargs) -> T:
            return kept(_DECLARED.get(), *args, **named)  # type: ignore[arg-type]

        return found

    return decorate


_RANGES = {name: limits(width, name in SIGNED) for name, width in INTEGERS.items()} | {"BOOL": (0, 1)}


# --- functions (tables 22 to 36) -----------------------------------------------------------------------------------


class Pin(NamedTuple):
    """``type`` may be a generic one (``ANY_INT``)."""

    name: str
    type: str


class Function(NamedTuple):
    """Has no memory and changes nothing. A generic ``result`` is the type of the inputs of the same generic type.

    The last input may be repeated where ``more`` says so. ``partial``: there are values without a result.
    """

    name: str
    inputs: tuple[Pin, ...]
    result: str
    operator: str = ""
    partial: bool = False
    more: bool = False

    def pins(self, count: int) -> tuple[Pin, ...]:
        """The first ``count`` inputs; fewer where the function does not take as many."""
        name, type = self.inputs[-1]
        first, start = len(self.inputs), int(name[2:] or 0) + 1 if self.more else 0
        added = (Pin(f"IN{start + n}", type) for n in range(count - first)) if self.more else ()
        return (*self.inputs[:count], *added)


def _pins(text: str) -> tuple[Pin, ...]:
    return tuple(Pin(*part.split(":")) for part in text.split())


def _functions(names: str, inputs: str, result: str, *, partial: str = "", more: bool = False) -> Iterator[Function]:
    """Functions that take the same; ``NAME/operator`` where there is another way to write a call."""
    for word in names.split():
        name, _, operator = word.partition("/")
        yield Function(name, _pins(inputs), result, operator, name in partial.split(), more)


_TWO = "IN1:{0} IN2:{0}"
_TIMES = (
    ("ADD_TIME SUB_TIME", "TIME", "TIME", "TIME"), ("ADD_TOD_TIME SUB_TOD_TIME", "TOD", "TIME", "TOD"),
    ("ADD_DT_TIME SUB_DT_TIME", "DT", "TIME", "DT"), ("SUB_DATE_DATE", "DATE", "DATE", "TIME"),
    ("SUB_TOD_TOD", "TOD", "TOD", "TIME"), ("SUB_DT_DT", "DT", "DT", "TIME"), ("CONCAT_DATE_TOD", "DATE", "TOD", "DT"),
    ("MULTIME MUL_TIME DIVTIME DIV_TIME", "TIME", "ANY_NUM", "TIME"),
)  # fmt: skip
FUNCTIONS = {
    function.name: function
    for group in (
        _functions("ABS", "IN:ANY_NUM", "ANY_NUM"),
        _functions("SQRT LN LOG EXP SIN COS TAN ASIN ACOS ATAN", "IN:ANY_REAL", "ANY_REAL",
                   partial="SQRT LN LOG EXP TAN ASIN ACOS"),
        _functions("ATAN2", "Y:ANY_REAL X:ANY_REAL", "ANY_REAL"),
        _functions("ADD/+ MUL/*", _TWO.format("ANY_NUM"), "ANY_NUM", more=True),
        _functions("SUB/- DIV//", _TWO.format("ANY_NUM"), "ANY_NUM", partial="DIV"),
        _functions("MOD/MOD", _TWO.format("ANY_INT"), "ANY_INT", partial="MOD"),
        _functions("EXPT/**", "IN1:ANY_REAL IN2:ANY_NUM", "ANY_REAL", partial="EXPT"),
        _functions("MOVE", "IN:ANY", "ANY"),
        _functions("SHL SHR ROL ROR", "IN:ANY_BIT N:ANY_INT", "ANY_BIT"),
        _functions("AND/AND OR/OR XOR/XOR", _TWO.format("ANY_BIT"), "ANY_BIT", more=True),
        _functions("NOT/NOT", "IN:ANY_BIT", "ANY_BIT"),
        _functions("SEL", "G:BOOL IN0:ANY IN1:ANY", "ANY"),
        _functions("MAX MIN", _TWO.format("ANY_ELEMENTARY"), "ANY_ELEMENTARY", more=True),
        _functions("LIMIT", "MN:ANY_ELEMENTARY IN:ANY_ELEMENTARY MX:ANY_ELEMENTARY", "ANY_ELEMENTARY"),
        _functions("MUX", "K:ANY_INT IN0:ANY", "ANY", partial="MUX", more=True),
        _functions("GT/> GE/>= EQ/= LE/<= LT/<", _TWO.format("ANY_ELEMENTARY"), "BOOL", more=True),
        _functions("NE/<>", _TWO.format("ANY_ELEMENTARY"), "BOOL"),
        _functions("LEN", "IN:ANY_CHARS", "INT"),
        _functions("LEFT RIGHT", "IN:ANY_CHARS L:ANY_INT", "ANY_STRING", partial="LEFT RIGHT"),
        _functions("MID DELETE", "IN:ANY_CHARS L:ANY_INT P:ANY_INT", "ANY_STRING", partial="MID DELETE"),
        _functions("CONCAT", _TWO.format("ANY_CHARS"), "ANY_STRING", more=True),
        _functions("INSERT", f"{_TWO.format('ANY_CHARS')} P:ANY_INT", "ANY_STRING", partial="INSERT"),
        _functions("REPLACE", f"{_TWO.format('ANY_CHARS')} L:ANY_INT P:ANY_INT", "ANY_STRING", partial="REPLACE"),
        _functions("FIND", _TWO.format("ANY_CHARS"), "INT"),
        _functions("TRUNC", "IN:ANY_REAL", "ANY_INT", partial="TRUNC"),
        *(_functions(names, f"IN1:{one} IN2:{other}", result, partial="DIVTIME DIV_TIME")
          for names, one, other, result in _TIMES),
    )
    for function in group
}  # fmt: skip
"""Standard functions by upper case name; the conversions are made by :func:`function`."""
OPERATORS = {function.name: function.operator for function in FUNCTIONS.values() if function.operator}
"""Functions that are another way to write an operator."""
PARTIAL = frozenset(f.operator for f in FUNCTIONS.values() if f.partial and f.operator)
"""Operators that have no result for some operands."""
COMPARISONS = frozenset(f.operator for f in FUNCTIONS.values() if f.operator and f.result == "BOOL")
LOGIC = frozenset(f.operator for f in FUNCTIONS.values() if f.operator and f.result == "ANY_BIT")
ARITHMETIC = frozenset(OPERATORS.values()) - COMPARISONS - LOGIC

_TYPE = "|".join((*sorted(ELEMENTARY), r"\*+", "BCD"))
_CONVERSION = re.compile(rf"(?:({_TYPE})_)?(TO|TRUNC)_({_TYPE})|({_TYPE})_(?:BCD_)?TO_(?:BCD_)?({_TYPE})")


class Conversion(NamedTuple):
    """``source`` is empty where the argument tells it; ``how``: ``TO``, ``TRUNC``, ``BCD`` (digits)."""

    source: str
    target: str
    how: str


@lru_cache(maxsize=4096)
def conversion(name: str) -> Conversion | None:
    """Types of a conversion function, whoever declares it.

    >>> conversion("int_to_dint"), conversion("TO_REAL").source, conversion("BCD_TO_INT").how, conversion("MAX")
    (Conversion(source='INT', target='DINT', how='TO'), '', 'BCD', None)
    """
    found = _CONVERSION.fullmatch(name.upper())
    if found is None:
        return None
    if found[2] and "BCD" not in (found[1], found[3]):
        return Conversion(found[1] or "", found[3], found[2])
    return Conversion(found[1] or found[4] or "", found[3] or found[5], "BCD")


def function(name: str) -> Function | None:
    """The standard function of that name, conversions included; any case.

    >>> function("limit").pins(2)[0], function("INT_TO_REAL").result, function("MyScale")
    (Pin(name='MN', type='ANY_ELEMENTARY'), 'REAL', None)
    """
    return None if name.lower() in _DECLARED.get() else _function(name.upper())


@lru_cache(maxsize=4096)
def _function(word: str) -> Function | None:
    turned = conversion(word)
    if turned is None or word in FUNCTIONS:
        return FUNCTIONS.get(word)
    return Function(word, (Pin("IN", turned.source or "ANY"),), turned.target, partial=not _fits(turned))


def _fits(turned: Conversion) -> bool:
    """Has a conversion a result for every value?"""
    source, target, how = turned
    source, target = SHORT.get(source, source), SHORT.get(target, target)
    if source in ("DT", "LDT"):
        return target in ((f"{source[:-2]}DATE", f"{source[:-2]}TOD"))
    if how != "TO" or source not in _RANGES or target in REALS:
        return how == "TO" and source in _RANGES
    low, high = _RANGES[source]
    return target in _RANGES and _RANGES[target][0] <= low and high <= _RANGES[target][1]


# --- function blocks (tables 43 to 46) -----------------------------------------------------------------------------


class Block(NamedTuple):
    """A standard function block; ``family`` is the name without the type it is made for."""

    name: str
    inputs: tuple[Pin, ...]
    outputs: tuple[Pin, ...]
    family: str

    @property
    def pins(self) -> dict[str, str]:
        """Type of every pin by folded name."""
        return {pin.name.lower(): pin.type for pin in (*self.inputs, *self.outputs)}


def _blocks(families: str, inputs: str, outputs: str, types: str = "") -> Iterator[Block]:
    """``types`` are those that ``*`` may stand for, first the one of the plain name."""
    for family in families.split():
        for n, type in enumerate(types.split() or [""]):
            for name in (family, f"{family}_{type}")[n > 0 :] if type else (family,):
                yield Block(name, _pins(inputs.replace("*", type)), _pins(outputs.replace("*", type)), family)


_COUNTED = "INT DINT LINT UDINT ULINT"
BLOCKS = {
    block.name: block
    for group in (
        _blocks("SR", "S1:BOOL R:BOOL", "Q1:BOOL"),
        _blocks("RS", "S:BOOL R1:BOOL", "Q1:BOOL"),
        _blocks("R_TRIG F_TRIG", "CLK:BOOL", "Q:BOOL"),
        _blocks("CTU", "CU:BOOL R:BOOL PV:*", "Q:BOOL CV:*", _COUNTED),
        _blocks("CTD", "CD:BOOL LD:BOOL PV:*", "Q:BOOL CV:*", _COUNTED),
        _blocks("CTUD", "CU:BOOL CD:BOOL R:BOOL LD:BOOL PV:*", "QU:BOOL QD:BOOL CV:*", _COUNTED),
        _blocks("TP TON TOF", "IN:BOOL PT:*", "Q:BOOL ET:*", "TIME LTIME"),
        _blocks("RTC", "IN:BOOL PDT:DT", "Q:BOOL CDT:DT"),  # of the second edition
    )
    for block in group
}
"""Standard function blocks by upper case name."""


def block(type: str) -> Block | None:
    """The standard function block of that type name, in any case."""
    return None if type.lower() in _DECLARED.get() else BLOCKS.get(type.upper())
