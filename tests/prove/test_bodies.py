"""Random bodies and edits of them, proved and then run by an interpreter that knows nothing of proofs."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import product
from random import Random

from hypothesis import Phase, given, note, settings
from hypothesis import strategies as s

from asfound.analysis.symbols import Symbols
from asfound.language.literals import value as literal_value
from asfound.language.parser import parse_statements
from asfound.language.statement_printer import statements as printed
from asfound.model.copy import Copy
from asfound.model.logic import Statement
from asfound.model.program import Body, Pou, VariableDeclaration
from asfound.prove.equivalence import prove
from asfound.prove.proof_side import Run, Side

from .controller import WIDTHS, Controller, saturated, wrapped

TYPES = {"a": "BOOL", "b": "BOOL", "x": "BOOL", "y": "BOOL", "m": "SINT", "n": "SINT", "u": "USINT", "w": "BYTE", "i": "INT",
         "f[1]": "SINT", "f[2]": "SINT", "f[3]": "SINT", "t.in": "BOOL", "t.q": "BOOL"}  # fmt: skip
DECLARED = tuple(
    VariableDeclaration(name, type)
    for name, type in {
        **{n: t for n, t in TYPES.items() if len(n) == 1},
        "f": "ARRAY[1..3] OF SINT",
        "t": "TON",
    }.items()
)
BOOLS = ("a", "b", "x", "y", "TRUE", "FALSE", "t.Q", "w.0", "w.3")
SIGNED = ("m", "n", "f[1]", "f[2]", "f[LIMIT(1, n, 3)]", "0", "1", "2", "-1", "100")
UNSIGNED = ("u", "0", "1", "200")


class Writer:
    """Writes random ST from a seed (drawing text piece by piece with a strategy was slower by a factor of thirty)."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)

    def number(self, kinds: tuple[str, ...], depth: int = 2) -> str:
        r = self.random
        if depth == 0 or r.random() < 0.5:
            return r.choice(kinds)
        left, right = self.number(kinds, depth - 1), self.number(kinds, depth - 1)
        return r.choice(
            (f"({left} {r.choice('+-*')} {right})",) * 3
            + (f"({left} {r.choice(('/', 'MOD'))} {right})", f"{r.choice(('MIN', 'MAX'))}({left}, {right})")
            + (f"SEL({r.choice('ab')}, {left}, {right})", f"LIMIT(-3, {left}, 3)" if kinds is SIGNED else left)
        )

    def condition(self, depth: int = 2) -> str:
        r = self.random
        if depth == 0 or r.random() < 0.4:
            if r.random() < 0.6:
                return r.choice(BOOLS)
            kinds = r.choice((SIGNED, UNSIGNED))
            return f"({self.number(kinds, 1)} {r.choice(('=', '<>', '<', '<=', '>', '>='))} {self.number(kinds, 1)})"
        if r.random() < 0.3:
            return f"NOT ({self.condition(depth - 1)})"
        return f"({self.condition(depth - 1)} {r.choice(('AND', 'OR', 'XOR'))} {self.condition(depth - 1)})"

    def simple(self) -> str:
        r = self.random
        fixed = (
            "w := w AND 16#0F;",
            "w := w XOR 3;",
            "w := NOT w;",
            "i := m;",
            "f[2] := f[1];",
            "f[LIMIT(1, n, 3)] := m;",
        )
        return r.choice((
            f"{r.choice(('x', 'y', 'w.0', 'w.7'))} := {self.condition()};",
            f"{r.choice(('m', 'f[1]', 'f[3]'))} := {self.number(SIGNED)};",
            f"u := {self.number(UNSIGNED)};",
            r.choice(fixed),
            f"t(IN := {self.condition(1)});",
        ))  # fmt: skip

    def compound(self, depth: int) -> str:
        r = self.random
        if depth == 0 or r.random() < 0.5:
            return self.simple()
        one, two, three = (self.compound(depth - 1) for _ in range(3))
        return r.choice((
            f"IF {self.condition()} THEN {one} ELSE {two} END_IF;",
            f"IF {self.condition()} THEN {one} ELSIF {self.condition(1)} THEN {two} END_IF;",
            f"CASE m OF 0, 2: {one} 3..90: {two} ELSE {three} END_CASE;",
            f"FOR i := 1 TO 3 DO f[i] := {self.number(SIGNED, 1)}; IF {self.condition(1)} THEN "
            f"{r.choice(('EXIT', 'CONTINUE', 'RETURN'))}; END_IF; {self.simple()} END_FOR;",
        ))  # fmt: skip

    def top(self) -> str:
        return self.compound(2) if self.random.random() < 0.85 else f"IF {self.condition()} THEN RETURN; END_IF;"

    def body(self) -> list[str]:
        return [self.top() for _ in range(self.random.randint(1, 4))]

    def edited(self, body: list[str]) -> list[str]:
        """Another order, one statement replaced or added, or one said in another way."""
        r, new = self.random, list(body)
        n = r.randrange(len(new))
        match r.randrange(6):
            case 0:
                r.shuffle(new)
            case 1:
                new[n] = self.top()
            case 2:
                new.insert(n, self.top())
            case 3:
                new[n] = f"IF a THEN {new[n]} ELSE {new[n]} END_IF;"
            case _:
                old, other = r.choice(REWRITES)
                new[n] = re.sub(rf"{re.escape(old)}(?! :=)", other, new[n])  # an assignment keeps its target
        return new


