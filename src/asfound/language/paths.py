"""File names for the normal form: safe on every file system, and the same on every machine."""

from __future__ import annotations

import hashlib
import re

MAX_LENGTH = 200
"""Bytes of one name; file systems end at 255, and an archive may add something of its own."""
_DEVICES = re.compile(r"(?:CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|COM[0-9]|LPT[0-9])(?=\.|$)", re.IGNORECASE)


def safe(text: str) -> str:
    """A file name without suffix: ASCII letters, digits, ``_ - .``; everything else as ``%`` and hex of its bytes.

    >>> safe("Pump 1/2"), safe("con"), safe("")
    ('Pump%201%2F2', '%63on', '%')
    """
    name = re.sub(r"[^A-Za-z0-9_.\-]", _escape, text)
    if _DEVICES.match(name) or name.startswith((".", "-")):
        name = f"%{ord(name[0]):02X}{name[1:]}"
    if name.endswith("."):
        name = name[:-1] + "%2E"
    if len(name) > MAX_LENGTH - 40:
        name = f"{name[: MAX_LENGTH - 60]}~{hashlib.sha256(text.encode('utf-8', 'surrogatepass')).hexdigest()[:16]}"
    return name or "%"


def _escape(found: re.Match[str]) -> str:
    return "".join(f"%{byte:02X}" for byte in found.group().encode("utf-8", "surrogatepass"))


class Folder:
    """Gives every text a name of its own; names that differ in case only would collide on some file systems."""

    def __init__(self, path: str, suffix: str) -> None:
        self.path, self.suffix = path, suffix
        self._taken: set[str] = set()
        self._last: dict[str, int] = {}

    def name(self, text: str) -> str:
        """Path for an object; ``~2`` and so on behind names that are taken."""
        stem = safe(text)
        number = self._last.get(stem.lower(), 1)
        while (name := stem if number == 1 else f"{stem}~{number}").lower() in self._taken:
            number += 1
        self._taken.add(name.lower())
        self._last[stem.lower()] = number
        return f"{self.path}/{name}{self.suffix}"
