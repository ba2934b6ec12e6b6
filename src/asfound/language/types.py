"""Type names and initial values in one spelling, and which texts may stand unquoted in a declaration."""

from __future__ import annotations

import re
from functools import lru_cache

from asfound.language import addresses, literals
from asfound.language.elementary import ELEMENTARY, INTEGERS, SHORT
from asfound.language.pragmas import is_plain
from asfound.language.tokens import DECLARATION_WORDS, Token, tokens

_WORDS = ELEMENTARY | {
    "ARRAY", "OF", "POINTER", "TO", "REF_TO", "REFERENCE", "STRUCT", "END_STRUCT", "UNION", "END_UNION",
}  # fmt: skip
_ODD = frozenset(("COMMENT", "PRAGMA", "ERROR", "SEMI"))
_INNER = DECLARATION_WORDS - {"ARRAY", "POINTER", "REF_TO"}
_OPERANDS = frozenset(("word", "RP", "RB", "CARET", "MEMBER"))
_OPEN, _CLOSE = frozenset(("LP", "LB")), frozenset(("RP", "RB"))


@lru_cache(maxsize=16384)
def canonical_type(text: str) -> str:
    """A type in one spelling, the short name where it has two; user types stay, text that is no type is stripped.

    >>> canonical_type("array [ 1 .. 4 ] of int"), canonical_type("string(20)"), canonical_type("pointer to Motor")
    ('ARRAY[1..4] OF INT', 'STRING[20]', 'POINTER TO Motor')
    """
    found = [token for token in tokens(text) if token.kind != "COMMENT"]
    if not found or any(token.kind in _ODD - {"SEMI"} for token in found):
        return text.strip()
    if found[0].word in ("STRING", "WSTRING") and found[1:2] and found[1].kind == "LP" and found[-1].kind == "RP":
        inner = found[2:-1]
        found = [found[0], Token("LB", "[", 0), *inner, Token("RB", "]", 0)]
    return _join(found, types=True)


@lru_cache(maxsize=16384)
def initial(text: str, type: str = "") -> str:
    """An initial value in one spelling: a literal, or an array or structure initialiser of literals.

    >>> initial("1", "BOOL"), initial("[1,2(03)]"), initial("(PT:=t#5000ms)")
    ('TRUE', '[1, 2(3)]', '(PT := T#5s)')
    """
    stripped = text.strip()
    found = [token for token in tokens(stripped) if token.kind != "COMMENT"]
    if len(found) <= 1 or any(token.kind in _ODD for token in found):
        return literals.canonical(stripped, type)
    if len(found) == 2 and found[0].kind == "SIGN" and found[1].kind == "LITERAL":
        return literals.canonical(found[0].text + found[1].text, type)
    return _join(found, types=False)


def _join(found: list[Token], types: bool) -> str:
    text, before = "", ""
    for token in found:
        word = _word(token, types)
        kind = "BINARY" if token.kind == "SIGN" and not types and before in _OPERANDS else token.kind
        wordlike = word[0].isalnum() or word[0] in "_'\"%"
        glued = before in ("", "LP", "LB", "DOTS") or not text
        if token.kind in ("COMMA", "SEMI", "RP", "RB", "DOTS", "MEMBER", "CARET"):
            glued = True
        elif token.kind in ("LP", "LB"):
            glued = before not in ("COMMA", "ASSIGN", "COLON", "word") or (before == "word" and not (
                types and token.kind == "LP" and text.rpartition(" ")[2] in INTEGERS
            ))  # fmt: skip
        elif kind == "SIGN" or before == "SIGN":
            glued = before != "COMMA" and (types or glued or before in ("SIGN", "ASSIGN"))
        text += word if glued else f" {word}"
        before = "word" if wordlike and kind != "SIGN" else kind
    return text


def _word(token: Token, types: bool) -> str:
    if token.kind == "LITERAL":
        return literals.canonical(token.text)
    if token.kind == "DIRECT":
        return addresses.canonical(token.text)
    if token.kind == "MEMBER":
        return "." + token.text[1:].lstrip()
    return SHORT.get(token.word, token.word) if types and token.word in _WORDS else token.text


@lru_cache(maxsize=16384)
def stands_alone(text: str) -> bool:
    """Whether a text can be written into a declaration as it is and be cut out again unharmed.

    >>> stands_alone("ARRAY[1..4] OF INT"), stands_alone("a; b")
    (True, False)
    """
    if not text or text != text.strip() or text[0] == "*" or "\n" in text or not is_plain(text):
        return False
    depth = 0
    for token in tokens(text):
        depth += (token.kind in _OPEN) - (token.kind in _CLOSE)
        outside = depth == 0 and token.kind in ("COMMA", "ASSIGN", "COLON", "ARROW")
        if token.kind in _ODD or outside or depth < 0 or token.word in _INNER:
            return False
    return depth == 0


def type_words(type: str) -> list[str]:
    """Folded words of a type text that may name a type.

    >>> type_words("ARRAY[1..4] OF Pump")
    ['array', 'of', 'pump']
    """
    return re.findall(r"[^\W\d]\w*", type.lower())
