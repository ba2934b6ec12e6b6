"""What can differ: statements."""

from __future__ import annotations

from asfound.model.logic import Jump, Label, Return, Verbatim
from asfound.model.program import (
    Body,
    Network,
    Step,
)

from .. import building as b
from .logic_kit import (
    Row,
    chart,
    ladder,
    program,
    rung,
    text,
)

STATEMENTS: dict[str, Row] = {
    "target and kind of a coil": (
        rung("a AND c AND d"),
        ladder(Network((b.coil("z", "a AND c AND d", "set"),), title="one")),
        (
            "behaviour changed P / rung 1 | coil y replaced by coil z (and 1 more) | coil -> set coil | title: none -> one",
        ),
    ),
    "kind of an assignment": (
        text("y := a;"),
        program(Body("ST", (b.coil("y", "a", "reset"),))),
        ("behaviour changed P / statement 1 | y: assignment -> reset when TRUE",),
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
            "equivalent changed P / statement 1 | x := a; replaced by IF a THEN x := TRUE; ELSE x := FALSE; END_IF; | proved to act the same",
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
        ("behaviour changed P / statement 1 | WHILE a DO Own(); END_WHILE; replaced by IF a THEN Own(); END_IF;",),
    ),
    "a statement passes one that it meets": (
        text("x := a; y := x; z := 1;"),
        text("y := x; x := a; z := 1;"),
        (
            "behaviour moved P / statement 2 | statement 1 moved to statement 2: x := a; | x is now read before it is written",
        ),
    ),
    "a statement passes one and keeps its number": (
        text("x := a; y := x; u := 1; w := 2;"),
        text("n := 0; y := x; x := a; u := 1; w := 2;"),
        (
            "behaviour added P / statement 1 | statement added: n := 0;",
            "behaviour moved P / statement 2 | statement 2 moved past others and has the number it had: y := x; | x is now read before it is written",
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
            "documentation changed P | 2 comments changed | element without effect added: three | element without effect moved: one",
        ),
    ),
    "a remark moves": (
        text("(* one *) x := 1;"),
        text("x := 1; (* one *)"),
        ("documentation changed P | comments moved",),
    ),
}
