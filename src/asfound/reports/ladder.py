"""Lay a statement out as a ladder rung, from its expression and never from the coordinates of an export.

Series is AND, parallel is OR, a closed contact is NOT of a variable; comparisons and functions are boxes on the rung,
NOT, XOR and edges of more than one variable are frames around what they apply to, function block calls are blocks fed
from the left rail. A rung wider than ``width`` columns goes on in a new line behind numbered connectors. The cost is
linear in the size of the expression.

Known weakness: without ``types`` a variable counts as Boolean, so ``LEVEL := RAW`` looks like a contact and a coil.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from asfound.language.readable import statements as printed
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Edge,
    Expression,
    Invocation,
    Jump,
    Label,
    Operation,
    Remark,
    Return,
    Statement,
)
from asfound.model.visible import visible
from asfound.reports import carries_power
from asfound.reports.boxes import Pin, box
from asfound.reports.drawing import (
    Coil,
    Drawing,
    Key,
    Piece,
    Rail,
    Shape,
    Text,
    Wire,
    cells,
    moved,
)
from asfound.reports.power import Sheet, chain, factors, fed, function, name_of, pin
from asfound.reports.words import visible_lines

WIDTH = 68
"""Columns of a rung before it goes on in a new line: half of a page 1200 pixels wide."""


def drawable(statement: Statement) -> bool:
    """True for what has a graphical form; branches, loops and verbatim text are shown as text."""
    return isinstance(statement, Assign | Call | Jump | Label | Return | Remark) and not (
        isinstance(statement, Assign) and statement.kind in ("reference", "attempt")
    )


def layout(statement: Statement, types: Mapping[str, str] | None = None) -> Drawing:
    """Return the drawing of one statement.

    ``types`` gives the type of a variable by its case-folded name. What has no graphical form becomes lines of text.
    """
    return layout_all([statement], types, prefixed=False)


def layout_all(
    statements: Sequence[Statement],
    types: Mapping[str, str] | None = None,
    *,
    width: int = WIDTH,
    prefixed: bool = True,
) -> Drawing:
    """Return the statements of a network under each other; keys then start with the number of the statement."""
    sheet = Sheet(types or {}, width, itertools.count(1))
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


def _statement(statement: Statement, key: Key, sheet: Sheet) -> Piece:
    match statement:
        case Assign(kind="assign" | "set" | "reset"):
            return _assign(statement, key, sheet)
        case Call():
            return _call(statement, key, sheet)
        case Jump():
            return _leave(statement.condition, f">>{visible(statement.label)}", key, sheet)
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


def _leave(condition: Expression | None, text: str, key: Key, sheet: Sheet) -> Piece:
    size = cells(text)
    end = Piece(size + 6, 0, 0, (Wire(0, 0, 3, 0), Text(4, 0, text, "start", "label", keys=((*key, "label"),))))
    if condition is None:
        return end
    return chain(factors(condition, (*key, "condition")), [end], sheet)


# --- assignments --------------------------------------------------------------------------------------------------


def _assign(statement: Assign, key: Key, sheet: Sheet) -> Piece:
    value_key, guard = (*key, "value"), statement.condition
    plain = statement.kind == "assign"
    if (plain and guard is not None) or not carries_power.assigned(statement, sheet.types):
        return _move(statement, key, sheet)
    lead = [] if guard is None else factors(guard, (*key, "condition"))
    sign, value, value_key, keys = _coil(statement, key)
    target = name_of(statement.target)
    return chain([*lead, *factors(value, value_key)], [_coil_piece(sign, target, keys)], sheet)


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


def _move(statement: Assign, key: Key, sheet: Sheet) -> Piece:
    """A value that is no power flow: the block that makes it (or ``MOVE``), with the guard on its EN pin."""
    target = Pin("", (*key, "target"), name_of(statement.target))
    guard = [] if statement.condition is None else [fed("EN", statement.condition, (*key, "condition"), sheet)]
    value_key, value = (*key, "value"), statement.value
    if (
        isinstance(value, Operation | Invocation)
        and not carries_power.power(value, sheet.types)
        and statement.kind == "assign"
    ):
        title, pins = function(value, value_key, sheet.narrower(10))
        return box(title, value_key, [*guard, *pins], [target])
    title = {"assign": "MOVE", "set": "S", "reset": "R"}[statement.kind]
    if carries_power.power(value, sheet.types) or statement.kind != "assign":
        source = fed("IN", value, value_key, sheet.narrower(10))
    else:
        source = pin("IN", value, value_key, sheet)
    return box(title, (*key, "kind"), [*guard, source], [target])


# --- calls ------------------------------------------------------------------------------------------------


def _call(statement: Call, key: Key, sheet: Sheet) -> Piece:
    name = name_of(statement.instance)
    guard = [] if statement.condition is None else [fed("EN", statement.condition, (*key, "condition"), sheet)]
    inputs = [
        _input(argument, (*key, "input", argument.name.lower() or number), statement, sheet.narrower(14))
        for number, argument in enumerate(statement.inputs)
    ]
    outputs = [
        Pin(
            visible(argument.name),
            (*key, "output", argument.name.lower() or number),
            name_of(argument.value),
            negated=argument.negated,
        )
        for number, argument in enumerate(statement.outputs)
    ]
    title = visible(statement.type) or name
    above = name if statement.type else ""
    return box(title, (*key, "type"), [*guard, *inputs], outputs, name=above, name_key=(*key, "instance"))


def _input(argument: Argument, key: Key, call: Call, sheet: Sheet) -> Pin:
    name, value = visible(argument.name), argument.value
    if carries_power.pin(argument, call, sheet.types):
        return fed(name, value, key, sheet)
    return pin(name, value, key, sheet)
