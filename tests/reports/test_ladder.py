"""Ladder drawings in characters: the layout is the same as in SVG, so these are its expected pictures."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.language.parser import parse_statements
from asfound.model.logic import Assign, Jump, Operation, Return, Variable
from asfound.reports.characters import characters
from asfound.reports.drawing import Contact, Drawing, Shape, Text
from asfound.reports.ladder import drawable, layout, layout_all
from asfound.reports.marks import marks
from asfound.reports.svg import svg


def drawn(text: str, types: dict[str, str] | None = None, width: int = 68) -> str:
    found = characters(layout_all(parse_statements(text, dialect=True), types, width=width))
    return "\n" + found


def test_series_parallel_and_closed_contact() -> None:
    assert (
        drawn("PUMP := START AND NOT STOP AND (LOW OR HOLD);")
        == """
|  START    STOP       LOW      PUMP
+---| |------|/|---+---| |---+---( )
|                  |  HOLD   |
|                  +---| |---+
"""
    )


def test_coils() -> None:
    assert (
        drawn("A S= X; B R= X; C := NOT (X AND Y); D := R_EDGE(X AND Y);")
        == """
|   X       A
+--| |-----(S)
|
|   X       B
+--| |-----(R)
|
|   X       Y       C
+--| |-----| |-----(/)
|
|   X       Y       D
+--| |-----| |-----(P)
"""
    )


def test_edge_contacts_and_frames() -> None:
    assert (
        drawn("A := R_EDGE(X) AND F_EDGE(Y) AND NOT (P AND Q) AND Z;")
        == """
|                 +- NOT ---------+
|   X       Y     |   P       Q   |      Z       A
+--|P|-----|N|----|--| |-----| |--|-----| |-----( )
|                 +---------------+
"""
    )


def test_comparison_stands_on_the_rung() -> None:
    assert (
        drawn("A := X AND LEVEL > 20.0;")
        == """
|                 +-------+
|   X             |  GT   |     A
+--| |------------|       |----( )
|          LEVEL--|IN1    |
|           20.0--|IN2    |
|                 +-------+
"""
    )


def test_negated_comparison_has_a_bubble() -> None:
    assert "|       |o---( )" in drawn("A := NOT (LEVEL > 20.0);")


def test_call_of_an_instance() -> None:
    assert (
        drawn("{call TON} T1(IN := X AND NOT Y, PT := T#5s, Q => DONE);")
        == """
|                    T1
|                 +-------+
|    X       Y    |  TON  |
+---| |-----|/|---|IN    Q|--DONE
|           T#5s--|PT     |
|                 +-------+
"""
    )


def test_arithmetic_is_blocks_with_the_guard_on_en() -> None:
    types = {"a": "REAL", "b": "REAL", "s": "REAL", "run": "BOOL"}
    sum_ = Operation("+", (Variable("A"), Variable("B")))
    assert (
        "\n" + characters(layout(Assign(Variable("S"), sum_, condition=Variable("RUN")), types))
        == """
