"""A POU as leaves: where each stands, what it is, and what decides whether it runs."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.leaves import Leaf, by_place, declared_leaves, dotted, labels, leaves, name_of, of_body
from asfound.analysis.places import top
from asfound.analysis.symbols import Symbols
from asfound.language.parser import parse_expression, parse_statements
from asfound.language.statement_printer import expression as text
from asfound.language.walk import reads, writes
from asfound.model.logic import Call, Case, Jump, Variable
from asfound.model.program import Action, Association, Body, Chart, Network, Pou, Step, Transition


def told(leaf: Leaf) -> tuple[str, str, str]:
    """Path below the POU, what it is with its reads and writes, and its conditions."""
    statement = leaf.statement
    kind = statement.label if isinstance(statement, Jump) else statement.type if isinstance(statement, Call) else ":="
    names = f"{','.join(sorted(reads(statement) - {''}))}>{','.join(sorted(writes(statement) - {''}))}"
    return "/".join(leaf.place.path[1:]), f"{kind} {names}", ", ".join(map(text, leaf.conditions))


def of_text(code: str) -> list[tuple[str, str, str]]:
    return [told(leaf) for leaf in leaves(Pou("P", "program", bodies=(Body("ST", parse_statements(code)),)))]


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("x := y; (* said *) z := x;", [("statement:1", ":= y>x", ""), ("statement:2", ":= x>z", "")]),
        (
            "IF a THEN x := 1; ELSIF b THEN x := 2; ELSE x := 3; END_IF;",
            [
                ("statement:1/branch:1", "§if a>", ""), ("statement:1/branch:1/statement:1", ":= >x", "a"),
                ("statement:1/branch:2", "§if b>", "a"), ("statement:1/branch:2/statement:1", ":= >x", "a, b"),
                ("statement:1/else/statement:1", ":= >x", "a, b"),
            ],
        ),
        (
            "CASE s OF 1, 3..n: x := 1; 5: y := 1; ELSE z := 1; END_CASE;",
            [
                ("statement:1", "§case s>", ""), ("statement:1/arm:1, 3..n", "§arm n>", "s"),
                ("statement:1/arm:1, 3..n/statement:1", ":= >x", "s"), ("statement:1/arm:5", "§arm >", "s"),
                ("statement:1/arm:5/statement:1", ":= >y", "s"), ("statement:1/else/statement:1", ":= >z", "s"),
            ],
        ),
        (
            "FOR i := a TO b BY c DO x := i; END_FOR;",
            [("statement:1", "§for a,b,c>i", ""), ("statement:1/loop/statement:1", ":= i>x", "a, b")],
        ),
        (
            "FOR i := a TO b DO x := i; END_FOR;",
            [("statement:1", "§for a,b>i", ""), ("statement:1/loop/statement:1", ":= i>x", "a, b")],
        ),
        (
            "WHILE a DO x := 1; END_WHILE; REPEAT y := 1; UNTIL b END_REPEAT;",
            [
                ("statement:1", "§loop a>", ""), ("statement:1/loop/statement:1", ":= >x", "a"),
                ("statement:2", "§loop b>", ""), ("statement:2/loop/statement:1", ":= >y", "b"),
            ],
        ),
        (
            "IF a THEN CASE s OF 1: x := 1; END_CASE; FOR i := b TO c DO y := i; END_FOR; END_IF;",
            [
                ("statement:1/branch:1", "§if a>", ""),
                ("statement:1/branch:1/statement:1", "§case s>", "a"),
                ("statement:1/branch:1/statement:1/arm:1", "§arm >", "a, s"),
                ("statement:1/branch:1/statement:1/arm:1/statement:1", ":= >x", "a, s"),
                ("statement:1/branch:1/statement:2", "§for b,c>i", "a"),
                ("statement:1/branch:1/statement:2/loop/statement:1", ":= i>y", "a, b, c"),
            ],
        ),
        (
            "IF a THEN WHILE b DO x := 1; END_WHILE; END_IF; y := 1;",
            [
                ("statement:1/branch:1", "§if a>", ""), ("statement:1/branch:1/statement:1", "§loop b>", "a"),
                ("statement:1/branch:1/statement:1/loop/statement:1", ":= >x", "a, b"),
                ("statement:2", ":= >y", ""),
            ],
        ),
    ],
)  # fmt: skip
def test_the_leaves_of_a_text(code: str, expected: list[tuple[str, str, str]]) -> None:
    assert of_text(code) == expected


CHART = Chart(
    steps=(
        Step("Idle", initial=True, actions=(Association("Lamp"), Association("Motor.Stop", "D", "T#1s", "done"))),
        Step("Work", actions=(Association("", body=Body("ST", parse_statements("w := 1;"))),)),
        Step("Inner", macro=True, body=Body("ST", parse_statements("m := 1;"))),
    ),
    transitions=(
        Transition(("Idle",), ("Work", "Inner"), parse_expression("go"), statements=parse_statements("t := u;")),
        Transition(("Work", "Inner"), ("Idle",), parse_expression("ready")),
    ),
)


def test_the_leaves_of_a_chart() -> None:
    found = [told(leaf) for leaf in leaves(Pou("P", "program", bodies=(Body("SFC", chart=CHART),)))]
    assert found == [
        ("step:Idle", "§action N   idle,lamp>lamp", ""),
        ("step:Idle", "§action D T#1s done idle,motor>motor", ""),
        ("step:Work", "§action N   work>", ""),
        ("step:Work/statement:1", ":= >w", "Work"),
        ("step:Inner/statement:1", ":= >m", "Inner"),
        ("transition:Idle -> Work, Inner", ":= u>t", ""),
        ("transition:Idle -> Work, Inner", "§transition go,idle>inner,work", ""),
        ("transition:Work, Inner -> Idle", "§transition inner,ready,work>idle", ""),
    ]


def test_conditions_around_a_body_hold_for_its_chart_and_its_rungs() -> None:
    around = (Variable("on"),)
    chart = [leaf.conditions for leaf in of_body(Body("SFC", chart=CHART), top("P"), around)]
    assert [" ".join(map(text, c)) for c in chart] == ["on", "on", "on", "on Work", "on Inner", "on", "on", "on"]
    rungs = Body("LD", networks=(Network(parse_statements("x := 1;")), Network(parse_statements("y := 1; z := 1;"))))
    found = [(*leaf.place.path[1:], *map(text, leaf.conditions)) for leaf in of_body(rungs, top("P"), around)]
    assert found == [("network:1", "on"), ("network:2", "on"), ("network:2", "on")]


def test_the_parts_of_a_pou_in_reading_order() -> None:
    st = parse_statements
    inner = Pou("Go", "method", bodies=(Body("ST", st("g := 1;")),))
    pou = Pou(
        "B", "function_block", bodies=(Body("ST", st("x := 1;")), Body("LD", networks=(Network(st("y := 1;")),))),
        actions=(Action("Act", Body("ST", st("a := 1;"))),), transitions=(Action("Tr", Body("ST", st("t := 1;"))),),
        members=(inner,),
    )  # fmt: skip
    found = [(leaf.place.where, leaf.place.path, sorted(leaf.guards), p.name) for leaf, p in declared_leaves(pou)]
    assert found == [
        ("B / worksheet 1 / statement 1", ("B", "worksheet:1", "statement:1"), [], "B"),
        ("B / worksheet 2 / rung 1", ("B", "worksheet:2", "network:1"), [], "B"),
        ("B / action Act / statement 1", ("B", "action:Act", "statement:1"), ["act"], "B"),
        ("B / transition Tr / statement 1", ("B", "transition:Tr", "statement:1"), [], "B"),
        ("B / method Go / statement 1", ("B", "method:Go", "statement:1"), [], "Go"),
    ]
    assert [leaf.place.path[0] for leaf in leaves(pou, top("Elsewhere"))] == ["Elsewhere"] * 5


def test_the_names_that_decide_whether_a_leaf_runs() -> None:
    (_, leaf) = leaves(Pou("P", "program", bodies=(Body("ST", parse_statements("IF A.q AND b THEN x := 1; END_IF;")),)))
    assert leaf.guards == {"a", "b"}


def test_the_leaves_at_each_path() -> None:
    text_ = b"PROGRAM P VAR x, y : INT; END_VAR IF x > 1 THEN y := 1; END_IF; x := 2; END_PROGRAM"
    found = by_place(leaves(Symbols(asfound.read(text_, "p.st")).pous["p"]))
    assert {"/".join(path): len(here) for path, here in found.items()} == {
        "P": 3, "P/statement:1": 2, "P/statement:1/branch:1": 2, "P/statement:1/branch:1/statement:1": 1,
        "P/statement:2": 1,
    }  # fmt: skip


def test_the_names_of_arms_accesses_and_transitions() -> None:
    (case,) = parse_statements("CASE s OF 1, 3..n: x := 1; Mode#Off: y := 1; END_CASE;")
    assert isinstance(case, Case) and [labels(arm) for arm in case.arms] == ["1, 3..n", "Mode#Off"]
    assert [text(dotted(name)) for name in ("Motor", "Motor.Valve.Stop")] == ["Motor", "Motor.Valve.Stop"]
    assert dotted("Motor.Valve") == parse_expression("Motor.Valve")
    assert [name_of(t) for t in CHART.transitions] == ["Idle -> Work, Inner", "Work, Inner -> Idle"]
