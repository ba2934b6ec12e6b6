"""Negation, edges, set and reset, wherever they can be drawn."""

from __future__ import annotations

import pytest
from drawing_kit import Drawing, chart, rung, same, statements, text


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({}, "Q := A;"),
        ({"negated": True}, "Q := NOT A;"),
        ({"storage": "set"}, "IF A THEN Q := TRUE; END_IF;"),
        ({"storage": "reset"}, "IF A THEN Q := FALSE; END_IF;"),
        ({"edge": "rising"}, "Q := R_EDGE(A);"),
        ({"edge": "falling"}, "Q := F_EDGE(A);"),
        ({"negated": True, "storage": "set"}, "IF NOT A THEN Q := TRUE; END_IF;"),
    ],
)
def test_modifiers_of_a_coil(given: dict[str, object], expected: str) -> None:
    assert statements(rung(**given)) == expected


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({"negated": True}, "Q := NOT A;"),
        ({"edge": "rising"}, "Q := R_EDGE(A);"),
        ({"edge": "falling"}, "Q := F_EDGE(A);"),
        ({"negated": True, "edge": "rising"}, "Q := R_EDGE(NOT A);"),
    ],
)
def test_modifiers_of_a_contact(given: dict[str, object], expected: str) -> None:
    d = Drawing("LD")
    d.coil("Q", d.contact("A", d.rail, **given))
    assert statements(d) == expected


@pytest.mark.parametrize(
    ("pin", "given", "expected"),
    [
        ("CLK", {"negated": True}, "{block of type CTU}\nC(CLK := NOT A);\nQ := C.Q;"),
        ("CLK", {"edge": "falling"}, "{block of type CTU}\nC(CLK := F_EDGE(A));\nQ := C.Q;"),
        ("Q", {"negated": True}, "{block of type CTU}\nC(CLK := A);\nQ := NOT C.Q;"),
        ("Q", {"edge": "rising"}, "{block of type CTU}\nC(CLK := A);\nQ := R_EDGE(C.Q);"),
    ],
)
def test_modifiers_of_pins(pin: str, given: dict[str, object], expected: str) -> None:
    d = Drawing("FBD")
    d.output("Q", d.block("CTU", {"CLK": d.value("A")}, "Q", instanceName="C", pins={pin: given})["Q"])
    assert statements(d) == expected


@pytest.mark.parametrize("given", [{"negated": True}, {"edge": "rising"}, {"storage": "set"}])
@pytest.mark.parametrize("place", ["in", "out"])
def test_modifiers_of_variables(place: str, given: dict[str, object]) -> None:
    def moved(**marks: object) -> Drawing:
        d = Drawing("FBD")
        source = d.value("A", **(marks if place == "in" else {}))
        d.output("Q", source, **(marks if place == "out" else {}))
        return d

    assert not same(moved(), moved(**given))


def test_negated_ends_of_a_variable_that_is_read_and_written() -> None:
    def both(**given: object) -> Drawing:
        d = Drawing("FBD")
        d.output("Q", d.both("M", d.value("A"), **given))
        return d

    assert statements(both()) == "M := A;\nQ := M;"
    assert statements(both(negatedIn=True)) == "M := NOT A;\nQ := M;"
    assert statements(both(negatedOut=True)) == "M := A;\nQ := NOT M;"


def test_a_negated_condition() -> None:
    def waits(mark: str) -> Drawing:
        d = Drawing("SFC")
        s = d.step("S", initialStep=True)
        inside = f'<inline name=""><ST>{text("Go")}</ST></inline>'
        t = d.add(
            "transition",
            f'<connectionPointIn><connection refLocalId="1"/></connectionPointIn><condition{mark}>{inside}</condition>',
        )
        d.jump_to("S", t)
        assert s.ends == (("1", ""),)
        return d

    assert ":= NOT Go;" in chart(waits(' negated="true"'))
    assert ":= Go;" in chart(waits(""))


def test_edge_of_one_contact() -> None:
    def edged(edge: str) -> Drawing:
        d = Drawing("LD")
        d.coil("Q", d.contact("A", d.rail, edge=edge))
        return d

    assert not same(edged("rising"), edged("falling"))
