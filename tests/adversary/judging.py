"""Both sides of a pair run side by side, under every reading, over corner and random inputs: do they ever differ?

What a run is given, see driving.py; a warm restart falls into some runs. A run that goes on too long for any watchdog
says nothing. No difference found is no proof; a difference is one.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random
from typing import Any

from asfound.model.copy import Copy
from interpreter.machine import Machine
from interpreter.numbers import TooLong
from interpreter.readings import ALL, Readings

from .driving import any_value, driven, numbers_in, written

RUNS, CYCLES = 24, 6
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


def first_difference(
    old: Copy,
    new: Copy,
    texts: tuple[str, str],
    readings: tuple[Readings, ...] = ALL,
    runs: int = RUNS,
    cycles: int = CYCLES,
) -> Difference | None:
    """The first difference that any run shows; None when none does."""
    pou = main_of(old)
    numbers = numbers_in(*texts)
    kept = written(old) | written(new)
    for reading in readings:
        for seed in range(runs):
            found = _one_run((old, new), pou, texts, reading, seed, numbers, kept, cycles)
            if found is not None:
                return found
    return None


def _one_run(
    copies: tuple[Copy, Copy], pou: str, texts: tuple[str, str], reading: Readings, seed: int, numbers: list[float],
    kept: frozenset[str], cycles: int,
) -> Difference | None:  # fmt: skip
    random = Random(seed)
    machines = [Machine(copy, pou, reading, seed) for copy in copies]
    ways = [driven(m, "".join(texts), seed % 2 == 1, kept) for m in machines]
    shared = {name: way for name, way in sorted(ways[0].items()) if ways[1].get(name) == way}
    bias = {name: random.choice((0.05, 0.5, 0.5, 0.95)) for name in shared}
    for cycle in range(1, cycles + 1):
        if seed % 5 == 4 and cycle == 4:
            for m in machines:
                m.restart()
        chosen = {
            name: any_value(way.kind, random, numbers, bias[name])
            for name, way in shared.items()
            if random.random() < ((0.6 if cycle == 1 else 0.15) if way.seldom else 0.7)
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


def _alike(a: dict[str, Any], b: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    """What differs. Bits that are not there are FALSE; a name that one side lacks is no difference of behaviour."""
    keys = {k for k in a.keys() | b.keys() if k[0] == "%" or k == "stopped" or (k in a and k in b)}
    differing = sorted(k for k in keys if not _equal(a.get(k), b.get(k)))
    return {k: a.get(k) for k in differing}, {k: b.get(k) for k in differing}


def _equal(a: Any, b: Any) -> bool:
    return a == b or (a != a and b != b)
