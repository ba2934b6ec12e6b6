"""A short notation for rungs and block networks, so that the sample program can be read and changed as text.

Ladder:  ``( Start | Run ) /Stop Dly:TON(PT=T#8s) GT(a,b) -> Run S=Latch R=Other /Inverse``
contacts in series from the left, ``( | )`` in parallel, ``/`` normally closed, ``^`` rising, ``~`` falling;
a function may only start a branch. Blocks: ``y := MUL(INT_TO_REAL(x), k); F:TON(IN=!a, PT=T#2s); q := F.Q;``
"""

from __future__ import annotations

import re
from dataclasses import dataclass

SIGNATURES: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "TON": (("IN", "PT"), ("Q", "ET")),
    "TOF": (("IN", "PT"), ("Q", "ET")),
    "TP": (("IN", "PT"), ("Q", "ET")),
    "CTU": (("CU", "R", "PV"), ("Q", "CV")),
    "SR": (("S1", "R"), ("Q1",)),
    "RS": (("S", "R1"), ("Q1",)),
    "R_TRIG": (("CLK",), ("Q",)),
    "SEL": (("G", "IN0", "IN1"), ("OUT",)),
    "LIMIT": (("MN", "IN", "MX"), ("OUT",)),
    "MOVE": (("IN",), ("OUT",)),
    "NOT": (("IN",), ("OUT",)),
    "ABS": (("IN",), ("OUT",)),
    "INT_TO_REAL": (("IN",), ("OUT",)),
    "REAL_TO_INT": (("IN",), ("OUT",)),
}
"""Inputs and outputs of the blocks that are not simply IN1, IN2, ... and OUT; samples add their own types."""


@dataclass(frozen=True)
class Contact:
    name: str
    negated: bool = False
    edge: str = ""


@dataclass(frozen=True)
class Operand:
    """A variable, a literal, or the pin of an instance."""

    text: str
    negated: bool = False


@dataclass(frozen=True)
class Block:
    """``inputs`` by pin name; ``pin`` is the output that is wired on; ``outputs`` are variables fed directly."""

    type: str
    instance: str
    inputs: tuple[tuple[str, Operand | Block], ...]
    outputs: tuple[tuple[str, str], ...] = ()
    pin: str = "OUT"
    negated: bool = False


@dataclass(frozen=True)
class Parallel:
    branches: tuple[tuple[Item, ...], ...]


Item = Contact | Block | Parallel


@dataclass(frozen=True)
class Coil:
    name: str
    kind: str = ""
    """Empty, ``negated``, ``set`` or ``reset``."""


@dataclass(frozen=True)
class Ladder:
    items: tuple[Item, ...]
    coils: tuple[Coil, ...]


@dataclass(frozen=True)
class Feed:
    """A variable that takes a value in a block network."""

    target: str
    source: Operand | Block


_TOKEN = re.compile(r"[^\s()|]+\([^()]*\)|[()|]|[^\s()|]+")
_COILS = {"S=": "set", "R=": "reset", "/": "negated"}


def pins(type_name: str, count: int) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Input and output names of a block with ``count`` inputs wired."""
    known = SIGNATURES.get(type_name)
    return known or (tuple(f"IN{n}" for n in range(1, count + 1)), ("OUT",))


def ladder(text: str) -> Ladder:
    """A rung from its notation."""
    flow, _, ends = text.partition("->")
    tokens = _TOKEN.findall(flow)
    items, rest = _series(tokens, 0)
    if rest != len(tokens):
        raise ValueError(f"cannot read the rung {text!r}")
    return Ladder(items, tuple(_coil(end) for end in ends.split()))


def _coil(text: str) -> Coil:
    for sign, kind in _COILS.items():
        if text.startswith(sign):
            return Coil(text.removeprefix(sign), kind)
    return Coil(text)


def _series(tokens: list[str], at: int) -> tuple[tuple[Item, ...], int]:
    items: list[Item] = []
    while at < len(tokens) and tokens[at] not in ("|", ")"):
        if tokens[at] == "(":
            parallel, at = _parallel(tokens, at + 1)
            items.append(parallel)
        else:
            items.append(_element(tokens[at]))
            at += 1
    return tuple(items), at


def _parallel(tokens: list[str], at: int) -> tuple[Parallel, int]:
    branches: list[tuple[Item, ...]] = []
    while True:
        branch, at = _series(tokens, at)
        branches.append(branch)
        if tokens[at] == ")":
            return Parallel(tuple(branches)), at + 1
        at += 1


def _element(token: str) -> Item:
    if "(" in token:
        block = _Expression(token).value()
        if not isinstance(block, Block):
            raise ValueError(token)
        return block
    edge = {"^": "rising", "~": "falling"}.get(token[0], "")
    return Contact(token.lstrip("/^~"), token.startswith("/"), edge)


def network(text: str) -> tuple[Feed | Block, ...]:
    """A block network: what feeds which variable, and calls whose outputs are read by later statements."""
    found: list[Feed | Block] = []
    for part in (piece.strip() for piece in text.split(";")):
        if not part:
            continue
        target, assign, source = part.partition(":=")
        value = _Expression(source if assign else part).value()
        if assign:
            found.append(Feed(target.strip(), value))
        elif isinstance(value, Block):
            found.append(value)
    return tuple(found)


class _Expression:
    """Reader of ``TYPE(a, b)``, ``Inst:TYPE(PIN=a, Q=>b).OUT``, operands, and ``!`` for negation."""

    _word = re.compile(r"\s*(!?)([^\s(),=!]+)\s*")

    def __init__(self, text: str) -> None:
        self.text, self.at = text.strip(), 0

    def value(self) -> Operand | Block:
        found = self._word.match(self.text, self.at)
        if not found:
            raise ValueError(f"cannot read {self.text[self.at :]!r}")
        self.at = found.end()
        if self._next() == "(":
            return self._block(found[2], bool(found[1]))
        return Operand(found[2], bool(found[1]))

    def _next(self) -> str:
        return self.text[self.at : self.at + 1]

    def _block(self, head: str, negated: bool) -> Block:
        instance, _, type_name = head.rpartition(":")
        self.at += 1
        inputs: list[tuple[str, Operand | Block]] = []
        outputs: list[tuple[str, str]] = []
        while self._next() != ")":
            self._argument(inputs, outputs)
            self.at += self._next() == ","
        self.at += 1
        names, outs = pins(type_name, len(inputs))
        named = tuple((pin or names[place], value) for place, (pin, value) in enumerate(inputs))
        pin = outs[0]
        if self._next() == ".":
            found = re.compile(r"\.(\w+)").match(self.text, self.at)
            if found:
                pin, self.at = found[1], found.end()
        return Block(type_name, instance, named, tuple(outputs), pin, negated)

    def _argument(self, inputs: list[tuple[str, Operand | Block]], outputs: list[tuple[str, str]]) -> None:
        named = re.compile(r"\s*(\w+)\s*(=>|=)\s*").match(self.text, self.at)
        if named:
            self.at = named.end()
        value = self.value()
        if named and named[2] == "=>":
            outputs.append((named[1], value.text if isinstance(value, Operand) else ""))
        else:
            inputs.append((named[1] if named else "", value))
