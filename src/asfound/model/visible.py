"""Text from outside on one line of a terminal or message, where nothing in it can act."""

from __future__ import annotations

import unicodedata

_HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp")


def visible(text: str) -> str:
    """Return ``text`` on one line, with control, format and unpaired characters spelled out as ``\\u{...}``.

    Names come from exports: a terminal escape, a line break or a change of writing direction in one must not act.

    >>> visible("Pump\\x1b[2J")
    'Pump\\\\u{1b}[2J'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_spelled_out(char) if unicodedata.category(char) in _HIDDEN else char for char in text)


def _spelled_out(char: str) -> str:
    return " " if char in "\n\t\r" else f"\\u{{{ord(char):x}}}"
