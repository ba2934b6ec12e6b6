"""The patterns of a profile as an engine runs them that needs no more than linear time, whatever the pattern.

Python's own engine tries again and again (``(a+)+b`` on thirty letters takes minutes), and a profile may come from
anybody. RE2 does not; in return it knows no looking ahead or back and no group named again, which are refused. A
stored profile must be read the same way ever after, so where RE2 would silently read a pattern otherwise than Python
does it is spelled out for it (``\\d``, ``\\w`` and ``\\s`` mean the letters of all scripts, ``{,3}`` is a repetition)
or refused. Source of what it knows: https://github.com/google/re2/wiki/Syntax.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Any

MAX_PATTERN = 500
"""Characters of one pattern."""
MAX_PROGRAM = 10_000
"""Instructions of RE2 that one pattern becomes; a usual one has 20, one with ``\\w`` 1,400. Matching a cell of 100
letters with one of them takes 3 ms at most (measured), usually 2 us."""
_REPEATED = 1000
"""How often RE2 repeats a piece at most."""

_OUTSIDE = re.compile(r"\\.|\[\^?\]?|\{[0-9]*,?[0-9]*\}|\(\?P?<\w+>|.", re.DOTALL)
_INSIDE = re.compile(r"\\.|\[[:.=]|.", re.DOTALL)
_DIGIT, _WORD = r"\p{Nd}", r"\p{L}\p{N}_"
_BLANK = r"\t-\r\x1c-\x20\x85\xa0\x{1680}\x{2000}-\x{200a}\x{2028}\x{2029}\x{202f}\x{205f}\x{3000}"
_SPELLED = {
    r"\d": f"[{_DIGIT}]", r"\D": f"[^{_DIGIT}]", r"\w": f"[{_WORD}]", r"\W": f"[^{_WORD}]",
    r"\s": f"[{_BLANK}]", r"\S": f"[^{_BLANK}]", r"\Z": r"\z",
}  # fmt: skip
_SPELLED_INSIDE = {r"\d": _DIGIT, r"\w": _WORD, r"\s": _BLANK}
_SAME = frozenset("afnrtvxA")
"""Letters that mean the same behind a backslash to both."""
MEND = "mend it; a digit is [0-9], a plain dot is \\."
_PLAINLY = "write it without looking ahead or back and without naming a group again; two patterns may follow each other"


class Unusable(ValueError):
    """A pattern that is not taken: ``args`` are what is wrong with it and what to write instead."""


@lru_cache(maxsize=256)
def compiled(pattern: str) -> Any:
    """The pattern for RE2, upper and lower case being one. Raises :class:`Unusable`.

    >>> compiled("X(?P<number>[0-7]+)").fullmatch("x17").group("number")
    '17'
    """
    import re2

    if len(pattern) > MAX_PATTERN:
        raise Unusable(f"the pattern has more than {MAX_PATTERN} characters", "write several short ones")
    options = re2.Options()
    options.case_sensitive = False
    options.log_errors = False
    try:
        found = re2.compile(_spelled(pattern), options)
    except re2.error as error:
        said = error.args[0].decode("utf-8", "replace") if error.args else ""
        raise _explained(pattern, said) from None
    except UnicodeError:
        raise Unusable("the pattern holds a sign that is no character", MEND) from None
    if found.programsize > MAX_PROGRAM:
        raise _large(pattern)
    return found


def _explained(pattern: str, said: str) -> Unusable:
    kind = said.partition(":")[0]
    if "too large" in said or kind == "invalid repetition size":
        return _large(pattern)
    if kind.startswith("invalid perl operator"):
        return Unusable(f"the pattern {_shown(pattern)} holds {said.rpartition(': ')[2]}, which is not known", _PLAINLY)
    return Unusable(f"the pattern {_shown(pattern)} is no regular expression ({kind})", MEND)


def _large(pattern: str) -> Unusable:
    advice = f"repeat with * or +, or at most {_REPEATED} times in all"
    return Unusable(f"the pattern {_shown(pattern)} repeats too much", advice)


def _shown(pattern: str) -> str:
    return f"'{pattern}'" if len(pattern) <= 60 else f"'{pattern[:40]}...'"


def _spelled(pattern: str) -> str:
    """The pattern as RE2 takes it to mean what Python takes it to mean."""
    made: list[str] = []
    groups: set[str] = set()
    at, inside = 0, False
    while at < len(pattern):
        found = (_INSIDE if inside else _OUTSIDE).match(pattern, at)
        assert found is not None  # each ends with any one character
        token, at = found[0], found.end()
        if token[0] == "\\" and len(token) == 2:
            token = _escape(token, inside, pattern)
        elif inside:
            inside = token != "]"
            if len(token) == 2:
                raise Unusable(
                    f"the pattern {_shown(pattern)} holds {token}, which is not known",
                    "write the letters, such as [0-9A-Z]",
                )
        elif token[0] == "[":
            inside = True
        elif token[0] == "{" and len(token) > 2:
            token = _repetition(token, pattern)
        elif token.startswith("(?"):
            if token in groups:
                name = re.sub(r"\W", "", token)[1:] if token.startswith("(?P") else re.sub(r"\W", "", token)
                raise Unusable(f"the pattern {_shown(pattern)} has two groups '{name}'", "write two patterns")
            groups.add(token)
        made.append(token)
    return "".join(made)


def _escape(token: str, inside: bool, pattern: str) -> str:
    spelled = (_SPELLED_INSIDE if inside else _SPELLED).get(token)
    if spelled is not None:
        return spelled
    if token[1] in "bB":
        advice = "leave it out, a pattern is for the whole cell"
        raise Unusable(f"the pattern {_shown(pattern)} holds {token}, which is not known", advice)
    if token[1].isascii() and token[1].isalnum() and token[1] not in _SAME:
        advice = "write what stands there, such as [^0-9]" if inside and token[1] in "DWS" else _PLAINLY
        raise Unusable(f"the pattern {_shown(pattern)} holds {token}, which is not known", advice)
    return token


def _repetition(token: str, pattern: str) -> str:
    """``{,3}`` and ``{,}`` are plain text to RE2, and so is a number it finds too large."""
    low, comma, high = token[1:-1].partition(",")
    if max(len(low), len(high)) > 6 or max(int(low or 0), int(high or 0)) > _REPEATED:
        raise _large(pattern)
    return f"{{{low or 0}{comma}{high}}}"
