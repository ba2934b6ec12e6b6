"""Sequential charts."""

from __future__ import annotations

from drawing_kit import Drawing, action, alternatives, chart, copy_of, same

from asfound.compare.comparison import compare


def test_the_order_of_alternatives() -> None:
    assert not same(alternatives("A", "B"), alternatives("B", "A"))
    left = "TRANSITION FROM S TO Up\n  := A;\nEND_TRANSITION\nTRANSITION FROM S TO Down\n  := B;\nEND_TRANSITION"
    assert left in chart(alternatives("A", "B"))


def test_order_of_alternatives_that_differ_in_nothing_else() -> None:
    def split(*order: str) -> Drawing:
        d = Drawing("SFC")
        s = d.step("S", initialStep=True)
        fork = d.branching("selectionDivergence", s)
        for target in order:
            d.step(target, d.transition(f"Go{target}", fork))
        return d

    assert not same(split("Up", "Down"), split("Down", "Up"))


def test_simultaneous_or_selection() -> None:
    def split(kind: str) -> Drawing:
        d = Drawing("SFC")
        s = d.step("S", initialStep=True)
        if kind == "simultaneous":
            fork = d.branching("simultaneousDivergence", d.transition("A", s))
            d.step("Up", fork), d.step("Down", fork)
        else:
            fork = d.branching("selectionDivergence", s)
            d.step("Up", d.transition("A", fork)), d.step("Down", d.transition("A", fork))
        return d

    assert "TRANSITION FROM S TO (Down, Up)\n  := A;" in chart(split("simultaneous"))
    assert "TRANSITION FROM S TO Up\n  := A;" in chart(split("selection"))
    assert not same(split("simultaneous"), split("selection"))


def test_a_jump_drawn_into_a_convergence_is_no_predecessor() -> None:
    def joined(with_jump: bool) -> Drawing:
        d = Drawing("SFC")
        fork = d.branching("selectionDivergence", d.step("S", initialStep=True))
        end = d.jump_to("S", d.transition("B", fork))
        work = d.transition("A", fork)
        d.step("T", d.branching("selectionConvergence", *([end] if with_jump else []), work))
        return d

    assert chart(joined(True)) == chart(joined(False))
    assert "TRANSITION FROM S TO T" in chart(joined(True))


def test_a_convergence_of_steps_followed_by_a_transition() -> None:
    d = Drawing("SFC")
    fork = d.branching("selectionDivergence", d.step("S", initialStep=True))
    up, down = d.step("Up", d.transition("A", fork)), d.step("Down", d.transition("B", fork))
    d.step("End", d.transition("Ready", d.branching("selectionConvergence", up, down)))
    assert "TRANSITION FROM Up TO End\n  := Ready;" in chart(d)
    assert "TRANSITION FROM Down TO End\n  := Ready;" in chart(d)


def test_step_names_are_used_in_expressions() -> None:
    def timed(name: str, used: str) -> Drawing:
        d = Drawing("SFC")
        d.jump_to(name, d.transition(f"{used}.t > T#5s", d.step(name, initialStep=True)))
        return d

    assert not same(timed("Fill", "Fill"), timed("Load", "Load"))
    assert compare(copy_of(timed("Fill", "Fill")), copy_of(timed("Load", "Fill"))).verdict in ("behaviour", "undecided")


def test_an_action_of_another_pou_keeps_its_name() -> None:
    def linked(reference: str) -> Drawing:
        d = Drawing("SFC")
        s = d.step("S", initialStep=True)
        d.actions(s, action(reference, qualifier="N"))
        d.jump_to("S", d.transition("A", s))
        return d

    assert "  Motor.ACT_Stop(N);" in chart(linked("Motor.ACT_Stop"))
    assert not same(linked("Motor.ACT_Stop"), linked("Pump.ACT_Stop"))
