"""Tokens made ready for the grammar: what needs a look around is settled here, so that the grammar stays LALR(1).

Comments and foreign pragmas leave the line and come back between statements (one inside a statement goes right
before it). A missing ``;`` behind ``END_IF`` and its kin, or before such a word, is put in: there is one way to read
that only. ``ARM`` announces the labels of a CASE arm; ``name:`` elsewhere is one ``JUMPLABEL``.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from asfound.language import pragmas
from asfound.language.tokens import Token, tokens

MAX_DEPTH = 100
"""Deeper nesting of parentheses or statements is left unparsed (recursive code would meet Python's limit)."""
MAX_RUN = 150
"""Longest unbroken run of NOT, members or signs."""

ENDS = frozenset(f"_END_{word}" for word in ("IF", "CASE", "FOR", "WHILE", "REPEAT"))
OPENERS = frozenset(("_IF", "_CASE", "_FOR", "_WHILE", "_REPEAT"))
_BEFORE_ENDS = ENDS | {"_ELSE", "_ELSIF", "_UNTIL", "$"}
_BOUNDARIES = frozenset(("_SEMI", "_THEN", "_ONLY", "_ELSE", "_DO", "_REPEAT", "REMARK", "VERBATIM", "JUMPLABEL"))
_STOP_ARM = (
    frozenset(
        (
            "_SEMI",
            "_ASSIGN",
            "_ELSE",
            "_ELSIF",
            "_THEN",
            "_ONLY",
            "_UNTIL",
            "LATCH",
            "JUMPLABEL",
            "CALLTYPE",
            "ASSIGNTYPE",
            "_WHEN",
            "$",
        )
    )
    | ENDS
    | OPENERS
)
_LEAVING = frozenset(("_RETURN", "_EXIT", "_CONTINUE"))
_KEPT = frozenset(("NAME", "LITERAL", "DIRECT", "MEMBER", "LOGIC", "SIGN", "BINARY", "LATCH", "ERROR", "DOT"))
_RUNS = frozenset(("_NOT", "SIGN", "MEMBER", "_CARET", "_LB", "_LP"))
_PRAGMA_TYPES = {
    "name": "NAME", "literal": "LITERAL", "direct": "DIRECT", "text": "TEXT", "comment": "REMARK",
    "verbatim": "VERBATIM", "label": "JUMPLABEL", "when": "_WHEN", "call": "CALLTYPE", "block": "CALLTYPE",
    "wire": "TEMPORARY", "reference": "ASSIGNTYPE", "attempt": "ASSIGNTYPE",
}  # fmt: skip
_LINE_END = re.compile(r"[ \t]*[\r\n]")
_BEGINNING = _BOUNDARIES | ENDS | {"_COLON"}
_OPERAND_ENDS = frozenset(("NAME", "LITERAL", "DIRECT", "MEMBER", "TEMPORARY", "TEXT", "_RP", "_RB", "_CARET"))
UNKNOWN_TYPE = "\0?"
"""Type of a called block of which the drawing says none though it is declared."""
ASIDES = frozenset(("REMARK", "VERBATIM"))


class Fed(NamedTuple):
    """A terminal of the grammar with the stretch of text it stands for."""

    type: str
    value: str
    start: int
    end: int
    exact: bool = False
    """The value was quoted in a pragma and must not be respelled."""

    line = column = end_line = end_column = start_pos = end_pos = 0  # type: ignore[misc]


class TooDeep(Exception):
    """The text nests deeper than :data:`MAX_DEPTH`."""


class Line(NamedTuple):
    """Significant terminals, and comments with the index of the terminal they stood before."""

    terminals: list[Fed]
    asides: list[tuple[int, Fed]]


def classify(text: str, dialect: bool) -> Line:
    """Map tokens to terminals; ``dialect`` reads what the normal form writes, and wrote before (``_v1``)."""
    terminals: list[Fed] = []
    asides: list[tuple[int, Fed]] = []
    for token in tokens(text):
        kind, word, start = token
        if kind == "COMMENT":
            asides.append((len(terminals), Fed("REMARK", word, start, token.end)))
            continue
        fed = _pragma(token, dialect) if kind == "PRAGMA" else _terminal(kind, word, start)
        if fed.type in ASIDES:
            asides.append((len(terminals), fed))
        elif fed.type == "NAME" and terminals and terminals[-1].type == "DOT":
            terminals[-1] = Fed("MEMBER", fed.value, terminals[-1].start, fed.end, True)
        elif dialect:
            terminals.append(_dialect(fed, terminals, text))
        else:
            terminals.append(fed)
        if fed.type in ("_ASSIGN", "_ARROW"):
            _demote(terminals, -2)
            if [t.type for t in terminals[-4:]] == ["_NOT", "_LP", "NAME", "_ASSIGN"]:  # NOT(EN := a, IN := b)
                terminals[-4] = terminals[-4]._replace(type="NAME", value="NOT")
    line = Line(terminals, asides)
    return _marks_of_others(text, line) if any(fed.type == "ASSIGNTYPE" for fed in terminals) else line


def _marks_of_others(text: str, line: Line) -> Line:
    """``{reference}`` is ours right before an assignment only; elsewhere it is somebody else's pragma."""
    terminals: list[Fed] = []
    asides: list[tuple[int, Fed]] = []
    waiting = iter(line.asides)
    aside = next(waiting, None)
    for at, fed in enumerate((*line.terminals, None)):
        while aside is not None and aside[0] == at:
            asides.append((len(terminals), aside[1]))
            aside = next(waiting, None)
        if fed is None:
            break
        if fed.type == "ASSIGNTYPE" and not _marks(text, line.terminals, at):
            asides.append((len(terminals), Fed("VERBATIM", text[fed.start : fed.end], fed.start, fed.end, True)))
        else:
            terminals.append(fed)
    return Line(terminals, asides)


def _marks(text: str, terminals: list[Fed], at: int) -> bool:
    """Whether a statement begins here, and the rest of the line is an assignment."""
    begins = at == 0 or terminals[at - 1].type in _BEGINNING
    if not begins or at + 1 == len(terminals) or text[terminals[at].end : terminals[at + 1].start].strip(" "):
        return False
    depth = 0
    for index in range(at + 1, len(terminals)):
        kind = terminals[index].type
        if kind == "_ASSIGN" and not depth:
            return index > at + 1
        depth += (kind in ("_LP", "_LB")) - (kind in ("_RP", "_RB"))
        if kind in ("_SEMI", "ASSIGNTYPE") or (depth <= 0 and kind not in _OPERAND_ENDS):
            return False
    return False


def _terminal(kind: str, text: str, start: int) -> Fed:
    name = kind if kind in _KEPT else f"_{kind}"
    value = text[1:].lstrip() if kind == "MEMBER" else text
    return Fed(name, value, start, start + len(text))


def _dialect(fed: Fed, before: list[Fed], text: str) -> Fed:
    """What the normal form tells by how it is set: ``IF`` of one line, ``MOD(`` of a function."""
    if fed.type == "NAME" and not fed.exact:
        word = fed.value
        if word[:2] == "_v" and word[2:].isdecimal() and word[2:].isascii():
            return fed._replace(type="TEMPORARY")
        return fed._replace(type="EDGE") if word in ("R_EDGE", "F_EDGE") else fed
    if fed.type == "_THEN" and not _LINE_END.match(text, fed.end):
        return fed._replace(type="_ONLY")
    if fed.type == "_LP" and before and before[-1].type in ("_NOT", "LOGIC") and before[-1].end == fed.start:
        called = before[-1]
        if called.value.isalpha() and (len(before) < 2 or before[-2].type not in _OPERAND_ENDS):
            before[-1] = called._replace(type="NAME")
    return fed


def _pragma(token: Token, dialect: bool) -> Fed:
    found = pragmas.parse(token.text) if dialect else None
    kind = _PRAGMA_TYPES.get(found.word) if found else None
    if found is None or kind is None:
        return Fed("VERBATIM", token.text, token.start, token.end)
    value = found.value
    if kind == "ASSIGNTYPE":
        if token.text != pragmas.pragma(found.word):
            return Fed("VERBATIM", token.text, token.start, token.end)
        value = found.word
    if found.word == "block":
        value = found.values[-1] if found.values[1:2] == ("type",) else UNKNOWN_TYPE
    return Fed(kind, "\n".join(found.values) if kind == "TEMPORARY" else value, token.start, token.end, True)


def _demote(terminals: list[Fed], at: int) -> None:
    """A keyword right before ``:=`` or ``=>`` is a name."""
    if len(terminals) >= -at:
        fed = terminals[at]
        if not fed.exact and fed.value.isidentifier() and fed.type not in ("MEMBER", "TEMPORARY"):
            terminals[at] = fed._replace(type="NAME")


class Arranger:
    """Puts asides between statements, adds the missing ``;`` and marks arms and labels."""

    def __init__(self, line: Line) -> None:
        self.line = line
        self.out: list[Fed] = []
        self.stack: list[str] = []
        self.boundary = 0
        self.in_labels = False
        self.held: list[Fed] = []
        self.parens = self.run = 0

    def arrange(self) -> list[Fed]:
        """The terminals of a statement list, ready to parse."""
        terminals, asides = self.line
        terminals = [*terminals, Fed("$", "", terminals[-1].end if terminals else 0, 0)]
        pending = iter([*asides, (len(terminals), None)])
        aside = next(pending)
        for at, fed in enumerate(terminals):
            while aside[0] == at and aside[1] is not None:
                self._aside(aside[1])
                aside = next(pending)
            self._step(terminals, at, fed)
        self.out.pop()
        return self.out

    def measure_all(self) -> None:
        """Raise :class:`TooDeep` when the terminals, taken as one expression, nest too deep."""
        for fed in self.line.terminals:
            self._measure(fed.type)

    def _aside(self, fed: Fed) -> None:
        if self.in_labels or self._last() == "_OF":
            self.held.append(fed)
            return
        if self._last() in ENDS:
            self._put(Fed("_SEMI", ";", self.out[-1].end, self.out[-1].end))
        self.out.insert(self.boundary, fed)
        self.boundary += 1

    def _last(self) -> str:
        return self.out[-1].type if self.out else "_SEMI"

    def _put(self, fed: Fed) -> None:
        self.out.append(fed)
        if fed.type in _BOUNDARIES:
            self.boundary = len(self.out)

    def _step(self, terminals: list[Fed], at: int, fed: Fed) -> None:
        kind = fed.type
        self._measure(kind)
        if self._lacks_semicolon(kind):
            self._semicolon()
        if self.boundary == len(self.out) or self._last() == "_OF":
            fed = self._start(terminals, at, fed)
            kind = fed.type
        elif kind in _LEAVING or kind == "_JMP":
            fed = fed._replace(type="NAME")
        if self._last() == "JUMPLABEL" and kind == "_COLON" and self.out[-1].end > fed.start:
            return
        self._structure(kind)
        self._put(fed)
        if kind == "_COLON" and self.in_labels and not self.parens:
            self._end_of_labels()

    def _lacks_semicolon(self, kind: str) -> bool:
        last = self._last()
        if last in ENDS:
            return kind != "_SEMI"
        return kind in _BEFORE_ENDS and self.boundary != len(self.out) and last not in ("_OF", "_COLON")

    def _semicolon(self) -> None:
        self._put(Fed("_SEMI", ";", self.out[-1].end, self.out[-1].end))

    def _end_of_labels(self) -> None:
        self.in_labels = False
        self.out.extend(self.held)
        self.held.clear()
        self.boundary = len(self.out)

    def _start(self, terminals: list[Fed], at: int, fed: Fed) -> Fed:
        """Decide what a statement begins with: an arm, a label, a keyword or a name."""
        following = terminals[at + 1].type if at + 1 < len(terminals) else "$"
        if self.stack and self.stack[-1] == "_CASE" and _is_arm(terminals, at):
            self.out.append(Fed("_ARM", "", fed.start, fed.start))
            self.in_labels = True
        elif fed.type == "NAME" and following == "_COLON":
            return fed._replace(type="JUMPLABEL", end=terminals[at + 1].end)
        no_leaving = fed.type in _LEAVING and following != "_SEMI" and following not in _BEFORE_ENDS
        no_jump = fed.type == "_JMP" and following != "NAME"
        return fed._replace(type="NAME") if no_leaving or no_jump else fed

    def _structure(self, kind: str) -> None:
        if kind in OPENERS:
            self.stack.append(kind)
        elif kind in ENDS and self.stack:
            self.stack.pop()
        elif kind == "_ELSE" and self.stack and self.stack[-1] == "_CASE":
            self.stack[-1] = "_ELSE"

    def _measure(self, kind: str) -> None:
        self.parens += (kind in ("_LP", "_LB")) - (kind in ("_RP", "_RB"))
        self.run = self.run + 1 if kind in _RUNS else 0
        if kind in ("_SEMI", "_THEN", "_ONLY", "_DO", "_OF"):
            self.parens = 0
        if self.parens > MAX_DEPTH or len(self.stack) > MAX_DEPTH or self.run > MAX_RUN:
            raise TooDeep


def _is_arm(terminals: list[Fed], at: int) -> bool:
    depth = 0
    for index in range(at, len(terminals)):
        kind = terminals[index].type
        depth += (kind in ("_LP", "_LB")) - (kind in ("_RP", "_RB"))
        if depth <= 0:
            if kind == "_COLON":
                return True
            if kind in _STOP_ARM:
                return False
        elif kind in ("_SEMI", "$"):
            return False
    return False
