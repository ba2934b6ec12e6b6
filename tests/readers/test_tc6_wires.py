"""What a wire carries: power, the value of a pin, nothing."""

from __future__ import annotations

from drawing_kit import NOWHERE, Drawing, leftovers, same, statements


def test_several_wires_into_one_point_are_or() -> None:
    def wired(*names: str) -> Drawing:
        d = Drawing("LD")
        wires = NOWHERE
        for name in names:
            wires |= d.contact(name, d.rail)
        d.coil("Q", wires)
        return d

    assert statements(wired("A", "B")) == "Q := A OR B;"
    assert not same(wired("A", "B"), wired("B"))


def test_the_pin_a_wire_comes_from() -> None:
    def from_pin(pin: str) -> Drawing:
        d = Drawing("FBD")
        block = d.block("CTUD", {"CU": d.value("A")}, "QU QD CV", instanceName="C")
        d.output("X", block[pin] if pin else block)
        return d

    assert statements(from_pin("CV")) == "{block of type CTUD}\nC(CU := A);\nX := C.CV;"
    assert statements(from_pin("QD")) == "{block of type CTUD}\nC(CU := A);\nX := C.QD;"
    assert same(from_pin(""), from_pin("QU"))


def test_a_wire_without_a_pin_name_never_means_eno() -> None:
    d = Drawing("FBD")
    d.output("X", d.block("ADD", {"EN": d.value("Go"), "IN1": d.value("A"), "IN2": d.value("B")}, "ENO OUT"))
    assert statements(d) == "IF Go THEN X := ADD(A, B); END_IF;"


def test_a_coil_passes_on_its_input() -> None:
    d = Drawing("LD")
    d.coil("Y", d.coil("X", d.contact("A", d.rail), negated=True), storage="reset")
    assert statements(d) == "X := NOT A;\nIF A THEN Y := FALSE; END_IF;"


def test_enable_guards_an_output_variable_and_no_coil() -> None:
    d = Drawing("LD")
    sum_ = d.block("ADD", {"EN": d.contact("Go", d.rail), "IN1": d.value("A"), "IN2": d.value("B")}, "ENO OUT")
    d.output("X", sum_["OUT"])
    assert statements(d) == "IF Go THEN X := ADD(A, B); END_IF;"
    d = Drawing("LD")
    d.coil(
        "X", d.block("LT", {"EN": d.contact("Go", d.rail), "IN1": d.value("A"), "IN2": d.value("B")}, "ENO OUT")["OUT"]
    )
    assert statements(d) == "IF Go THEN LT.OUT := LT(A, B); END_IF;\nX := LT.OUT;"


def test_losing_one_wire_of_a_function() -> None:
    def minus(first: bool) -> Drawing:
        d = Drawing("FBD")
        d.output("X", d.block("SUB", {"IN1": d.value("A") if first else None, "IN2": d.value("B")}))
        return d

    assert statements(minus(True)) == "X := SUB(A, B);"
    assert statements(minus(False)) == "X := SUB(IN2 := B);"
    assert "input IN1 of SUB is open" in leftovers(minus(False))


def test_losing_one_wire_of_a_function_block() -> None:
    def counted(wired: bool) -> Drawing:
        d = Drawing("FBD")
        d.output(
            "X", d.block("CTU", {"CU": d.value("A"), "R": d.value("B") if wired else None}, "Q", instanceName="C")["Q"]
        )
        return d

    assert statements(counted(False)) == "{block of type CTU}\nC(CU := A);\nX := C.Q;"
    assert not same(counted(True), counted(False))


def test_sorted_operands_only_where_the_order_says_nothing() -> None:
    def with_inputs(type: str, first: str, second: str) -> Drawing:
        d = Drawing("FBD")
        d.output("X", d.block(type, {"IN1": d.value(first), "IN2": d.value(second)}))
        return d

    for type in ("SUB", "DIV", "GT", "SEL_V", "MY_FUNCTION"):
        assert not same(with_inputs(type, "A", "B"), with_inputs(type, "B", "A"))


def test_a_block_is_known_by_type_and_instance() -> None:
    def timer(type: str, name: str) -> Drawing:
        d = Drawing("FBD")
        d.output("X", d.block(type, {"IN": d.value("A")}, "Q", instanceName=name)["Q"])
        return d

    assert not same(timer("TON", "T1"), timer("TOF", "T1"))
    assert not same(timer("TON", "T1"), timer("TON", "T2"))


def test_a_rung_whose_coil_lost_its_wire() -> None:
    def drawn(wired: bool) -> Drawing:
        d = Drawing("LD")
        contact = d.contact("A", d.rail)
        d.coil("Q", contact if wired else None)
        return d

    assert statements(drawn(False)) == ""
    assert leftovers(drawn(False)) == ["coil Q has nothing wired to it", "contact A leads nowhere: A"] or leftovers(
        drawn(False)
    ) == ["contact A leads nowhere: A", "coil Q has nothing wired to it"]
    assert not same(drawn(True), drawn(False))
