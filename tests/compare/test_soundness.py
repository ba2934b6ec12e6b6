"""What is called equivalent or documentation really acts the same: small programs are run for every start."""

from __future__ import annotations

from itertools import product

from hypothesis import given, settings
from hypothesis import strategies as s

import asfound
from asfound.compare.comparison import compare
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Edge, Expression, If, Operation, Statement, Variable
from asfound.model.program import Body, Network, Pou, Program
from prove.test_proofs import evaluate

from .test_laws import expressions, statements

NAMES = ("a", "b", "c", "d", "x", "y")
State = dict[str, bool]


def run(sequence: tuple[Statement, ...], state: State) -> State:
    for statement in sequence:
        if isinstance(statement, Assign):
            assert isinstance(statement.target, Variable)
            name, value = statement.target.name.casefold(), evaluate(statement.value, state)
            new = {"assign": value, "set": state[name] or value, "reset": state[name] and not value}[statement.kind]
            state = {**state, name: new}
        elif isinstance(statement, If):
            taken = evaluate(statement.branches[0].condition, state)
            state = run(statement.branches[0].statements if taken else statement.otherwise, state)
    return state


def same(old: tuple[Statement, ...], new: tuple[Statement, ...]) -> bool:
    starts = (dict(zip(NAMES, row, strict=True)) for row in product((False, True), repeat=len(NAMES)))
    return all(run(old, start) == run(new, start) for start in starts)


def _without_edges(e: Expression) -> Expression:
    match e:
        case Edge(_, of):
            return of
        case Operation(operator, operands):
            return Operation(operator, tuple(map(_without_edges, operands)))
    return e


def _level(statement: Statement) -> Statement:
    match statement:
        case Assign(target, value, kind, condition):
            return Assign(target, _without_edges(value), kind, condition)
        case If(branches, otherwise):
            first = type(branches[0])(_without_edges(branches[0].condition), tuple(map(_level, branches[0].statements)))
            return If((first,), tuple(map(_level, otherwise)))
    return statement


def programs() -> s.SearchStrategy[tuple[Statement, ...]]:
    return s.lists(statements().map(_level), max_size=4).map(tuple)


def edited(program: tuple[Statement, ...]) -> s.SearchStrategy[tuple[Statement, ...]]:
    """The same statements in another order, or with one of them replaced."""
    if not program:
        return s.just(program)
    replaced = s.tuples(s.integers(0, len(program) - 1), statements().map(_level)).map(
        lambda t: (*program[: t[0]], t[1], *program[t[0] + 1 :])
    )
    return s.one_of(s.permutations(program).map(tuple), replaced)


PAIRS = s.one_of(s.tuples(programs(), programs()), programs().flatmap(lambda p: s.tuples(s.just(p), edited(p))))


def _harmless(old: Body, new: Body) -> bool:
    copies = [Copy(program=Program(pous=(Pou("P", "program", bodies=(body,)),))) for body in (old, new)]
    return compare(*copies).verdict in ("identical", "noise", "documentation", "equivalent")


@given(PAIRS)
@settings(max_examples=250)
def test_equivalent_text_acts_the_same(pair: tuple[tuple[Statement, ...], tuple[Statement, ...]]) -> None:
    old, new = pair
    if _harmless(Body("ST", old), Body("ST", new)):
        assert same(old, new)


@given(PAIRS)
@settings(max_examples=250)
def test_equivalent_ladders_act_the_same(pair: tuple[tuple[Statement, ...], tuple[Statement, ...]]) -> None:
    old, new = (tuple(x for x in p if isinstance(x, Assign)) for p in pair)
    ladders = [Body("LD", networks=tuple(Network((x,)) for x in p)) for p in (old, new)]
    if _harmless(*ladders):
        assert same(old, new)


@given(expressions(), expressions())
@settings(max_examples=150)
def test_a_witness_shows_a_difference(old: Expression, new: Expression) -> None:
    bodies = [Body("LD", networks=(Network((Assign(Variable("X"), _without_edges(e)),)),)) for e in (old, new)]
    copies = [Copy(program=Program(pous=(Pou("P", "program", bodies=(body,)),))) for body in bodies]
    for change in compare(*copies).changes:
        assert (change.effect == "behaviour") == (change.witness is not None)
        if change.witness is not None:
            start = dict.fromkeys(NAMES, False) | {n.casefold(): v == "TRUE" for n, v in change.witness.inputs.items()}
            found = [str(run(body.networks[0].statements, start)["x"]).upper() for body in bodies]
            assert found == [change.witness.old["X"], change.witness.new["X"]]


def test_names_that_only_full_case_folding_makes_equal_are_two_names() -> None:
    """``Maße`` and ``Masse`` are two variables: only their case may differ for two names to be one."""
    text = "PROGRAM Main\nVAR\n  Maße : BOOL;\n  Masse : BOOL;\n  x : BOOL;\nEND_VAR\nx := {};\nEND_PROGRAM\n"
    old, new = (asfound.read(text.format(name).encode(), "m.st") for name in ("Maße", "Masse"))
    assert asfound.compare(old, new).verdict == "behaviour"
    upper = asfound.read(text.format("MAßE").encode(), "m.st")
    assert asfound.compare(old, upper).verdict == "documentation"
