"""A move that is called equivalent never passes a conflicting access.

The judge is a second, independent one: it takes no part of the code, but keeps beside each piece of text by hand what it
reads and writes, and runs both orders of every list over many starts. IEC 61131-3:2013 6.6.1.2 for VAR_IN_OUT, from
memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass

import pytest

import asfound
from asfound.compare.context import Context
from asfound.compare.logic.dependence import dependences
from asfound.language.parser import parse_statements
from asfound.model.logic import Statement

PLANT = """
FUNCTION Inc : INT VAR_IN_OUT x : INT; END_VAR x := x + 1; Inc := x; END_FUNCTION
FUNCTION Both : INT VAR_IN_OUT x, y : INT; END_VAR x := x + y; y := y + 1; Both := x; END_FUNCTION
FUNCTION Count : INT VAR_INPUT p : INT; END_VAR VAR_EXTERNAL total : INT; END_VAR total := total + p; Count := p;
END_FUNCTION
FUNCTION Twice : INT VAR_INPUT p : INT; END_VAR Twice := p * 2; END_FUNCTION
FUNCTION_BLOCK Add VAR_INPUT p : INT; END_VAR VAR_IN_OUT x : INT; END_VAR x := x + p; END_FUNCTION_BLOCK
FUNCTION_BLOCK Outer VAR_EXTERNAL total : INT; END_VAR VAR h : Add; END_VAR h(p := 1, x := total); END_FUNCTION_BLOCK
FUNCTION_BLOCK Keeper
METHOD Bump : INT VAR_IN_OUT x : INT; END_VAR x := x + 1; Bump := x; END_METHOD
END_FUNCTION_BLOCK
PROGRAM P VAR_EXTERNAL total : INT; END_VAR
VAR a, b, c, d : INT; f : Add; g : Outer; k : Keeper; row : ARRAY[0..1] OF INT; END_VAR
{}
END_PROGRAM
CONFIGURATION C VAR_GLOBAL total : INT; END_VAR
RESOURCE R ON PLC TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM I WITH T : P; END_RESOURCE END_CONFIGURATION
"""
State = dict[str, int]
NAMES = ("a", "b", "c", "d", "total")


@dataclass(frozen=True)
class Piece:
    """A statement, what running it does, and by hand what it reads and writes."""

    text: str
    run: Callable[[State], None]
    reads: frozenset[str]
    writes: frozenset[str]


def _put(s: State, name: str, number: int) -> None:
    s[name] = number


def _inc(s: State, name: str, by: int = 1) -> int:
    s[name] += by
    return s[name]


def _both(s: State, x: str, y: str) -> int:
    s[x] += s[y]
    s[y] += 1
    return s[x]


def piece(rng: random.Random) -> Piece:
    """One statement of a random kind over random names."""
    x, y, z = rng.choice(NAMES), rng.choice(NAMES), rng.choice(NAMES)
    n = rng.randint(1, 3)
    kinds: list[tuple[str, Callable[[State], None], str, str]] = [
        (f"{x} := {y} + {n};", lambda s: _put(s, x, s[y] + n), y, x),
        (f"{x} := Twice({y});", lambda s: _put(s, x, s[y] * 2), y, x),
        (f"{x} := Inc({y});", lambda s: _put(s, x, _inc(s, y)), y, f"{x} {y}"),
        (f"{x} := {n} + Inc(x := {y}) * {n};", lambda s: _put(s, x, n + _inc(s, y) * n), y, f"{x} {y}"),
        (f"{x} := Twice(Inc({y}));", lambda s: _put(s, x, 2 * _inc(s, y)), y, f"{x} {y}"),
        (f"{x} := Count({n});", lambda s: (_inc(s, "total", n), _put(s, x, n))[1], "total", f"{x} total"),
        (f"f({n}, {x});", lambda s: _put(s, x, s[x] + n), f"{x} f", f"{x} f"),
        (f"f(x := {x}, p := {y});", lambda s: _put(s, x, s[x] + s[y]), f"{x} {y} f", f"{x} f"),
        ("g();", lambda s: _put(s, "total", s["total"] + 1), "total g", "total g"),
        (f"{x} := k.Bump({y});", lambda s: _put(s, x, _inc(s, y)), f"{y} k", f"{x} {y} k"),
        (f"IF Inc({y}) > 3 THEN {x} := {z}; END_IF;", lambda s: _put(s, x, s[z] if _inc(s, y) > 3 else s[x]),
         f"{y} {z}", f"{x} {y}"),
        (f"IF {z} > 3 THEN f(1, {x}); ELSE f(2, {y}); END_IF;",
         lambda s: _inc(s, x, 1) and None if s[z] > 3 else _inc(s, y, 2) and None, f"{x} {y} {z} f", f"{x} {y} f"),
    ]  # fmt: skip
    if x != y:
        kinds.append((f"{z} := Both({x}, {y});", lambda s: _put(s, z, _both(s, x, y)), f"{x} {y}", f"{x} {y} {z}"))
    words, run, read, written = rng.choice(kinds)
    return Piece(words, run, frozenset(read.split()), frozenset(written.split()))


def conflicts(one: Piece, other: Piece) -> bool:
    """By the lists kept by hand."""
    return bool(one.writes & (other.reads | other.writes) or other.writes & one.reads)


def outcome(pieces: list[Piece], start: State) -> State:
    state = dict(start)
    for each in pieces:
        each.run(state)
    return state


@pytest.mark.parametrize("seed", range(60))
def test_crossed_sees_every_conflict_and_no_other(seed: int) -> None:
    rng = random.Random(seed)
    copy = asfound.read(PLANT.format("").encode(), "p.st")
    context = Context(copy, copy)
    scope = context.inside(context.old.pous["p"], context.new.pous["p"])
    for _ in range(20):
        one, other = piece(rng), piece(rng)
        both: list[tuple[Statement, ...]] = [parse_statements(p.text) for p in (one, other)]
        assert bool(dependences(scope, both[0], both[1])) is conflicts(one, other), (one.text, other.text)


@pytest.mark.parametrize("seed", range(40))
def test_a_list_in_another_order_that_is_equivalent_runs_the_same(seed: int) -> None:
    rng = random.Random(1000 + seed)
    pieces = [piece(rng) for _ in range(rng.randint(2, 4))]
    moved = pieces[:]
    moved.insert(rng.randrange(len(moved)), moved.pop(rng.randrange(len(moved))))
    texts = (PLANT.format(" ".join(p.text for p in order)) for order in (pieces, moved))
    found = asfound.compare(*(asfound.read(text.encode(), "p.st") for text in texts))
    if found.verdict in ("equivalent", "documentation", "noise", "identical"):
        for _ in range(200):
            start = {name: rng.randint(-5, 8) for name in NAMES}
            assert outcome(pieces, start) == outcome(moved, start), ([p.text for p in pieces], [p.text for p in moved])