REWRITES = (("x", "(x AND TRUE)"), (" + 1", " + 2 - 1"), (" < ", " <= "), ("NOT (", "NOT NOT NOT ("), (" AND ", " OR "),
            ("(m + n)", "(n + m)"), ("m > ", "m >= 1 + "), ("a", "(a OR a AND b)"))  # fmt: skip


def side(body: tuple[Statement, ...]) -> Side:
    pou = Pou("P", "program", variables=DECLARED, bodies=(Body("ST", body),))
    return Side((Run(0, body),), Symbols(Copy()), pou)


def starts() -> Iterator[dict[str, object]]:
    """Every combination of the Booleans with some edges of the numbers."""
    picked = [
        (0, 0, 0, 0, 1),
        (1, 2, 200, 255, 2),
        (127, -1, 255, 8, 3),
        (-128, 3, 1, 15, 1),
        (2, 1, 100, 129, 2),
        (3, 2, 50, 7, 2),
    ]
    for n, row in enumerate(product((False, True), repeat=5)):
        for m, k, u, w, i in (picked[n % 6], picked[(n * 5 + 1) % 6], picked[(n + 3) % 6]):
            yield {"a": row[0], "b": row[1], "x": row[2], "y": row[3], "m": m, "n": k, "u": u, "w": w, "i": i, "f[1]": k,
                   "f[2]": m, "f[3]": 100, "t.in": row[4], "t.q": row[4], "t.seen": 0}  # fmt: skip


def timer(c: Controller, name: str) -> None:
    """An opaque block: its output is some function of its inputs and its past."""
    c.state[f"{name}.seen"] = hash((c.state[f"{name}.seen"], c.state[f"{name}.in"]))
    c.state[f"{name}.q"] = bool(c.state[f"{name}.in"]) and c.state[f"{name}.seen"] % 2 == 0


class Bits(Controller):
    """Adds bits of a byte and elements out of their bounds."""

    def value(self, e):
        key = self.key(e) if hasattr(e, "of") else ""
        if key.startswith("w."):
            return bool(self.state["w"] >> int(key[2:]) & 1)
        return super().value(e)

    def type_of(self, e):
        return "BOOL" if hasattr(e, "of") and self.key(e).startswith("w.") else super().type_of(e)

    def assign(self, target, content, kind):
        key = self.key(target)
        if key.startswith("w."):
            mask = 1 << int(key[2:])
            self.state["w"] = self.state["w"] | mask if content else self.state["w"] & ~mask
        else:
            super().assign(target, content, kind)


def outcome(body: tuple[Statement, ...], start: dict[str, object], beyond) -> dict[str, object] | None:
    controller = Bits(TYPES, dict(start), beyond, {"t": timer})
    try:
        return controller.scan(body)
    except KeyError:
        return None


@given(s.integers(0, 2**32))
@settings(max_examples=35, phases=(Phase.reuse, Phase.generate))
def test_no_proof_is_contradicted_by_running(seed: int) -> None:
    writer = Writer(seed)
    lines = writer.body()
    old, new = (parse_statements("\n".join(text)) for text in (lines, writer.edited(lines)))
    note(printed(old))
    note(printed(new))
    proof = prove(side(old), side(new), limit_ms=300)
    if proof.status == "equal":
        for start in starts():
            for beyond in (wrapped, saturated):
                assert outcome(old, start, beyond) == outcome(new, start, beyond), start
    if proof.witness is not None and not proof.witness.assumed:
        note(str(proof.witness))
        for more in starts():
            given_ = {n.casefold(): literal_value(v)[1] for n, v in proof.witness.inputs.items()}
            start = {**more, **given_}
            ends = [outcome(body, start, wrapped) for body in (old, new)]
            if None not in ends and {"fault": True} not in ends:
                for name, value in proof.witness.old.items():
                    if name.casefold() in TYPES:
                        assert ends[0][name.casefold()] == literal_value(value)[1]
                        assert ends[1][name.casefold()] == literal_value(proof.witness.new[name])[1]


def test_all_three_answers_are_given() -> None:
    """The random bodies above are neither all equal nor all undecided."""
    pairs = [("x := a;", "x := a AND TRUE;"), ("x := a;", "x := b;"), ("m := m + n - n;", "m := m;")]
    found = [prove(*(side(parse_statements(t)) for t in p)).status for p in pairs]
    assert found == ["equal", "different", "unknown"]


assert set(TYPES.values()) <= {*WIDTHS, "BOOL"}
