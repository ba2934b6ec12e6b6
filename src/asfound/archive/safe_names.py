"""Names from exports as names in a git tree or on a disk: readable, safe on every system, reversible.

Most names stay as they are; blanks, umlauts and any other letters too. What is written differently:

======================================================  =====================================================
``%``, ``< > : " | ? * \\``, control and format signs    ``%XX`` for each byte of its UTF-8 form
a leading dot, a trailing dot or blank                  ``%2E``, ``%20`` (``.git`` and ``..`` among them)
a reserved device name (``CON``, ``lpt1.txt``)          its first letter as ``%XX``
``git~1`` (what some file systems call ``.git``)        ``git%7E1``
an empty part (``a//b``)                                ``%_``
two names equal but for case or accents' composition    the later in byte order gets ``%~2``, ``%~3`` ... at its end
a name of more than 240 bytes                           split into nested folders, joined by ``%+/%+``
======================================================  =====================================================

:func:`unescape` turns every stored path back into the original name. Cost: linear in the length of all names.
Known weakness: a file and a folder of one name (impossible on a disk, possible in bytes handed over) are told apart
by the ``%~2`` mark as well, so the folder's mark appears in the middle of a path.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

LIMIT = 240
"""Bytes of one path component; file systems stop at 255, marks need some."""

_JOINT = "%+/%+"
_FORBIDDEN = frozenset('%<>:"|?*\\')
_FORMAT = frozenset(("Cc", "Cf", "Cs", "Zl", "Zp"))
_DEVICE = re.compile(r"^(con|prn|aux|nul|conin\$|conout\$|clock\$|(com|lpt)[0-9¹²³])\s*(\.|$)", re.I)
_SHORT_GIT = re.compile(r"^git~\d", re.I)
_MARK = re.compile(r"%~\d+$")
_BYTES = re.compile(r"(?:%[0-9A-F]{2})+")


def escape(component: str) -> str:
    """One path component in its safe spelling, not yet shortened.

    >>> escape("pump 1: süd.xml"), escape("..")
    ('pump 1%3A süd.xml', '%2E%2E')
    """
    if not component:
        return "%_"
    last = len(component) - 1
    safe = "".join(
        _hex(sign) if _unsafe(sign) or (sign == "." and at in (0, last)) or (sign == " " and at == last) else sign
        for at, sign in enumerate(component)
    )
    if _DEVICE.match(safe):
        safe = _hex(safe[0]) + safe[1:]
    return safe.replace("~", "%7E", 1) if _SHORT_GIT.match(safe) else safe


def _unsafe(sign: str) -> bool:
    return sign in _FORBIDDEN or sign == "/" or unicodedata.category(sign) in _FORMAT


def _hex(sign: str) -> str:
    return "".join(f"%{byte:02X}" for byte in sign.encode("utf-8", "surrogatepass"))


def folded(component: str) -> str:
    """What two names share when some file system takes them for one."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", component).casefold())


def stored_paths(names: Iterable[str]) -> dict[str, str]:
    """For each name (folders separated by ``/``) the path it is stored under; in byte order of the names.

    >>> stored_paths(["Main.st", "main.st"])
    {'Main.st': 'Main.st', 'main.st': 'main.st%~2'}
    """
    taken: dict[str, set[str]] = {}
    chosen: dict[tuple[str, str, bool], str] = {}
    paths: dict[str, str] = {}
    for name in sorted(names, key=lambda n: n.encode("utf-8", "surrogatepass")):
        parts = name.split("/")
        path = ""
        for at, part in enumerate(parts):
            key = (path, part, at == len(parts) - 1)
            if key not in chosen:
                chosen[key] = _free(escape(part), taken.setdefault(path, set()))
            path = f"{path}/{chosen[key]}" if path else chosen[key]
        paths[name] = path
    return paths


def _free(safe: str, taken: set[str]) -> str:
    """``safe``, split when too long and marked until it differs from all that stand in the same folder."""
    split = _split(safe)
    number, mark = 1, ""
    while (fold := folded(split + mark)) in taken:
        number += 1
        mark = f"%~{number}"
    taken.add(fold)
    return split + mark


def _split(safe: str) -> str:
    pieces = []
    while len(safe.encode("utf-8")) > LIMIT:
        head = _head(safe)
        pieces.append(head)
        safe = safe[len(head) :]
    return _JOINT.join([*pieces, safe])


def _head(safe: str) -> str:
    """The longest start of ``safe`` within the limit that cuts neither a letter nor a ``%XX``."""
    return re.sub(r"%.?$", "", safe.encode("utf-8")[:LIMIT].decode("utf-8", "ignore"))


def unescape(path: str) -> str:
    """The name behind a stored path.

    >>> unescape("pump 1%3A süd.xml"), unescape("main.st%~2")
    ('pump 1: süd.xml', 'main.st')
    """
    whole = path.replace(_JOINT, "")
    return "/".join(_plain(part) for part in whole.split("/"))


def _plain(part: str) -> str:
    part = _MARK.sub("", part)
    if part == "%_":
        return ""
    return _BYTES.sub(lambda m: bytes.fromhex(m[0].replace("%", "")).decode("utf-8", "surrogatepass"), part)
