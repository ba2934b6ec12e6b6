"""Random statements of a small language: BOOL and INT logic, calls, IF and CASE, arguments by reference.

Everything is held as small trees of text, so that edits (edits.py) can turn them.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

OWN = (
    "m : INT; n : INT; r : BOOL; s : BOOL; e : ARRAY[0..3] OF INT; f : Bump; g : Bump; l : Store; t : TON; o : TOF; "
    "x : R_TRIG; v : SR; u : CTU; w : Gate;"
)
BEFORE = """FUNCTION_BLOCK Bump
VAR_INPUT d : INT; END_VAR
VAR_IN_OUT x : INT; END_VAR
VAR_OUTPUT k : INT; END_VAR
x := x + d;
k := k + 1;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Store
VAR_INPUT d : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
IF d > 0 THEN total := d; END_IF;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Gate
VAR_INPUT a : BOOL; b : BOOL; END_VAR
VAR_IN_OUT x : BOOL; END_VAR
IF a THEN x := b; END_IF;
END_FUNCTION_BLOCK
FUNCTION Take : INT
VAR_IN_OUT x : INT; END_VAR
Take := x;
x := x + 1;
END_FUNCTION
FUNCTION Count : INT
VAR_INPUT d : INT; END_VAR
VAR_EXTERNAL total : INT; END_VAR
total := total + d;
Count := total;
END_FUNCTION
FUNCTION Pure : INT
VAR_INPUT d : INT; END_VAR
IF d > 5 THEN Pure := d - 5; END_IF;
END_FUNCTION
FUNCTION Above : BOOL
VAR_IN_OUT x : INT; END_VAR
x := x + 1;
Above := x > 3;
END_FUNCTION
"""
BOOLS = ("a", "b", "c", "d", "q", "p", "r", "s", "flag", "t.Q", "x.Q", "v.Q1")
INTS = ("i", "j", "k", "y", "z", "m", "n", "total", "other", "e[1]", "list[2]", "f.k", "u.CV")
BOOL_TARGETS = ("q", "p", "r", "s", "flag")
INT_TARGETS = ("y", "z", "m", "n", "total", "other", "e[1]", "e[2]", "list[2]")


@dataclass(frozen=True)
class E:
    """An expression: an operator or function with operands, or a leaf (no operands). ``type`` BOOL or INT."""

    op: str
    args: tuple[E, ...]
    type: str

    def text(self) -> str:
        a = [x.text() for x in self.args]
        if not a:
            return self.op
        if self.op == "NOT":
            return f"NOT {a[0]}" if not self.args[0].args else f"NOT ({a[0]})"
        if self.op[0].isalpha() and self.op not in ("AND", "OR", "XOR", "MOD"):
            return f"{self.op}({', '.join(a)})"
        return f" {self.op} ".join(p if not x.args else f"({p})" for p, x in zip(a, self.args, strict=True))


@dataclass(frozen=True)
class S:
    """A statement: ``assign`` (target, value), ``call`` (head with ``{}``, values), ``if`` and ``case``
    (condition, parts).
    """

    kind: str
    head: str
    values: tuple[E, ...] = ()
    parts: tuple[tuple[S, ...], ...] = ()

    def text(self, indent: str = "") -> str:
        if self.kind == "assign":
            return f"{indent}{self.head} := {self.values[0].text()};"
        if self.kind == "call":
            return indent + self.head.format(*(v.text() for v in self.values))
        inner = ["\n".join(s.text(indent + "  ") for s in part) for part in self.parts]
        if self.kind == "if":
            otherwise = f"\n{indent}ELSE\n{inner[1]}" if len(inner) > 1 and inner[1] else ""
            return f"{indent}IF {self.values[0].text()} THEN\n{inner[0]}{otherwise}\n{indent}END_IF;"
        arms = "".join(f"\n{indent}{label}:\n{part}" for label, part in zip(self.head.split("|"), inner, strict=True))
        return f"{indent}CASE {self.values[0].text()} OF{arms}\n{indent}END_CASE;"


class Writer:
    """Makes random expressions and statements."""

    def __init__(self, random: Random) -> None:
        self.random = random

    def leaf(self, type: str) -> E:
        choose = self.random.choice
        if type == "BOOL":
            return E(choose(BOOLS) if self.random.random() < 0.95 else choose(("TRUE", "FALSE")), (), type)
        return E(choose(INTS) if self.random.random() < 0.6 else str(choose((0, 1, 2, 3, 5, 10))), (), type)

    def expression(self, type: str, depth: int = 2) -> E:
        if depth == 0 or self.random.random() < 0.25:
            return self.leaf(type)
        if type == "BOOL":
            return self._bool(depth - 1)
        return self._int(depth - 1)

    def _bool(self, depth: int) -> E:
        pick = self.random.random()
        if pick < 0.5:
            op = self.random.choice(("AND", "AND", "OR", "OR", "XOR"))
            count = self.random.choice((2, 2, 2, 3))
            return E(op, tuple(self.expression("BOOL", depth) for _ in range(count)), "BOOL")
        if pick < 0.65:
            return E("NOT", (self.expression("BOOL", depth),), "BOOL")
        if pick < 0.72:
            return E("Above", (E(self.random.choice(("m", "n", "total", "e[1]")), (), "INT"),), "BOOL")
        op = self.random.choice(("=", "<>", "<", "<=", ">", ">="))
        return E(op, (self.expression("INT", depth), self.expression("INT", min(depth, 1))), "BOOL")

    def _int(self, depth: int) -> E:
        pick = self.random.random()
        if pick < 0.45:
            return E(self.random.choice("+++--*"), tuple(self.expression("INT", depth) for _ in range(2)), "INT")
        if pick < 0.52:
            return E(self.random.choice(("/", "MOD")), (self.expression("INT", depth), self.leaf("INT")), "INT")
        if pick < 0.62:
            return E("Take", (E(self.random.choice(("m", "n", "total", "e[2]")), (), "INT"),), "INT")
        if pick < 0.74:
            return E(self.random.choice(("Count", "Pure")), (self.expression("INT", depth),), "INT")
        if pick < 0.84:
            inner = (self.expression("BOOL", depth), self.expression("INT", depth), self.expression("INT", depth))
            return E("SEL", inner, "INT")
        if pick < 0.92:
            return E(
                self.random.choice(("MAX", "MIN", "ADD")), tuple(self.expression("INT", depth) for _ in "12"), "INT"
            )
        return E("BOOL_TO_INT", (self.expression("BOOL", depth),), "INT")

    def statements(self, count: int, depth: int = 1) -> tuple[S, ...]:
        return tuple(self.statement(depth) for _ in range(count))

    def statement(self, depth: int = 1) -> S:
        pick, choose = self.random.random(), self.random.choice
        if pick < 0.3:
            return S("assign", choose(BOOL_TARGETS), (self.expression("BOOL"),))
        if pick < 0.55:
            return S("assign", choose(INT_TARGETS), (self.expression("INT"),))
        if pick < 0.78 or depth == 0:
            return self._call()
        if pick < 0.93:
            parts = tuple(self.statements(self.random.randint(1, 2), depth - 1) for _ in range(choose((1, 1, 2))))
            return S("if", "", (self.expression("BOOL"),), parts)
        parts = tuple(self.statements(1, depth - 1) for _ in range(2))
        return S("case", choose(("1|2, 3", "0|1..3", "1, 5|3..6")), (self.leaf("INT"),), parts)

    def _call(self) -> S:
        boolean, number = (lambda: self.expression("BOOL", 1)), (lambda: self.expression("INT", 1))
        by_reference = self.random.choice(("m", "n", "total", "e[1]", "y"))
        one = self.random.choice(("q", "r", "flag"))
        match self.random.randint(0, 8):
            case 0 | 1:
                head = f"{self.random.choice('fg')}(d := {{}}, x := {by_reference});"
                return S("call", head, (number(),))
            case 2:
                return S("call", "l(d := {});", (number(),))
            case 3:
                return S("call", f"w(a := {{}}, b := {{}}, x := {one});", (boolean(), boolean()))
            case 4:
                return S("call", "t(IN := {}, PT := T#3s);", (boolean(),))
            case 5:
                return S("call", "x(CLK := {});", (boolean(),))
            case 6:
                return S("call", "v(S1 := {}, R := {});", (boolean(), boolean()))
            case 7:
                return S("call", "u(CU := {}, R := {}, PV := 3);", (boolean(), boolean()))
        return S("call", f"m := Take({by_reference});" if by_reference != "m" else "Take(m);")
