"""Logic, told whole: one pair of bodies for each thing that can differ, and every line about it."""

from __future__ import annotations

import pytest

from asfound.compare.comparison import compare
from asfound.model.copy import Copy
from asfound.model.logic import Argument, Assign, Call, Edge, Jump, Label, Operation, Return, Variable, Verbatim
from asfound.model.program import (
    Association,
    Body,
    Chart,
    Doubt,
    Extension,
    Network,
    Order,
    Pou,
    Program,
    Step,
    Transition,
)

from . import building as b


def program(*bodies: Body) -> Copy:
    return Copy(program=Program(pous=(Pou("P", "program", bodies=bodies),)))


def text(code: str) -> Copy:
    """A program of statements."""
    return program(Body("ST", b.st(code)))


def ladder(*networks: Network, **parts: object) -> Copy:
    return program(Body("LD", networks=networks, **parts))


def rung(value: str, **parts: object) -> Copy:
    """A ladder of one rung with one coil."""
    return ladder(Network((b.coil("y", value),), **parts))


def call(*inputs: str, type: str = "TON", name: str = "t", **parts: object) -> Copy:
    """A ladder that calls one block; its inputs written ``IN=a``."""
    arguments = (Argument(pin, b.e(value)) for pin, value in (each.split("=") for each in inputs))
    return ladder(Network((Call(Variable(name), type, tuple(arguments), **parts),)))


def chart(*steps: Step, transitions: tuple[Transition, ...] = (), **parts: object) -> Copy:
    return program(Body("SFC", chart=Chart(steps, transitions, **parts)))


def step(name: str = "Fill", **parts: object) -> Copy:
    return chart(Step(name, **parts))


def action(*of: str, **parts: object) -> Copy:
    return step(actions=(Association(*of, **parts),))


def way(ends: str, condition: str, **parts: object) -> Transition:
    """A transition, written ``A,B>C``."""
    sources, targets = (tuple(names.split(",")) for names in ends.split(">"))
    return Transition(sources, targets, b.e(condition), **parts)


def ways(*transitions: Transition) -> Copy:
    return chart(*(Step(name) for name in "ABCD"), transitions=transitions)


CODE, OTHER = Body("ST", b.st("x := 1;")), Body("ST", b.st("x := 2;"))
TWO = Network((b.coil("a", "c"),)), Network((b.coil("c", "a"),))

BY_FILE = Doubt("file order", "before", ((1, 0), (0, 0)))
BY_NUMBER = Doubt("numbers of coils", "before", ((1, 0), (0, 0)))
LABEL, VALUE = Doubt("file order", "label", (), "End"), Doubt("file order", "value")

