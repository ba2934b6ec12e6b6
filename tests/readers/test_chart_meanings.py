"""What a sequential chart means: steps, branchings, conditions, actions; one drawing for each rule."""

from __future__ import annotations

import pytest
from drawing_kit import Drawing, action, chart, first_body, first_pou, leftovers, point, pou, same, st, statements

QUALIFIERS = ("N", "R", "S", "L", "D", "P", "SD", "DS", "SL", "P0", "P1")


def looped(*lines: str, **given: object) -> Drawing:
    d = Drawing("SFC")
    step = d.step("S", initialStep=True)
    d.actions(step, *lines)
    d.jump_to("S", d.transition("Go", step, **given))
    return d


@pytest.mark.parametrize("qualifier", QUALIFIERS)
def test_a_qualifier_with_its_time(qualifier: str) -> None:
    drawn = looped(action("Lamp", qualifier=qualifier, duration="T#2s", indicator="Done"))
    assert f"Lamp({qualifier}, T#2s" in chart(drawn)
    others = [
        looped(action("Lamp", qualifier=q, duration="T#2s", indicator="Done")) for q in QUALIFIERS if q != qualifier
    ]
    others += [
        looped(action("Lamp", qualifier=qualifier, duration="T#3s", indicator="Done")),
        looped(action("Lamp", qualifier=qualifier, duration="T#2s", indicator="Ready")),
        looped(action("Horn", qualifier=qualifier, duration="T#2s", indicator="Done")),
    ]
    assert not any(same(drawn, other) for other in others)


def test_an_action_written_in_place() -> None:
    def inline(code: str) -> Drawing:
        return looped(action(inside=f"<inline>{st(code).removeprefix('<body>').removesuffix('</body>')}</inline>"))

    assert "a := 1;" in chart(inline("a := 1;"))
    assert not same(inline("a := 1;"), inline("a := 2;"))


def test_the_order_of_actions_is_kept() -> None:
    assert not same(looped(action("A"), action("B")), looped(action("B"), action("A")))


def test_a_macro_step_has_its_own_body() -> None:
    def macro(condition: str) -> Drawing:
        inner = Drawing("SFC")
        inner.jump_to("I", inner.transition(condition, inner.step("I", initialStep=True)))
        d = Drawing("SFC")
        step = d.step("M", d.transition("Go", d.step("S", initialStep=True)), kind="macroStep", more=inner.xml)
        d.jump_to("S", d.transition("Done", step))
        return d

    assert "STEP M:\n{macro}\nINITIAL_STEP I:" in chart(macro("x"))
    assert ":= x;" in chart(macro("x"))
    assert not same(macro("x"), macro("y"))


def conditioned(inside: str) -> Drawing:
    d = Drawing("SFC")
    d.jump_to("S", d.transition(inside, d.step("S", initialStep=True)))
    return d


def test_conditions_inline_named_and_wired() -> None:
    d = Drawing("SFC")
    step = d.step("S", initialStep=True)
    wired = d.contact("A", d.rail, negated=True) | d.contact("B", d.rail)
    d.jump_to("S", d.transition(wired, step))
    assert ":= B OR NOT A;" in chart(d)
    assert ":= A AND B;" in chart(conditioned("A AND B"))
    assert ":= Ready;" in chart(conditioned('<reference name="Ready"/>'))
    assert not same(conditioned('<reference name="Ready"/>'), conditioned('<reference name="Empty"/>'))


def test_priorities_decide_before_position() -> None:
    def split(first: str, second: str) -> Drawing:
        d = Drawing("SFC")
        fork = d.branching("selectionDivergence", d.step("S", initialStep=True))
        d.step("Up", d.transition("A", fork, priority=first))
        d.step("Down", d.transition("B", fork, priority=second))
        return d

    assert chart(split("2", "1")).index("TO Down") < chart(split("2", "1")).index("TO Up")
    assert not same(split("1", "2"), split("2", "1"))


def test_nested_branchings() -> None:
    d = Drawing("SFC")
    outer = d.branching("simultaneousDivergence", d.transition("Start", d.step("S", initialStep=True)))
    left = d.step("L", outer)
    fork = d.branching("selectionDivergence", d.step("R", outer))
    up, down = d.step("U", d.transition("A", fork)), d.step("D", d.transition("B", fork))
    joined = d.step("J", d.branching("selectionConvergence", d.transition("C", up), d.transition("E", down)))
    both = d.branching("simultaneousConvergence", left, joined)
    d.jump_to("S", d.transition("Done", both))
    text = chart(d)
    assert "TRANSITION FROM S TO (L, R)\n  := Start;" in text
    assert "TRANSITION FROM U TO J\n  := C;" in text
    assert "TRANSITION FROM D TO J\n  := E;" in text
    assert "TRANSITION FROM (J, L) TO S\n  := Done;" in text
    assert leftovers(d) == []


def test_what_is_tied_to_nothing_is_kept() -> None:
    d = looped()
    d.add("actionBlock", action("Lost"))
    d.transition("Never", None)
    assert leftovers(d) == ["action Lost (N) belongs to no step", "transition Never comes from no step"]


def test_several_worksheets_of_a_body() -> None:
    two = pou(st("a := 1;") + st("b := 2;"))
    assert [statements(pou(st("a := 1;")))] == ["a := 1;"]
    assert len(first_pou(two).bodies) == 2
    assert not same(two, pou(st("a := 1;")))
    assert not same(two, pou(st("b := 2;") + st("a := 1;")))


def test_a_loop_of_branchings_ends() -> None:
    d = Drawing("SFC")
    d.step("S", initialStep=True)
    d.add("selectionConvergence", point(None) + '<connectionPointIn><connection refLocalId="3"/></connectionPointIn>')
    d.add("selectionDivergence", '<connectionPointIn><connection refLocalId="2"/></connectionPointIn>')
    d.add("transition", '<connectionPointIn><connection refLocalId="3"/></connectionPointIn>')
    assert "comes from no step" in leftovers(d)[0]
    assert first_body(d).chart is not None


def test_a_second_condition_of_a_transition_is_kept() -> None:
    def twice(name: str) -> Drawing:
        return conditioned(f'<reference name="First"/><reference name="{name}"/>')

    assert not same(twice("Second"), twice("Third"))
    assert not same(twice("Second"), conditioned('<reference name="First"/>'))
    assert ":= First;" in chart(twice("Second"))
