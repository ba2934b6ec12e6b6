"""What asfound says of a pair, held against the interpreter: wrong equivalents, and cases that cannot occur."""

from __future__ import annotations

from typing import Any

from asfound.compare.result import Change
from asfound.language.parser import parse_expression
from asfound.language.walk import inner, names_in, root, writes
from asfound.model.copy import Copy
from asfound.model.logic import Call, Statement
from asfound.model.problem import Problem
from asfound.prove.witness import Witness
from interpreter.kinds import NotRun
from interpreter.machine import Machine
from interpreter.numbers import TooLong
from interpreter.readings import ALL, Readings

from .driving import any_value, fillings, numbers_in, values_of

HARMLESS = ("identical", "noise", "documentation", "equivalent")
FILLINGS, TRIES = 6, 400
OPEN = "open: "
"""Begins what is said of a case that cannot be run."""


def plain(name: str) -> str:
    """``q (%QX0.0)`` as the access alone."""
    return name.partition(" (")[0]


def replayed(change: Change, old: Copy, new: Copy, texts: tuple[str, str]) -> str:
    """Empty when the case of a change really occurs: from its start, one cycle of both programs gives what it shows.

    Else what is wrong, or ``open: ...`` when the case names what the interpreter cannot set.
    """
    assert change.witness is not None
    if change.witness.moment == "statement":
        return f"{OPEN}the case speaks of the statement alone, and says so"
    pou = change.path[0] if change.path else ""
    if not all(any(p.name.lower() == pou.lower() for p in c.program.pous) for c in (old, new)):
        return f"{OPEN}no POU of both sides is named in {change.path}"
    assumed = change.witness.assumed
    if any(names_in(parse_expression(e)) & written(c, pou) for e in assumed for c in (old, new)):
        return f"{OPEN}{assumed} is about a moment inside the cycle"
    told = [_under(r, change.witness, pou, (old, new), texts) for r in ALL]
    return next((t for t in told if not t), told[0])


def _under(reading: Readings, witness: Witness, pou: str, copies: tuple[Copy, Copy], texts: tuple[str, str]) -> str:
    numbers = numbers_in(*texts)
    try:
        start = _start(witness, Machine(copies[0], pou, reading))
        if isinstance(start, str):
            return start
        named, assumed = start
        if assumed:
            return _assuming(reading, witness, pou, copies, numbers, named, assumed)
        fillers = fillings(Machine(copies[0], pou, reading), numbers, FILLINGS, {n.lower() for n in named})
        for n, fill in enumerate([{}, *fillers]):
            said = _cycle(reading, witness, pou, copies, {**fill, **named}, n)
            if said:
                return f"depends on more than it names, with {fill}: {said}" if n else said
    except (NotRun, Problem) as problem:
        return f"{OPEN}{problem}"
    return ""


def _start(witness: Witness, machine: Machine) -> tuple[dict[str, Any], dict[str, Any]] | str:
    """Values to set by access text, and values that an expression must have."""
    named: dict[str, Any] = {}
    assumed: dict[str, Any] = {}
    for name, text in {**witness.inputs, **witness.assumed}.items():
        content = values_of(text)
        if (
            content is None
            or "state of" in name
            or ("memory of" in name and not machine.remember(name[10:], bool(content)))
        ):
            return f"{OPEN}{name} = {text}"
        if "memory of" in name:
            named[name] = content
            continue
        access = name if "(" in plain(name) or " (%" not in name else plain(name)
        try:
            machine.at(access)
            named[access] = content
        except (NotRun, Problem, AttributeError, KeyError):
            assumed[access] = content
    return named, assumed


def written(copy: Copy, pou: str) -> frozenset[str]:
    """Folded roots of what the body of a POU writes, instances that it calls included."""
    body = next(p for p in copy.program.pous if p.name.lower() == pou.lower()).bodies[0]
    flat = (*body.statements, *(s for n in body.networks for s in n.statements))
    return frozenset(name for s in flat for name in (*writes(s), *calls(s)))


def calls(statement: Statement) -> frozenset[str]:
    """Folded roots of the instances that a statement calls, nested ones included."""
    own = {root(statement.instance)} if isinstance(statement, Call) else set()
    return frozenset(own).union(*map(calls, inner(statement)))


def _assuming(
    reading: Readings, witness: Witness, pou: str, copies: tuple[Copy, Copy], numbers: list[float],
    named: dict[str, Any], assumed: dict[str, Any],
) -> str:  # fmt: skip
    """A case that assumes results of functions: some state must give them, and then it occurs."""
    from random import Random

    said = f"{OPEN}no state was found in which {assumed}"
    for seed in range(TRIES):
        random, machine = Random(seed), Machine(copies[0], pou, reading, seed)
        leave = {n.lower() for n in named}
        fill = {n: any_value(c.kind, random, numbers) for n, c in machine.places().items() if n.lower() not in leave}
        for name, content in {**fill, **named}.items():
            if _known(machine, name):
                machine.set(name, content)
        machine.frame.names = machine.own
        if all(machine.evaluate(parse_expression(e)).content == content for e, content in assumed.items()):
            said = _cycle(reading, witness, pou, copies, {**fill, **named}, seed)
            return f"assuming {assumed}: {said}" if said else ""
    return said


def _cycle(
    reading: Readings, witness: Witness, pou: str, copies: tuple[Copy, Copy], start: dict[str, Any], seed: int
) -> str:
    for side, copy, shown in (("old", copies[0], witness.old), ("new", copies[1], witness.new)):
        machine = Machine(copy, pou, reading, seed)
        try:
            for name in [n for n in start if n.startswith("memory of ")]:
                machine.remember(name[10:], bool(start[name]))
            ways = {n: c for n, c in start.items() if _known(machine, n)}
            seen = machine.cycle(ways)
        except TooLong:
            return f"{OPEN}{side} runs too long"
        for name, text in shown.items():
            wrong = _differs(machine, seen, name, text)
            if wrong:
                return f"{side}: {wrong}"
    return ""


def _known(machine: Machine, name: str) -> bool:
    if name.startswith("memory of "):
        return False
    try:
        machine.at(name)
    except (NotRun, Problem, AttributeError, KeyError):
        return False
    return True


def _differs(machine: Machine, seen: dict[str, Any], name: str, text: str) -> str:
    if name.startswith("a division by zero"):
        return "" if ("stopped" in seen) == (text == "TRUE") else f"{name} is not {text}"
    content = values_of(text)
    if content is None or "memory of" in name or "state of" in name:
        return f"{OPEN}{name} = {text}"
    try:
        found = machine.get(plain(name))
    except (NotRun, Problem, AttributeError, KeyError) as problem:
        return f"{OPEN}{problem}"
    same = found == content or (isinstance(found, float) and abs(found - content) <= 1e-6 * max(1.0, abs(found)))
    return "" if same else f"{name} is {found}, not {text}"
