"""Both sides of a pair run side by side, under every reading, over corner and random inputs: do they ever differ?

The inputs of a run are the station's (%I), the inputs of the POU and, in every other run, global variables without an
address, which a panel or another program may write; a warm restart falls into some runs. A run that goes on too long
for any watchdog says nothing. No difference found is no proof; a difference is one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

from asfound.language.literals import value as literal_value
from asfound.model.copy import Copy
from interpreter.cells import Located
from interpreter.kinds import FLOATS, TIMES, WIDTHS, Elementary
from interpreter.machine import Machine
from interpreter.numbers import TooLong, wrapped
from interpreter.readings import ALL, Readings

RUNS, CYCLES = 24, 6
_LITERAL = re.compile(r"(?<![\w#%])(?<!(?<!\.)\.)(\d+(?:\.\d+)?)(?![\w#])")
_DIRECT = re.compile(r"%I[XBWD]?\d+(?:\.\d+)?", re.IGNORECASE)
STEPS_MS = (10, 10, 100, 1_000, 3_000, 5_000, 10_000)


@dataclass(frozen=True)
class Difference:
    """The first cycle in which both sides differ, in one line."""

    reading: str
    cycle: int
    inputs: dict[str, Any]
    old: dict[str, Any]
    new: dict[str, Any]

    def __str__(self) -> str:
        return f"[{self.reading}] cycle {self.cycle}: {self.inputs} -> {self.old} / {self.new}"


def main_of(copy: Copy) -> str:
    """The POU that runs: the program, else the last one."""
    pous = copy.program.pous
    return next((p.name for p in pous if p.kind == "program"), pous[-1].name)


def numbers_in(*texts: str) -> list[float]:
    """Numbers worth trying: those of the texts and their neighbours."""
    found = {float(n) for text in texts for n in _LITERAL.findall(text)}
    return sorted({n + d for n in found for d in (-1, 0, 1)})


def driven(machine: Machine, text: str, beyond: bool) -> dict[str, Elementary]:
    """What comes from outside in every cycle, by access text; ``beyond`` adds globals and in-out arguments."""
    found: dict[str, Elementary] = {}
    image = machine.images["I"]
    inputs = {v.name.lower() for v in machine.declared(machine.pou) if v.section == "input"}
    for name, cell in machine.places().items():
        root = re.split(r"[.\[]", name)[0]
        if (
            (isinstance(cell, Located) and cell.image is image)
            or root in inputs
            or (beyond and root in machine.globals and not isinstance(cell, Located))
        ):
            found[name] = cell.kind
    declared = {(c.first, c.width) for c in machine.places().values() if isinstance(c, Located) and c.image is image}
    for address in _DIRECT.findall(text):
        cell = machine.direct(address)
        if (cell.first, cell.width) not in declared:
            found[address] = cell.kind
    return found


def any_value(kind: Elementary, random: Random, numbers: list[float]) -> Any:
    """A value of a kind: often a corner or a number of the texts."""
    name = kind.name
    if kind.low is not None:
        return random.randint(kind.low, kind.high or 0)
    if name == "BOOL":
        return random.random() < 0.5
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


def first_difference(
    old: Copy, new: Copy, texts: tuple[str, str], readings: tuple[Readings, ...] = ALL, runs: int = RUNS, pou: str = ""
) -> Difference | None:
    """The first difference that any run shows; None when none does."""
    pou = pou or main_of(old)
    numbers = numbers_in(*texts)
    for reading in readings:
        for seed in range(runs):
            found = _one_run(old, new, pou, texts, reading, seed, numbers)
            if found is not None:
                return found
    return None


def _one_run(
    old: Copy, new: Copy, pou: str, texts: tuple[str, str], reading: Readings, seed: int, numbers: list[float]
) -> Difference | None:
    random = Random(seed)
    machines = [Machine(copy, pou, reading, seed) for copy in (old, new)]
    ways = [driven(m, "".join(texts), seed % 2 == 1) for m in machines]
    shared = {name: kind for name, kind in ways[0].items() if ways[1].get(name) == kind}
    for cycle in range(1, CYCLES + 1):
        if seed % 5 == 4 and cycle == 4:
            for m in machines:
                m.restart()
        chosen = {
            n: any_value(k, random, numbers) for n, k in sorted(shared.items()) if _drives(n, cycle, random, machines)
        }
        step = random.choice(STEPS_MS)
        try:
            a, b = (m.cycle(chosen, step) for m in machines)
        except TooLong:
            return None
        a, b = _alike(a, b)
        if a != b:
            return Difference(reading.name, cycle, chosen, a, b)
    return None


def _drives(name: str, cycle: int, random: Random, machines: list[Machine]) -> bool:
    """Inputs change now and then; globals are written from outside seldom, but often before the first cycle."""
    is_global = re.split(r"[.\[]", name)[0] in machines[0].globals and not isinstance(machines[0].at(name), Located)
    return random.random() < ((0.6 if cycle == 1 else 0.15) if is_global else 0.7)


def _alike(a: dict[str, Any], b: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """What differs. Bits that are not there are FALSE; a name that one side lacks is no difference of behaviour."""
    keys = {k for k in a.keys() | b.keys() if k[0] == "%" or k == "stopped" or (k in a and k in b)}
    differing = sorted(k for k in keys if not _equal(a.get(k), b.get(k)))
    return {k: a.get(k) for k in differing}, {k: b.get(k) for k in differing}


def _equal(a: Any, b: Any) -> bool:
    return a == b or (a != a and b != b)


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
