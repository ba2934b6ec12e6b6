"""POUs that were read before, by their text: two exports of a project have most of them in common, to the byte.

What stands in a POU's element is all that its reading depends on (that is what lets it be packed, see packing.py); so
the same text gives the same POU, and is read once. Not for packed documents: those are read in processes of their own.
"""

from __future__ import annotations

import hashlib

from lxml import etree

from asfound.model.program import Pou
from asfound.readers.xml import Element

MOST = 20_000
"""POUs; beyond, all are forgotten."""
_KNOWN: dict[bytes, Pou] = {}


def key(element: Element, format: str) -> bytes:
    """What a POU is found by: its text with its namespaces; ``format`` is whatever else its reading depends on."""
    text = etree.tostring(element, encoding="utf-8", with_tail=False)
    return hashlib.sha256(format.encode("utf-8") + b"\0" + text).digest()


def find(key: bytes) -> Pou | None:
    """The POU of that text, if it was read before."""
    return _KNOWN.get(key)


def keep(key: bytes, pou: Pou) -> None:
    """Remember what a text gave, and gave nothing besides."""
    if len(_KNOWN) >= MOST:
        _KNOWN.clear()
    _KNOWN[key] = pou
