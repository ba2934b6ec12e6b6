"""Lay a statement out as a ladder rung, from its expression and never from the coordinates of an export.

Series is AND, parallel is OR, a closed contact is NOT of a variable; comparisons and functions are boxes on the rung,
NOT, XOR and edges of more than one variable are frames around what they apply to, function block calls are blocks fed
from the left rail. A rung wider than ``width`` columns goes on in a new line behind numbered connectors. The cost is
linear in the size of the expression.

Known weakness: without ``types`` a variable counts as Boolean, so ``LEVEL := RAW`` looks like a contact and a coil.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Edge,
    Expression,
    Invocation,
    Jump,
    Label,
    Literal,
    Operation,
    Remark,
    Return,
    Statement,
    Variable,
)
from asfound.language.phrases import expression, statements as printed
from asfound.reports import boolean
from asfound.reports.boxes import Pin, box, frame
from asfound.reports.drawing import (
    Coil,
    Contact,
    Drawing,
    Key,
    Piece,
    Rail,
    Shape,
    Text,
    Wire,
    cells,
    folded,
    moved,
    parallel,
)
from asfound.reports.words import visible, visible_lines

WIDTH = 68
"""Columns of a rung before it goes on in a new line: half of a page 1200 pixels wide."""
TITLES = {
    "+": "ADD", "-": "SUB", "*": "MUL", "/": "DIV", "**": "EXPT", ">": "GT", ">=": "GE", "=": "EQ", "<": "LT",
    "<=": "LE", "<>": "NE",
}  # fmt: skip
"""Names of the standard functions behind the operators (IEC 61131-3:2013 tables 29, 30 and 33, from memory)."""


@dataclass(frozen=True, slots=True)
class _Sheet:
    """What every part of one statement shares: types by folded name, columns left, numbers for connectors."""

    types: Mapping[str, str]
    limit: int
    numbers: Iterator[int]

    def narrower(self, columns: int) -> _Sheet:
        return replace(self, limit=max(self.limit - columns, 20))


def drawable(statement: Statement) -> bool:
    """True for what has a graphical form; branches, loops and verbatim text are shown as text."""
    return isinstance(statement, Assign | Call | Jump | Label | Return | Remark) and not (
        isinstance(statement, Assign) and statement.kind == "reference"
    )


def layout(statement: Statement, types: Mapping[str, str] | None = None, *, width: int = WIDTH) -> Drawing:
    """Return the drawing of one statement.

    ``types`` gives the type of a variable by its case-folded name. What has no graphical form becomes lines of text.
    """
    return layout_all([statement], types, width=width, prefixed=False)


def layout_all(
    statements: Sequence[Statement],
    types: Mapping[str, str] | None = None,
    *,
    width: int = WIDTH,
    prefixed: bool = True,
) -> Drawing:
    """Return the statements of a network under each other; keys then start with the number of the statement."""
    sheet = _Sheet(types or {}, width, itertools.count(1))
    shapes: list[Shape] = []
    row = columns = last = bottom = 0
    first: int | None = None
    for number, statement in enumerate(statements):
        piece = _statement(statement, ((number,) if prefixed else ()), sheet)
        entry = row + piece.up
        powered = drawable(statement) and not isinstance(statement, Remark | Label)
        if powered:
            first, last = (row if first is None else first), entry + piece.down
        shapes += moved(piece.shapes, 0, entry)
        row = entry + piece.down + (2 if powered else 1)
        columns, bottom = max(columns, piece.width), entry + piece.down + 1
    if first is not None:
        shapes.insert(0, Rail(0, first, last))
    return Drawing(columns + 1, max(bottom, 1), tuple(shapes), printed(statements).rstrip("\n"))


def _statement(statement: Statement, key: Key, sheet: _Sheet) -> Piece:
    match statement:
        case Assign(kind="assign" | "set" | "reset"):
            return _assign(statement, key, sheet)
        case Call():
            return _call(statement, key, sheet)
        case Jump():
            return _leave(statement.condition, f"\N{MUCH GREATER-THAN}{visible(statement.label)}", key, sheet)
        case Return():
            return _leave(statement.condition, "<RETURN>", key, sheet)
        case Label():
            return _lines([f"{visible(statement.name)}:"], "label", key)
        case Remark():
            return _lines([f"(* {visible(statement.text)} *)"], "remark", key)
    return _lines(visible_lines(printed([statement])), "code", key)


def _lines(lines: Sequence[str], role: str, key: Key) -> Piece:
    shapes = [Text(1, row, line, "start", role, keys=(key,)) for row, line in enumerate(lines)]  # type: ignore[arg-type]
    return Piece(max((cells(line) for line in lines), default=0) + 3, 0, max(len(lines) - 1, 0), tuple(shapes))


def _leave(condition: Expression | None, text: str, key: Key, sheet: _Sheet) -> Piece:
    size = cells(text)
    end = Piece(
        size + 6, 0, 0, (Wire(0, 0, 3, 0), Text(4, 0, text, "start", "label", keys=((*key, "label"),)))
    )
    if condition is None:
        return end
    return _chain(_factors(condition, (*key, "condition")), [end], sheet)


# --- assignments --------------------------------------------------------------------------------------------------


def _assign(statement: Assign, key: Key, sheet: _Sheet) -> Piece:
    value_key, guard = (*key, "value"), statement.condition
    plain = statement.kind == "assign"
    if (plain and guard is not None) or not boolean.assigned(statement, sheet.types):
        return _move(statement, key, sheet)
    factors = [] if guard is None else _factors(guard, (*key, "condition"))
    sign, value, value_key, keys = _coil(statement, key)
    target = _name(statement.target)
    return _chain([*factors, *_factors(value, value_key)], [_coil_piece(sign, target, keys)], sheet)


def _coil(statement: Assign, key: Key) -> tuple[str, Expression, Key, tuple[Key, ...]]:
    """Kind of coil, what flows into it and where that comes from: NOT or an edge of a compound goes into the coil."""
    value, value_key, keys = statement.value, (*key, "value"), ((*key, "target"),)
    if statement.kind != "assign":
        return ("S" if statement.kind == "set" else "R"), value, value_key, keys
    match value:
        case Operation(operator="NOT", operands=(Operation(operator="AND" | "OR") as inner,)):
            return "/", inner, (*value_key, 0), (*keys, (*value_key, "box"))
        case Edge(of=Operation(operator="AND" | "OR") as inner):
            return ("P" if value.kind == "rising" else "N"), inner, (*value_key, 0), (*keys, (*value_key, "box"))
    return "", value, value_key, keys


def _coil_piece(sign: str, label: str, keys: tuple[Key, ...]) -> Piece:
    centre = max((cells(label) + 1) // 2 + 2, 4)
    width = 2 * centre
    shapes = (Wire(0, 0, centre - 1, 0), Coil(centre, 0, sign, label, keys=keys))  # type: ignore[arg-type]
    return Piece(width, 1, 0, shapes)


def _move(statement: Assign, key: Key, sheet: _Sheet) -> Piece:
    """A value that is no power flow: the block that makes it (or ``MOVE``), with the guard on its EN pin."""
    target = Pin("", (*key, "target"), _name(statement.target))
    guard = [] if statement.condition is None else [_fed("EN", statement.condition, (*key, "condition"), sheet)]
    value_key, value = (*key, "value"), statement.value
    if isinstance(value, Operation | Invocation) and not boolean.power(value, sheet.types) and statement.kind == "assign":
        title, pins = _function(value, value_key, sheet.narrower(10))
        return box(title, value_key, [*guard, *pins], [*_blanks(guard), target])
    title = {"assign": "MOVE", "set": "S", "reset": "R"}[statement.kind]
    if boolean.power(value, sheet.types) or statement.kind != "assign":
        pin = _fed("IN", value, value_key, sheet.narrower(10))
    else:
        pin = _pin("IN", value, value_key, sheet)
    return box(title, (*key, "kind"), [*guard, pin], [*_blanks(guard), target])


def _blanks(guard: Sequence[Pin]) -> list[Pin]:
    return [Pin("ENO", ()) for _ in guard]


# --- calls and boxes ------------------------------------------------------------------------------------------------


def _call(statement: Call, key: Key, sheet: _Sheet) -> Piece:
    name = _name(statement.instance)
    guard = [] if statement.condition is None else [_fed("EN", statement.condition, (*key, "condition"), sheet)]
    inputs = [
        _input(argument, (*key, "input", argument.name.casefold() or number), statement.type, sheet.narrower(14))
        for number, argument in enumerate(statement.inputs)
    ]
    outputs = [
        Pin(
            visible(argument.name),
            (*key, "output", argument.name.casefold() or number),
            _name(argument.value),
            negated=argument.negated,
        )
        for number, argument in enumerate(statement.outputs)
    ]
    title = visible(statement.type) or name
    above = name if statement.type else ""
    return box(title, (*key, "type"), [*guard, *inputs], [*_blanks(guard), *outputs], name=above, name_key=(*key, "instance"))


def _input(argument: Argument, key: Key, type_: str, sheet: _Sheet) -> Pin:
    name, value = visible(argument.name), argument.value
    if boolean.pin(argument, type_, sheet.types):
        return _fed(name, value, key, sheet)
    return _pin(name, value, key, sheet)


def _fed(name: str, value: Expression, key: Key, sheet: _Sheet) -> Pin:
    """A pin fed by contacts from the left rail."""
    return Pin(name, key, feed=_chain(_factors(value, key), [], sheet), start="rail")


def _pin(name: str, value: Expression, key: Key, sheet: _Sheet) -> Pin:
    """A pin inside the rung: a name, the box that makes the value, or contacts on a stub of the rail."""
    if boolean.power(value, sheet.types):
        return Pin(name, key, feed=_power(value, key, sheet.narrower(10)), start="stub")
    if isinstance(value, Operation | Invocation) and not boolean.constant(value):
        title, pins = _function(value, key, sheet.narrower(10))
        return Pin(name, key, feed=box(title, key, pins, [Pin("", key, through=True)]))
    return Pin(name, key, _name(value))


def _function(value: Operation | Invocation, key: Key, sheet: _Sheet) -> tuple[str, list[Pin]]:
    """Title and input pins of the block of a function; an output of it stands among the inputs, marked with ``=>``."""
    if isinstance(value, Operation):
        names = ["IN"] if len(value.operands) == 1 else [f"IN{i + 1}" for i in range(len(value.operands))]
        pins = [_pin(n, operand, (*key, i), sheet) for i, (n, operand) in enumerate(zip(names, value.operands, strict=True))]
        return TITLES.get(value.operator, value.operator), pins
    pins = [_pin(visible(a.name), a.value, (*key, i), sheet) for i, a in enumerate(value.inputs)]
    for number, argument in enumerate(value.outputs, len(value.inputs)):
        text = f"{'NOT ' if argument.negated else ''}{_name(argument.value)}"
        pins.append(Pin(f"{visible(argument.name)} =>", (*key, number), text))
    return _name(value.function), pins


# --- power flow -----------------------------------------------------------------------------------------------------


def _factors(value: Expression, key: Key) -> list[tuple[Expression, Key]]:
    if isinstance(value, Operation) and value.operator == "AND":
        return [(operand, (*key, number)) for number, operand in enumerate(value.operands)]
    return [(value, key)]


def _chain(factors: Iterable[tuple[Expression, Key]], ends: Sequence[Piece], sheet: _Sheet) -> Piece:
    pieces = [_power(value, key, sheet) for value, key in factors]
    return folded([*pieces, *ends], sheet.limit, sheet.numbers, ended=bool(ends))


def _power(value: Expression, key: Key, sheet: _Sheet) -> Piece:
    match value:
        case Operation(operator="AND"):
            return _chain(_factors(value, key), [], sheet)
        case Operation(operator="OR"):
            inner = sheet.narrower(4)
            return parallel([_power(operand, (*key, i), inner) for i, operand in enumerate(value.operands)])
        case Operation(operator="NOT", operands=(inside,)):
            return _negated(inside, key, sheet)
        case Operation(operator="XOR"):
            inner = sheet.narrower(8)
            return frame("XOR", key, [_power(operand, (*key, i), inner) for i, operand in enumerate(value.operands)])
        case Edge(of=inside):
            if boolean.simple(inside):
                return _contact("P" if value.kind == "rising" else "N", inside, key)
            return frame(f"{value.kind} edge", key, [_power(inside, (*key, 0), sheet.narrower(8))])
        case Operation() | Invocation() if not boolean.constant(value):
            return _through(value, key, sheet, negated=False)
    return _contact("", value, key)


def _negated(inside: Expression, key: Key, sheet: _Sheet) -> Piece:
    if boolean.simple(inside):
        return _contact("/", inside, key)
    if isinstance(inside, Invocation) or (isinstance(inside, Operation) and inside.operator in TITLES):
        return _through(inside, (*key, 0), sheet, negated=True)
    return frame("NOT", key, [_power(inside, (*key, 0), sheet.narrower(8))])


def _through(value: Operation | Invocation, key: Key, sheet: _Sheet, *, negated: bool) -> Piece:
    title, pins = _function(value, key, sheet)
    flow = Pin("", (*key, "box"), through=True)
    return box(title, key, [flow, *pins], [replace(flow, negated=negated)])


def _contact(sign: str, value: Expression, key: Key) -> Piece:
    label = _name(value)
    centre = max((cells(label) + 1) // 2 + 2, 4)
    width = 2 * centre
    shapes = (
        Wire(0, 0, centre - 1, 0),
        Contact(centre, 0, sign, label, keys=(key,)),  # type: ignore[arg-type]
        Wire(centre + 1, 0, width, 0),
    )
    return Piece(width, 1, 0, shapes)


def _name(value: Expression) -> str:
    """Text on a contact or pin; a name that is no IEC identifier stands as it is, the frame around it is clear."""
    if isinstance(value, Variable):
        return visible(value.name)
    return visible(value.text if isinstance(value, Literal) else expression(value))
