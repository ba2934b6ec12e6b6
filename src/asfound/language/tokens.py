"""IEC 61131-3 text to tokens: one compiled pattern, tried at one place after the other.

Cost: linear in the length of the text. Nothing is dropped: comments and pragmas are tokens as well, and a character
that fits nothing becomes an ``ERROR`` token, so that the parser can keep the piece around it as it is written.

Decisions that the text alone does not settle:

* Comments do not nest (IEC 61131-3:2003; the 2013 edition allows nesting, exporters in practice do not rely on it):
  ``(*`` ends at the first ``*)``.
* A keyword is a plain identifier after ``.`` and before ``:=`` or ``=>`` (pins and members are often called so).
* ``S=``, ``R=`` and ``REF=`` are operators only after an operand, so that ``IF S=1`` stays a comparison.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

_STATEMENT = (
    "IF THEN ELSIF ELSE END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL END_REPEAT "
    "RETURN EXIT CONTINUE JMP NOT AND OR XOR MOD TRUE FALSE"
)
STATEMENT_WORDS = frozenset(_STATEMENT.split())
"""Words with a meaning of their own inside a body."""

_DECLARATION = (
    "PROGRAM END_PROGRAM FUNCTION_BLOCK END_FUNCTION_BLOCK FUNCTION END_FUNCTION CLASS END_CLASS INTERFACE "
    "END_INTERFACE METHOD END_METHOD PROPERTY END_PROPERTY GET END_GET SET END_SET NAMESPACE END_NAMESPACE TYPE "
    "END_TYPE STRUCT END_STRUCT UNION END_UNION ARRAY POINTER REF_TO VAR VAR_INPUT VAR_OUTPUT VAR_IN_OUT VAR_TEMP "
    "VAR_EXTERNAL VAR_GLOBAL VAR_ACCESS VAR_CONFIG VAR_INST VAR_STAT VAR_MEMBER END_VAR CONSTANT RETAIN NON_RETAIN "
    "PERSISTENT AT R_EDGE F_EDGE EXTENDS IMPLEMENTS USING PUBLIC PRIVATE PROTECTED INTERNAL FINAL ABSTRACT OVERRIDE "
    "CONFIGURATION END_CONFIGURATION RESOURCE END_RESOURCE ON TASK WITH READ_ONLY READ_WRITE STEP INITIAL_STEP "
    "END_STEP TRANSITION END_TRANSITION ACTION END_ACTION FROM PRIORITY"
)
DECLARATION_WORDS = frozenset(_DECLARATION.split())
"""Words with a meaning of their own around bodies."""

IDENTIFIER = r"[^\W\d]\w*"
_NUMBER = r"\d[\d_]*(?:\.\d[\d_]*)?(?:e[+-]?\d+)?"
_DURATION = r"(?:\d[\d_]*(?:\.\d[\d_]*)?(?:ms|us|ns|d|h|m|s)_?)+"
_CLOCK = r"\d[\d_]*(?:[-:]\d[\d_]*)+(?:\.\d+)?"
_STRING = r"'(?:[^'$]|\$.)*'|\"(?:[^\"$]|\$.)*\""

_PATTERN = re.compile(
    rf"""
    (?P<SPACE>\s+)
  | (?P<COMMENT>\(\*.*?\*\)|//[^\n]*|/\*.*?\*/)
  | (?P<LATCH>(?:[SR]|REF)=(?![=>]))
  | (?P<LITERAL>
        L?(?:T|TIME)\#\s*[+-]?{_DURATION}(?!\w)
      | (?:DATE_AND_TIME|TIME_OF_DAY|L?DATE|L?TOD|L?DT|L?D)\#\s*{_CLOCK}
      | \d[\d_]*\#[0-9a-f][0-9a-f_]*(?!\w)
      | {IDENTIFIER}\#(?:[+-]?\d[\d_]*\#[0-9a-f][0-9a-f_]*(?!\w)|[+-]?{_NUMBER}(?!\w)|{_STRING}|{IDENTIFIER})
      | {_NUMBER}(?!\w)
      | {_STRING}
    )
  | (?P<NAME>{IDENTIFIER})
  | (?P<DIRECT>%[a-z]{{1,4}}(?:\*|\d+(?:\.\d+)*))
  | (?P<MEMBER>\.\s*(?:%[xbwdl]?\d+|\d+(?!\.?\d|\w)|{IDENTIFIER}))
  | (?P<OPERATOR>:=|=>|<=|>=|<>|\*\*|\.\.|[-+*/=<>&()\[\]^,;:.])
    """,
    re.VERBOSE | re.IGNORECASE | re.DOTALL,
)
_WORD = re.compile(r"\w+")
_KINDS = {
    ":=": "ASSIGN", "=>": "ARROW", ";": "SEMI", ",": "COMMA", ":": "COLON", "(": "LP", ")": "RP", "[": "LB",
    "]": "RB", "^": "CARET", "..": "DOTS", ".": "DOT", "+": "SIGN", "-": "SIGN", "&": "LOGIC",
}  # fmt: skip
_WORD_KINDS = {word: word for word in STATEMENT_WORDS} | {
    "AND": "LOGIC", "OR": "LOGIC", "XOR": "LOGIC", "MOD": "LOGIC", "TRUE": "LITERAL", "FALSE": "LITERAL",
}  # fmt: skip
KINDS = frozenset(_KINDS.values()) | frozenset(
    ("LITERAL", "LATCH", "NAME", "DIRECT", "MEMBER", "BINARY", "COMMENT", "PRAGMA", "ERROR", "TEXT", "END")
)
"""Kinds of items that are no keywords."""
OPERAND_ENDS = frozenset(("NAME", "MEMBER", "DIRECT", "RB", "RP", "CARET", "PRAGMA"))


class Token(NamedTuple):
    """``kind`` is a statement keyword, ``NAME LITERAL DIRECT MEMBER BINARY ...``; ``start`` an offset from 0."""

    kind: str
    text: str
    start: int

    @property
    def end(self) -> int:
        """Offset behind the last character."""
        return self.start + len(self.text)

    @property
    def word(self) -> str:
        """Upper case text, for comparing with keywords."""
        return self.text.upper()


def tokens(text: str) -> Iterator[Token]:
    """Every token of ``text`` except white space, comments and pragmas included.

    >>> [t.kind for t in tokens("x := T#5s; (* c *)")]
    ['NAME', 'ASSIGN', 'LITERAL', 'SEMI', 'COMMENT']
    """
    at, before, size = 0, "", len(text)
    match = _PATTERN.match
    while at < size:
        found = match(text, at)
        if found is None:
            token = Token("PRAGMA", text[at : _pragma_end(text, at)], at) if text[at] == "{" else None
            token = token if token and len(token.text) > 1 else Token("ERROR", _stray(text, at), at)
        else:
            kind, word = found.lastgroup or "", found.group()
            if kind == "SPACE":
                at = found.end()
                continue
            token = Token(_refine(kind, word, before), word, at)
            if kind == "LATCH" and token.kind != "LATCH":
                token = Token("NAME", word[:-1], at)
        yield token
        at += len(token.text)
        if token.kind != "COMMENT":
            before = token.kind


def _refine(kind: str, word: str, before: str) -> str:
    if kind == "NAME":
        return _WORD_KINDS.get(word.upper(), "NAME")
    if kind == "OPERATOR":
        return _KINDS.get(word, "BINARY")
    if kind == "LATCH" and before not in OPERAND_ENDS:
        return "NAME"
    return kind


def _stray(text: str, start: int) -> str:
    """What is no token: one character, but a number that letters follow as a whole, else each digit would try again."""
    found = _WORD.match(text, start) if text[start].isdigit() else None
    return found[0] if found else text[start]


def _pragma_end(text: str, start: int) -> int:
    """Offset behind the ``}`` that balances the ``{`` at ``start``; ``start + 1`` when nothing does."""
    depth = 0
    for found in re.compile(r"[{}]").finditer(text, start):
        depth += 1 if found.group() == "{" else -1
        if depth == 0:
            return found.end()
    return start + 1


def position(text: str, start: int) -> tuple[int, int]:
    """``(line, column)`` of an offset, both from 1.

    >>> position("a\\nbc", 3)
    (2, 2)
    """
    return text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)


def is_identifier(text: str) -> bool:
    """Whether a text can stand as a name anywhere: an identifier that is no keyword."""
    return (
        re.fullmatch(IDENTIFIER, text) is not None
        and (word := text.upper()) not in STATEMENT_WORDS
        and word not in DECLARATION_WORDS
    )
