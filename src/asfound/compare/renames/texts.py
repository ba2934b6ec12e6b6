"""Renames inside of what a declaration says as text: a type, a literal, an initial value."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

import msgspec

Map = Mapping[str, str]
_WORD = re.compile(r"[^\W\d]\w*")
_WORD_IN_JSON = re.compile(r"\\.|[^\W\d]\w*")
"""The same where a line break is an ``n`` behind a backslash."""
_BOUNDS = re.compile(r"(\[[^\]]*\]|\([^)]*\))")
_INITIAL = re.compile(
    r"""('(?:\$.|[^$'])*'|"(?:\$.|[^$"])*")|([^\W\d]\w*)#(?:([^\W\d]\w*)\b(?!#))?|(?<![\w#])([^\W\d]\w*)(\s*:=)?"""
)
"""A string, in which nothing is a name; ``Mode#AUTO``; the name of a member, or of a constant or value, that is
no unit and no digit of a literal (``T#5s``, ``16#FF``)."""


def _get(names: Map, name: str) -> str:
    return names.get(name.lower(), name)


def _words_in(node: msgspec.Struct) -> frozenset[str]:
    """Every word of every text in a node, folded; some fields and kinds are among them."""
    return frozenset(_WORD_IN_JSON.findall(msgspec.json.encode(node).decode().lower()))


def words_of(names: Iterable[str]) -> frozenset[str]:
    """The words of names; a name that holds no word gives an empty one.

    >>> sorted(words_of(["pump 1", "valve"]))
    ['pump', 'valve']
    """
    return frozenset(word for name in names for word in _WORD.findall(name) or ("",))


def can_name(node: msgspec.Struct, names: frozenset[str]) -> bool:
    """Can a name of those words stand in a node?"""
    return "" in names or not names.isdisjoint(_words_in(node))


def type_text(types: Map, text: str, constants: Map | None = None) -> str:
    """A type text with the names of user types replaced, and those of constants in bounds.

    >>> type_text({"mode": "State"}, "ARRAY[0..MODE] OF Mode", {"mode": "LAST"})
    'ARRAY[0..LAST] OF State'
    """
    if not text or not (types or constants):
        return text
    parts = _BOUNDS.split(text)
    names = [types if number % 2 == 0 else constants or {} for number in range(len(parts))]
    return "".join(
        _WORD.sub(lambda found, these=these: _get(these, found.group()), part)
        for part, these in zip(parts, names, strict=True)
    )


def value_text(
    text: str, types: Map, values: Mapping[str, Map] | None = None, members: Map | None = None, names: Map | None = None
) -> str:
    """A literal or an initial value with what it names replaced.

    ``types`` stand before a ``#``, ``values`` of each folded type behind it; ``members`` before a ``:=``; ``names`` are
    constants and values of enumerations that stand alone.

    >>> modes = {"mode": {"off": "STOP"}}
    >>> value_text("(a := Mode#OFF, b := MAX)", {"mode": "State"}, modes, {"a": "x"}, {"max": "TOP"})
    '(x := State#STOP, b := TOP)'
    """
    if not text or not (types or values or members or names):
        return text

    def new(found: re.Match[str]) -> str:
        string, type, value, word, assigned = found.groups()
        if string:
            return string
        if type:
            return f"{_get(types, type)}#{_get((values or {}).get(type.lower(), {}), value or '')}"
        return _get((members if assigned else names) or {}, word) + (assigned or "")

    return _INITIAL.sub(new, text)
