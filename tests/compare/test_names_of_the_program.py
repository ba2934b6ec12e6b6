"""A name that the export declares is never the standard's: in analysis, proofs, readers and reports."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.language.parser import parse_statements
from asfound.model.logic import Variable
from asfound.reports import carries_power, pieces

NAMES = ("FIND", "A_TO_B", "INT_TO_DINT", "Limit")
GLOBALS = "VAR_GLOBAL g : INT; END_VAR\n"
FUNCTION = """FUNCTION {name} : INT VAR_INPUT s : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR
g := g + 1; {name} := s; END_FUNCTION
"""
METHOD = """FUNCTION_BLOCK B VAR m, a, b : INT; END_VAR VAR_EXTERNAL g : INT; END_VAR
METHOD {name} : INT VAR_INPUT s : INT; END_VAR g := g + 1; {name} := s; END_METHOD
{body}
END_FUNCTION_BLOCK"""
PINS = "FUNCTION_BLOCK Two VAR_INPUT x, y : INT; END_VAR END_FUNCTION_BLOCK\n"
TIMER = """FUNCTION_BLOCK TON VAR_INPUT IN : INT; PT : INT; END_VAR VAR_OUTPUT Q : BOOL; END_VAR VAR_EXTERNAL g : INT; END_VAR
g := g + 1; Q := IN > PT; END_FUNCTION_BLOCK
"""


def program(body: str, variables: str = "m, a, b : INT; q, r : BOOL; t : Two;") -> str:
    return f"PROGRAM P VAR {variables} END_VAR VAR_EXTERNAL g : INT; END_VAR\n{body}\nEND_PROGRAM\n"


def read(text: str) -> asfound.Copy:
    return asfound.read(text.encode(), "p.st")


def verdict(before: str, text: str, after: str) -> str:
    return asfound.compare(read(text + before), read(text + after)).verdict


BODIES = [
    ("a := {0}(m); b := {0}(m);", "a := {0}(m); b := a;"),
    ("q := {0}(m) > 0 AND {0}(m) > 0;", "q := {0}(m) > 0;"),
    ("q := r AND {0}(m) > 0;", "q := AND(r, {0}(m) > 0);"),
    ("LD m\n{0}\nST a\nST b\n", "LD m\n{0}\nST a\nLD m\n{0}\nST b\n"),
    ("{0}(m); {0}(m);", "{0}(m);"),
]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("old", "new"), BODIES)
def test_a_function_that_counts_is_called_as_often_as_written(name: str, old: str, new: str) -> None:
    text = GLOBALS + PINS + FUNCTION.format(name=name)
    assert verdict(program(old.format(name)), text, program(new.format(name))) == "behaviour"


@pytest.mark.parametrize("name", NAMES)
def test_a_method_as_well(name: str) -> None:
    old, new = (METHOD.format(name=name, body=body.format(name)) for body in BODIES[0])
    assert verdict(old, GLOBALS, new) == "behaviour"


CHART = """INITIAL_STEP A: END_STEP STEP B: END_STEP TRANSITION FROM B TO A := q; END_TRANSITION
TRANSITION FROM A TO B := {}; END_TRANSITION TRANSITION FROM A TO B := {}; END_TRANSITION"""
ORDERS = "r AND {0}(m) > 0", "{0}(m) > 0 AND r"


@pytest.mark.parametrize("name", NAMES)
def test_operands_that_count_are_told_as_reordered(name: str) -> None:
    text = GLOBALS + PINS + FUNCTION.format(name=name)
    old, new = (read(text + program(f"q := {order.format(name)};")) for order in ORDERS)
    (change,) = asfound.compare(old, new).changes
    assert change.summary == "q: operands of AND reordered"


@pytest.mark.parametrize("name", NAMES)
def test_transitions_that_count_are_known_by_the_order_of_their_operands(name: str) -> None:
    text = GLOBALS + PINS + FUNCTION.format(name=name)
    one, other = (order.format(name) for order in ORDERS)
    old, new = (read(text + program(CHART.format(*each))) for each in ((one, other), (other, one)))
    assert [c.kind for c in asfound.compare(old, new).changes] == ["moved"]


@pytest.mark.parametrize("name", NAMES)
def test_inputs_are_taken_in_the_order_in_which_they_are_written(name: str) -> None:
    text = GLOBALS + PINS + FUNCTION.format(name=name)
    old, new = program(f"t(x := {name}(m), y := {name}(g));"), program(f"t(y := {name}(g), x := {name}(m));")
    assert verdict(old, text, new) not in ("documentation", "equivalent")


def test_without_a_declaration_it_is_the_standards() -> None:
    old, new = "a := LIMIT(0, m, 9); b := LIMIT(0, m, 9);", "a := LIMIT(0, m, 9); b := a;"
    assert verdict(program(old), PINS, program(new)) == "equivalent"


def test_a_block_named_like_a_timer_is_not_one() -> None:
    copy = read(GLOBALS + TIMER + program("t(IN := m);", "t : TON; m : INT;"))
    symbols = Symbols(copy)
    assert symbols.block("TON") is None
    assert symbols.members["ton"]["in"] == "INT"
    assert Symbols(read(program("a := m;"))).block("ton") is not None
    old, new = (program(body, "t : TON; m : INT; q : BOOL;") for body in ("t(IN := m); t(IN := m);", "t(IN := m);"))
    assert verdict(old, GLOBALS + TIMER, new) == "behaviour"


def test_its_preset_has_no_name_of_ours_and_its_input_is_no_contact() -> None:
    old, new = (read(GLOBALS + TIMER + program(f"t(IN := x, PT := {n});", "t : TON;")) for n in (5, 7))
    (change,) = asfound.compare(old, new).changes
    assert "preset" not in str(change.summary)
    (call,) = parse_statements("t(IN := x);")
    own = pieces.types(new, "P")
    typed = type(call)(call.instance, "TON", call.inputs)
    assert not carries_power.pin(call.inputs[0], typed, own)
    assert carries_power.pin(call.inputs[0], typed, {})


def test_a_structure_named_like_a_block_or_a_type_is_a_structure() -> None:
    for name in ("TON", "LTIME"):
        text = f"TYPE {name} : STRUCT Q : INT; END_STRUCT; END_TYPE\n"
        old, new = (program(f"t.Q := m; a := {x} + 1;", f"t : {name}; m, a : INT;") for x in ("t.Q", "m"))
        assert verdict(old, text, new) == "equivalent"


def test_digits_are_not_a_number() -> None:
    """BCD_TO_INT(16#10) is 10 and WORD_TO_INT(16#10) is 16: tables 23 and 27, from memory."""
    for name in ("BCD_TO_INT", "WORD_BCD_TO_INT"):
        old, new = (program(f"a := {f}(w);", "w : WORD; a : INT;") for f in (name, "WORD_TO_INT"))
        assert verdict(old, "", new) not in ("equivalent", "documentation")


def test_a_function_declared_in_another_file_runs_once_in_an_instruction_list(tmp_path) -> None:
    (tmp_path / "a.st").write_text(program("LD m\nFIND\nST a\nST b\n"))
    (tmp_path / "b.st").write_text(GLOBALS + PINS + FUNCTION.format(name="FIND"))
    whole = asfound.read(tmp_path)
    *_, second = next(p for p in whole.program.pous if p.name == "P").bodies[0].statements
    assert second.value == Variable("a")
