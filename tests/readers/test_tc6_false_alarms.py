"""What changes in a file without a meaning must change nothing."""

from __future__ import annotations

from drawing_kit import Drawing, action, alternatives, chart, pou, project, rung, same, section, st, text, variable


def test_renumbered_and_moved_elements() -> None:
    d = Drawing("LD", first=500)
    d.coil("Q", d.contact("A", d.rail, at=(70, 40)), at=(300, 40))
    assert same(rung(), d)


def test_order_of_pous_and_actions() -> None:
    a, b = pou(st("a := 1;"), name="A"), pou(st("b := 1;"), name="B")
    assert same(project(a, b), project(b, a))


def test_rail_pins_and_the_order_of_parallel_wires() -> None:
    def wired(reverse: bool, rails: int) -> Drawing:
        d = Drawing("LD")
        starts = [d.add("leftPowerRail", '<connectionPointOut formalParameter=""/>' * (k + 1)) for k in range(rails)]
        a, b = d.contact("A", starts[0]), d.contact("B", starts[-1])
        d.coil("Q", b | a if reverse else a | b)
        d.add("rightPowerRail", "<connectionPointIn/>" * rails)
        return d

    assert same(wired(False, 1), wired(True, 1))
    assert same(wired(False, 1), wired(False, 3))


def test_where_a_section_is_split() -> None:
    a, b = variable("A", "INT"), variable("B", "INT")
    assert same(pou(rung(), section("localVars", a, b)), pou(rung(), section("localVars", a) + section("localVars", b)))


def test_an_execution_order_of_zero_and_written_defaults() -> None:
    plain = rung()
    full = Drawing("LD")
    full.coil("Q", full.contact("A", full.rail, negated="false", edge="none", storage="none"),
              negated="false", edge="none", storage="none", executionOrderId="0")  # fmt: skip
    assert same(plain, full)


def test_written_defaults_of_charts() -> None:
    def drawn(explicit: bool) -> Drawing:
        d = Drawing("SFC")
        s = d.step("S", initialStep=True)
        d.actions(s, action("Lamp", qualifier="N", duration="", indicator="") if explicit else action("Lamp"))
        t = d.step("T", d.transition("A", s), **({"initialStep": "false"} if explicit else {}))
        d.jump_to("S", d.transition("B", t))
        return d

    assert same(drawn(True), drawn(False))


def test_indentation_of_the_file_and_line_ends() -> None:
    plain = project(pou(rung(), section("localVars", variable("A", "INT"))))
    assert same(plain, plain.replace(b"><", b">\r\n   <"))


def test_padded_documentation() -> None:
    def told(words: str) -> str:
        return pou(rung(), more=f"<documentation>{text(words)}</documentation>")

    assert same(told("two words"), told("\n    two\n    words\n  "))


def test_times_of_the_export_and_names_of_branchings() -> None:
    plain = project(pou(rung()))
    assert same(plain, plain.replace(b"2026-01-01T00:00:00", b"2026-02-02T00:00:00"))
    named = Drawing("SFC")
    named.parts.append(alternatives("A", "B").parts[0])
    named = alternatives("A", "B")
    named.parts[1] = named.parts[1].replace("<selectionDivergence ", '<selectionDivergence name="Branch0" ')
    assert same(alternatives("A", "B"), named)


def test_versions_of_the_format_say_the_same() -> None:
    assert same(project(pou(rung())), project(pou(rung()), namespace="http://www.plcopen.org/xml/tc6_0200"))


def test_numbers_of_64_bits_and_action_numbers() -> None:
    d = Drawing("LD", first=30_000_000_007)
    d.coil("Q", d.contact("A", d.rail))
    assert same(d, rung())
    chart_ = Drawing("SFC", first=0)
    s = chart_.step("S", initialStep=True)
    chart_.actions(s, action("Lamp", qualifier="N"), action("Horn", qualifier="S"))
    chart_.jump_to("S", chart_.transition("A", s))
    assert "  Lamp(N);\n  Horn(S);" in chart(chart_)