Row = tuple[Copy, Copy, tuple[str, ...]]
EXPRESSIONS: dict[str, Row] = {
    "a branch comes": (
        rung("a AND c"),
        rung("a AND c AND (d OR e)"),
        ("behaviour changed P / rung 1 | y: branch d OR e added in series",),
    ),
    "a branch goes": (
        rung("a AND c AND (d OR e)"),
        rung("a AND c"),
        ("behaviour changed P / rung 1 | y: branch d OR e removed from the series",),
    ),
    "a comparison in parallel": (
        rung("a"),
        rung("a OR Own(x)"),
        ("behaviour changed P / rung 1 | y: Own(x) added in parallel to a",),
    ),
    "a function in series goes": (
        rung("a AND Own(x)"),
        rung("a"),
        ("behaviour changed P / rung 1 | y: Own(x) removed from the series",),
    ),
    "a contact in parallel with several": (
        rung("a OR c"),
        rung("a OR c OR NOT d"),
        ("behaviour changed P / rung 1 | y: normally closed contact d added in parallel",),
    ),
    "a closed contact goes": (
        rung("a AND NOT c"),
        rung("a"),
        ("behaviour changed P / rung 1 | y: normally closed contact c removed from the series",),
    ),
    "an edge instead of a closed contact": (
        rung("a AND NOT c"),
        ladder(Network((Assign(b.e("y"), Operation("AND", (Variable("a"), Edge("rising", Variable("d"))))),))),
        ("behaviour changed P / rung 1 | y: normally closed contact c replaced by rising edge contact d",),
    ),
    "a contact instead of a closed one": (
        rung("a AND NOT c"),
        rung("a AND d"),
        ("behaviour changed P / rung 1 | y: normally closed contact c replaced by d",),
    ),
    "a closed contact instead of one": (
        rung("a AND c"),
        rung("a AND NOT d"),
        ("behaviour changed P / rung 1 | y: contact c replaced by normally closed contact d",),
    ),
    "an edge is another edge": (
        ladder(Network((Assign(b.e("y"), Edge("rising", Variable("a"))),))),
        ladder(Network((Assign(b.e("y"), Edge("falling", Variable("a"))),))),
        ("behaviour changed P / rung 1 | y: a: rising edge -> falling edge",),
    ),
    "an edge that is negated": (
        ladder(Network((Assign(b.e("y"), Edge("rising", Variable("a"))),))),
        ladder(Network((Assign(b.e("y"), Operation("NOT", (Edge("rising", Variable("a")),))),))),
        ("behaviour changed P / rung 1 | y: a: rising edge -> negated rising",),
    ),
    "operands in text": (
        text("y := a AND c;"),
        text("y := a AND c AND (x > 1) AND d;"),
        ("behaviour changed P / statement 1 | y: x > 1 added by AND (and 1 more) | operand d added by AND",),
    ),
    "operands in text go": (
        text("y := a OR c OR x > 1;"),
        text("y := a;"),
        ("behaviour changed P / statement 1 | y: operand c removed from OR (and 1 more) | x > 1 removed from OR",),
    ),
    "an exclusive or gets one more": (
        text("y := a XOR c;"),
        text("y := a XOR c XOR d;"),
        ("behaviour changed P / statement 1 | y: operand d added by XOR",),
    ),
    "the same twice is no noise": (
        text("y := a XOR a;"),
        text("y := a;"),
        ("behaviour changed P / statement 1 | y: a XOR a replaced by a",),
    ),
    "an operand replaced": (
        text("y := a;"),
        text("y := c;"),
        ("behaviour changed P / statement 1 | y: operand a replaced by c",),
    ),
    "a negation goes": (
        text("y := NOT (a AND c);"),
        text("y := a AND c;"),
        ("behaviour changed P / statement 1 | y: negation of a AND c removed",),
    ),
    "a negation comes": (
        text("y := a AND c;"),
        text("y := NOT (a AND c);"),
        ("behaviour changed P / statement 1 | y: a AND c negated",),
    ),
    "inside a negation": (
        text("y := NOT (Own(a) = c);"),
        text("y := NOT (Own(d) = c);"),
        ("behaviour changed P / statement 1 | y: input 1 of Own now fed by d (was a)",),
    ),
    "inside a comparison": (
        text("y := Own(1) > x;"),
        text("y := Own(2) > x;"),
        ("behaviour changed P / statement 1 | y: input 1 of Own: 1 -> 2",),
    ),
    "both sides of a comparison": (
        text("y := Own(1) > x;"),
        text("y := Own(2) > z;"),
        ("behaviour changed P / statement 1 | y: comparison Own(1) > x -> Own(2) > z",),
    ),
    "a function that is another one": (
        text("y := Own(a, 1);"),
        text("y := Other(a, 2);"),
        (
            "behaviour changed P / statement 1 | y: function Own replaced by Other (and 1 more) | input 2 of Other: 1 -> 2",
        ),
    ),
    "outputs of a function": (
        text("y := Own(a, q => c, r => d);"),
        text("y := Own(a, q => NOT e, s => d);"),
        (
            "behaviour changed P / statement 1 | y: output q of Own: c -> NOT e (and 2 more) | output r of Own: d -> nothing | output s of Own: nothing -> d",
        ),
    ),
    "preset of a timer": (
        call("IN=a", "PT=T#5s"),
        call("IN=a", "PT=T#6s"),
        ("behaviour changed P / rung 1 | t: preset PT of TON t: T#5s -> T#6s",),
    ),
    "preset of a timer comes": (
        call("IN=a"),
        call("IN=a", "PT=T#5s"),
        ("behaviour changed P / rung 1 | t: preset PT of TON t connected to T#5s",),
    ),
    "preset of a timer goes": (
        call("IN=a", "PT=T#5s"),
        call("IN=a"),
        ("behaviour changed P / rung 1 | t: preset PT of TON t no longer connected (was T#5s)",),
    ),
    "preset of a timer from elsewhere": (
        call("IN=a", "PT=p"),
        call("IN=a", "PT=q.r"),
        ("behaviour changed P / rung 1 | t: preset PT of TON t now fed by q.r (was p)",),
    ),
    "input of a block": (
        call("IN=a AND c"),
        call("IN=a AND d"),
        ("behaviour changed P / rung 1 | t: input IN of TON t: contact c replaced by d",),
    ),
    "input of a block comes, another goes": (
        call("CU=a", "R=c", type="CTU"),
        call("CU=a", "LD=c", type="CTU"),
        (
            "behaviour changed P / rung 1 | t: input LD of CTU t connected to c (and 1 more) | input R of CTU t no longer connected (was c)",
        ),
    ),
    "input of a block from elsewhere": (
        call("IN=a"),
        call("IN=c"),
        ("behaviour changed P / rung 1 | t: input IN of TON t now fed by c (was a)",),
    ),
    "outputs of a block": (
        call("IN=a", outputs=(Argument("Q", Variable("c")), Argument("ET", Variable("d")))),
        call("IN=a", outputs=(Argument("Q", Variable("c"), negated=True), Argument("V", Variable("d")))),
        (
            "behaviour changed P / rung 1 | t: output ET of TON t: d -> nothing (and 2 more) | output Q of TON t: c -> NOT c | output V of TON t: nothing -> d",
        ),
    ),
    "outputs of a block in another order": (
        call("IN=a", outputs=(Argument("Q", Variable("c")), Argument("ET", Variable("d")))),
        call("IN=a", outputs=(Argument("ET", Variable("d")), Argument("Q", Variable("c")))),
        ("documentation changed P / rung 1 | only the spelling differs",),
    ),
    "outputs of a block to one place in another order": (
        call("IN=a", outputs=(Argument("Q", Variable("c")), Argument("ET", b.e("c.d")))),
        call("IN=a", outputs=(Argument("ET", b.e("c.d")), Argument("Q", Variable("c")))),
        ("behaviour changed P / rung 1 | t: written in another way",),
    ),
    "outputs of a block to elements in another order": (
        call("IN=a", outputs=(Argument("Q", b.e("c[i]")), Argument("ET", b.e("d")))),
        call("IN=a", outputs=(Argument("ET", b.e("d")), Argument("Q", b.e("c[i]")))),
        ("behaviour changed P / rung 1 | t: written in another way",),
    ),
    "outputs of a block to addresses in another order": (
        call("IN=a", outputs=(Argument("Q", b.e("%QX0.0")), Argument("ET", b.e("d")))),
        call("IN=a", outputs=(Argument("ET", b.e("d")), Argument("Q", b.e("%QX0.0")))),
        ("behaviour changed P / rung 1 | t: written in another way",),
    ),
    "condition of a block": (
        call("IN=a", condition=b.e("c")),
        call("IN=a", condition=b.e("c AND d")),
        ("behaviour changed P / rung 1 | t: condition: contact d added in series with c",),
    ),
    "a block of unknown type": (
        call("IN=a", type=""),
        call("IN=a", type="Own"),
        ("behaviour changed P / rung 1 | t: block type unknown replaced by Own",),
    ),
    "another block": (
        call("IN=a"),
        call("IN=a", name="u"),
        (
            "behaviour added P / rung 1 | rung added: u(IN := a);",
            "behaviour removed P / rung 1 | rung removed: t(IN := a);",
        ),
    ),
}
STATEMENTS: dict[str, Row] = {
    "target and kind of a coil": (
        rung("a AND c AND d"),
        ladder(Network((b.coil("z", "a AND c AND d", "set"),), title="one")),
        (
            "behaviour changed P / rung 1 | z: coil y replaced by coil z (and 1 more) | coil -> set coil | title: none -> one",
        ),
    ),
    "kind of an assignment": (
        text("y := a;"),
        program(Body("ST", (b.coil("y", "a", "reset"),))),
        ("behaviour changed P / statement 1 | y: := -> R=",),
    ),
    "target of an assignment": (
        text("IF a THEN y := c; END_IF;"),
        text("IF a THEN z := c; END_IF;"),
        (
            "behaviour added P / statement 1 / IF branch 1 / statement 1 | statement added: z := c;",
            "behaviour removed P / statement 1 / IF branch 1 / statement 1 | statement removed: y := c;",
        ),
    ),
    "an assignment becomes a call": (
        text("y := a;"),
        text("t(IN := a);"),
        (
            "behaviour added P / statement 1 | statement added: t(IN := a);",
            "behaviour removed P / statement 1 | statement removed: y := a;",
        ),
    ),
    "spelling": (
        text("y := a AND 16#FF = x;"),
        text("Y := A AND 255 = X;"),
        ("documentation changed P / statement 1 | only the spelling differs",),
    ),
    "operands in another order": (
        text("y := a AND c;"),
        text("y := c AND a;"),
        ("equivalent changed P / statement 1 | y: operands in another order",),
    ),
    "negations in another way": (
        text("y := NOT (a OR c);"),
        text("y := NOT a AND NOT c;"),
        ("equivalent changed P / statement 1 | y: negations written in another way",),
    ),
    "text that nobody understands": (
        program(Body("ST", (Verbatim("§ one two"),))),
        program(Body("ST", (Verbatim("§ one three"),))),
        ("undecided changed P / statement 1 | text that could not be understood differs",),
    ),
    "text that nobody understands comes": (
        text("y := a;"),
        program(Body("ST", (*b.st("y := a;"), Verbatim("§ one")))),
        ("undecided added P / statement 2 | statement added: § one",),
    ),
    "a label": (
        program(Body("IL", (Label("one"), *b.st("y := a;")))),
        program(Body("IL", (*b.st("y := a;"), Label("two")))),
        (
            "equivalent removed P / statement 1 | statement removed: label one | the whole body acts the same",
            "equivalent added P / statement 2 | statement added: label two | the whole body acts the same",
        ),
    ),
    "a jump": (
        program(Body("IL", (Jump("one", b.e("a")), Label("one"), Label("two")))),
        program(Body("IL", (Jump("two", b.e("c")), Label("one"), Label("two")))),
        (
            "equivalent added P / statement 1 | statement added: IF c THEN JMP two; END_IF; | the whole body acts the same",
            "equivalent removed P / statement 1 | statement removed: IF a THEN JMP one; END_IF; | the whole body acts the same",
        ),
    ),
    "a jump that becomes conditional": (
        program(Body("IL", (Jump("one"), Label("one")))),
        program(Body("IL", (Jump("one", b.e("c")), Label("one")))),
        ("equivalent changed P / statement 1 | jump to one: now only while c | the whole body acts the same",),
    ),
    "a return that becomes unconditional": (
        ladder(Network((Return(b.e("a")),))),
        ladder(Network((Return(),))),
        ("equivalent changed P / rung 1 | RETURN: no longer only while a | the whole body acts the same",),
    ),
    "condition of a return": (
        ladder(Network((Return(b.e("a AND c")),))),
        ladder(Network((Return(b.e("a AND d")),))),
        ("equivalent changed P / rung 1 | RETURN: condition: contact c replaced by d | the whole body acts the same",),
    ),
    "a CASE that does the same": (
        text("CASE k OF 1: x := a; ELSE x := c; END_CASE;"),
        text("CASE k OF 1: x := a AND a; ELSE x := c; END_CASE;"),
        ("equivalent changed P / statement 1 / CASE 1 / statement 1 | x: operands in another order",),
    ),
    "a branch instead of an assignment": (
        text("x := a;"),
        text("IF a THEN x := TRUE; ELSE x := FALSE; END_IF;"),
        (
            "equivalent changed P / statement 1 | IF: proved to act the same (and 1 more) | x := a; replaced by IF a THEN x := TRUE; ELSE x := FALSE; END_IF;",
        ),
    ),
    "branches of an IF": (
        text("IF a THEN x := 1; ELSIF c THEN x := 2; ELSIF d THEN x := 3; END_IF;"),
        text("IF d THEN x := 3; ELSIF a THEN x := 1; ELSE x := 4; END_IF;"),
        (
            "behaviour moved P / statement 1 / IF branch 2 | branch is tried at another place in the order",
            "behaviour removed P / statement 1 / IF branch 2 | branch removed: IF c",
            "behaviour added P / statement 1 / ELSE / statement 1 | statement added: x := 4;",
        ),
    ),
    "condition of a branch": (
        text("IF a AND c THEN Own(); END_IF;"),
        text("IF c AND a THEN Own(); END_IF;"),
        ("equivalent changed P / statement 1 / IF branch 1 | condition: operands in another order",),
    ),
    "spelling of a condition": (
        text("IF a THEN Own(); END_IF;"),
        text("IF A THEN Own(); END_IF;"),
        ("documentation changed P / statement 1 / IF branch 1 | condition: only the spelling differs",),
    ),
    "arms of a CASE": (
        text("CASE k OF 1: x := 1; 2, 3..5: x := 2; 7: x := 3; END_CASE;"),
        text("CASE m OF 7: x := 3; 1: x := 1; 9: Own(); ELSE x := 0; END_CASE;"),
        (
            "behaviour changed P / statement 1 | selector: operand k replaced by m",
            "undecided moved P / statement 1 / CASE 1 | arm stands at another place; labels that overlap would be tried in another order",
            "behaviour removed P / statement 1 / CASE 2, 3..5 | CASE arm removed: 2, 3..5",
            "behaviour added P / statement 1 / CASE 9 | CASE arm added: 9",
            "behaviour added P / statement 1 / ELSE / statement 1 | statement added: x := 0;",
        ),
    ),
    "labels of an arm": (
        text("CASE k OF 1, 2: x := 1; Own(); END_CASE;"),
        text("CASE k OF 1..2, 4: x := 1; Own(); END_CASE;"),
        ("behaviour changed P / statement 1 / CASE 1..2, 4 | labels: 1, 2 -> 1..2, 4",),
    ),
    "labels of an arm in another order": (
        text("CASE k OF 1, 2: Own(); END_CASE;"),
        text("CASE k OF 2, 1: Own(); END_CASE;"),
        ("documentation changed P / statement 1 / CASE 2, 1 | labels: 1, 2 -> 2, 1",),
    ),
    "heads of a FOR": (
        text("FOR i := 1 TO 5 DO y := y + f[i]; x := y + 1; END_FOR;"),
        text("FOR j := 2 TO 6 BY 3 DO y := y + f[i]; x := y + 1; END_FOR;"),
        (
            "behaviour changed P / statement 1 | first value: 1 -> 2",
            "behaviour changed P / statement 1 | step: 1 -> 3",
            "behaviour changed P / statement 1 | last value: 5 -> 6",
            "behaviour changed P / statement 1 | loop variable: operand i replaced by j",
        ),
    ),
    "condition of a WHILE": (
        text("WHILE x > 1 DO x := x - 1; END_WHILE;"),
        text("WHILE x > 2 DO x := x - 2; END_WHILE;"),
        (
            "behaviour changed P / statement 1 | loop condition: comparison x > 1 -> x > 2",
            "behaviour changed P / statement 1 / loop / statement 1 | x: x - 1 -> x - 2",
        ),
    ),
    "condition of a REPEAT": (
        text("REPEAT x := x - 1; UNTIL x < 1 END_REPEAT;"),
        text("REPEAT x := x - 1; UNTIL x < 2 END_REPEAT;"),
        ("behaviour changed P / statement 1 | loop condition: comparison x < 1 -> x < 2",),
    ),
    "a loop becomes a branch": (
        text("WHILE a DO Own(); END_WHILE;"),
        text("IF a THEN Own(); END_IF;"),
        ("behaviour changed P / statement 1 | IF: WHILE a DO Own(); END_WHILE; replaced by IF a THEN Own(); END_IF;",),
    ),
    "a statement passes one that it meets": (
        text("x := a; y := x; z := 1;"),
        text("y := x; x := a; z := 1;"),
        (
            "behaviour moved P / statement 2 | statement 1 moved to statement 2: x := a; | x is now read before it is written",
        ),
    ),
    "a statement passes a jump": (
        program(Body("IL", (*b.st("x := a;"), Jump("out", b.e("c")), *b.st("z := 1;"), Label("out")))),
        program(Body("IL", (Jump("out", b.e("c")), *b.st("z := 1; x := a;"), Label("out")))),
        (
            "behaviour moved P / statement 3 | statement 1 moved to statement 3: x := a; | program flow: a jump, label or return is passed",
        ),
    ),
    "remarks": (
        text("(* one *) x := 1; (* two *)"),
        text("(* three *) x := 1; (* two *)"),
        ("documentation changed P | comment: one -> three",),
    ),
    "a remark comes": (text("x := 1;"), text("x := 1; (* one *)"), ("documentation changed P | comment added: one",)),
    "a remark goes": (
        text("(* one *) x := 1; y := 1;"),
        text("x := 1; y := 2;"),
        ("documentation changed P | comment removed: one", "behaviour changed P / statement 2 | y: 1 -> 2"),
    ),
    "remarks change places": (
        text("(* one *) x := 1; (* two *)"),
        text("(* two *) x := 1; (* one *)"),
        ("documentation changed P | comment moved: one",),
    ),
    "drawings without effect change places and one comes": (
        chart(Step("A"), leftovers=("one", "two")),
        chart(Step("A"), leftovers=("two", "one", "three")),
        (
            "documentation changed P | 2 comments changed | drawn without effect: comment added: three | drawn without effect: comment moved: one",
        ),
    ),
    "a remark moves": (
        text("(* one *) x := 1;"),
        text("x := 1; (* one *)"),
        ("documentation changed P | comments moved",),
    ),
}
BODIES: dict[str, Row] = {
    "heads of a rung": (
        rung("a", title="one", comment="two", label="L1", leftovers=("contact c",)),
        rung("a", title="three", comment="four", label="L2", leftovers=("contact d",)),
        (
            "equivalent changed P / rung 1 | title: one -> three (and 3 more) | the whole body acts the same | comment: two -> four | label: L1 -> L2 | drawn without effect, comment: contact c -> contact d",
        ),
    ),
    "heads of a rung with its logic": (
        rung("a", title="one"),
        rung("c", title="two", comment="three"),
        ("behaviour changed P / rung 1 | y: contact a replaced by c | title: one -> two | comment: none -> three",),
    ),
    "label of a rung in other letters": (
        rung("a", label="l1"),
        rung("a", label="L1"),
        ("documentation changed P / rung 1 | label: l1 -> L1",),
    ),
    "unknown data of a rung": (
        rung("a", extensions=(Extension("x", "1"),)),
        rung("a", extensions=(Extension("x", "2"),)),
        ("undecided changed P / rung 1 / extension data | data that is not interpreted changed: x changed",),
    ),
    "two coils of a rung": (
        ladder(Network((b.coil("y", "a"), b.coil("z", "a AND c")))),
        ladder(Network((b.coil("y", "d"), b.coil("z", "a")))),
        (
            "behaviour changed P / rung 1 | y: contact a replaced by d (and 1 more) | z: contact c removed from the series",
        ),
    ),
    "two pieces that nobody understands": (
        ladder(Network((Verbatim("§ one two"), Verbatim("§ four five"), b.coil("y", "a")))),
        ladder(Network((Verbatim("§ one three"), Verbatim("§ four six"), b.coil("y", "a")))),
        ("undecided changed P / rung 1 | text that could not be understood differs (and 1 more)",),
    ),
    "drawn without effect comes": (
        rung("a"),
        rung("a", leftovers=("contact d",)),
        ("documentation changed P / rung 1 | drawn without effect, comment added: contact d",),
    ),
    "drawn without effect goes": (
        rung("a", leftovers=("contact c",)),
        rung("a"),
        ("documentation changed P / rung 1 | drawn without effect, comment removed: contact c",),
    ),
    "a rung without effect comes": (
        rung("a"),
        ladder(*rung("a").program.pous[0].bodies[0].networks, Network((), leftovers=("contact c",))),
        ("documentation added P / rung 2 | rung added: without effect",),
    ),
    "a rung with a label alone comes": (
        rung("a"),
        ladder(*rung("a").program.pous[0].bodies[0].networks, Network((), label="L")),
        ("equivalent added P / rung 2 | rung added: without effect | the whole body acts the same",),
    ),
    "a rung that nobody understands goes": (
        ladder(Network((b.coil("y", "a"),)), Network((Verbatim("§ one"),))),
        rung("a"),
        ("undecided removed P / rung 2 | rung removed: § one",),
    ),
    "another language": (
        text("y := a;"),
        rung("a"),
        ("equivalent changed P | language ST replaced by LD | the statements are the same",),
    ),
    "another language and another logic": (
        text("y := a;"),
        rung("a AND c"),
        (
            "behaviour changed P | language ST replaced by LD",
            "behaviour changed P / statement 1 | y: operand c added by AND to a",
        ),
    ),
    "a chart in another language": (step(), text("y := a;"), ("behaviour changed P | language SFC replaced by ST",)),
    "a chart comes": (program(Body("SFC")), step(), ("behaviour changed P | sequential chart added or removed",)),
    "free comments of a diagram": (
        ladder(*TWO, comments=("one", "two")),
        ladder(*TWO, comments=("two", "three", "four")),
        (
            "documentation changed P | 3 comments changed | comment removed: one | comment added: three | comment added: four",
        ),
    ),
    "two diagrams run in another order": (
        ladder(*TWO, order=Order(((0, 0), (1, 0)))),
        ladder(*TWO, order=Order(((1, 0), (0, 0)))),
        (
            "behaviour changed P | execution order changed: c := a; now runs before a := c;: a is now read before it is written, c is now read after it is written",
        ),
    ),
    "doubts about the order": (
        ladder(*TWO, order=Order((), (BY_FILE, BY_NUMBER))),
        ladder(*TWO, order=Order((), (BY_NUMBER, LABEL, VALUE))),
        (
            "undecided changed P / execution order | compilers that go by file order now take label End to stand before the end (and 2 more) | compilers that go by file order now read a value before or after it is written | compilers that go by file order no longer run rung 2 (c) before rung 1 (a)",
        ),
    ),
    "a doubt about the order goes": (
        ladder(*TWO, order=Order((), (BY_FILE,))),
        ladder(*TWO),
        (
            "undecided changed P / execution order | compilers that go by file order no longer run rung 2 (c) before rung 1 (a)",
        ),
    ),
    "a doubt in other words": (
        ladder(*TWO, order=Order((), (Doubt("", "said", (), "one"),))),
        ladder(*TWO, order=Order((), (Doubt("", "said", (), "two"),))),
        (
            "undecided changed P / execution order | execution order in doubt: two (and 1 more) | execution order no longer in doubt: one",
        ),
    ),
}
CHARTS: dict[str, Row] = {
    "steps come and go": (
        chart(Step("A", initial=True), Step("B", actions=(Association("x"), Association("", body=CODE)))),
        chart(Step("A", initial=True), Step("C")),
        (
            "behaviour removed P / step B | step B removed with x, an inline action",
            "behaviour added P / step C | step C added",
        ),
    ),
    "kinds of a step": (
        step(initial=True),
        step(macro=True),
        (
            "behaviour changed P / step Fill | step Fill is no longer the initial step (and 1 more) | step Fill is now a macro step",
        ),
    ),
    "kinds of a step the other way": (
        step(macro=True),
        step(initial=True),
        (
            "behaviour changed P / step Fill | step Fill is now the initial step (and 1 more) | step Fill is no longer a macro step",
        ),
    ),
    "spelling of a step": (
        step("Fill"),
        step("FILL"),
        ("documentation changed P / step FILL | only the spelling of the name differs",),
    ),
    "comment of a step": (
        step(comment="one"),
        step(comment="two"),
        ("documentation changed P / step Fill | comment: one -> two",),
    ),
    "body of a macro step": (
        step(macro=True, body=CODE),
        step(macro=True, body=OTHER),
        ("behaviour changed P / step Fill / statement 1 | x: 1 -> 2",),
    ),
    "body of a macro step comes": (
        step(macro=True),
        step(macro=True, body=OTHER),
        ("behaviour changed P / step Fill | body of the macro step added or removed",),
    ),
    "steps in another order": (
        chart(Step("A"), Step("B")),
        chart(Step("B"), Step("A")),
        ("documentation changed P | steps or transitions listed in another order",),
    ),
    "an action": (
        action("x", "L", "T#5s", "i", "one"),
        action("x", "D", "T#6s", "j", "two"),
        (
            "documentation changed P / step Fill / action x | comment: one -> two",
            "behaviour changed P / step Fill / action x | qualifier of action x in step Fill: L -> D (and 2 more) | time of action x in step Fill: T#5s -> T#6s | indicator: i -> j",
        ),
    ),
    "another action": (
        action("x", "S"),
        action("y", "S"),
        ("behaviour changed P / step Fill / action y | action x replaced by y in step Fill",),
    ),
    "an entry action": (
        action("x", "entry"),
        action("y", "exit"),
        (
            "behaviour removed P / step Fill / entry action x | entry action x removed from step Fill",
            "behaviour added P / step Fill / exit action y | exit action y added to step Fill",
        ),
    ),
    "an action in other letters": (
        action("x", "L", "T#1s"),
        action("X", "L", "T#1000ms"),
        ("documentation changed P / step Fill / action X | only the spelling differs",),
    ),
    "inline code of an action": (
        action("", body=CODE),
        action("", body=OTHER),
        ("behaviour changed P / step Fill / action (inline) / statement 1 | x: 1 -> 2",),
    ),
    "inline code comes": (
        action("x"),
        action("x", body=CODE),
        ("behaviour changed P / step Fill / action x | inline code of step Fill added",),
    ),
    "inline code goes": (
        action("x", body=CODE),
        action("x"),
        ("behaviour changed P / step Fill / action x | inline code of step Fill removed",),
    ),
    "actions come and go": (
        step(actions=(Association("a"), Association("c", "S"))),
        step(actions=(Association("a"), Association("d", "L", "T#5s"), Association("e", "entry"))),
        (
            "behaviour removed P / step Fill / action c | action c removed from step Fill with qualifier S",
            "behaviour added P / step Fill / action d | action d added to step Fill with qualifier L T#5s",
            "behaviour added P / step Fill / entry action e | entry action e added to step Fill",
        ),
    ),
    "actions in another order": (
        step(actions=(Association("a"), Association("c"))),
        step(actions=(Association("c"), Association("a"))),
        ("undecided moved P / step Fill | actions of step Fill are listed in another order | a, c -> c, a",),
    ),
    "transitions come and go": (
        ways(way("A>B", "a", statements=b.st("x := 1;"))),
        ways(way("C>D", "c", statements=b.st("x := 2;"))),
        (
            "behaviour removed P / transition A -> B | transition A -> B removed: a | x := 1;",
            "behaviour added P / transition C -> D | transition C -> D added: c | x := 2;",
        ),
    ),
    "a transition leads elsewhere": (
        ways(way("A>B", "a")),
        ways(way("A>C", "a")),
        ("behaviour changed P / transition A -> C | transition from A now leads to C (was B)",),
    ),
    "a transition leaves another step": (
        ways(way("A>B", "a")),
        ways(way("C>B", "a")),
        ("behaviour changed P / transition C -> B | transition to B now leaves C (was A)",),
    ),
    "a transition": (
        ways(way("A>B", "a AND c", name="one", priority=1, comment="two", statements=b.st("x := 1;"))),
        ways(way("A>B", "a AND d", name="three", priority=2, comment="four", statements=b.st("x := 2;"))),
        (
            "behaviour changed P / transition A -> B | priority 1 -> 2",
            "behaviour changed P / transition A -> B | transition A -> B: condition: operand c replaced by d",
            "documentation changed P / transition A -> B | 2 comments changed | name: one -> three | comment: two -> four",
            "behaviour changed P / transition A -> B / statement 1 | x: 1 -> 2",
        ),
    ),
    "a priority comes": (
        ways(way("A>B", "a")),
        ways(way("A>B", "a", priority=2)),
        ("behaviour changed P / transition A -> B | priority none -> 2",),
    ),
    "two transitions between the same steps": (
        ways(way("A>B", "a AND c AND d"), way("A>B", "e AND f AND g")),
        ways(way("A>B", "e AND f AND h"), way("A>B", "a AND c AND k")),
        (
            "behaviour moved P / step A | alternatives leaving step A are tried in another order | now tried: A -> B: e AND f AND h | now tried: A -> B: a AND c AND k",
            "behaviour changed P / transition A -> B | transition A -> B: condition: operand d replaced by k",
            "behaviour changed P / transition A -> B | transition A -> B: condition: operand g replaced by h",
        ),
    ),
    "joined steps in another order": (
        ways(way("A,B>C", "a")),
        ways(way("B,A>C", "a")),
        ("documentation changed P / transition B, A -> C | the joined steps are listed in another order or spelling",),
    ),
    "alternatives in another order": (
        ways(way("A>B", "a"), way("A>C", "c"), way("B>D", "d")),
        ways(way("A>C", "c"), way("A>B", "a"), way("B>D", "d")),
        (
            "behaviour moved P / step A | alternatives leaving step A are tried in another order | now tried: A -> C: c | now tried: A -> B: a",
        ),
    ),
    "comments of a chart": (
        chart(Step("A"), comments=("one",), leftovers=("a wire", "a step")),
        chart(Step("A"), comments=("two",), leftovers=("a jump",)),
        (
            "documentation changed P | 3 comments changed | drawn without effect: comment removed: a wire | drawn without effect: comment removed: a step | drawn without effect: comment added: a jump",
            "documentation changed P | comment: one -> two",
        ),
    ),
    "drawn in a chart without effect": (
        chart(Step("A"), leftovers=("a wire",)),
        chart(Step("A"), leftovers=("a jump",)),
        ("documentation changed P | drawn without effect: comment: a wire -> a jump",),
    ),
}
ROWS = {**EXPRESSIONS, **STATEMENTS, **BODIES, **CHARTS}


@pytest.mark.parametrize("name", ROWS)
def test_everything_that_differs_is_told(name: str) -> None:
    old, new, expected = ROWS[name]
    assert b.lines(old, new) == expected


@pytest.mark.parametrize("name", ROWS)
def test_the_other_way_round_the_texts_change_places(name: str) -> None:
    old, new, _ = ROWS[name]
    there, back = compare(old, new).changes, compare(new, old).changes
    assert sorted(c.effect for c in there) == sorted(c.effect for c in back)
    if not any(c.kind == "moved" and None in (c.before, c.after) for c in there):  # what is told where it stands now
        assert sorted(f"{c.before}/{c.after}" for c in there) == sorted(f"{c.after}/{c.before}" for c in back)
