"""Laws of walking and rewriting: every node once, in reading order, and no field of a struct is left out."""

from __future__ import annotations

import re
from typing import get_args

import pytest
from hypothesis import given
from msgspec import json

from asfound.language.parser import parse_statements
from asfound.language.statement_printer import statements as printed
from asfound.language.walk import every_statement, expressions, reads, rewrite, walk, writes
from asfound.model import logic, program
from asfound.model.logic import Assign, Call, Expression, Jump, Node, Return, Statement, Variable
from asfound.model.program import Body, Pou
from asfound.model.tree import BODIES, EXPRESSIONS, NODES, POUS, STATEMENTS, places
from language import strategies as some

STRUCTS = [
    kind
    for module in (logic, program)
    for kind in vars(module).values()
    if isinstance(kind, type) and issubclass(kind, Node) and kind is not Node and kind.__module__ == module.__name__
]
EVERYWHERE = """
a1[a2] := a3^ + F(a4, p := a5[a6], q => a7).m;
a8(p := a9, q => a10[a11]);
IF a12 THEN a13 := 1; ELSIF NOT a14 THEN a15 := 1; ELSE a16 := 1; END_IF;
CASE a17 OF
    a18: a19 := 1;
    a20..a21, a22: WHILE a23 DO REPEAT a24 := 1; UNTIL a25 END_REPEAT; END_WHILE;
ELSE FOR a26 := a27 TO a28 BY a29 DO a30 := -a31; END_FOR;
END_CASE;
"""


def inside(found: object) -> list[Node]:
    """Every node in the order of the fields, by the values alone: an independent walk."""
    if isinstance(found, tuple):
        return [node for each in found for node in inside(each)]
    if not isinstance(found, Node):
        return []
    return [found, *(node for name in found.__struct_fields__ for node in inside(getattr(found, name)))]


@given(some.POUS)
def test_every_node_is_met_once_and_in_reading_order(pou: Pou) -> None:
    kinds = (EXPRESSIONS, Expression), (STATEMENTS, Statement), (BODIES, Body), (POUS, Pou), (NODES, Node)
    for walk_, kind in kinds:
        assert [*map(id, walk_.all(pou))] == [id(node) for node in inside(pou) if isinstance(node, kind)]


@given(some.STATEMENTS)
def test_what_stands_directly_in_a_node_is_met_in_no_other(statement: Statement) -> None:
    every = [node for each in every_statement(statement) for e in expressions(each) for node in walk(e)]
    assert sorted(map(id, every)) == sorted(map(id, walk(statement)))


@given(some.BODIES)
def test_a_rewrite_without_a_change_is_the_same_tree(body: Body) -> None:
    assert rewrite(body, lambda e: None) is body
    assert rewrite(body, lambda e: Variable(e.name) if isinstance(e, Variable) else None) == body


@given(some.POUS)
def test_a_rewrite_reaches_what_a_replacement_in_the_json_reaches(pou: Pou) -> None:
    for body in BODIES.all(pou):
        text = re.sub(rb'("node":"variable","name":)"(?:[^"\\]|\\.)*"', rb'\1"other"', json.encode(body))
        assert rewrite(body, lambda e: Variable("other") if isinstance(e, Variable) else None) == json.decode(
            text, type=Body
        )


@given(some.BODY_STATEMENTS)
def test_a_rewrite_reaches_every_name_that_is_printed_in_the_order_of_printing(code: tuple[Statement, ...]) -> None:
    """A guard is printed before the statement that it guards, so it is left out; what a coil sets by is one."""
    count = iter(range(10_000))
    found = Body("ST", tuple(map(unguarded, code)))
    numbered = rewrite(found, lambda e: Variable(f"nr{next(count)}x") if isinstance(e, Variable) else None)
    numbers = [int(number) for number in re.findall(r"\bnr(\d+)x\b", printed(numbered.statements))]
    assert numbers == list(range(next(count)))


def unguarded(statement: Statement) -> Statement:
    if isinstance(statement, Assign) and statement.kind in ("set", "reset"):
        return Assign(statement.target, statement.value)
    if isinstance(statement, Assign | Call | Jump | Return):
        return type(statement)(*(getattr(statement, n) for n in statement.__struct_fields__ if n != "condition"))
    return STATEMENTS.rebuilt(statement, lambda n: unguarded(n) if isinstance(n, Statement) else through(n))


def through(node: Node) -> Node:
    return STATEMENTS.rebuilt(node, unguarded)


def test_names_are_read_and_written_wherever_they_stand() -> None:
    code = parse_statements(EVERYWHERE)
    numbers = [int(n.name[1:]) for s in code for n in walk(s) if isinstance(n, Variable) and n.name != "F"]
    assert numbers == list(range(1, 32))
    found = [{n: {*map(int, re.findall(r"a(\d+)", " ".join(n(s))))} for n in (reads, writes)} for s in code]
    assert [each[writes] for each in found] == [{1, 7}, {8, 10}, {13, 15, 16}, {19, 24, 26, 30}]
    assert [each[reads] for each in found] == [
        {2, 3, 4, 5, 6, 7}, {8, 9, 11}, {12, 14}, {17, 18, 20, 21, 22, 23, 25, 27, 28, 29, 31},
    ]  # fmt: skip


@pytest.mark.parametrize("kind", STRUCTS, ids=lambda kind: kind.__name__)
def test_every_field_that_names_a_node_type_is_walked(kind: type[Node]) -> None:
    names = {each.__name__ for each in STRUCTS} | {"Expression", "Statement"}
    naming = [n for n, text in kind.__annotations__.items() if names & {*re.findall(r"(?<!['\"])\b\w+", str(text))}]
    assert [place.field for place in places(kind)] == naming


def test_every_struct_with_a_tag_is_an_expression_or_a_statement() -> None:
    tagged = {kind for kind in STRUCTS if kind.__struct_config__.tag}
    assert tagged - {logic.Span} == {*get_args(Expression), *get_args(Statement)}


@pytest.mark.parametrize(
    "annotation",
    [dict[str, Variable], list[Variable], tuple[Variable, Variable], tuple[tuple[Variable, ...], ...], Variable | str],
    ids=str,
)
def test_a_field_that_holds_nodes_in_another_way_is_refused(annotation: object) -> None:
    kind = type("Odd", (Node,), {"__annotations__": {"held": annotation}}, frozen=True)
    with pytest.raises(TypeError, match=r"Odd\.held"):
        places(kind)
