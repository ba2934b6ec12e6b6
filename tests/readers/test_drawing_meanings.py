"""What a ladder or block diagram means: one drawing for each rule, and the statements it becomes."""

from __future__ import annotations

import pytest
from drawing_kit import Drawing, Wires, chart, copy_of, first_body, leftovers, normal, point, same, statements

from asfound.compare.comparison import compare
from asfound.model.problem import Problem
from asfound.model.program import Doubt


def bridge() -> Drawing:
    d = Drawing("LD")
    a, b = d.contact("A", d.rail), d.contact("B", d.rail)
    d.coil("Q", d.contact("D", a | b) | d.contact("C", b))
    return d


def rails() -> Drawing:
    d = Drawing("LD")
    first, second = (d.add("leftPowerRail", "<connectionPointOut/>") for _ in range(2))
    d.coil("Q", d.contact("A", first) | d.contact("B", second))
    return d


def outputs() -> Drawing:
    d = Drawing("LD")
    a = d.contact("A", d.rail)
    d.coil("Q", a, at=(100, 0))
    d.coil("R", d.contact("B", a), at=(100, 50))
    return d


def amid() -> Drawing:
    d = Drawing("LD")
    d.coil("Q", d.contact("B", d.coil("M", d.contact("A", d.rail), negated=True, at=(50, 0))), at=(100, 0))
    return d


def pins() -> Drawing:
    d = Drawing("LD")
    timer = d.block("TON", {"IN": d.contact("A", d.rail), "PT": d.value("T#5s")}, "Q ET", instanceName="T1")
    d.coil("Q", timer["Q"])
    d.coil("R", d.contact("T1.Q", d.rail, at=(10, 100)), at=(100, 100))
    return d


def enabled() -> Drawing:
    d = Drawing("LD")
    first = d.block("MUL", {"EN": d.contact("Go", d.rail), "IN1": d.value("R"), "IN2": d.value("10")}, "ENO OUT")
    second = d.block("DIV", {"EN": first["ENO"], "IN1": first["OUT"], "IN2": d.value("2")}, "ENO OUT")
    d.output("X", second["OUT"])
    return d


def enabled_instance() -> Drawing:
    """EN of a block with an instance is an input like any other; an output variable is written while it is enabled."""
    d = Drawing("LD")
    inputs = {"EN": d.contact("Go", d.rail), "IN": d.contact("A", d.rail), "PT": d.value("T#5s")}
    timer = d.block("TON", inputs, "ENO Q ET", instanceName="T1")
    d.output("X", timer["ET"])
    d.coil("Q", timer["Q"])
    d.coil("E", timer["ENO"])
    return d


def connected(*names: str) -> Drawing:
    d = Drawing("FBD")
    for name in names:
        d.add("connector", point(d.value(name)), name="W")
    d.output("Q", d.add("continuation", "<connectionPointOut/>", name="w"))
    return d


def numbered() -> Drawing:
    d = Drawing("FBD")
    for y, (target, source, order) in enumerate((("Q", "A", 2), ("R", "Q", 1), ("S", "R", 0))):
        d.output(target, d.value(source, at=(0, 99 * y)), at=(9, 99 * y), executionOrderId=str(order))
    return d


@pytest.mark.parametrize(
    ("drawing", "expected"),
    [
        (bridge(), "Q := (A OR B) AND D OR B AND C;"),
        (rails(), "Q := A OR B;"),
        (outputs(), "Q := A;\nR := A AND B;"),
        (amid(), "M := NOT A;\nQ := A AND B;"),
        (pins(), "{block of type TON}\nT1(IN := A, PT := T#5s);\nQ := T1.Q;\nR := T1.Q;"),
        (enabled(), "IF Go THEN MUL.OUT := MUL(R, 10); END_IF;\nIF Go THEN X := DIV(MUL.OUT, 2); END_IF;"),
        (
            enabled_instance(),
            "{block of type TON}\nT1(EN := Go, IN := A, PT := T#5s);\nIF T1.ENO THEN X := T1.ET; END_IF;\nQ := T1.Q;\nE := T1.ENO;",
        ),
        (connected("A"), "Q := A;"),
        (connected(), 'Q := {text "connector w"};'),
        (numbered(), "R := Q;\nQ := A;\nS := R;"),
    ],
    ids="bridge rails outputs amid pins enabled instance connector none numbered".split(),
)
def test_a_drawing_becomes(drawing: Drawing, expected: str) -> None:
    assert statements(drawing) == expected