|         +-------+
|   RUN   |  ADD  |
+---| |---|EN     |--S
|      A--|IN1    |
|      B--|IN2    |
|         +-------+
"""
    )


def test_guarded_coil_is_no_series_contact() -> None:
    """While the guard is FALSE the target keeps its value; a contact in series would switch it off."""
    text = characters(layout(Assign(Variable("A"), Variable("X"), condition=Variable("G"))))
    assert "MOVE" in text and "|EN " in text


def test_declared_types_decide_what_is_a_contact() -> None:
    assert "| |" in drawn("SPEED := RAW;")
    assert "MOVE" in drawn("SPEED := RAW;", {"speed": "REAL", "raw": "REAL"})


def test_jump_return_label_and_comment() -> None:
    assert drawn("(* Manual mode *)\nA := X;").startswith("\n (* Manual mode *)\n|")
    assert characters(layout(Jump("NEXT", Variable("G")))) == "|   G\n+--| |------>>NEXT\n"
    assert characters(layout(Return())) == "+---<RETURN>\n"


def test_long_rung_goes_on_behind_connectors() -> None:
    names = [f"VERY_LONG_NAME_OF_A_CONTACT_{n}" for n in range(4)]
    text = drawn(f"OUT1 := {' AND '.join(names)};")
    assert all(name in text for name in names)
    assert [text.count(f">{number}>") for number in (1, 2, 3, 4)] == [2, 2, 2, 0]
    assert max(map(len, text.splitlines())) <= 70


def test_what_has_no_graphical_form_is_text() -> None:
    statement = parse_statements("IF A THEN B := C; END_IF;")[0]
    assert not drawable(statement)
    assert [shape.text for shape in layout(statement).shapes if isinstance(shape, Text)] == [
        "IF A THEN", "  B := C;", "END_IF;",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("old", "new", "expected_old", "expected_new"),
    [
        ("Q := A AND B;", "Q := A AND (B OR C);", {}, {(0, "value", 1, 1): "+"}),
        ("Q := A AND B AND C;", "Q := A AND C;", {(0, "value", 1): "-"}, {}),
        ("Q := A AND B;", "Q := A AND NOT B;", {(0, "value", 1): "~"}, {(0, "value", 1): "~"}),
        ("Q := A;", "Q S= A;", {(0, "target"): "~"}, {(0, "target"): "~"}),
        ("Q := A;", "q := a;", {}, {}),
        ("T1(IN := A, PT := T#8s);", "T1(IN := A, PT := T#3s);",
         {(0, "input", "pt"): "~"}, {(0, "input", "pt"): "~"}),
        ("Q := A; R := B;", "R := B; S := C;", {(0,): "-"}, {(1,): "+"}),
        ("Q := A AND B;", "Q := A OR B;", {(0, "value", "box"): "~"}, {(0, "value", "box"): "~"}),
        ("Q := A OR B;", "Q := NOT (NOT A AND NOT B);", {(0, "value"): "~"}, {(0, "value"): "~"}),
        ("X := F(A, 1);", "X := F(A, 2);", {(0, "value", 1): "~"}, {(0, "value", 1): "~"}),
    ],
)  # fmt: skip
def test_marks(old: str, new: str, expected_old: object, expected_new: object) -> None:
    assert marks(parse_statements(old, dialect=True), parse_statements(new, dialect=True)) == (
        expected_old,
        expected_new,
    )


def test_marked_element_has_sign_and_class() -> None:
    old, new = parse_statements("Q := A;"), parse_statements("Q := A OR BYPASS;")
    picture = svg(layout_all(new), marks(old, new)[1])
    assert picture.count('class="mark-added"') == 1
    assert '<g class="mark-added"><path class="symbol"' in picture
    assert '<text class="sign"' in picture and ">+</text>" in picture
    assert "+ BYPASS" in characters(layout_all(new), marks(old, new)[1])


def test_svg_tells_the_text_and_escapes_it() -> None:
    picture = svg(layout(parse_statements("Q := A AND B;")[0]), {}, title="<b>&", name="x")
    assert '<title id="x-t">&lt;b&gt;&amp;</title><desc id="x-d">Q := A AND B;</desc>' in picture


_NAMES = st.sampled_from(["A", "B", "LEVEL", "A_RATHER_LONG_NAME_FOR_A_CONTACT", "T1.Q", "%IX0.1"])
_TEXTS = st.recursive(
    _NAMES,
    lambda inner: st.one_of(
        st.builds("({} AND {})".format, inner, inner),
        st.builds("({} OR {})".format, inner, inner),
        st.builds("({} XOR {})".format, inner, inner),
        st.builds("NOT ({})".format, inner),
        st.builds("R_EDGE({})".format, inner),
        st.builds("(W1 + 2 > LIMIT(0, {}, 9))".format, inner),
    ),
    max_leaves=12,
)


@given(_TEXTS, st.integers(20, 100))
@settings(max_examples=150)
def test_every_expression_is_drawn_inside_its_drawing_with_all_its_names(text: str, width: int) -> None:
    statements = parse_statements(f"Q := {text};", dialect=True)
    drawing = layout_all(statements, width=width)
    for shape in drawing.shapes:
        _inside(shape, drawing)
    lines = characters(drawing)
    for name in ("A_RATHER_LONG_NAME_FOR_A_CONTACT", "T1.Q", "%IX0.1", "LEVEL"):
        assert (name in text) == (name in lines)


def _inside(shape: Shape, drawing: Drawing) -> None:
    assert 0 <= shape.x <= drawing.width
    assert 0 <= shape.y < drawing.height
    if isinstance(shape, Contact):
        assert shape.y >= 1 and shape.x >= len(shape.label) // 2
