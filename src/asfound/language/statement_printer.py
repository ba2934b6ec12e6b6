"""Model to text: expressions and statements. What it writes, the parser reads back as the same model.

Parentheses only where the precedence needs them, one statement a line, no line is ever wrapped (a long condition
stays one line in a ``git diff``). Whatever has no place in IEC 61131-3 text travels in a pragma, see pragmas.py.
An assignment of a
reference and an assignment attempt have such a mark right before them.
Two things are told by how they are set alone: a statement with a condition, and a set or reset coil, is an ``IF`` on
one line; a function called like an operator stands right before its parenthesis (``MOD(a, b)``, ``NOT (a OR b)``).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from asfound.language import addresses, literals
from asfound.language.builder import FALSE, NARY, PRECEDENCE, TRUE, comment_text
from asfound.language.grammar_input import UNKNOWN_TYPE
from asfound.language.pragmas import is_plain, pragma, quote
from asfound.language.pragmas import parse as parse_pragma
from asfound.language.tokens import IDENTIFIER, STATEMENT_WORDS, tokens
from asfound.model import logic as m

_UNARY, _POSTFIX = 8, 9
_OPERATOR_FUNCTIONS = frozenset(("AND", "OR", "XOR", "MOD", "NOT"))
_MARKED = {kind: pragma(kind) + " " for kind in ("reference", "attempt")}
_COILS = {"set": "TRUE", "reset": "FALSE"}
INDENT = "  "


@lru_cache(maxsize=16384)
def name(text: str) -> str:
    """A name as it may stand in a body: itself, or ``{name "..."}`` when it is no plain identifier.

    >>> name("Pump 1"), name("Pump1")
    ('{name "Pump 1"}', 'Pump1')
    """
    word = text.upper()
    plain = (
        re.fullmatch(IDENTIFIER, text)
        and word not in STATEMENT_WORDS
        and not word.startswith("END_")
        and text not in ("R_EDGE", "F_EDGE")
        and not re.fullmatch(r"_v\d+", text)
    )
    return text if plain else pragma("name", text)


@lru_cache(maxsize=16384)
def literal(text: str) -> str:
    """A literal as written in a body, ``{literal "..."}`` when the text would be read as something else."""
    found = list(tokens(text))
    plain = len(found) == 1 and found[0].kind == "LITERAL" and found[0].text == text and is_plain(text)
    return text if plain and literals.canonical(text) == text else pragma("literal", text)


def _direct(text: str) -> str:
    found = list(tokens(text))
    plain = len(found) == 1 and found[0].kind == "DIRECT" and addresses.canonical(text) == text
    return text if plain else pragma("direct", text)


@lru_cache(maxsize=16384)
def expression(e: m.Expression) -> str:
    """Text of an expression with as few parentheses as possible.

    >>> expression(m.Operation("AND", (m.Variable("a"), m.Operation("NOT", (m.Variable("b"),)))))
    'a AND NOT b'
    """
    return _text(e)[0]


def _text(e: m.Expression) -> tuple[str, int]:
    """Text, and how tightly it binds."""
    if isinstance(e, m.Variable):
        return name(e.name), _POSTFIX
    if isinstance(e, m.Operation):
        return _operation(e)
    if isinstance(e, m.Member):
        return f"{_postfix(e.of)}.{_member_name(e)}", _POSTFIX
    if isinstance(e, m.Literal):
        return literal(e.text), _UNARY
    if isinstance(e, m.Direct):
        return _direct(e.address), _POSTFIX
    if isinstance(e, m.Temporary):
        return pragma("wire", str(e.number), *([e.origin] if e.origin else [])), _POSTFIX
    if isinstance(e, m.Element):
        return f"{_postfix(e.of)}[{', '.join(map(expression, e.indexes))}]", _POSTFIX
    if isinstance(e, m.Dereference):
        return f"{_postfix(e.of)}^", _POSTFIX
    if isinstance(e, m.Edge):
        return f"{'R' if e.kind == 'rising' else 'F'}_EDGE({expression(e.of)})", _UNARY
    if isinstance(e, m.Invocation):
        return f"{_called(e.function)}({_arguments(e.inputs, e.outputs)})", _POSTFIX
    return pragma("text", e.text), _POSTFIX


def _operation(e: m.Operation) -> tuple[str, int]:
    if e.operator in ("NOT", "NEG"):
        (of,) = e.operands
        if e.operator == "NEG":
            return f"-{_within(of, _UNARY)}", _UNARY
        twice = isinstance(of, m.Operation) and of.operator == "NOT"
        return f"NOT {_within(of, _POSTFIX if twice else _UNARY)}", _UNARY
    level = PRECEDENCE[e.operator]
    if e.operator in NARY:
        return f" {e.operator} ".join(_within(operand, level + 1) for operand in e.operands), level
    left, right = e.operands
    return f"{_within(left, level)} {e.operator} {_within(right, level + 1)}", level


def _within(e: m.Expression, level: int) -> str:
    text, own = _text(e)
    return text if own >= level else f"({text})"


def _postfix(e: m.Expression) -> str:
    return _within(e, _POSTFIX)


def _member_name(e: m.Member) -> str:
    if re.fullmatch(rf"{IDENTIFIER}|%[XBWDL]?[0-9]+", e.name):
        return e.name
    bit_of_word = isinstance(e.of, m.Variable | m.Element | m.Dereference) or (
        isinstance(e.of, m.Member) and re.fullmatch(IDENTIFIER, e.of.name)
    )
    return e.name if bit_of_word and re.fullmatch(r"[0-9]+", e.name) else pragma("name", e.name)


def _called(e: m.Expression) -> str:
    """What is called; the parenthesis right behind it tells the function ``MOD`` from the operator."""
    like_operator = isinstance(e, m.Variable) and e.name.upper() in _OPERATOR_FUNCTIONS and e.name.isascii()
    return e.name if isinstance(e, m.Variable) and like_operator else _postfix(e)


def _arguments(inputs: Sequence[m.Argument], outputs: Sequence[m.Argument]) -> str:
    parts = [f"{name(a.name)} := {expression(a.value)}" if a.name else expression(a.value) for a in inputs]
    parts += [f"{'NOT ' if a.negated else ''}{name(a.name)} => {expression(a.value)}" for a in outputs]
    return ", ".join(parts)


def statements(sequence: Sequence[m.Statement], indent: int = 0) -> str:
    """Text of statements, one a line, each line ended; ``indent`` counts levels of two blanks."""
    return "".join(f"{line}\n" for line in lines(sequence, indent))


def lines(sequence: Sequence[m.Statement], indent: int = 0, in_arm: bool = False) -> list[str]:
    """The lines of :func:`statements`; directly in a CASE arm a jump label is written as a pragma."""
    found: list[str] = []
    for statement in sequence:
        if isinstance(statement, m.Label) and in_arm:
            found.append(INDENT * indent + pragma("label", statement.name))
        else:
            found.extend(_statement(statement, indent))
    return found


def simple(statement: m.Statement) -> str | None:
    """Text of a statement that fits on a line, without its condition; None for IF, CASE and loops."""
    if isinstance(statement, m.Assign):
        if statement.kind in _COILS:
            return _only_when(statement.value, f"{_postfix(statement.target)} := {_COILS[statement.kind]};")
        return f"{_MARKED.get(statement.kind, '')}{_postfix(statement.target)} := {expression(statement.value)};"
    if isinstance(statement, m.Call):
        return f"{_called(statement.instance)}({_arguments(statement.inputs, statement.outputs)});"
    if isinstance(statement, m.Jump):
        return f"JMP {name(statement.label)};"
    if isinstance(statement, m.Return):
        return "RETURN;"
    if isinstance(statement, m.Exit):
        return "EXIT;"
    if isinstance(statement, m.Continue):
        return "CONTINUE;"
    if isinstance(statement, m.Label):
        return f"{name(statement.name)}:" if name(statement.name) == statement.name else pragma("label", statement.name)
    if isinstance(statement, m.Remark):
        return comment(statement.text, collapsed=True)
    if isinstance(statement, m.Verbatim):
        return _verbatim(statement.text)
    return None


def _only_when(condition: m.Expression, text: str) -> str:
    return f"IF {expression(condition)} THEN {text} END_IF;"


def comment(text: str, collapsed: bool = False) -> str:
    """``(* text *)``, or ``{comment "..."}`` when the text cannot stand in a comment unharmed."""
    harmless = (
        "*)" not in text and is_plain(text) and text == (comment_text(f"(*{text}*)") if collapsed else text.strip())
    )
    return f"(* {text} *)" if harmless and text else pragma("comment", text)


def _verbatim(text: str) -> str:
    found = list(tokens(text)) if text[:1] == "{" else []
    foreign = len(found) == 1 and found[0].kind == "PRAGMA" and parse_pragma(text) is None and is_plain(text)
    return text if foreign and found[0].text == text else pragma("verbatim", text)


def _statement(statement: m.Statement, indent: int) -> list[str]:
    pad = INDENT * indent
    text = simple(statement)
    if text is not None:
        condition = getattr(statement, "condition", None)
        if condition is not None:
            text = _only_when(condition, text)
            if isinstance(statement, m.Assign) and statement.kind == "assign" and statement.value in (TRUE, FALSE):
                text = f"{{when}} {text}"  # without it, it would be a coil; no reader makes this
        kind = getattr(statement, "type", "")
        return [pad + _block(kind), pad + text] if kind else [pad + text]
    if isinstance(statement, m.If):
        return _if(statement, indent)
    if isinstance(statement, m.Case):
        return _case(statement, indent)
    if isinstance(statement, m.For):
        step = f" BY {expression(statement.step)}" if statement.step is not None else ""
        head = f"{_postfix(statement.variable)} := {expression(statement.first)} TO {expression(statement.last)}{step}"
        return [f"{pad}FOR {head} DO", *lines(statement.statements, indent + 1), f"{pad}END_FOR;"]
    if isinstance(statement, m.While):
        head = expression(statement.condition)
        return [f"{pad}WHILE {head} DO", *lines(statement.statements, indent + 1), f"{pad}END_WHILE;"]
    assert isinstance(statement, m.Repeat)
    until = f"{pad}UNTIL {expression(statement.until)} END_REPEAT;"
    return [f"{pad}REPEAT", *lines(statement.statements, indent + 1), until]


def _block(kind: str) -> str:
    """The type that a drawing gives a block, where the declaration does not say the same."""
    if kind == UNKNOWN_TYPE:
        return "{block of unknown type}"
    return f"{{block of type {kind if re.fullmatch(IDENTIFIER, kind) else quote(kind)}}}"


def _if(statement: m.If, indent: int) -> list[str]:
    pad, found, word = INDENT * indent, [], "IF"
    for branch in statement.branches:
        found.append(f"{pad}{word} {expression(branch.condition)} THEN")
        found.extend(lines(branch.statements, indent + 1))
        word = "ELSIF"
    if statement.otherwise:
        found += [f"{pad}ELSE", *lines(statement.otherwise, indent + 1)]
    return [*found, f"{pad}END_IF;"]


def _case(statement: m.Case, indent: int) -> list[str]:
    pad, inner = INDENT * indent, INDENT * (indent + 1)
    found = [f"{pad}CASE {expression(statement.selector)} OF"]
    for arm in statement.arms:
        found.append(f"{inner}{', '.join(map(_case_label, arm.labels))}:")
        found.extend(lines(arm.statements, indent + 2, in_arm=True))
    if statement.otherwise:
        found += [f"{pad}ELSE", *lines(statement.otherwise, indent + 1)]
    return [*found, f"{pad}END_CASE;"]


def _case_label(label: m.Expression | m.Span) -> str:
    if isinstance(label, m.Span):
        return f"{expression(label.low)}..{expression(label.high)}"
    return expression(label)