def test_what_is_drawn_without_effect_is_kept_and_shown() -> None:
    def drawn(*, unrecognised: bool) -> Drawing:
        d = Drawing("LD")
        if unrecognised:
            d.contact("A", d.rail), d.contact("B"), d.coil("C"), d.value("V")
            d.add("jump", point(Wires(())), label="End")
        d.coil("Q", Wires((("99", ""),)) | d.rail if unrecognised else d.rail)
        return d

    assert sorted(leftovers(drawn(unrecognised=True))) == [
        "a wire into Q comes from nowhere",
        "coil C has nothing wired to it",
        "contact A leads nowhere: A",
        "contact B leads nowhere: FALSE AND B",
        "input V leads nowhere: V",
        "jump End has nothing wired to it",
    ]
    assert '{leftover "coil C has nothing wired to it"}' in normal(drawn(unrecognised=True))
    told = [
        c.after or "" for c in compare(copy_of(drawn(unrecognised=False)), copy_of(drawn(unrecognised=True))).changes
    ]
    assert any("without effect: coil C has nothing wired to it" in text for text in told)


def test_a_second_connector_of_one_name_is_told() -> None:
    assert statements(connected("A", "B")) == "Q := A;"
    assert leftovers(connected("A", "B")) == ["connector W leads nowhere: W", "input B leads nowhere: B"]


def flow(*parts: str) -> Drawing:
    d = Drawing("FBD")
    for y, part in enumerate(parts):
        word, _, target = part.partition(" ")
        if word == "label":
            d.add("label", label=target, at=(0, 100 * y))
        elif word == "jump":
            d.add("jump", point(d.value("Skip", at=(0, 100 * y))), label=target, at=(9, 100 * y))
        else:
            d.output(word, d.value("A", at=(0, 100 * y)), at=(9, 100 * y))
    return d


def test_a_label_below_everything_is_not_above_the_last_network() -> None:
    below, above = flow("jump End", "Q", "label End"), flow("jump End", "label End", "Q")
    assert [(n.label, len(n.statements)) for n in first_body(below).networks] == [("", 1), ("", 1), ("End", 0)]
    assert compare(copy_of(above), copy_of(below)).verdict == "behaviour"


def test_a_second_label_at_one_network_keeps_its_place() -> None:
    assert not same(flow("jump F", "label E", "label F", "Q", "R"), flow("jump F", "label E", "Q", "label F", "R"))


def test_order_numbers_of_coils_are_a_doubt() -> None:
    def drawn(first: str, second: str) -> Drawing:
        d = Drawing("LD")
        for y, (target, source, order) in enumerate((("Q", "A", first), ("R", "Q", second))):
            d.coil(target, d.contact(source, d.rail, at=(0, 99 * y)), at=(9, 99 * y), executionOrderId=order)
        return d

    assert first_body(drawn("2", "1")).order.doubts == (Doubt("numbers of coils", "before", ((1, 0), (0, 0))),)
    assert first_body(drawn("1", "2")).order.doubts == ()
    assert compare(copy_of(drawn("1", "2")), copy_of(drawn("2", "1"))).verdict in ("undecided", "behaviour")


@pytest.mark.parametrize("pin", ["CU", "Q"])
def test_a_pin_drawn_as_set_is_kept_as_unknown(pin: str) -> None:
    def drawn(**marks: object) -> Drawing:
        d = Drawing("FBD")
        block = d.block("CTU", {"CU": d.value("A")}, "Q CV", instanceName="C", pins={pin: marks})
        d.output("X", block["Q"])
        return d

    assert compare(copy_of(drawn()), copy_of(drawn(storage="set"))).verdict in ("undecided", "behaviour")


def test_alternatives_in_the_file_in_another_order_than_drawn() -> None:
    def split(*places: int) -> Drawing:
        d = Drawing("SFC")
        fork = d.branching("selectionDivergence", d.step("S", initialStep=True))
        for name, x in zip("AB", places, strict=True):
            d.step(f"To{name}", d.transition(name, fork, at=(x, 100)))
        return d

    assert "order of alternatives" not in chart(split(0, 50))
    assert "A to ToA, B to ToB" in chart(split(50, 0))


@pytest.mark.parametrize("operator", ["series", "parallel"])
def test_a_rung_of_thousands_of_contacts(operator: str) -> None:
    d = Drawing("LD")
    wires = d.rail
    found = Wires(())
    for n in range(3000):
        if operator == "series":
            found = wires = d.contact(f"A{n}", wires)
        else:
            found |= d.contact(f"A{n}", wires)
    d.coil("Q", found)
    assert compare(copy_of(d), copy_of(d)).verdict == "identical"
    assert statements(d).count("A2999") == 1


def test_branches_nested_too_deep_are_one_sentence() -> None:
    d = Drawing("LD")
    wires = d.rail
    for n in range(500):
        wires = d.contact(f"A{n}", wires) | d.contact(f"B{n}", d.rail)
    d.coil("Q", wires)
    with pytest.raises(Problem, match="branches nested more than 60 deep in one rung; split the rung"):
        copy_of(d)
