"""Instruction lists: executed symbolically on the accumulator, so that they become the same statements as ST and LD.

One pass over the instructions. The accumulator is an expression; ``ST`` writes it and from then on it is the variable
just written, where the write may have touched what the expression reads. Before any other such write it is saved in a
temporary, and so is one that has grown long. Where it is still needed behind a label, it travels in one temporary that
every way to the label fills. Nothing is ever evaluated on the other side of a write of one of its operands.

A sequence goes from one instruction that needs no accumulator (``LD``, ``CAL``, ``JMP``, ``RET``) to the next. A
sequence that is not understood stays as it is written, and the rest of the body is read; with a label or a jump in it
the whole body stays. After ``CAL`` the accumulator is undefined, and whatever uses it is not understood.
Cost: linear. Known weakness: that two names share memory (``AT``, references) is only seen for direct addresses and
where a reference is followed on the spot.

Operators and modifiers: IEC 61131-3:2013 tables 67 to 70, from memory.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from asfound.language.accumulator import applied, impure, touches
from asfound.language.instructions import (
    ODD,
    SYMBOLS,
    Line,
    lines,
    looks_like_il,
    open_parentheses,
    operator,
    plain,
)
from asfound.language.parser import parse_expression, parse_statements, remarks
from asfound.language.wires import numbered
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Dereference,
    Direct,
    Element,
    Expression,
    Invocation,
    Jump,
    Label,
    Member,
    Operation,
    Return,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
)

__all__ = ["looks_like_il", "parse_il"]

CARRIER = Temporary(1, "result")
"""The temporary in which the accumulator travels over labels."""
LONG = 60
"""Instructions after which a growing accumulator is put into a temporary: deep trees are nobody's pleasure."""
INPUTS = frozenset(("S1", "R1", "CLK", "CU", "CD", "PV", "IN", "PT"))
"""``CU C10`` is ``CAL C10(CU := accumulator)``. (``S``, ``R`` and ``LD`` are operators of their own first.)"""
_PLAIN = frozenset(("LD", "LDN", "ST", "STN", "S", "R", "NOT", "CAL", "JMP", "RET", *SYMBOLS))
MISUSED = frozenset(word + modifier for word in _PLAIN for modifier in ("C", "N", "CN")) | {ODD}
"""A modifier that its operator does not take is not the name of a function."""
_FRESH = frozenset(("LD", "LDN", "CAL", "JMP", "RET"))


class NotUnderstood(Exception):
    """An instruction, or its use of the accumulator, that the standard does not explain."""


def parse_il(text: str) -> tuple[Statement, ...]:
    """Statements of an instruction list; what is not understood as :class:`Verbatim`. Never raises."""
    if not text.strip():
        return ()
    try:
        if "\x00" in text:
            raise NotUnderstood("a control character")
        return numbered(_Machine(lines(text)).run())
    except NotUnderstood:
        return (Verbatim(plain(text)),)


def _fresh(line: Line) -> bool:
    """Whether an instruction does without the accumulator: it may begin a sequence."""
    named = line.operand.startswith("(") and operator(line.word)[0] not in SYMBOLS
    return line.word in _FRESH or (named and line.word not in _PLAIN | MISUSED | INPUTS | {"CALC", "CALCN"})


def _needs(code: tuple[Line, ...], labels: dict[str, int]) -> list[bool]:
    """For each place: is the accumulator read from there on before it is loaded?"""
    found: list[bool | None] = [None] * len(code)
    for start in range(len(code)):
        path: list[int] = []
        at, needed = start, False
        while at < len(code):
            if (known := found[at]) is not None:
                needed = known
                break
            found[at] = False  # a loop that never uses it does not need it
            path.append(at)
            line = code[at]
            if line.word == "JMP":
                at = labels.get(line.operand.lower(), len(code))
            elif line.word:
                needed = not _fresh(line)
                break
            else:
                at += 1
        for index in path:
            found[index] = needed
    return [bool(needed) for needed in found]


