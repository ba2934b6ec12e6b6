"""Copies of logic in few words."""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.logic import Argument, Call, Variable
from asfound.model.program import (
    Association,
    Body,
    Chart,
    Doubt,
    Network,
    Pou,
    Program,
    Step,
    Transition,
)

from .. import building as b


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
