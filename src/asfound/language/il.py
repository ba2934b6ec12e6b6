"""Instruction lists: executed symbolically on the accumulator, so that they become the same statements as ST and LD.

One pass over the lines. The accumulator is an expression; ``ST`` writes it and from then on it is the variable just
written, where that variable was part of it; before any other write of something it reads, it is saved in a temporary.
Where the accumulator is still needed behind a label, it travels in one temporary that every way to the label fills.
Nothing is ever evaluated on the other side of a write of one of its operands. A line that is not understood leaves the
whole body as it is written. Cost: linear, apart from the search for the first use behind each label.

Operators and modifiers: IEC 61131-3 (operators of the IL language), from memory.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import NamedTuple

from asfound.language.parser import parse_expression, parse_statements, remarks
from asfound.language.walk import names_in, root
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Expression,
    Invocation,
    Jump,
    Label,
    Operation,
    Return,
    Statement,
    Temporary,
    Unparsed,
    Variable,
    Verbatim,
)

BINARY = {
    **{
        "AND": "AND",
        "&": "AND",
        "OR": "OR",
        "XOR": "XOR",
        "ADD": "+",
        "SUB": "-",
        "MUL": "*",
        "DIV": "/",
        "MOD": "MOD",
    },
    **{"GT": ">", "GE": ">=", "EQ": "=", "NE": "<>", "LE": "<=", "LT": "<"},
}
NEGATABLE = ("AND", "&", "OR", "XOR")
CARRIER = Temporary(1)
"""The temporary in which the accumulator travels over labels."""

_LINE = re.compile(r"(?:(?P<label>[^\W\d]\w*)\s*:(?!=)\s*)?(?:(?P<word>&|[^\W\d]\w*)(?P<rest>.*)|(?P<close>\)))?", re.S)
_COMMENT = re.compile(r"\(\*.*?\*\)|//[^\n]*|/\*.*?\*/", re.S)
_FIRST = re.compile(r"\s*(?:[^\W\d]\w*\s*:(?!=)\s*)?(?:(?:LD|ST|JMP|CAL|RET)(?:C?N?)|S|R)(?:\s+[^\s:=(;]|\s*$)", re.I)


class NotUnderstood(Exception):
    """A line that is no instruction we know; the body stays verbatim."""


class Line(NamedTuple):
    """One instruction: label, operator in upper case, operand text, and the comments that stand on the line."""

    label: str
    word: str
    operand: str
    comments: tuple[str, ...]


def looks_like_il(text: str) -> bool:
    """Whether a body is an instruction list rather than structured text: its first line is an instruction.

    >>> looks_like_il("(* on *) LD Start"), looks_like_il("LD := 1;")
    (True, False)
    """
    bare = _COMMENT.sub(" ", text).strip()
    return bool(_FIRST.match(bare.split("\n", 1)[0])) and ";" not in bare.split("\n", 1)[0]


def parse_il(text: str) -> tuple[Statement, ...]:
    """Statements of an instruction list; one :class:`Verbatim` with the whole text when a line is not understood."""
    try:
        return _Machine(lines(text)).run()
    except NotUnderstood:
        kept = "\n".join(line.strip() for line in text.strip().split("\n"))
        return (Verbatim(kept),) if kept else ()


def lines(text: str) -> tuple[Line, ...]:
    """Instructions of a body; a call whose parentheses span lines is one instruction."""
    found: list[Line] = []
    comments: list[str] = []

    def keep(match: re.Match[str]) -> str:
        comments.append(match[0])
        return f" \x00{len(comments) - 1}\x00 " + ("\n" if match[0].startswith("//") else "")

    marked = _COMMENT.sub(keep, text)
    for raw in _joined(marked.split("\n")):
        own = tuple(comments[int(n)] for n in re.findall(r"\x00(\d+)\x00", raw))
        bare = re.sub(r"\x00\d+\x00", " ", raw).strip().removesuffix(";").strip()
        match = _LINE.fullmatch(bare)
        if match is None:
            raise NotUnderstood(bare)
        word = (match["word"] or match["close"] or "").upper()
        found.append(Line(match["label"] or "", word, (match["rest"] or "").strip(), own))
    return tuple(found)


def _joined(raw: list[str]) -> list[str]:
    """Physical lines put together while a call (``CAL f(``) is open; ``AND(`` opens a nested list instead."""
    out: list[str] = []
    depth = 0
    for line in raw:
        bare = re.sub(r"\x00\d+\x00", " ", line).strip()
        if depth:
            out[-1] += " " + line.strip()
        else:
            out.append(line)
            head = re.match(r"(?:[^\W\d]\w*\s*:(?!=)\s*)?(&|[^\W\d]\w*)\s*\(", bare)
            if head and _split(head[1].upper())[0] in BINARY:
                continue
        depth = max(0, depth + bare.count("(") - bare.count(")"))
    return out


def _split(word: str) -> tuple[str, bool]:
    """Operator without its N, and whether it had one."""
    if word.endswith("N") and word[:-1] in NEGATABLE:
        return word[:-1], True
    return word, False


@dataclass
class _Machine:
    """The accumulator, the stack of open parentheses and what has been written so far."""

    code: tuple[Line, ...]
    value: Expression | None = None
    stack: list[tuple[str, bool, Expression | None]] = field(default_factory=list)
    out: list[Statement] = field(default_factory=list)
    temporaries: int = 1
    pending: bool = False
    """The accumulator holds something that nothing has used yet."""

    def run(self) -> tuple[Statement, ...]:
        labels = {line.label.casefold(): at for at, line in enumerate(self.code) if line.label}
        self.carried = {name for name, at in labels.items() if self._needed(at, labels, set())}
        for line in self.code:
            if line.label:
                self._label(line.label)
            self.out += [remark for text in line.comments for remark in remarks(text)]
            if line.word:
                self._step(line)
        if self.stack:
            raise NotUnderstood("a parenthesis is left open")
        self._discard()
        return tuple(self.out)

    def _needed(self, at: int, labels: dict[str, int], seen: set[int]) -> bool:
        """Is the accumulator read behind a place before it is loaded?"""
        while at < len(self.code) and at not in seen:
            seen.add(at)
            word = self.code[at].word
            if word in ("LD", "LDN", "RET", "CAL"):
                return False
            if word == "JMP":
                at = labels.get(self.code[at].operand.casefold(), len(self.code))
                continue
            if word:
                return True
            at += 1
        return False

    def _label(self, name: str) -> None:
        if name.casefold() in self.carried:
            self._carry()
            self.value = CARRIER
        else:
            self._discard()
            self.value = None
        self.out.append(Label(name))

    def _load(self, value: Expression | None) -> None:
        self.value, self.pending = value, value is not None

    def _discard(self) -> None:
        """A value that was computed for nothing has no place among statements: the body stays as it is written."""
        if self.pending:
            raise NotUnderstood("a value is computed and never used")

    def _carry(self) -> None:
        self.pending = False
        if self.value is not None and self.value != CARRIER:
            self.out.append(Assign(CARRIER, self.value))
            self.value = CARRIER

    def _now(self) -> Expression:
        if self.value is None:
            raise NotUnderstood("the accumulator is used before anything was loaded")
        self.pending = False
        return self.value

    def _save_if_read(self, written: str) -> None:
        """Keep the accumulator's value in a temporary when it reads what is about to be written."""
        if self.value is not None and written in names_in(self.value):
            self.temporaries += 1
            saved = Temporary(self.temporaries)
            self.out.append(Assign(saved, self.value))
            self.value = saved

    def _step(self, line: Line) -> None:
        word, operand = line.word, line.operand
        operator, negated = _split(word)
        if word == ")":
            self._close()
        elif word in ("LD", "LDN"):
            self._discard()
            loaded = self._operand(operand)
            self._load(Operation("NOT", (loaded,)) if word == "LDN" else loaded)
        elif word in ("ST", "STN", "S", "R"):
            self._write(word, self._operand(operand))
        elif word == "NOT" and not operand:
            self._load(Operation("NOT", (self._now(),)))
        elif operator in BINARY:
            self._combine(operator, negated, operand)
        elif word in ("JMP", "JMPC", "JMPCN"):
            self._jump(word, operand)
        elif word in ("RET", "RETC", "RETCN"):
            self.out.append(Return(self._condition(word, "RET")))
        elif word in ("CAL", "CALC", "CALCN"):
            self._call(word, operand)
        else:
            self._function(line)

    def _operand(self, text: str) -> Expression:
        read = parse_expression(text)
        if not text or isinstance(read, Unparsed):
            raise NotUnderstood(text)
        return read

    def _combine(self, operator: str, negated: bool, operand: str) -> None:
        if operand.startswith("("):
            inside = operand[1:].strip()
            if not inside.endswith(")"):
                self.stack.append((operator, negated, self._now()))
                self._load(self._operand(inside) if inside else None)
                return
            operand = inside[:-1]
        right = self._operand(operand)
        self._load(_applied(operator, negated, self._now(), right))

    def _close(self) -> None:
        if not self.stack:
            raise NotUnderstood("a parenthesis is closed that was never opened")
        operator, negated, left = self.stack.pop()
        if left is None:
            raise NotUnderstood("nothing stands before the parenthesis")
        self._load(_applied(operator, negated, left, self._now()))

    def _write(self, word: str, target: Expression) -> None:
        value = self._now()
        if word in ("S", "R"):
            self._save_if_read(root(target))
            self.out.append(Assign(target, self._now(), "set" if word == "S" else "reset"))
        elif word == "STN":
            self._save_if_read(root(target))
            self.out.append(Assign(target, Operation("NOT", (self._now(),))))
        else:
            self.out.append(Assign(target, value))
            if root(target) in names_in(value):
                self.value = target

    def _condition(self, word: str, plain: str) -> Expression | None:
        if word == plain:
            return None
        return Operation("NOT", (self._now(),)) if word.endswith("N") else self._now()

    def _jump(self, word: str, target: str) -> None:
        if not re.fullmatch(r"[^\W\d]\w*", target):
            raise NotUnderstood(target)
        if target.casefold() in self.carried:
            self._carry()
        self.out.append(Jump(target, self._condition(word, "JMP")))
        if word == "JMP":
            self._discard()
            self.value = None

    def _call(self, word: str, operand: str) -> None:
        parsed = parse_statements(f"{operand if '(' in operand else operand + '()'};")
        if len(parsed) != 1 or not isinstance(parsed[0], Call):
            raise NotUnderstood(operand)
        condition = self._condition(word, "CAL")
        call = parsed[0]
        self._save_if_read(root(call.instance))
        self.out.append(Call(call.instance, call.type, call.inputs, call.outputs, condition))

    def _function(self, line: Line) -> None:
        """A function: ``LIMIT 0, 100`` takes the accumulator first; ``LIMIT(MN := 0, ...)`` names its arguments."""
        if line.operand.startswith("("):
            read = parse_expression(f"{line.word}{line.operand}")
            if not isinstance(read, Invocation):
                raise NotUnderstood(line.operand)
            self._discard()
            self._load(read)
            return
        more = parse_expression(f"{line.word}({line.operand})")
        if not isinstance(more, Invocation) or line.word in ("S1", "R1", "CLK", "CU", "CD", "PV", "IN", "PT", "LD"):
            raise NotUnderstood(line.word)
        first = Argument("", self._now())
        self._load(Invocation(Variable(line.word), (first, *more.inputs), more.outputs))


def _applied(operator: str, negated: bool, left: Expression, right: Expression) -> Expression:
    """One instruction as an operation; AND, OR and XOR stay flat."""
    if negated:
        right = Operation("NOT", (right,))
    symbol = BINARY[operator]
    if symbol in ("AND", "OR", "XOR"):
        parts = [*_flat(symbol, left), *_flat(symbol, right)]
        return Operation(symbol, tuple(parts))
    return Operation(symbol, (left, right))


def _flat(symbol: str, part: Expression) -> tuple[Expression, ...]:
    return part.operands if isinstance(part, Operation) and part.operator == symbol else (part,)
