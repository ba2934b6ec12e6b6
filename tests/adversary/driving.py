"""What comes from outside in a run, and which values are tried."""

from __future__ import annotations

import re
from collections.abc import Iterator
from random import Random
from typing import Any, NamedTuple

from msgspec import Struct

from asfound.language.literals import value as literal_value
from asfound.model.copy import Copy
from asfound.model.logic import Argument, Assign, Dereference, Element, For, Invocation, Member, Variable
from interpreter import functions
from interpreter.cells import Group, Located
from interpreter.kinds import FLOATS, TIMES, WIDTHS, Block, Elementary
from interpreter.machine import Machine
from interpreter.numbers import wrapped

_LITERAL = re.compile(r"(?<![\w#%])(?<!(?<!\.)\.)(\d+(?:\.\d+)?)(?![\w#])")
_DIRECT = re.compile(r"%I[XBWD]?\d+(?:\.\d+)?", re.IGNORECASE)


class Way(NamedTuple):
    """Something that is driven from outside: an input, or (``seldom``) what is written from outside now and then."""

    kind: Elementary
    seldom: bool


def numbers_in(*texts: str) -> list[float]:
    """Numbers worth trying: those of the texts and their neighbours."""
    found = {float(n) for text in texts for n in _LITERAL.findall(text)}
    return sorted({n + d for n in found for d in (-1, 0, 1)})


def written(copy: Copy) -> frozenset[str]:
    """Folded names that some statement may write: targets, and arguments of all but standard functions."""
    found: set[str] = set()
    own = {p.name.lower() for p in copy.program.pous}
    stack: list[Any] = [copy.program.pous]
    while stack:
        node = stack.pop()
        if isinstance(node, tuple | list):
            stack += node
        elif (
            isinstance(node, Invocation)
            and isinstance(node.function, Variable)
            and _only_reads(node.function.name, own)
        ):
            stack += [a.value for a in node.inputs]
        elif isinstance(node, Struct):
            stack += [getattr(node, f) for f in node.__struct_fields__]
            if isinstance(node, Assign):
                found.add(_root(node.target))
            elif isinstance(node, For):
                found.add(_root(node.variable))
            elif isinstance(node, Argument):
                found.add(_root(node.value))
    return frozenset(found)


def _only_reads(function: str, own: set[str]) -> bool:
    return function.lower() not in own and functions.known(function.upper())


def _root(e: Any) -> str:
    while isinstance(e, Member | Element | Dereference):
        e = e.of
    return e.name.lower() if isinstance(e, Variable) else ""


def driven(machine: Machine, text: str, beyond: bool, kept: frozenset[str]) -> dict[str, Way]:
    """What comes from outside, by access text; ``beyond`` adds what a panel may write: globals, markers, and variables
    that no statement writes (not in ``kept``) and that start with nothing.
    """
    found: dict[str, Way] = {}
    image, markers = machine.images["I"], machine.images["M"]
    inputs = {v.name.lower() for v in machine.declared(machine.pou) if v.section == "input"}
    idle = {
        v.name.lower()
        for v in machine.declared(machine.pou)
        if v.section == "local" and not v.initial and not v.constant and v.name.lower() not in kept
    }
    for name, cell in machine.places().items():
        root = re.split(r"[.\[]", name)[0]
        if (isinstance(cell, Located) and cell.image is image) or root in inputs:
            found[name] = Way(cell.kind, False)
        elif beyond and isinstance(cell, Located):
            if cell.image is markers or root in idle:
                found[name] = Way(cell.kind, True)
        elif beyond and (root in machine.globals or (root in idle and _is_value(machine.own[root]))):
            found[name] = Way(cell.kind, True)
    declared = {(c.first, c.width) for c in machine.places().values() if isinstance(c, Located) and c.image is image}
    for address in _DIRECT.findall(text):
        cell = machine.direct(address)
        if (cell.first, cell.width) not in declared:
            found[address] = Way(cell.kind, False)
    return found


def _is_value(cell: Any) -> bool:
    return not (isinstance(cell, Group) and isinstance(cell.kind, Block))


def any_value(kind: Elementary, random: Random, numbers: list[float], bias: float = 0.5) -> Any:
    """A value of a kind: often a corner or a number of the texts; ``bias`` is how often a BOOL is TRUE."""
    name = kind.name
    if kind.low is not None:
        return random.randint(kind.low, kind.high or 0)
    if name == "BOOL":
        return random.random() < bias
    if name in WIDTHS:
        pool = [0, 1, 2, 3, 5, -1, -2, 32767, -32768, 127, 200, 20000, *(int(n) for n in numbers)]
        number = random.choice(pool) if random.random() < 0.7 else random.randint(-40000, 40000)
        return wrapped(number, name)
    if name in FLOATS:
        return random.choice([0.0, 1.0, -1.0, 0.1, 0.3, 1e8, 16777216.0, 3.14159, *numbers])
    if name in TIMES:
        return random.choice([0, 1, 1000, 5000, 10000]) * 1_000_000
    if name.startswith("ENUM"):
        return random.choice([0, 1])
    return random.choice(["", "a", "abc", "12"])


def values_of(text: str) -> Any:
    """A value of a shown case as a plain one; None when it is none."""
    kind, content = literal_value(text)
    if kind == "real":
        return float(content)
    return content if kind in ("bool", "int", "duration", "string") else None


def fillings(machine: Machine, numbers: list[float], count: int, leave: set[str]) -> Iterator[dict[str, Any]]:
    """Other values for everything that a case does not name: all that could be the state before a cycle."""
    for seed in range(count):
        random = Random(seed)
        yield {n: any_value(c.kind, random, numbers) for n, c in machine.places().items() if n.lower() not in leave}
