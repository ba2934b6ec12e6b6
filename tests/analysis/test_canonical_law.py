"""Canonical keys agree with evaluation: equal keys mean equal values, whatever is left open and constants included.

The judge is tests/interpreter, which knows nothing of keys. The canonical order of an expression is an expression
itself and is run beside the original; small expressions are also held against each other by their keys.
"""

from __future__ import annotations

from itertools import product

from hypothesis import example, given, settings
from hypothesis import strategies as s

import asfound
from asfound.analysis.canonical import canonical, folded
from asfound.language.parser import parse_expression as e
from asfound.model.logic import Argument, Expression, Invocation, Literal, Operation, Variable
from interpreter.frames import Frame
from interpreter.machine import Machine
from interpreter.numbers import Stopped
from interpreter.readings import ALL

PROGRAM = b"PROGRAM P VAR a, b, c : BOOL; i, j : INT; END_VAR END_PROGRAM"
MACHINES = [Machine(asfound.read(PROGRAM, "p.st"), "P", readings) for readings in ALL]
STATES = [
    dict(zip("abcij", row, strict=True))
    for row in product((False, True), (False, True), (False, True), (0, 3), (0, -7))
]
STATES += [{"a": True, "b": False, "c": True, "i": 32767, "j": -32768}]
NUMBERS = ("0", "1", "2", "-3", "INT#2", "16#FF", "32767")


def values(expression: Expression, states: list[dict[str, object]]) -> list[object]:
    """What an expression gives in each of these states, under everything the standard leaves open."""
    found: list[object] = []
    for machine, state in product(MACHINES, states):
        for name, content in state.items():
            machine.set(name, content)
        machine.frame = Frame(machine.pou, machine.own, {})
        try:
            found.append(machine.evaluate(expression, "").content)
        except Stopped:
            found.append("stopped")
    return found


def operations(
    operators: tuple[str, ...], operands: s.SearchStrategy[Expression], most: int = 2
) -> s.SearchStrategy[Expression]:
    return s.builds(Operation, s.sampled_from(operators), s.lists(operands, min_size=2, max_size=most).map(tuple))


def functions(names: tuple[str, ...], operands: s.SearchStrategy[Expression]) -> s.SearchStrategy[Expression]:
    return s.builds(
        lambda name, given_: Invocation(Variable(name), tuple(Argument("", o) for o in given_), ()),
        s.sampled_from(names),
        s.lists(operands, min_size=2, max_size=2),
    )


def repeated(operands: s.SearchStrategy[Expression]) -> s.SearchStrategy[Expression]:
    """An operand twice, with another one between."""
    return s.builds(lambda op, x, y: Operation(op, (x, y, x)), s.sampled_from(("AND", "OR")), operands, operands)


leaf_numbers = s.one_of(s.sampled_from("ij").map(Variable), s.sampled_from(NUMBERS).map(e))
numbers = s.recursive(
    leaf_numbers,
    lambda inner: s.one_of(
        operations(("+", "-", "*", "/", "MOD"), inner), functions(("MIN", "MAX", "DIV", "ADD"), inner)
    ),
    max_leaves=4,
)
leaf_truths = s.one_of(
    s.sampled_from("abc").map(Variable),
    s.sampled_from(("TRUE", "FALSE")).map(Literal),
    operations(("=", "<>", "<", "<=", ">", ">="), numbers),
)
truths = s.recursive(
    leaf_truths,
    lambda inner: s.one_of(
        inner.map(lambda of: Operation("NOT", (of,))),
        operations(("AND", "OR", "XOR"), inner, 4),
        operations(("=", "<>"), inner),
        functions(("AND", "OR"), inner),
        repeated(inner),
    ),
    max_leaves=8,
)


@settings(max_examples=1500)
@given(s.one_of(truths, numbers), s.lists(s.sampled_from(STATES), min_size=4, max_size=4))
@example(e("NOT TRUE"), STATES[:1])
@example(e("NOT FALSE AND a"), STATES)
@example(e("NOT (a AND TRUE OR NOT b)"), STATES)
@example(e("a XOR a XOR b"), STATES)
@example(e("NOT ((i <> 0) AND (7 / i > 1))"), STATES)
def test_the_canonical_order_of_an_expression_has_its_value(
    expression: Expression, states: list[dict[str, object]]
) -> None:
    assert values(canonical.ordered(expression), states) == values(expression, states)


def small() -> list[Expression]:
    """Every operation of two of these leaves, and its negation: some thousands."""
    leaves = [e(t) for t in ("a", "b", "TRUE", "FALSE", "NOT a", "NOT b", "NOT TRUE", "NOT FALSE", "a AND b", "a OR b")]
    counted = [e(t) for t in ("i", "j", "0", "INT#0", "i + j", "j - i")]
    pairs = [Operation(op, p) for op in ("AND", "OR", "XOR", "=", "<>") for p in product(leaves, leaves)]
    pairs += [Operation(op, p) for op in ("=", "<>", "<", "<=", ">", ">=") for p in product(counted, counted)]
    more = [Operation(op, (x, y, x)) for op in ("AND", "OR", "XOR") for x, y in product(leaves, leaves)]
    return [*leaves, *pairs, *more, *(Operation("NOT", (x,)) for x in [*pairs, *more])]


def test_equal_keys_of_small_expressions_mean_equal_values() -> None:
    states = [row for row in STATES if not row["c"]]
    found: dict[str, tuple[Expression, list[object]]] = {}
    alike = 0
    for each in small():
        key, now = canonical(each), values(each, states[::3])
        other, before = found.setdefault(key, (each, now))
        alike += other is not each
        assert now == before, (folded(each), folded(other))
    assert alike > 500


NOTATIONS = (
    "TRUE", "FALSE", "BOOL#1", "BOOL#0", "BOOL#TRUE", "0", "1", "01", "1_0", "10", "2#1", "16#A", "16#a", "8#12", "INT#1",
    "DINT#1", "INT#16#A", "1.0", "1.00", "1e0", "10.0E-1", "REAL#1.0", "LREAL#1.0", "0.1", "T#1s", "T#1000ms", "TIME#1s",
    "T#0.1s", "T#100ms", "LT#1s", "T#-1s", "'a'", "'A'", "\"a\"", "'$41'", "'$0041'",
)  # fmt: skip


def test_equal_keys_of_literals_mean_equal_values() -> None:
    found: dict[str, tuple[str, object]] = {}
    for text in NOTATIONS:
        MACHINES[0].frame = Frame(MACHINES[0].pou, MACHINES[0].own, {})
        now = MACHINES[0].evaluate(Literal(text))
        other, before = found.setdefault(folded(Literal(text)), (text, (now.type.strip("?"), now.content)))
        assert (now.type.strip("?"), now.content) == before, (text, other)
    assert len(found) < len(NOTATIONS) - 8
