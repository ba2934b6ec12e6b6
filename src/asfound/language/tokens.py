"""IEC 61131-3 text to tokens: one compiled pattern, tried at one place after the other.

Cost: linear in the length of the text, hostile text included (an opener that nothing closes is looked for once, a quote
ends with its line). Nothing is dropped: comments and pragmas are tokens as well, and a character
that fits nothing becomes an ``ERROR`` token, so that the parser can keep the piece around it as it is written.

Decisions that the text alone does not settle:

* Comments do not nest (IEC 61131-3:2003; the 2013 edition allows nesting, exporters in practice do not rely on it):
  ``(*`` ends at the first ``*)``.
* A keyword is a plain identifier after ``.`` and before ``:=`` or ``=>`` (pins and members are often called so).
* A line comment ends at a carriage return too: a file with such line ends would otherwise be all comment.
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
_NUMBER = r"[0-9][0-9_]*(?:\.[0-9][0-9_]*)?(?:[eE][+-]?[0-9]+)?"
_UNIT = r"(?:[mMuUnN][sS]|[dDhHmMsS])"
_DURATION = rf"(?:[0-9][0-9_]*(?:\.[0-9][0-9_]*)?{_UNIT}_?)+"
_CLOCK = r"[0-9][0-9_]*(?:[-:][0-9][0-9_]*)+(?:\.[0-9][0-9_]*)?"
_STRING = r"'(?:[^'$\r\n]|\$[^\r\n])*'|\"(?:[^\"$\r\n]|\$[^\r\n])*\""

_PATTERN = re.compile(
    rf"""
    (?P<SPACE>\s+)
  | (?P<COMMENT>//[^\r\n]*)
  | (?P<OPEN>\(\*|/\*|\{{)
  | (?P<LATCH>(?:[SsRr]|[Rr][Ee][Ff]|\?)=(?![=>]))
  | (?P<LITERAL>
        (?ai:L?(?:T|TIME))\#\s*[+-]?{_DURATION}(?!\w)
      | (?ai:L?DATE_AND_TIME|L?TIME_OF_DAY|L?DATE|L?TOD|L?DT|L?D)\#\s*{_CLOCK}
      | [0-9][0-9_]*\#[0-9a-fA-F][0-9a-fA-F_]*(?!\w)
      | {IDENTIFIER}(?:\.{IDENTIFIER})*\#{IDENTIFIER}
      | {IDENTIFIER}\#(?:[+-]?[0-9][0-9_]*\#[0-9a-fA-F][0-9a-fA-F_]*(?!\w)|[+-]?{_NUMBER}(?!\w)|{_STRING})
      | {_NUMBER}(?!\w)
      | {_STRING}
    )
  | (?P<NAME>{IDENTIFIER})
  | (?P<DIRECT>%[a-zA-Z]{{1,4}}(?:\*|[0-9]+(?:\.[0-9]+)*))
  | (?P<MEMBER>\.\s*(?:%[xXbBwWdDlL]?[0-9]+|[0-9]+(?!\.?[0-9]|\w)|{IDENTIFIER}))
  | (?P<OPERATOR>:=|=>|<=|>=|<>|\*\*|\.\.|[-+*/=<>&()\[\]^,;:.])
  | (?P<ERROR>[0-9]\w*|['"][^\r\n]*)
    """,
    re.VERBOSE,
)
_CLOSERS = {"(*": "*)", "/*": "*/"}
_BRACES = re.compile(r"[{}]")
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
        return folded(self.text)


def folded(word: str) -> str:
    """Upper case of a keyword; letters outside ASCII stay, because some of them have an ASCII capital (dotless i)."""
    return word.upper() if word.isascii() else word


def tokens(text: str) -> Iterator[Token]:
    """Every token of ``text`` except white space, comments and pragmas included.

    >>> [t.kind for t in tokens("x := T#5s; (* c *)")]
    ['NAME', 'ASSIGN', 'LITERAL', 'SEMI', 'COMMENT']
    """
    at, before, size = 0, "", len(text)
    match = _PATTERN.match
    ends = _Ends(text)
    while at < size:
        found = match(text, at)
        kind, word = (found.lastgroup or "", found.group()) if found else ("ERROR", text[at])
        if kind == "SPACE":
            at += len(word)
            continue
        if kind == "OPEN":
            token = _enclosed(text, at, ends.of(word, at))
        else:
            token = Token(_refine(kind, word, before), word, at)
            if kind == "LATCH" and token.kind != "LATCH":
                token = Token(token.kind, word[:-1], at)
        yield token
        at += len(token.text)
        if token.kind != "COMMENT":
            before = token.kind


class _Ends:
    """Where what is opened ends. Every search is done once: what is not closed here is not closed further on."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.open: set[str] = set()
        self.braces: dict[int, int] | None = None

    def of(self, opener: str, at: int) -> int:
        """Offset behind the closing mark; ``at`` when there is none."""
        if opener in self.open:
            return at
        if opener == "{":
            if self.braces is None:
                self.braces = _balanced(self.text, at)
            return self.braces.get(at, at)
        found = self.text.find(_CLOSERS[opener], at + 2)
        if found < 0:
            self.open.add(opener)
            return at
        return found + 2


def _balanced(text: str, start: int) -> dict[int, int]:
    """Offset behind the ``}`` that balances each ``{``."""
    stack: list[int] = []
    ends: dict[int, int] = {}
    for found in _BRACES.finditer(text, start):
        if found.group() == "{":
            stack.append(found.start())
        elif stack:
            ends[stack.pop()] = found.end()
    return ends


def _enclosed(text: str, at: int, end: int) -> Token:
    if end > at:
        return Token("PRAGMA" if text[at] == "{" else "COMMENT", text[at:end], at)
    return Token("ERROR" if text[at] == "{" else _KINDS.get(text[at], "BINARY"), text[at], at)


def _refine(kind: str, word: str, before: str) -> str:
    if kind == "NAME":
        return _WORD_KINDS.get(folded(word), "NAME")
    if kind == "OPERATOR":
        return _KINDS.get(word, "BINARY")
    if kind == "LATCH" and before not in OPERAND_ENDS:
        return "NAME" if word[0] != "?" else "ERROR"
    return kind


def position(text: str, start: int) -> tuple[int, int]:
    """``(line, column)`` of an offset, both from 1.

    >>> position("a\\nbc", 3)
    (2, 2)
    """
    return text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)


def line_feeds(text: str) -> str:
    """The same text with every line end as ``\\n``."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def is_identifier(text: str) -> bool:
    """Whether a text can stand as a name anywhere: an identifier that is no keyword."""
    return (
        re.fullmatch(IDENTIFIER, text) is not None
        and (word := folded(text)) not in STATEMENT_WORDS
        and word not in DECLARATION_WORDS
    )
