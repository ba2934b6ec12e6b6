"""Large documents: every POU is put aside as packed text while the document is parsed, and opened when it is read.

A tree takes about 18 times the bytes of its document (measured, 20 MB), more than all the rest of reading. With the
POUs packed it is never there as a whole. What is left in the place of a POU is its element with its attributes, which
is all that is needed to know it for one. A packed POU that nobody opened was not where POUs are read; then
the document is read again, whole, so that what it holds is compared like anything else that is not understood.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Callable
from typing import TypeAlias

import msgspec
from lxml import etree

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.readers import xml
from asfound.readers.xml import Element

LARGE = 4_000_000
"""Bytes from which on a document is read packed: below, the tree is small and packing would cost about a tenth."""
FASTEST = 1
"""Level of zlib: packs XML to an eighth, which the higher ones do not halve."""

Open: TypeAlias = Callable[[Element], Element]
"""From a POU's element to the one that holds what is inside it; the same one unless it was packed."""


def unpacked(element: Element) -> Element:
    """The ``Open`` of a document that is not packed."""
    return element


class _Packed:
    """POUs by the element that stands in their place. Elements are kept alive here, so each stays the same object."""

    def __init__(self) -> None:
        self.waiting: dict[Element, bytes] = {}

    def put(self, element: Element) -> None:
        """Pack what is inside an element; its attributes stay."""
        self.waiting[element] = zlib.compress(etree.tostring(element, encoding="utf-8", with_tail=False), FASTEST)
        for child in list(element):
            element.remove(child)
        element.text = None

    def open(self, element: Element) -> Element:
        """See ``Open``."""
        packed = self.waiting.pop(element, None)
        return element if packed is None else xml.placed(etree.fromstring(zlib.decompress(packed), xml.parser()))


def read(data: bytes, name: str, program: Callable[[Element, Open], Copy], tags: tuple[str, ...]) -> Copy:
    """What ``program`` makes of a document; ``tags`` (``{*}pou``) name the elements to be packed if it is large.

    An element is packed if it is outermost among those of these tags and has attributes of its own.
    """
    try:
        if len(data) >= LARGE:
            packed = _Packed()
            root = _parse(data, name, tags, packed)
            found = program(root, packed.open) if root is not None else None
            if found and not packed.waiting:
                return _placed(found, name)
        return _placed(program(xml.parse(data, name), unpacked), name)
    except RecursionError:
        raise Problem(
            "holds a diagram with more than a few hundred elements in one chain",
            where=name,
            advice="store it as it is in a folder with readable exports and report the file",
        ) from None


def _placed(found: Copy, name: str) -> Copy:
    """With the name of the document before the place of each finding."""
    findings = tuple(msgspec.structs.replace(each, where=f"{name}, {each.where}") for each in found.findings)
    return msgspec.structs.replace(found, findings=findings)


def _parse(data: bytes, name: str, tags: tuple[str, ...], packed: _Packed) -> Element | None:
    """The root with its POUs packed. None for damaged XML: parsing it whole says more exactly what is wrong."""
    xml.refuse_head(data, name)
    events = etree.iterparse(io.BytesIO(data), events=("end",), tag=tags, **xml.SAFE)
    try:
        for _, element in events:
            if element.attrib and next(element.iterancestors(*tags), None) is None:
                xml.refuse_depth(element, name)
                packed.put(element)
    except etree.XMLSyntaxError:
        return None
    return xml.checked(events.root, name)
