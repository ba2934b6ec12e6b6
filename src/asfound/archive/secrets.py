"""Files that look as if they held a password or a private key: for a warning before they are stored.

What is stored cannot be taken out again, and travels to every laptop. Only shapes with a literal value count; a
variable that is merely called Password does not. Weakness: a guess by shape, which misses what is encoded or packed.
"""

from __future__ import annotations

import re

_NAME = re.compile(r"\.(pfx|p12|key|kdbx|ppk|jks)$|(^|/)id_(rsa|dsa|ecdsa|ed25519)$", re.I)
_KEY = re.compile(rb"-----BEGIN [A-Z ]*PRIVATE KEY-----")
_WORD = rb"[\w.-]*(?:pass(?:word|wd|phrase|wort)|kennwort|secret|api[_-]?key|pwd)"
_LITERAL = rb"(?:[\"'][^\"'\r\n]{3,}[\"']|[^\s\"'<>;:=,()]{4,}\s*$)"
_VALUE = re.compile(
    rb"\b"
    + _WORD
    + rb"[\"']?\s*(?::\s*[\w \[\]()]+:=|:=|[:=])\s*"
    + _LITERAL  # password = hunter2
    + rb"|<("
    + _WORD
    + rb")(?:\s[^>]*)?>[^<\s]{3,}[^<]*</\1>",  # <Password>hunter2</Password>
    re.M | re.I,
)
_FIRST = 4 * 2**20


def suspicion(name: str, data: bytes) -> str:
    """What a file looks like, or nothing.

    >>> suspicion("a.txt", b"user=x\\npassword = hunter2\\n"), suspicion("a.st", b"Password : STRING;")
    ('a password in line 2', '')
    """
    if _NAME.search(name):
        return "a private key, by its name"
    head = data[:_FIRST]
    if found := _KEY.search(head):
        return f"a private key in line {_line(head, found.start())}"
    if found := _VALUE.search(head):
        return f"a password in line {_line(head, found.start())}"
    return ""


def _line(data: bytes, at: int) -> int:
    return data.count(b"\n", 0, at) + 1
