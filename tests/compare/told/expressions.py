"""What can differ: expressions."""

from __future__ import annotations

from asfound.model.logic import Argument, Assign, Edge, Operation, Variable
from asfound.model.program import (
    Network,
)

from .. import building as b
from .logic_kit import (
    Row,
    call,
    ladder,
    rung,
    text,
)

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
        ("behaviour changed P / rung 1 | y: a: rising edge -> negated rising edge",),
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
        ("behaviour changed P / rung 1 | preset PT of TON t: T#5s -> T#6s",),
    ),
    "preset of a timer comes": (
        call("IN=a"),
        call("IN=a", "PT=T#5s"),
        ("behaviour changed P / rung 1 | preset PT of TON t connected to T#5s",),
    ),
    "preset of a timer goes": (
        call("IN=a", "PT=T#5s"),
        call("IN=a"),
        ("behaviour changed P / rung 1 | preset PT of TON t no longer connected (was T#5s)",),
    ),
    "preset of a timer from elsewhere": (
        call("IN=a", "PT=p"),
        call("IN=a", "PT=q.r"),
        ("behaviour changed P / rung 1 | preset PT of TON t now fed by q.r (was p)",),
    ),
    "input of a block": (
        call("IN=a AND c"),
        call("IN=a AND d"),
        ("behaviour changed P / rung 1 | input IN of TON t: contact c replaced by d",),
    ),
    "input of a block comes, another goes": (
        call("CU=a", "R=c", type="CTU"),
        call("CU=a", "LD=c", type="CTU"),
        (
            "behaviour changed P / rung 1 | input LD of CTU t connected to c (and 1 more) | input R of CTU t no longer connected (was c)",
        ),
    ),
    "input of a block from elsewhere": (
        call("IN=a"),
        call("IN=c"),
        ("behaviour changed P / rung 1 | input IN of TON t now fed by c (was a)",),
    ),
    "outputs of a block": (
        call("IN=a", outputs=(Argument("Q", Variable("c")), Argument("ET", Variable("d")))),
        call("IN=a", outputs=(Argument("Q", Variable("c"), negated=True), Argument("V", Variable("d")))),
        (
            "behaviour changed P / rung 1 | output ET of TON t: d -> nothing (and 2 more) | output Q of TON t: c -> NOT c | output V of TON t: nothing -> d",
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
