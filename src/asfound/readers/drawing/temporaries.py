"""Put the value of a temporary where it is used, as far as that cannot change what the network does.

A temporary that is written once and used once is replaced by its value when no statement in between writes anything
the value reads or may do so unseen (a block of the user's can),
and when that nests no deeper than DEEPEST. A value with a hidden memory (edge) or an unknown function
in it must stay unconditional and keeps its place relative to other statements. What remains is numbered inside its
network in order of appearance.
Cost: linear in the number of statements, apart from the (short) stretches between writing and use.
"""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from asfound.language.standard import block, function
from asfound.language.walk import every_statement, levels, names_in, rewrite, targets, walk, writes
from asfound.model.logic import (
    Assign,
    Call,
    Edge,
    Expression,
    Invocation,
    Literal,
    Member,
    Statement,
    Temporary,
    Variable,
)
from asfound.readers.drawing.flow import Run

DEEPEST = 24
"""Most levels of a value that is put where it is used; a longer chain of functions is easier to read in pieces."""


def inline(runs: Sequence[Run]) -> list[Run]:
    """Statements with temporaries folded into their only use where that is safe; order is kept."""
    kept: list[Run | None] = list(runs)
    places: dict[int, set[int]] = {}
    for at, each in enumerate(runs):
        for number in _read_in(each.statement):
            places.setdefault(number, set()).add(at)
    for at, each in enumerate(runs):
        current = kept[at]
        statement = current.statement if current else each.statement
        if not isinstance(statement, Assign) or not isinstance(statement.target, Temporary):
            continue
        uses = sorted(places.get(statement.target.number, ()))
        if _place(kept, at, uses, statement):
            kept[at] = None
            for number in _read_in(statement):
                places[number] = (places[number] - {at}) | set(uses)
    return [run for run in kept if run is not None]


def _place(kept: list[Run | None], at: int, uses: Sequence[int], written: Assign) -> bool:
    """Replace the uses of one temporary; True when it is no longer needed."""
    assert isinstance(written.target, Temporary)
    number = written.target.number
    if not uses or uses[0] < at or any(_defines(kept[i], number) for i in uses):
        return False
    if levels(written.value) > DEEPEST:
        return False
    total = sum(_count(run.statement, number) for i in uses if (run := kept[i]) is not None)
    if total > 1 and not isinstance(written.value, Literal | Variable | Member):
        return False
    if not all(_movable(kept, at, use, written) for use in uses):
        return False
    for use in uses:
        run = kept[use]
        assert run is not None
        statement = run.statement
        if written.condition is not None:
            statement = msgspec.structs.replace(statement, value=written.value)
        else:
            statement = rewrite(statement, lambda e: written.value if e == written.target else None)
        kept[use] = Run(run.item, statement)
    return True


def _movable(kept: list[Run | None], at: int, use: int, written: Assign) -> bool:
    run = kept[use]
    assert run is not None
    statement = run.statement
    if written.condition is not None and not (
        isinstance(statement, Assign)
        and statement.kind == "assign"
        and statement.value == written.target
        and statement.condition == written.condition
    ):
        return False
    between = [other.statement for other in kept[at + 1 : use] if other is not None]
    needed = names_in(written.value) | (names_in(written.condition) if written.condition else frozenset())
    if any(writes(other) & needed for other in between):
        return False
    if any(not name.startswith("_v") for name in needed) and any(reaches_out(other) for other in between):
        return False
    if _has_effect(written.value):
        guarded = getattr(statement, "condition", None) is not None and written.condition is None
        return not guarded and not any(_interferes(other) for other in between)
    return True


def reaches_out(statement: Statement) -> bool:
    """May it write variables it does not name? A block or function of the user's can: globals, arguments by reference.

    A drawing alone does not show what a block is made of, so only the standard ones are known not to.
    """
    calls = (each for each in every_statement(statement) if isinstance(each, Call))
    return any(map(_is_unknown, walk(statement))) or not all(map(_is_standard, calls))


def _is_standard(call: Call) -> bool:
    if call.type:
        return block(call.type) is not None
    return isinstance(call.instance, Variable) and function(call.instance.name) is not None


def _is_unknown(node: Expression) -> bool:
    """A call of a function that the standard does not define."""
    return isinstance(node, Invocation) and not (isinstance(node.function, Variable) and function(node.function.name))


def _interferes(statement: Statement) -> bool:
    return not isinstance(statement, Assign | Call) or _has_effect(statement)


def _has_effect(code: Expression | Statement) -> bool:
    """Does evaluating it once more, or not at all, make a difference?"""
    return any(isinstance(node, Edge) or _is_unknown(node) for node in walk(code))


def _read_in(statement: Statement) -> list[int]:
    """Numbers of the temporaries a statement reads, one for each occurrence."""
    numbers = [node.number for node in walk(statement) if isinstance(node, Temporary)]
    for target in targets(statement):
        if isinstance(target, Temporary):
            numbers.remove(target.number)
    return numbers


def _count(statement: Statement, number: int) -> int:
    """How often a statement reads a temporary."""
    return _read_in(statement).count(number)


def _defines(run: Run | None, number: int) -> bool:
    return run is not None and f"_v{number}" in writes(run.statement)
