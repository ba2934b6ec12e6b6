"""The pragmas of the normal form: ``{word "value" key="value" ...}``, IEC text for everybody else.

IEC 61131-3 leaves the inside of ``{...}`` open, so what has no place in the standard's syntax (networks, extension
data, odd names) travels in them and the file stays readable as IEC text.

A quoted value may hold line ends. ``$`` begins an escape: ``$$``, ``$"``, and ``$XXXX;`` for the code point (hex) of
a brace, a control character or a surrogate.
"""

from __future__ import annotations

import re
from typing import NamedTuple

_WORDS = (
    "normal name literal direct text comment verbatim label when call body network note order doubt leftover chart "
    "condition extension pragma namespace globals scope setting kind type modifier program indicator variable macro "
    "document wire block compilers reference attempt"
)
WORDS = frozenset(_WORDS.split())
"""Every word our pragmas begin with; others are somebody else's."""

_ESCAPE = re.compile(r'[$"{}\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]')
_UNESCAPE = re.compile(r'\$(?:([$"])|([0-9A-F]+);)')
_QUOTED = r'"(?:[^"$]|\$.)*"'
_PART = re.compile(rf"\s*(?:([A-Za-z_]\w*)\s*=\s*)?({_QUOTED}|[^\s\"={{}}]+)", re.DOTALL)


class Pragma(NamedTuple):
    """``word`` says what it is, ``values`` are the unnamed values, ``named`` the ones with a key."""

    word: str
    values: tuple[str, ...] = ()
    named: tuple[tuple[str, str], ...] = ()

    def get(self, key: str, default: str = "") -> str:
        """The value of a key."""
        return dict(self.named).get(key, default)

    @property
    def value(self) -> str:
        """The first unnamed value, or nothing."""
        return self.values[0] if self.values else ""


def quote(text: str) -> str:
    """``text`` in double quotes, safe inside a pragma.

    >>> quote('say "5 $"')
    '"say $"5 $$$""'
    """
    return '"' + _ESCAPE.sub(_escaped, text) + '"'


def _escaped(found: re.Match[str]) -> str:
    char = found.group()
    return f"${char}" if char in '$"' else f"${ord(char):02X};"


def unquote(text: str) -> str:
    """The inverse of :func:`quote`; text without quotes is returned as it is."""
    if len(text) < 2 or text[0] != '"':
        return text
    return _UNESCAPE.sub(lambda f: f.group(1) or chr(int(f.group(2), 16)), text[1:-1])


def is_plain(text: str) -> bool:
    """No control character but line ends and tabs, so that a text may stand unquoted in a comment or a file."""
    return not re.search(r"[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]", text)


def pragma(word: str, *values: str, **named: str) -> str:
    """Text of a pragma; named values that are empty are left out.

    >>> pragma("network", title="Pump 1", label="")
    '{network title="Pump 1"}'
    """
    parts = [word, *map(quote, values), *(f"{key}={quote(value)}" for key, value in named.items() if value)]
    return "{" + " ".join(parts) + "}"


def parse(text: str) -> Pragma | None:
    """Read ``{...}``; None when it is not written in our way (then it is somebody else's)."""
    inside = text[1:-1]
    head = re.match(r"[a-z]+(?=\s|$)", inside)
    if head is None or head.group() not in WORDS or text[0] != "{" or text[-1] != "}":
        return None
    values: list[str] = []
    named: list[tuple[str, str]] = []
    at = head.end()
    while inside[at:].strip():
        part = _PART.match(inside, at)
        if part is None:
            return None
        key, value = part.group(1), unquote(part.group(2))
        if key:
            named.append((key, value))
        else:
            values.append(value)
        at = part.end()
    return Pragma(head.group(), tuple(values), tuple(named))
