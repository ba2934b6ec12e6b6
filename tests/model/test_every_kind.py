"""Every kind of statement and expression that the model has is known wherever kinds are told apart.

The samples are made from the fields of the structs, so a new kind is among them as soon as the model has it.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from types import NoneType
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from msgspec import json
from msgspec.structs import replace

import asfound
from asfound.analysis.canonical import statement_key
from asfound.analysis.crossreference import cross_reference
from asfound.analysis.leaves import leaves
from asfound.language.listing import as_json
from asfound.language.parser import parse_statements
from asfound.language.statement_printer import statements as printed
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Expression, Node, Statement, Temporary, Variable
from asfound.model.program import Body, Network, Pou, Program, VariableDeclaration
from asfound.model.tree import EXPRESSIONS, STATEMENTS
from asfound.reports.characters import characters
from asfound.reports.ladder import layout

KINDS = get_args(Statement)
OPERANDS = get_args(Expression)


def sample(annotation: Any, number: Iterator[int]) -> Any:
    """A value of an annotated field, with names that occur nowhere else."""
    kinds = {*get_args(annotation)} - {NoneType}
    if kinds >= {*OPERANDS}:
        return Variable(f"n{next(number)}")
    if kinds >= {*KINDS}:
        return Assign(Variable(f"n{next(number)}"), Variable(f"n{next(number)}"))
    if get_origin(annotation) is tuple:
        return (sample(get_args(annotation)[0], number), sample(get_args(annotation)[0], number))
    if isinstance(annotation, type) and issubclass(annotation, Node):
        return made(annotation, number)
    return {str: f"n{next(number)}", bool: False, int: 1}[annotation] if not kinds else get_args(annotation)[0]


def made(kind: type[Node], number: Iterator[int]) -> Any:
    """A struct with something in every field; operators are among those that the language has."""
    given = {name: sample(hint, number) for name, hint in get_type_hints(kind).items()}
    return kind(**{**given, **({"operator": "AND"} if "operator" in given else {})})


def held(kind: type[Node], start: int = 1) -> Statement:
    """A statement of the kind, or one with an expression of the kind."""
    one = made(kind, itertools.count(start))
    return Assign(Variable("n0"), one) if isinstance(one, OPERANDS) else one


def variables(statement: Statement) -> set[str]:
    """Names of all variables in it."""
    return {e.name for e in EXPRESSIONS.all(statement) if isinstance(e, Variable)}


def copy_of(statement: Statement, beside: Statement | None = None) -> Copy:
    """A program of one statement, which declares what this one and another name."""
    names = sorted(variables(statement) | (variables(beside) if beside else set()))
    declared = tuple(VariableDeclaration(name, "INT") for name in names)
    return Copy(program=Program(pous=(Pou("P", "program", variables=declared, bodies=(Body("ST", (statement,)),)),)))


every = pytest.mark.parametrize("kind", [*KINDS, *OPERANDS], ids=lambda kind: kind.__name__)


@every
def test_what_is_printed_is_read_as_the_same(kind: type[Node]) -> None:
    assert parse_statements(printed((held(kind),)), dialect=True) == (held(kind),)


@every
def test_every_variable_of_it_is_in_a_leaf_and_no_leaf_holds_another_statement(kind: type[Node]) -> None:
    (pou,) = copy_of(held(kind)).program.pous
    found = [leaf.statement for leaf in leaves(pou)]
    assert variables(held(kind)) == {name for statement in found for name in variables(statement)}
    assert all(len([*STATEMENTS.all(statement)]) == 1 for statement in found)


@every
def test_every_variable_of_it_is_found_by_whoever_asks_for_it(kind: type[Node]) -> None:
    copy = copy_of(held(kind))
    for name in variables(held(kind)):
        assert {use.access for use in cross_reference(copy, name).uses} - {"declared"}, name


@every
def test_whatever_differs_in_it_is_told(kind: type[Node]) -> None:
    plain = json.encode(held(kind)).decode()
    if kind is Temporary:  # where a wire comes from is for people, and what is drawn there differs by itself
        other = json.decode(re.sub(r'"origin":"[^"]*"', '"origin":"other"', plain), type=Statement)
        assert held(kind) != other and statement_key(held(kind)) == statement_key(other)
        return
    for word in sorted({*re.findall(r'"(n[1-9]\d*|_v\d+)"', plain)}):
        other = json.decode(plain.replace(f'"{word}"', '"other"'), type=Statement)
        assert statement_key(held(kind)) != statement_key(other), word
        result = asfound.compare(copy_of(held(kind), beside=other), copy_of(other, beside=held(kind)))
        assert [change for change in result.changes if change.area == "logic"], word


@every
def test_it_is_drawn_or_shown_as_text_and_listed(kind: type[Node]) -> None:
    shown = characters(layout(held(kind)))
    copy = copy_of(held(kind))
    (pou,) = copy.program.pous
    network = replace(pou, bodies=(Body("LD", networks=(Network(pou.bodies[0].statements),)),))
    listed = json.encode(as_json(replace(copy, program=replace(copy.program, pous=(network,))))).decode()
    for name in variables(held(kind)):
        assert re.search(rf"\b{name}\b", shown) and re.search(rf"\b{name}\b", listed), name
