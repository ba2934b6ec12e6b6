"""Statements and expressions from text: lark's LALR parser over our own tokens, and what to do with odd text.

A body that does not parse as a whole is parsed again with every simple statement that is at fault kept verbatim;
when that is not enough (a broken IF), top-level statements are tried one by one. So one odd line costs one line.
Cost: linear; the second way tries every statement alone, about five times slower. Known weakness: a statement that
lost its ``;`` takes the next one with it into the verbatim piece.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from asfound.language.builder import Builder, comment_text
from asfound.language.grammar_input import ENDS, OPENERS, Arranger, Fed, Line, TooDeep, classify
from asfound.language.standard import remembered
from asfound.language.tokens import tokens
from asfound.model.logic import Expression, Remark, Statement, Unparsed, Verbatim

if TYPE_CHECKING:
    from lark import Lark

_STRUCTURE = OPENERS | ENDS | {"_ELSE", "_ELSIF", "_UNTIL", "_ARM", "_WHEN", "REMARK", "VERBATIM", "JUMPLABEL"}


@remembered(16384)
def parse_expression(text: str, dialect: bool = False) -> Expression:
    """An expression; :class:`Unparsed` with the text when it cannot be read. Never raises.

    ``dialect`` also reads what :func:`asfound.language.statement_printer.expression` writes: ``{wire "1"}`` for a wire
    without a name, ``R_EDGE(x)`` for an edge and ``{name "..."}`` for names that are no identifiers. Comments are left
    out (:func:`comments` lists them).
    """
    line = classify(text, dialect)
    if not any(fed.type == "VERBATIM" for _, fed in line.asides):
        parsed = _try("expression", line.terminals)
        if parsed is not None:
            return parsed  # type: ignore[no-any-return]
    return Unparsed(text.strip())


@remembered(2048)
def parse_statements(text: str, dialect: bool = False) -> tuple[Statement, ...]:
    """Statements of structured text, comments as :class:`Remark` and what cannot be read as :class:`Verbatim`.

    Never raises. A pragma becomes ``Verbatim("{...}")``. For ``dialect`` see :func:`parse_expression`.
    """
    line = classify(text, dialect)
    try:
        arranged = _arranged(text, line)
    except TooDeep:
        return (Verbatim(text.strip()),)
    parsed = _try("statements", arranged)
    return parsed if parsed is not None else _recover(text, arranged)


def _arranged(text: str, line: Line) -> list[Fed]:
    try:
        return Arranger(line).arrange()
    except TooDeep:
        return Arranger(_without_deep(text, line)).arrange()


def _without_deep(text: str, line: Line) -> Line:
    """Simple statements that nest too deep become verbatim terminals, comments inside them included."""
    terminals: list[Fed] = []
    places: list[int] = []
    for piece in _pieces(line.terminals):
        if any(fed.type in _STRUCTURE for fed in piece) or not _is_deep(piece):
            places += range(len(terminals), len(terminals) + len(piece))
            terminals += piece
        else:
            places += [len(terminals)] + [-1] * (len(piece) - 1)
            terminals.append(_verbatim(text, piece))
    places.append(len(terminals))
    return Line(terminals, [(places[at], fed) for at, fed in line.asides if places[at] >= 0])


def _is_deep(piece: list[Fed]) -> bool:
    try:
        Arranger(Line(piece, [])).measure_all()
    except TooDeep:
        return True
    return False


def comments(text: str) -> tuple[str, ...]:
    """Texts of all comments, in order, white space collapsed."""
    return tuple(comment_text(token.text) for token in tokens(text) if token.kind == "COMMENT")


def remarks(text: str) -> tuple[Remark, ...]:
    """All comments of a text as remarks."""
    return tuple(Remark(comment) for comment in comments(text))


def _try(start: str, terminals: list[Fed]) -> Any:
    from lark.exceptions import UnexpectedInput, VisitError

    try:
        if start == "expression":
            Arranger(Line(terminals, [])).measure_all()
        return _grammar().parse(terminals, start=start)
    except (UnexpectedInput, VisitError, TooDeep, ValueError):
        return None


@cache
def _grammar() -> Lark:
    from lark import Lark
    from lark.lexer import Lexer

    class Feed(Lexer):
        """Hands prepared terminals to lark."""

        __future_interface__ = 2

        def __init__(self, lexer_conf: Any) -> None:
            pass

        def lex(self, lexer_state: Any, parser_state: Any) -> Any:
            return iter(lexer_state.text)

    text = resources.files("asfound.language").joinpath("grammar.lark").read_text(encoding="utf-8")
    return Lark(
        text, parser="lalr", lexer=Feed, start=["statements", "expression"], transformer=Builder(),
        maybe_placeholders=False,
    )  # fmt: skip


def _recover(text: str, terminals: list[Fed]) -> tuple[Statement, ...]:
    """Keep the simple statements that are at fault verbatim; then, if need be, whole top-level statements."""
    mended: list[Fed] = []
    for piece in _pieces(terminals):
        simple = piece[0].type not in _STRUCTURE
        if simple and _try("statements", piece) is None:
            mended.append(_verbatim(text, piece))
        else:
            mended.extend(piece)
    parsed = _try("statements", mended)
    if parsed is not None:
        return parsed  # type: ignore[no-any-return]
    found: list[Statement] = []
    for piece in _top_level(mended):
        parsed = _try("statements", piece)
        found.extend(parsed if parsed is not None else [Verbatim(_verbatim(text, piece).value)])
    return tuple(found)


def _verbatim(text: str, piece: list[Fed]) -> Fed:
    start, end = min(fed.start for fed in piece), max(fed.end for fed in piece)
    return Fed("VERBATIM", text[start:end].strip(), start, end, True)


def _pieces(terminals: list[Fed]) -> list[list[Fed]]:
    """Cut behind ``;`` and behind the words that open a statement list."""
    pieces: list[list[Fed]] = [[]]
    for fed in terminals:
        pieces[-1].append(fed)
        first = pieces[-1][0].type
        if fed.type in ("_SEMI", "_THEN", "_ONLY", "_ELSE", "_DO", "_REPEAT", "REMARK", "VERBATIM", "JUMPLABEL") or (
            fed.type == "_COLON" and first == "_ARM"
        ):
            pieces.append([])
    return [piece for piece in pieces if piece]


def _top_level(terminals: list[Fed]) -> list[list[Fed]]:
    """Group pieces so that an IF stays with its END_IF."""
    groups: list[list[Fed]] = [[]]
    depth = 0
    for piece in _pieces(terminals):
        groups[-1].extend(piece)
        for fed in piece:
            depth += (fed.type in OPENERS) - (fed.type in ENDS)
        depth = max(depth, 0)
        if depth == 0:
            groups.append([])
    return [group for group in groups if group]
