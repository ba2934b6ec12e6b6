"""Wires without a name, the order in which a diagram runs, and the actions of a step, each directly."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from asfound.analysis.places import top
from asfound.compare.context import Context, Scope
from asfound.compare.logic.actions import association_text, compare_actions, named
from asfound.compare.logic.network_order import compare_order
from asfound.compare.logic.order_doubts import compare_doubts
from asfound.compare.logic.wires import matched, without_names
from asfound.compare.pairing.pair import Pair
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Expression, Statement, Temporary, Variable
from asfound.model.program import Association, Body, Doubt, Network, Order, Pou, Program, Step, VariableDeclaration

from . import building as b

POU = Pou("P", "program", variables=tuple(VariableDeclaration(name, "INT") for name in "abcdxyz"))
COPY = Copy(program=Program(pous=(POU,)))
Fact = tuple[object, ...]


def scope() -> Scope:
    return Scope(Context(COPY, COPY), (POU, POU))


def net(*pairs: tuple[str | Temporary, str | Temporary]) -> Network:
    """A network of assignments."""

    def side(of: str | Temporary) -> Expression:
        return b.e(of) if isinstance(of, str) else of

    return Network(tuple(Assign(side(target), side(value)) for target, value in pairs))


def w(number: int, origin: str = "ADD.OUT") -> Temporary:
    return Temporary(number, origin)


WIRES: dict[str, tuple[Network, Network, Network]] = {
    "none": (net(("x", "a")), net(("x", "b")), net(("x", "b"))),
    "the same": (net((w(1), "a"), ("x", w(1))), net((w(2), "a"), ("x", w(2))), net((w(1), "a"), ("x", w(1)))),
    "one put in front": (
        net((w(1), "a"), ("x", w(1))), net((w(1), "b"), (w(2), "a"), ("x", w(2)), ("y", w(1))),
        net((w(2), "b"), (w(1), "a"), ("x", w(1)), ("y", w(2))),
    ),
    "by their definitions": (
        net((w(1), "a"), (w(2), "b"), ("x", w(1)), ("y", w(2))), net((w(1), "b"), (w(2), "a"), ("x", w(2)), ("y", w(1))),
        net((w(2), "b"), (w(1), "a"), ("x", w(1)), ("y", w(2))),
    ),
    "by the kind of their pins": (
        net((w(1, "ADD_1.OUT"), "a"), (w(2, "MUL.OUT"), "b")), net((w(1, "MUL.OUT"), "c"), (w(2, "ADD_7.OUT"), "d")),
        net((w(2, "MUL.OUT"), "c"), (w(1, "ADD_1.OUT"), "d")),
    ),
    "by their order, under their own names": (
        net((w(1, "ADD.OUT"), "a"), ("x", w(1, "ADD.OUT"))), net((w(3, "MUL.OUT"), "b"), ("x", w(3, "MUL.OUT"))),
        net((w(1, "MUL.OUT"), "b"), ("x", w(1, "MUL.OUT"))),
    ),
    "more than before": (
        net((w(4), "a")), net((w(4), "b"), (w(5), "a"), (w(6), "c")), net((w(5), "b"), (w(4), "a"), (w(6), "c")),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", WIRES)
def test_a_wire_that_carries_the_same_is_the_same(name: str) -> None:
    old, new, expected = WIRES[name]
    assert matched(old, new) == expected


def test_a_wire_is_its_number_alone() -> None:
    assert without_names(Assign(Variable("x"), w(3))) == Assign(Variable("x"), Temporary(3))
    plain: Statement = Assign(Variable("x"), Variable("a"))
    assert without_names(plain) is plain


def diagram(order: tuple[tuple[int, int], ...], *codes: str) -> Body:
    return Body("FBD", networks=tuple(Network(b.st(code)) for code in codes), order=Order(order))


ONE, TWO = "a := 1;", "x := a;"
KEPT = ((0, 0), (1, 1), (2, 2))
ORDERS: dict[str, tuple[Body, Body, list[Fact]]] = {
    "as before": (diagram(((0, 0), (1, 0)), ONE, TWO), diagram(((0, 0), (1, 0)), ONE, TWO), []),
    "as drawn": (diagram((), ONE, TWO), diagram(((0, 0), (1, 0)), ONE, TWO), []),
    "the other way round": (
        diagram((), ONE, TWO), diagram(((1, 0), (0, 0)), ONE, TWO),
        [("behaviour", "a := 1;\nx := a;", "x := a;\na := 1;", ("x := a", "a := 1", "read before written"))],
    ),
    "the other way round before": (
        diagram(((1, 0), (0, 0)), ONE, TWO), diagram((), ONE, TWO),
        [("behaviour", "x := a;\na := 1;", "a := 1;\nx := a;", ("a := 1", "x := a", "read after written"))],
    ),
    "of what does not concern each other": (diagram((), ONE, "y := 2;"), diagram(((1, 0), (0, 0)), ONE, "y := 2;"), []),
    "of what was not seen by anybody": (
        diagram((), "q := 1;", "Theirs();"), diagram(((1, 0), (0, 0)), "q := 1;", "Theirs();"),
        [("undecided", "q := 1;\nTheirs();", "Theirs();\nq := 1;", ("Theirs()", "q := 1", "elsewhere"))],
    ),
    "of what changed": (diagram((), ONE, TWO), diagram(((1, 0), (0, 0)), "a := 2;", TWO), []),
    "of statements of one network": (
        diagram(((0, 0), (0, 1)), ONE + TWO), diagram(((0, 1), (0, 0)), ONE + TWO),
        [("behaviour", "a := 1;\nx := a;", "x := a;\na := 1;", ("x := a", "a := 1", "read before written"))],
    ),
    "of several, by what is said of them": (
        diagram((), ONE, "y := a;", TWO), diagram(((1, 0), (2, 0), (0, 0)), ONE, "y := a;", TWO),
        [("behaviour", "a := 1;\ny := a;\nx := a;", "y := a;\nx := a;\na := 1;",
          ("x := a", "a := 1", "read before written"), ("y := a", "a := 1", "read before written"))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ORDERS)
def test_the_order_counts_where_one_touches_what_the_other_writes(name: str) -> None:
    old, new, expected = ORDERS[name]
    found = compare_order(scope(), top("P"), old, new, KEPT[: len(new.networks)])
    assert [
        (c.effect, c.before, c.after, *((e.of, e.owner, *(i.field for i in e.inner)) for e in c.edits)) for c in found
    ] == expected
    assert all((c.kind, c.subject) == ("changed", "execution order changed") for c in found)


def test_what_was_redrawn_too_is_told_as_a_move_alone() -> None:
    old, new = diagram(((0, 0), (1, 0)), ONE, TWO), diagram(((0, 0), (1, 0)), TWO, ONE)
    assert compare_order(scope(), top("P"), old, new, ((0, 1), (1, 0))) == []


def does(action: str, qualifier: str = "N", duration: str = "", indicator: str = "", **more: object) -> Association:
    return Association(action, qualifier, duration, indicator, **more)  # type: ignore[arg-type]


INLINE = Body("ST", b.st("x := 1;"))
ACTIONS: dict[str, tuple[list[Association], list[Association], list[Fact]]] = {
    "the same": ([does("A")], [does("A")], []),
    "in other letters": ([does("A")], [does("a")], [("changed", "documentation", "a", ("spelling alone", "", None, None))]),
    "one that came": ([], [does("A", "L", "T#1s")], [("added", "behaviour", "A", ("action added", "action A", None, None))]),
    "one that went": ([does("A")], [], [("removed", "behaviour", "A", ("action removed", "action A", None, None))]),
    "another qualifier": (
        [does("A")], [does("A", "S")], [("changed", "behaviour", "A", ("qualifier of action", "action A", "N", "S"))],
    ),
    "another time": (
        [does("A", "L", "T#1s")], [does("A", "L", "T#2s")],
        [("changed", "behaviour", "A", ("time of action", "action A", "T#1s", "T#2s"))],
    ),
    "another time and qualifier": (
        [does("A", "L", "T#1s")], [does("A", "D", "T#2s")],
        [("changed", "behaviour", "A", ("qualifier of action", "action A", "L", "D"),
          ("time of action", "action A", "T#1s", "T#2s"))],
    ),
    "a time in another notation": (
        [does("A", "L", "T#1s")], [does("A", "L", "T#1000ms")],
        [("changed", "documentation", "A", ("spelling alone", "", None, None))],
    ),
    "another action": (
        [does("A", "S")], [does("B", "S")], [("changed", "behaviour", "B", ("action of step", "", "action A", "B"))],
    ),
    "another action and qualifier": (
        [does("A", "S")], [does("B", "R")],
        [("removed", "behaviour", "A", ("action removed", "action A", None, None)),
         ("added", "behaviour", "B", ("action added", "action B", None, None))],
    ),
    "two for one": (
        [does("A")], [does("B"), does("C")],
        [("removed", "behaviour", "A", ("action removed", "action A", None, None)),
         ("added", "behaviour", "B", ("action added", "action B", None, None)),
         ("added", "behaviour", "C", ("action added", "action C", None, None))],
    ),
    "an entry action that came": ([], [does("A", "entry")], [("added", "behaviour", "A", ("action added", "entry action A", None, None))]),
    "inline code that came": (
        [does("")], [does("", body=INLINE)], [("changed", "behaviour", "", ("inline code added", "One", None, None))],
    ),
    "inline code that went": (
        [does("", body=INLINE)], [does("")], [("changed", "behaviour", "", ("inline code removed", "One", None, None))],
    ),
    "another comment": (
        [does("A", comment="x")], [does("A", comment="y")], [("changed", "documentation", "A", ("comment", "", "x", "y"))],
    ),
    "another indicator": (
        [does("A", "S", "", "d")], [does("A", "S", "", "c")], [("changed", "behaviour", "A", ("indicator", "", "d", "c"))],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ACTIONS)
def test_what_a_step_does_action_by_action(name: str) -> None:
    old, new, expected = ACTIONS[name]
    steps = Step("One", actions=tuple(old)), Step("One", actions=tuple(new))
    found = compare_actions(scope(), top("P"), Pair(*steps, steps[0]))

    def said(field: str, of: str, was: str | None, now: str | None) -> Fact:
        whole = field.startswith(("action a", "action r", "inline"))
        return (field, of, None, None) if whole else (field, of, was, now)

    assert [
        (c.kind, c.effect, c.path[-1].removeprefix("action:"), *(said(e.field, e.of, e.old, e.new) for e in c.edits))
        for c in found
    ] == expected


def test_actions_in_another_order() -> None:
    a, c = does("A"), does("B", "S")
    steps = Step("One", actions=(a, c)), Step("One", actions=(c, a))
    (found,) = compare_actions(scope(), top("P"), Pair(*steps, steps[0]))
    assert (found.kind, found.before, found.after, found.path) == ("moved", "A, B", "B, A", ("P",))
    assert [(e.field, e.of, e.old, e.new) for e in found.edits] == [
        ("order of actions", "One", None, None), ("actions", "", "A, B", "B, A"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("association", "name", "text"),
    [
        (does("A"), "action A", "A N"),
        (does("A", "L", "T#1s", "done"), "action A", "A L T#1s done"),
        (does("A", "entry"), "entry action A", "A entry"),
        (does("A", "exit"), "exit action A", "A exit"),
        (does("A", "main"), "main action A", "A main"),
        (does("", body=INLINE), "action (inline)", "inline action N\n  x := 1;"),
    ],
)
def test_how_an_association_is_called_and_written(association: Association, name: str, text: str) -> None:
    assert named(association) == name
    assert association_text(association).rstrip() == text


def doubted(kind: str, places: tuple[tuple[int, int], ...], *codes: str) -> Body:
    doubts = (Doubt("them", kind, places),)  # type: ignore[arg-type]
    return replace(diagram((), *codes), order=Order(doubts=doubts))


DOUBTS: dict[str, tuple[Body, Body, list[Fact]]] = {
    "the same relation": (
        doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), [],
    ),
    "of statements that stand elsewhere now": (
        doubted("before", ((0, 0), (0, 1)), "x := a; x := b;"), doubted("before", ((0, 1), (0, 0)), "x := b; x := a;"), [],
    ),
    "of a statement that changed": (
        doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), doubted("before", ((0, 0), (1, 0)), "x := c;", "y := b;"), [],
    ),
    "of a statement that only one side has": (
        doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), diagram((), "z := a;", "y := b;"), [],
    ),
    "one that came": (
        diagram((), "x := a;", "y := b;"), doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"),
        [("doubted before", None, "them", "network 1 (x)", "network 2 (y)")],
    ),
    "one that went": (
        doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), diagram((), "x := a;", "y := b;"),
        [("agreed before", "them", None, "network 1 (x)", "network 2 (y)")],
    ),
    "the other way round": (
        doubted("before", ((0, 0), (1, 0)), "x := a;", "y := b;"), doubted("before", ((1, 0), (0, 0)), "x := a;", "y := b;"),
        [("doubted before", None, "them", "network 2 (y)", "network 1 (x)"),
         ("agreed before", "them", None, "network 1 (x)", "network 2 (y)")],
    ),
    "an order of its own": (
        diagram((), "x := a;", "y := b;"), doubted("as", ((1, 0), (0, 0)), "x := a;", "y := b;"),
        [("doubted as", None, "them", "network 2 (y) then network 1 (x)", "")],
    ),
    "the order as it is drawn": (
        diagram((), "x := a;", "y := b;"), doubted("as", ((0, 0), (1, 0)), "x := a;", "y := b;"), [],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", DOUBTS)
def test_a_doubt_is_a_relation_between_two_statements_wherever_they_stand(name: str) -> None:
    old, new, expected = DOUBTS[name]
    found = compare_doubts(scope(), top("P"), old, new, KEPT[: len(new.networks)])
    assert [(e.field, e.old, e.new, e.of, e.owner) for c in found for e in c.edits] == expected
    for each in found:
        assert (each.effect, each.path, each.names) == ("undecided", ("P", "order"), ("network:1", "network:2"))
