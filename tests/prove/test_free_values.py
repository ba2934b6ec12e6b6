"""What cannot be followed becomes a free value: it hangs on what was read and on nothing else, and nothing else is lost."""

from __future__ import annotations

import pytest
import z3

from asfound.language.parser import parse_expression, parse_statements
from asfound.prove.encoder import Encoder, Unsupported
from asfound.prove.free_values import FreeValueExecutor

from .test_calls import side


def executor(code: str = "") -> FreeValueExecutor:
    found = FreeValueExecutor(Encoder(), side("ref^ := 1;"), "old")
    found.run(parse_statements(code))
    return found


def made_of(term: z3.ExprRef) -> list[str]:
    return [str(child) for child in term.children()]


@pytest.mark.parametrize(
    ("before", "text", "want", "parts"),
    [
        ("", "nobody^", "", ["::nobody"]),
        ("", "list[i].x", "INT", ["i"]),
        ("i := 3;", "list[i].x", "INT", ["3"]),
        ("", "p.nothing", "INT", []),
    ],
)
def test_an_expression_that_cannot_be_followed_hangs_on_its_names(
    before: str, text: str, want: str, parts: list[str]
) -> None:
    found = executor(before)
    value = found.value(parse_expression(text), want)
    inner = value.term if value.term.get_id() in found.encoder.uninterpreted else None
    assert inner is None or made_of(inner) == parts
    assert value.term.eq(found.value(parse_expression(text), want).term)
    assert value.type == want


def test_a_free_value_has_the_type_that_is_wanted_and_the_text_for_a_name() -> None:
    found = executor()
    value = found.value(parse_expression("p.nothing"), "INT")
    symbol = found.encoder.uninterpreted[value.term.get_id()]
    assert (value.type, symbol.type, symbol.name, str(value.term.sort())) == ("INT", "INT", "p.nothing", "BitVec(16)")
    assert found.value(parse_expression("p.nothing"), "").type == ""


def test_a_function_that_nobody_knows_hangs_on_its_arguments_alone() -> None:
    found = executor()
    first = found.value(parse_expression("Else1(i)"), "INT").term
    assert made_of(first) == ["i"] and first.eq(found.value(parse_expression("Else1(i)"), "INT").term)
    assert not first.eq(found.value(parse_expression("Else1(x := i)"), "INT").term)
    assert not first.eq(found.value(parse_expression("Else2(i)"), "INT").term)
    loops = found.value(parse_expression("Loops(j)"), "DINT")
    assert (loops.type, made_of(loops.term)) == ("INT", ["j"])


def test_a_loop_gives_what_it_writes_a_value_that_hangs_on_what_it_reads() -> None:
    found = executor("k := 7; WHILE a DO i := j; END_WHILE;")
    term = found.state["i"]
    assert sorted(made_of(term)) == ["a", "j"]
    assert found.encoder.uninterpreted[term.get_id()].name == "i after the loop"
    assert str(found.state["k"]) == "7" and set(found.written) == {"i", "k"}
    same = executor("WHILE a DO i := j; END_WHILE; k := i; WHILE a DO i := j; END_WHILE;")
    assert same.state["k"].eq(same.state["i"])


def test_what_fails_half_way_leaves_nothing_behind() -> None:
    found = executor("IF a THEN i := 1; WHILE b DO j := 2; END_WHILE; END_IF; k := 1;")
    assert z3.is_true(found.active) and str(found.state["k"]) == "1"
    assert str(found.state["i"]).replace(" ", "") == "If(a,1,i)"
    assert found.nested == 0 and found.loops == [] and found.pending == {}
    assert made_of(found.state["j"])[0] == "a", "only where it runs"


def test_a_call_that_cannot_be_followed_frees_the_pins_of_its_block() -> None:
    found = executor("wh.q := 5; wh(v := i, q => k); j := wh.q; r := 1.0;")
    assert found.opaque_blocks == {"wh": "whiles"}
    assert str(found.state["j"]) != "5" and found.state["j"].get_id() in found.encoder.uninterpreted
    assert found.state["k"].get_id() in found.encoder.uninterpreted
    assert {"wh.~state", "k", "j", "r"} <= set(found.written)
    assert len(found.environments) == 1
    again = executor("wh(v := i); j := wh.q; wh(v := i); k := wh.q;")
    assert not again.state["j"].eq(again.state["k"])


@pytest.mark.parametrize(
    "code",
    ["WHILE a DO RETURN; END_WHILE;", "REPEAT JMP x; UNTIL a END_REPEAT;", "EXIT;", "WHILE a DO EXIT; END_WHILE;"],
)
def test_what_leads_elsewhere_cannot_be_left_out(code: str) -> None:
    with pytest.raises(Unsupported):
        executor(code)


@pytest.mark.parametrize(
    ("operand", "open_"),
    [
        ("Else1(i) > 0", True),
        ("i > 0", False),
        ("ABS(i) > 0", False),
        ("Twice(i) > 0", True),
        ("ABS(Else1(i)) > 0", True),
    ],
)
def test_whether_a_compiler_leaves_an_operand_out_is_open_where_it_calls_something(operand: str, open_: bool) -> None:
    found = executor()
    operands = [parse_expression("a"), parse_expression(operand)]
    first, second = (found.skipped(operands[1], operands) for _ in range(2))
    assert first.eq(second) and z3.is_false(first) is not open_
    assert len(found.encoder.skips) == (2 if open_ else 0)
    assert not open_ or not first.eq(found.skipped(operands[1], operands[1:]))
