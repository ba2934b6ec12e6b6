"""Keywords of statements that are almost right (``ELSEIF``, ``ENDIF``, ``END IF``) where they can mean one thing only.

Many compilers take a spelling of their own, and no two the same. A word is read as the keyword where no name can
stand, where the innermost open statement is one that the keyword belongs to, and where all statements of the text are
closed then, in the order in which they were opened. So ``EndIf := TRUE``, ``ELSEIF(x);`` and a bare ``EndIf;`` that an
``END_IF`` follows stay what they are. ``ELSE IF`` is right as it stands, and ``END`` alone may close anything.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from typing import NamedTuple

from asfound.language.grammar_input import ENDS, OPENERS, Fed, classify
from asfound.language.tokens import DECLARATION_WORDS, OPERAND_ENDS, folded, tokens

_CLOSED = {f"END{gap}{opener[1:]}": f"END{opener}" for opener in sorted(OPENERS) for gap in ("", " ")}
_KEYWORDS = dict.fromkeys(("ELSEIF", "ELSE_IF", "ELIF"), "ELSIF") | _CLOSED
_LOOKED_FOR = re.compile(rf"(?<!\w)(?:{'|'.join(_KEYWORDS)})(?!\w)".replace(" ", r"\s+"), re.IGNORECASE | re.ASCII)
_BOUNDARIES = frozenset(("_SEMI", "_THEN", "_ELSE", "_DO", "_REPEAT", "_COLON", "^")) | ENDS
_BEFORE = _BOUNDARIES | {f"_{kind}" for kind in OPERAND_ENDS} | OPERAND_ENDS | {"LITERAL"}
"""What stands before a keyword of these: a whole statement or, where its ``;`` is missing, an operand."""
_AFTER_END = frozenset(
    ("_SEMI", "_ELSE", "_ELSIF", "_UNTIL", "NAME", "DIRECT", "LITERAL", "_RETURN", "_EXIT", "_CONTINUE", "$")
)
_AFTER_END |= ENDS | OPENERS
_AFTER_TWO_WORDS = ENDS | {"_SEMI", "_ELSE", "_ELSIF", "_UNTIL", "$"}
"""Behind anything else ``END`` may close a statement and the next word open one."""
_NOT_A_CONDITION = frozenset(("_ASSIGN", "_ARROW", "_COLON", "_COMMA", "_DOTS", "_SEMI", "_RP", "_RB", "_LB", "_CARET"))
_NOT_A_CONDITION |= {"MEMBER", "LATCH", "LOGIC", "BINARY", "DOT", "_THEN", "$"}
_CONDITION_STOPS = OPENERS | ENDS | {"_SEMI", "_ELSE", "_ELSIF", "_DO", "_UNTIL", "_REPEAT", "$"}


class Odd(NamedTuple):
    """Something understood though it is not written as it has to be: what, how it was read, and where it begins.

    ``at`` is an offset in the text, or in the body of the POU that ``place`` names.
    """

    what: str
    reading: str
    at: int
    place: str = ""


def corrected(text: str, names: Callable[[], Collection[str]] = frozenset) -> tuple[str, list[Odd]]:
    """Statements with each keyword that is almost right replaced by the right one, and what was replaced.

    ``names`` says what is declared, in upper case: that stays a name. It is asked only where such a word stands.

    >>> corrected("IF a THEN b := 1; ELSEIF c THEN b := 2; ENDIF;")[0]
    'IF a THEN b := 1; ELSIF c THEN b := 2; END_IF;'
    """
    if not _LOOKED_FOR.search(text):
        return text, []
    found = _found(_words(text), names())
    pieces, at = [], 0
    for fed, keyword in found:
        pieces += [text[at : fed.start], keyword]
        at = fed.end
    return "".join((*pieces, text[at:])), [
        Odd(f"{fed.value} is no keyword", f"as {keyword}", fed.start) for fed, keyword in found
    ]


def declared(text: str) -> frozenset[str]:
    """Those of the words looked for that a text declares as names, in upper case; one too many does no harm."""
    found: set[str] = set()
    before, word = "", ""
    for token in tokens(text):
        if token.kind in ("COMMENT", "PRAGMA"):
            continue
        if (word in _KEYWORDS or word == "END") and (
            token.kind in ("COLON", "COMMA")
            or token.word == "AT"
            or before in DECLARATION_WORDS
            or before in (",", "(")
        ):
            found.add(word)
        before, word = word, folded(token.text)
    return frozenset(found)


def _words(text: str) -> list[Fed]:
    """The terminals of a text and its end, with ``END IF`` and its kin as one word where ``END_IF`` may stand."""
    terminals, asides = classify(text, dialect=False)
    terminals = [*terminals, Fed("$", "", len(text), len(text))]
    apart = {at for at, _ in asides}
    words: list[Fed] = []
    for at, fed in enumerate(terminals):
        last = words[-1] if words else fed
        whole = last.type == "NAME" and folded(last.value) == "END" and fed.type in OPENERS and at not in apart
        if whole and terminals[at + 1].type in _AFTER_TWO_WORDS:
            words[-1] = last._replace(value=f"{last.value} {fed.value}", end=fed.end)
        else:
            words.append(fed)
    return words


def _found(words: list[Fed], names: Collection[str]) -> list[tuple[Fed, str]]:
    """The words and their keywords, in order; none at all when the statements would not be closed one by one."""
    found: list[tuple[Fed, str]] = []
    open: list[str] = []
    for at, fed in enumerate(words):
        word = folded(fed.value) if fed.type == "NAME" else ""
        keyword = _keyword(words, at, open[-1] if open else "") if word.partition(" ")[0] not in names else ""
        if " " in word and not keyword:
            return []
        if keyword:
            found.append((fed, keyword))
        kind = f"_{keyword}" if keyword else fed.type
        if kind in OPENERS:
            open.append(kind[1:])
        elif kind == "_ELSE" and open and open[-1] == "IF":
            open[-1] = "ELSE of IF"
        elif kind in ENDS and (not open or open.pop().rpartition(" ")[2] != kind.removeprefix("_END_")):
            return []
    return found if not open else []


def _keyword(words: list[Fed], at: int, innermost: str) -> str:
    """The keyword that a word must be here, or nothing; ``innermost`` is the open statement around it."""
    keyword = _KEYWORDS.get(folded(words[at].value), "") if words[at].type == "NAME" else ""
    if not keyword or (words[at - 1].type if at else "^") not in _BEFORE:
        return ""
    if keyword == "ELSIF":
        return keyword if innermost == "IF" and _is_condition(words, at + 1) else ""
    belongs = keyword == f"END_{innermost.rpartition(' ')[2]}"
    return keyword if belongs and words[at + 1].type in _AFTER_END else ""


def _is_condition(words: list[Fed], at: int) -> bool:
    """Whether ``THEN`` comes before anything that ends a condition."""
    if words[at].type in _NOT_A_CONDITION:
        return False
    following = (words[n].type for n in range(at, len(words)))
    return next(kind for kind in following if kind == "_THEN" or kind in _CONDITION_STOPS) == "_THEN"
