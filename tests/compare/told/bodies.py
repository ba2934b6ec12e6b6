"""What can differ: bodies."""

from __future__ import annotations

from asfound.model.logic import Verbatim
from asfound.model.program import (
    Body,
    Doubt,
    Extension,
    Network,
    Order,
)

from .. import building as b
from .logic_kit import (
    BY_FILE,
    BY_NUMBER,
    LABEL,
    TWO,
    VALUE,
    Row,
    ladder,
    program,
    rung,
    step,
    text,
)

BODIES: dict[str, Row] = {
    "heads of a rung": (
        rung("a", title="one", comment="two", label="L1", leftovers=("contact c",)),
        rung("a", title="three", comment="four", label="L2", leftovers=("contact d",)),
        (
            "equivalent changed P / rung 1 | title: one -> three (and 3 more) | the whole body acts the same | comment: two -> four | label: L1 -> L2 | element without effect: contact c -> contact d",
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
    "a rung that moved under another comment": (
        ladder(b.rung(b.coil("x", "a"), comment="one"), b.rung(b.coil("z", "c"))),
        ladder(b.rung(b.coil("z", "c")), b.rung(b.coil("x", "a"), comment="two", title="head")),
        (
            "equivalent moved P / rung 2 | rung 1 moved to rung 2: x := a; | nothing it passes is affected | title: none -> head | comment: one -> two",
        ),
    ),
    "a rung that moved and acts otherwise under another comment": (
        ladder(b.rung(b.coil("x", "a"), comment="one"), b.rung(b.coil("y", "x"))),
        ladder(b.rung(b.coil("y", "x")), b.rung(b.coil("x", "a"), comment="two")),
        (
            "behaviour moved P / rung 2 | rung 1 moved to rung 2: x := a; | x is now read before it is written | comment: one -> two",
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
        ("documentation changed P / rung 1 | element without effect added: contact d",),
    ),
    "drawn without effect goes": (
        rung("a", leftovers=("contact c",)),
        rung("a"),
        ("documentation changed P / rung 1 | element without effect removed: contact c",),
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
    "a chart comes": (program(Body("SFC")), step(), ("behaviour changed P | sequential chart added",)),
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
            "behaviour changed P | execution order changed: c := a now runs before a := c: a is now read before it is written, c is now read after it is written",
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