@dataclass
class _Machine:
    """The accumulator, the stack of open parentheses and what has been written so far."""

    code: tuple[Line, ...]
    value: Expression | None = None
    size: int = 0
    """Instructions that made the value."""
    stack: list[tuple[str, bool, Expression | None, int]] = field(default_factory=list)
    out: list[Statement] = field(default_factory=list)
    temporaries: int = 1
    pending: bool = False
    """The accumulator holds something that nothing has used yet."""
    reachable: bool = True
    at: int = 0

    def run(self) -> tuple[Statement, ...]:
        """All statements of the list."""
        names = [line.label.lower() for line in self.code if line.label]
        if len(set(names)) < len(names):
            raise NotUnderstood("a label stands twice")
        labels = {line.label.lower(): at for at, line in enumerate(self.code) if line.label}
        self.needs = [*_needs(self.code, labels), False]
        self.carried = {name for name, at in labels.items() if self.needs[at]}
        for first, behind in self._sequences():
            self._sequence(self.code[first:behind], first)
        return tuple(self.out)

    def _sequences(self) -> Iterator[tuple[int, int]]:
        first = depth = 0
        for at, line in enumerate(self.code):
            if at > first and depth == 0 and not line.label and _fresh(line):
                yield first, at
                first = at
            if line.operand.startswith("(") and line.word not in _FRESH - {"LD", "LDN"}:
                depth += open_parentheses(line.operand) > 0
            depth = max(0, depth - (line.word == ")"))
        if first < len(self.code):
            yield first, len(self.code)

    def _sequence(self, code: tuple[Line, ...], first: int) -> None:
        kept = len(self.out)
        try:
            for self.at, line in enumerate(code, first):
                self._line(line)
            if self.stack:
                raise NotUnderstood("a parenthesis is left open")
            if not self.needs[first + len(code)]:
                self._discard()
        except NotUnderstood:
            if any(line.label or line.word.startswith(("JMP", "RET")) for line in code):
                raise
            self.value, self.pending, self.stack = None, False, []
            self.out[kept:] = [Verbatim("\n".join(line.raw for line in code))]

    def _line(self, line: Line) -> None:
        if line.label:
            self._label(line.label)
        self.out += [remark for text in line.comments for remark in remarks(text)]
        if line.word:
            self._step(line)

    def _label(self, name: str) -> None:
        self._outside()
        if name.lower() in self.carried:
            self._carry()
            self.value, self.size = CARRIER, 0
        else:
            self._discard()
            self.value = None
        self.reachable = True
        self.out.append(Label(name))

    def _load(self, value: Expression | None, size: int = 1) -> None:
        self.value, self.size, self.pending = value, size, value is not None
        if value is not None and size > LONG:
            self._save()

    def _outside(self) -> None:
        if self.stack:
            raise NotUnderstood("only values are combined within parentheses")

    def _discard(self) -> None:
        """A value that was computed for nothing has no place among statements: the sequence stays as it is written."""
        if self.pending:
            raise NotUnderstood("a value is computed and never used")

    def _carry(self) -> None:
        """Fill the carrier on a way to a label that needs the accumulator."""
        if not self.reachable:
            return
        if (value := self._now()) != CARRIER:
            self.out.append(Assign(CARRIER, value))
            self.value, self.size = CARRIER, 0

    def _now(self) -> Expression:
        if self.value is None:
            raise NotUnderstood("the accumulator is used before anything was loaded")
        self.pending = False
        return self.value

    def _save(self) -> None:
        if self.value is not None and not isinstance(self.value, Temporary):
            self.temporaries += 1
            saved = Temporary(self.temporaries, "result")
            self.out.append(Assign(saved, self.value))
            self.value, self.size = saved, 0

    def _used_again(self) -> bool:
        return self.needs[self.at + 1]

    def _step(self, line: Line) -> None:
        word, operand = line.word, line.operand
        if word == ")" and not operand:
            self._close()
        elif word in ("LD", "LDN"):
            self._start(word, operand)
        elif word in ("ST", "STN", "S", "R"):
            self._write(word, _access(operand))
        elif word == "NOT" and not operand:
            self._load(Operation("NOT", (self._now(),)), self.size + 1)
        elif operator(word)[0] in SYMBOLS:
            self._combine(*operator(word), operand)
        elif word in ("JMP", "JMPC", "JMPCN"):
            self._jump(word, operand)
        elif word in ("RET", "RETC", "RETCN") and not operand:
            self._return(word)
        elif word in ("CAL", "CALC", "CALCN"):
            self._call(word, operand)
        elif word in INPUTS:
            self._called(Call(_access(operand), "", (Argument(word, self._now()),)))
        else:
            self._function(line)

    def _start(self, word: str, operand: str) -> None:
        if not self.stack or self.pending:
            self._discard()
        if operand.startswith("(") and open_parentheses(operand) > 0:
            self.stack.append(("", word == "LDN", None, 0))
            inside = operand[1:].strip()
            self._load(_operand(inside) if inside else None)
            return
        loaded = _operand(operand)
        self._load(Operation("NOT", (loaded,)) if word == "LDN" else loaded)

    def _combine(self, symbol: str, negated: bool, operand: str) -> None:
        if operand.startswith("(") and open_parentheses(operand) > 0:
            inside = operand[1:].strip()
            self.stack.append((symbol, negated, self._now(), self.size))
            self._load(_operand(inside) if inside else None)
            return
        right = _operand(operand)
        self._load(applied(symbol, negated, self._now(), right), self.size + 1)

    def _close(self) -> None:
        if not self.stack:
            raise NotUnderstood("a parenthesis is closed that was never opened")
        symbol, negated, left, size = self.stack.pop()
        right = self._now()
        if left is None:
            self._load(Operation("NOT", (right,)) if negated else right, self.size + 1)
        else:
            self._load(applied(symbol, negated, left, right), max(self.size, size) + 1)

    def _write(self, word: str, target: Expression) -> None:
        self._outside()
        touched = self._used_again() and touches(target, self._now())
        if word == "ST":
            self.out.append(Assign(target, self._now()))
            if touched:
                self.value, self.size = target, 0
            return
        if touched:
            self._save()
        value = self._now()
        if word == "STN":
            self.out.append(Assign(target, Operation("NOT", (value,))))
        else:
            self.out.append(Assign(target, value, "set" if word == "S" else "reset"))

    def _condition(self, word: str, plain: str) -> Expression | None:
        if word == plain:
            return None
        if self._used_again() and impure(self._now()):
            self._save()
        return Operation("NOT", (self._now(),)) if word.endswith("N") else self._now()

    def _jump(self, word: str, target: str) -> None:
        self._outside()
        if not re.fullmatch(r"[^\W\d]\w*", target):
            raise NotUnderstood(target)
        if target.lower() in self.carried:
            self._carry()
        self.out.append(Jump(target, self._condition(word, "JMP")))
        if word == "JMP":
            self._leave()

    def _return(self, word: str) -> None:
        self._outside()
        self.out.append(Return(self._condition(word, "RET")))
        if word == "RET":
            self._leave()

    def _leave(self) -> None:
        self._discard()
        self.value, self.reachable = None, False

    def _call(self, word: str, operand: str) -> None:
        parsed = parse_statements(f"{operand if '(' in operand else operand + '()'};")
        if len(parsed) != 1 or not isinstance(parsed[0], Call):
            raise NotUnderstood(operand)
        call = parsed[0]
        condition = self._condition(word, "CAL")
        self._called(Call(call.instance, call.type, call.inputs, call.outputs, condition))

    def _called(self, call: Call) -> None:
        self._outside()
        self._discard()
        self.out.append(call)
        self.value = None

    def _function(self, line: Line) -> None:
        """A function: ``LIMIT 0, 100`` takes the accumulator first; ``LIMIT(MN := 0, ...)`` names its arguments."""
        if line.word in MISUSED:
            raise NotUnderstood(line.word)
        if line.operand.startswith("("):
            read = parse_expression(f"{line.name}{line.operand}")
            if not isinstance(read, Invocation) or any(not a.name for a in read.inputs):
                raise NotUnderstood(line.operand)
            if not self.stack or self.pending:
                self._discard()
            self._load(read)
            return
        more = parse_expression(f"{line.name}({line.operand})")
        if not isinstance(more, Invocation) or any(a.name for a in more.inputs):
            raise NotUnderstood(line.word)
        first = Argument("", self._now())
        self._load(Invocation(Variable(line.name), (first, *more.inputs), more.outputs), self.size + 1)


def _operand(text: str) -> Expression:
    read = parse_expression(text)
    if not text or isinstance(read, Unparsed):
        raise NotUnderstood(text)
    return read


def _access(text: str) -> Expression:
    """Something that can be written."""
    read = _operand(text)
    if not isinstance(read, Variable | Direct | Member | Element | Dereference):
        raise NotUnderstood(text)
    return read
