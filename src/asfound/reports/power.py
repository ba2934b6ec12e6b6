"""Power flow: the part of a rung between the rail and what it feeds, and the boxes that stand in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from asfound.language.readable import expression
from asfound.language.standard import OPERATORS
from asfound.model.logic import Edge, Expression, Invocation, Literal, Operation, Variable
from asfound.model.visible import visible
from asfound.reports import carries_power
from asfound.reports.boxes import Pin, box, frame
from asfound.reports.drawing import Contact, Key, Piece, Wire, cells, folded, parallel

TITLES = {sign: name for name, sign in OPERATORS.items() if sign != name}
"""Names of the standard functions behind the operators."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """What every part of one statement shares: types by folded name, columns left, numbers for connectors."""

    types: Mapping[str, str]
    limit: int
    numbers: Iterator[int]

    def narrower(self, columns: int) -> Sheet:
        """Return the sheet for a part that is drawn inside something ``columns`` wide."""
        return replace(self, limit=max(self.limit - columns, 20))


def name_of(value: Expression) -> str:
    """Text on a contact or pin; a name that is no IEC identifier stands as it is, the frame around it is clear."""
    if isinstance(value, Variable):
        return visible(value.name)
    return visible(value.text if isinstance(value, Literal) else expression(value))


def factors(value: Expression, key: Key) -> list[tuple[Expression, Key]]:
    """Return what conducts one after the other: the operands of an AND, else the expression itself."""
    if isinstance(value, Operation) and value.operator == "AND":
        return [(operand, (*key, number)) for number, operand in enumerate(value.operands)]
    return [(value, key)]


def chain(parts: Iterable[tuple[Expression, Key]], ends: Sequence[Piece], sheet: Sheet) -> Piece:
    """Return contacts and boxes in series, then ``ends`` (a coil, a jump), folded to the columns of the sheet."""
    pieces = [flow(value, key, sheet) for value, key in parts]
    return folded([*pieces, *ends], sheet.limit, sheet.numbers, ended=bool(ends))


def flow(value: Expression, key: Key, sheet: Sheet) -> Piece:
    """Return the piece that conducts when ``value`` is TRUE."""
    match value:
        case Operation(operator="AND"):
            return chain(factors(value, key), [], sheet)
        case Operation(operator="OR"):
            inner = sheet.narrower(4)
            return parallel([flow(operand, (*key, i), inner) for i, operand in enumerate(value.operands)])
        case Operation(operator="NOT", operands=(inside,)):
            return _negated(inside, key, sheet)
        case Operation(operator="XOR"):
            inner = sheet.narrower(8)
            return frame("XOR", key, [flow(operand, (*key, i), inner) for i, operand in enumerate(value.operands)])
        case Edge(of=inside):
            if carries_power.simple(inside):
                return _contact("P" if value.kind == "rising" else "N", inside, key)
            return frame(f"{value.kind} edge", key, [flow(inside, (*key, 0), sheet.narrower(8))])
        case Operation() | Invocation() if not carries_power.constant(value):
            return _through(value, key, sheet, negated=False)
    return _contact("", value, key)


def _negated(inside: Expression, key: Key, sheet: Sheet) -> Piece:
    if carries_power.simple(inside):
        return _contact("/", inside, key)
    if isinstance(inside, Invocation) or (isinstance(inside, Operation) and inside.operator in TITLES):
        return _through(inside, (*key, 0), sheet, negated=True)
    return frame("NOT", key, [flow(inside, (*key, 0), sheet.narrower(8))])


def _through(value: Operation | Invocation, key: Key, sheet: Sheet, *, negated: bool) -> Piece:
    title, pins = function(value, key, sheet)
    flow = Pin("", (*key, "box"), through=True)
    return box(title, key, [flow, *pins], [replace(flow, negated=negated)])


def _contact(sign: str, value: Expression, key: Key) -> Piece:
    label = name_of(value)
    centre = max((cells(label) + 1) // 2 + 2, 4)
    width = 2 * centre
    shapes = (
        Wire(0, 0, centre - 1, 0),
        Contact(centre, 0, sign, label, keys=(key,)),  # type: ignore[arg-type]
        Wire(centre + 1, 0, width, 0),
    )
    return Piece(width, 1, 0, shapes)


# --- pins ------------------------------------------------------------------------------------------


def fed(name: str, value: Expression, key: Key, sheet: Sheet) -> Pin:
    """A pin fed by contacts from the left rail."""
    return Pin(name, key, feed=chain(factors(value, key), [], sheet), start="rail")


def pin(name: str, value: Expression, key: Key, sheet: Sheet) -> Pin:
    """A pin inside the rung: a name, the box that makes the value, or contacts on a stub of the rail."""
    if carries_power.power(value, sheet.types):
        return Pin(name, key, feed=flow(value, key, sheet.narrower(10)), start="stub")
    if isinstance(value, Operation | Invocation) and not carries_power.constant(value):
        title, pins = function(value, key, sheet.narrower(10))
        return Pin(name, key, feed=box(title, key, pins, [Pin("", key, through=True)]))
    return Pin(name, key, name_of(value))


def function(value: Operation | Invocation, key: Key, sheet: Sheet) -> tuple[str, list[Pin]]:
    """Title and input pins of the block of a function; an output of it stands among the inputs, marked with ``=>``."""
    if isinstance(value, Operation):
        names = ["IN"] if len(value.operands) == 1 else [f"IN{i + 1}" for i in range(len(value.operands))]
        pins = [
            pin(n, operand, (*key, i), sheet) for i, (n, operand) in enumerate(zip(names, value.operands, strict=True))
        ]
        return TITLES.get(value.operator, value.operator), pins
    pins = [pin(visible(a.name), a.value, (*key, i), sheet) for i, a in enumerate(value.inputs)]
    for number, argument in enumerate(value.outputs, len(value.inputs)):
        text = f"{'NOT ' if argument.negated else ''}{name_of(argument.value)}"
        pins.append(Pin(f"{visible(argument.name)} =>", (*key, number), text))
    return name_of(value.function), pins
