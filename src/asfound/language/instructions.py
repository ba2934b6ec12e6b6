"""Instruction list text to instructions: one per line, a call whose parentheses span lines is one instruction.

Cost: linear. Nothing is judged here: a line of another shape is an instruction with the operator ``?``.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from asfound.language.standard import OPERATORS
from asfound.language.tokens import line_feeds, tokens

SYMBOLS = {name: sign for name, sign in OPERATORS.items() if name not in ("NOT", "EXPT")} | {"&": "AND"}
"""Operators that combine the accumulator with an operand, as structured text writes them."""
NEGATABLE = ("AND", "&", "OR", "XOR")
ODD = "?"
"""Operator of a line that has not the shape of an instruction."""

_LABEL = r"(?:(?P<label>[^\W\d]\w*)\s*:(?!=)\s*)?"
_LINE = re.compile(rf"{_LABEL}(?:(?P<word>&[Nn]?(?!\w)|[^\W\d]\w*)(?P<rest>.*)|(?P<close>\)))?", re.S)
_FIRST = re.compile(r"\s*(?:[^\W\d]\w*\s*:(?!=)\s*)?(?:(?:LD|ST|JMP|CAL|RET)(?:C?N?)|S|R)(?:\s+[^\s:=(;]|\s*$)", re.I)
_MARK = re.compile(r"\x00(\d+)\x00")


class Line(NamedTuple):
    """One instruction: label, operator as written and in upper case, operand text, comments on it, whole text."""

    label: str
    name: str
    word: str
    operand: str
    comments: tuple[str, ...]
    raw: str


def looks_like_il(text: str) -> bool:
    """Whether a body is an instruction list rather than structured text: its first line is an instruction.

    >>> looks_like_il("(* on *) LD Start"), looks_like_il("LD := 1;")
    (True, False)
    """
    start = next((token.start for token in tokens(text) if token.kind != "COMMENT"), len(text))
    first = _MARK.sub(" ", _marked(re.split(r"[\r\n]", text[start:], maxsplit=1)[0], []))
    return bool(_FIRST.match(first)) and ";" not in first


def plain(text: str) -> str:
    """Text of a body as it is kept when it is not understood: outer white space of each line left out."""
    return "\n".join(line.strip() for line in line_feeds(text).strip().split("\n"))


def lines(text: str) -> tuple[Line, ...]:
    """Instructions of a body without NUL characters, empty lines left out."""
    comments: list[str] = []
    marked = _marked(text, comments)
    found = (_line(raw, comments) for raw in _joined(marked.split("\n")))
    return tuple(line for line in found if line.raw)


def operator(word: str) -> tuple[str, bool]:
    """Operator without its N, and whether it had one."""
    if word.endswith("N") and word[:-1] in NEGATABLE:
        return word[:-1], True
    return word, False


def open_parentheses(text: str) -> int:
    """How many parentheses a text opens and does not close."""
    kinds = [token.kind for token in tokens(text)]
    return kinds.count("LP") - kinds.count("RP")


def _marked(text: str, comments: list[str]) -> str:
    """The text with a numbered mark in place of each comment."""
    text = line_feeds(text)
    parts: list[str] = []
    at = 0
    for token in tokens(text):
        if token.kind == "COMMENT":
            parts += [text[at : token.start], f" \x00{len(comments)}\x00 "]
            comments.append(token.text)
            at = token.end
    return "".join([*parts, text[at:]])


def _line(marked: str, comments: list[str]) -> Line:
    own = tuple(comments[int(number)] for number in _MARK.findall(marked))
    whole = _MARK.sub(lambda found: comments[int(found[1])], marked)
    raw = "\n".join(line.strip() for line in whole.strip().split("\n"))
    match = _LINE.fullmatch(_MARK.sub(" ", marked).strip().removesuffix(";").strip())
    if match is None:
        return Line("", ODD, ODD, "", own, raw)
    name = match["word"] or match["close"] or ""
    return Line(match["label"] or "", name, name.upper(), (match["rest"] or "").strip(), own, raw)


def _joined(raw: list[str]) -> list[str]:
    """Lines put together while a call (``CAL f(``) is open; ``AND(`` and ``LD(`` open a nested list instead."""
    out: list[list[str]] = []
    depth = 0
    for line in raw:
        bare = _MARK.sub(" ", line)
        if depth:
            out[-1].append(line)
        else:
            out.append([line])
            if opens_list(bare):
                continue
        if "(" in bare or ")" in bare:
            depth = max(0, depth + open_parentheses(bare))
    return ["\n".join(parts) for parts in out]


def opens_list(bare: str) -> bool:
    """Whether a line is ``AND( x``, ``LD(`` and the like: what follows, up to ``)``, is a nested list."""
    head = re.match(rf"\s*{_LABEL}(?P<word>&[Nn]?|[^\W\d]\w*)\s*\(", bare)
    return head is not None and (operator(head["word"].upper())[0] in SYMBOLS or head["word"].upper() in ("LD", "LDN"))
