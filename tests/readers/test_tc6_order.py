"""What runs first in a drawing."""

from __future__ import annotations

from drawing_kit import Drawing, Wires, first_body, same, statements

from asfound.model.program import Doubt


def two_coils(first: int, second: int, swapped: bool = False) -> Drawing:
    d = Drawing("LD")
    drawn = [("Q1", "A", first), ("Q2", "Q1", second)]
    for target, source, y in reversed(drawn) if swapped else drawn:
        d.coil(target, d.contact(source, d.rail, at=(50, y)), at=(100, y))
    return d


def test_moving_a_rung_is_behaviour_when_it_then_reads_an_old_value() -> None:
    assert statements(two_coils(100, 160)) == "Q1 := A;\nQ2 := Q1;"
    assert statements(two_coils(160, 100)) == "Q2 := Q1;\nQ1 := A;"
    assert not same(two_coils(100, 160), two_coils(160, 100))


def test_reordering_the_file_is_doubted_when_statements_share_a_variable() -> None:
    swapped = two_coils(100, 160, swapped=True)
    assert statements(swapped) == "Q1 := A;\nQ2 := Q1;"
    assert first_body(swapped).order.doubts == (Doubt("file order", "before", ((1, 0), (0, 0))),)
    assert not same(two_coils(100, 160), swapped)


def test_rows_less_than_ten_apart_run_from_left_to_right() -> None:
    def rows(y: int) -> Drawing:
        d = Drawing("LD")
        d.coil("Q1", d.rail, at=(200, 100))
        d.coil("Q2", d.contact("Q1", d.rail), at=(100, y))
        return d

    assert statements(rows(109)) == "Q2 := Q1;\nQ1 := TRUE;"
    assert statements(rows(110)) == "Q1 := TRUE;\nQ2 := Q1;"


def test_a_function_block_without_a_wired_output_runs_last() -> None:
    def timed(drawn: bool) -> Drawing:
        d = Drawing("LD")
        if drawn:
            d.block("TON", {"IN": d.contact("A", d.rail), "PT": d.value("T#5s")}, "Q ET", instanceName="T1", at=(0, 10))
        d.coil("A", d.contact("B", d.rail), at=(0, 100))
        return d

    assert statements(timed(True)) == "A := B;\n{block of type TON}\nT1(IN := A, PT := T#5s);"
    assert not same(timed(True), timed(False))


def feedback(first: int, second: int) -> Drawing:
    """Two blocks that feed each other; each has an output variable."""
    d = Drawing("FBD")
    ids = ("1", "2")
    for own, other, name in ((ids[0], ids[1], "X"), (ids[1], ids[0], "Y")):
        loop = f'<connectionPointIn><connection refLocalId="{other}" formalParameter="OUT"/></connectionPointIn>'
        pins = f'<variable formalParameter="IN1">{loop}</variable><variable formalParameter="IN2"><connectionPointIn><connection refLocalId="3"/></connectionPointIn></variable>'
        d.add(
            "block",
            f"<inputVariables>{pins}</inputVariables><inOutVariables/><outputVariables><variable formalParameter=\"OUT\"/></outputVariables>",
            id=own, typeName="ADD" if name == "X" else "MUL",
        )  # fmt: skip
    d.value("A", id="3")
    d.output("X", Wires((("1", "OUT"),)), at=(0, first))
    d.output("Y", Wires((("2", "OUT"),)), at=(0, second))
    return d


def test_where_a_feedback_loop_is_cut_depends_on_the_order_of_sinks() -> None:
    assert (
        statements(feedback(10, 50))
        == "MUL.OUT := MUL(ADD.OUT, A);\nADD.OUT := ADD(MUL.OUT, A);\nX := ADD.OUT;\nY := MUL.OUT;"
    )
    assert not same(feedback(10, 50), feedback(50, 10))


def test_a_value_taken_before_its_inputs_change_stays_where_it_was() -> None:
    d = Drawing("FBD")
    block = d.block("ADD", {"IN1": d.value("A"), "IN2": d.value("B")})
    d.output("A", block["OUT"], at=(0, 10))
    d.output("X", block["OUT"], at=(0, 50))
    assert statements(d) == "ADD.OUT := ADD(A, B);\nA := ADD.OUT;\nX := ADD.OUT;"


def test_two_writes_of_one_variable_keep_their_order() -> None:
    def latched(first: str, second: str) -> Drawing:
        d = Drawing("LD")
        for y, (storage, name) in enumerate(((first, "A"), (second, "B"))):
            d.coil("M", d.contact(name, d.rail), at=(0, 100 * y), storage=storage)
        return d

    assert statements(latched("set", "reset")) == "IF A THEN M := TRUE; END_IF;\nIF B THEN M := FALSE; END_IF;"
    assert not same(latched("set", "reset"), latched("reset", "set"))
    swapped = Drawing("LD")
    swapped.coil("M", swapped.contact("B", swapped.rail), at=(0, 0), storage="reset")
    swapped.coil("M", swapped.contact("A", swapped.rail), at=(0, 100), storage="set")
    assert not same(latched("set", "reset"), swapped)


def test_recycled_numbers() -> None:
    def two(first: str, second: str) -> Drawing:
        d = Drawing("LD")
        d.coil("X", d.contact(first, d.rail)), d.coil("Y", d.contact(second, d.rail))
        return d

    assert not same(two("A", "B"), two("B", "A"))


def flow_of_control(*parts: str) -> Drawing:
    d = Drawing("FBD")
    for y, part in enumerate(parts):
        name, _, target = part.partition(" ")
        at = (10, 100 * y)
        if name == "jump":
            d.add(
                "jump",
                f'<connectionPointIn><connection refLocalId="{d.value("Skip", at=at).ends[0][0]}"/></connectionPointIn>',
                at=at,
                label=target,
            )
        elif name == "return":
            d.add(
                "return",
                f'<connectionPointIn><connection refLocalId="{d.value("Stop", at=at).ends[0][0]}"/></connectionPointIn>',
                at=at,
            )
        elif name == "label":
            d.add("label", at=at, label=target)
        else:
            d.output(name, d.value(target, at=at), at=at)
    return d


def test_jumps_labels_and_returns() -> None:
    drawn = flow_of_control("jump End", "Q A", "return", "R B", "label End", "S C")
    assert statements(drawn) == (
        "IF Skip THEN JMP End; END_IF;\nQ := A;\nIF Stop THEN RETURN; END_IF;\nR := B;\nS := C;"
    )
    assert [n.label for n in first_body(drawn).networks] == ["", "", "", "", "End"]
    assert not same(drawn, flow_of_control("jump End", "Q A", "return", "label End", "R B", "S C"))
    assert not same(drawn, flow_of_control("jump End", "Q A", "R B", "label End", "S C"))
    assert not same(drawn, flow_of_control("jump End", "return", "Q A", "R B", "label End", "S C"))
