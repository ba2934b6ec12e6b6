"""XML for readers: safe parsing, and consuming a tree so that nothing is left on the residue unseen.

A reader takes what it understands out of the tree (:func:`take`, :func:`take_all`, :func:`attribute`,
:func:`text_of`); what is left when it has finished is turned into extensions by :func:`leftovers`. So a node that
nobody expected cannot be lost: it is still there.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Iterator
from typing import Any, TypeAlias

from lxml import etree

from asfound.model.problem import Problem
from asfound.model.program import Extension

MAX_BYTES = 200_000_000
"""Of one document."""
MAX_DEPTH = 200
LONGEST_REASON = 150
"""Characters of what libxml2 says: it quotes names of the document, which may be of any length."""
EXCHANGE = ("{http://www.plcopen.org/xml/tc6", "{www.iec.ch/public/TC65SC65BWG7TF10", "{http://www.iec.ch/public/TC65")
"""How the namespaces of the exchange formats begin, in all their versions."""
ASIDE = "taken"
"""Name of the element above the root of a document that is being read."""

Element: TypeAlias = etree._Element
_DOCTYPE = re.compile(rb"[\xef\xbb\xbf\xff\xfe]*(?>\s+|<\?.*?\?>|<!--.*?-->)*+<!DOCTYPE", re.S | re.I)
_TOO_DEEP = etree.XPath(f"boolean(.//*[ancestor::*[{MAX_DEPTH}]])")
_WIDE_HEAD = 1_000_000
"""Bytes of a UTF-16 or UTF-32 document that are looked at before it is parsed."""


SAFE: dict[str, Any] = {
    "resolve_entities": False, "no_network": True, "remove_comments": True, "remove_pis": True, "load_dtd": False,
    "huge_tree": True,
}  # fmt: skip
"""How every document is parsed. Comments and processing instructions are dropped: no engineering tool shows them."""


def parse(data: bytes, name: str) -> Element:
    """Root element of an export. Refuses a DTD (entities could pull in other files) and damaged XML."""
    refuse_head(data, name)
    try:
        root = etree.fromstring(data, parser())
    except etree.XMLSyntaxError as error:
        raise _damaged(error, name) from None
    return checked(root, name)


def parser() -> etree.XMLParser:
    """A new parser with the settings above."""
    return etree.XMLParser(**SAFE)


def refuse_head(data: bytes, name: str) -> None:
    """Raise for what can be seen before parsing: size and document type."""
    if len(data) > MAX_BYTES:
        raise Problem(f"is larger than {MAX_BYTES // 1_000_000} MB", where=name, advice="split the export")
    refuse_doctype(data, name)


def checked(root: Element, name: str) -> Element:
    """A parsed root, placed as :func:`placed` says; raises for what only the parsed document shows."""
    if getattr(root.getroottree().docinfo, "doctype", ""):  # in an encoding that only the parser knows
        raise _doctype(name)
    refuse_depth(root, name)
    return placed(root)


def _damaged(error: etree.XMLSyntaxError, name: str) -> Problem:
    """What to tell when the parser gives up."""
    line = error.lineno or 1
    if "Excessive depth" in (error.msg or ""):  # libxml2 has a limit of its own, far beyond ours
        return _too_deep(name)
    return Problem(
        f"is not complete, well-formed XML ({_short(error)})",
        where=f"{name}, line {line}",
        advice="export it again, or store it as it is in a folder with readable exports",
    )


def placed(root: Element) -> Element:
    """The root below a parent that has its namespaces too, and to which :func:`cut` moves what it cuts out.

    Moved out of the document altogether, a subtree would need its namespaces declared anew, which takes lxml (6.1,
    measured) time that grows with the square of its size.
    """
    aside = etree.Element(ASIDE, nsmap=root.nsmap)  # type: ignore[arg-type]  # None is the default namespace
    aside.append(root)
    return root


def refuse_doctype(data: bytes, name: str) -> None:
    """Raise before any parser sees a document type declaration: its entities could grow or pull in other files."""
    wide = b"\x00" in data[:4]
    if _DOCTYPE.match(data[:_WIDE_HEAD].replace(b"\x00", b"") if wide else data):
        raise _doctype(name)


def _doctype(name: str) -> Problem:
    return Problem(
        "has a document type declaration, which an export never needs and which is refused for safety",
        where=name,
        advice="remove the DOCTYPE or export again",
    )


def _too_deep(name: str) -> Problem:
    return Problem(f"nests elements more than {MAX_DEPTH} deep", where=name, advice="check where the file comes from")


def _short(error: etree.XMLSyntaxError) -> str:
    said = re.sub(r"(, line \d+, column \d+.*|\s*\(.*\))$", "", error.msg or "syntax error").strip()
    return said if len(said) <= LONGEST_REASON else f"{said[:LONGEST_REASON]}..."


def refuse_depth(element: Element, name: str) -> None:
    """Raise when anything in an element is nested too deep, counted from the root of its document."""
    if _TOO_DEEP(element):
        raise _too_deep(name)


def root_of(data: bytes) -> tuple[str, str] | None:
    """``(namespace, local name)`` of the root element, or None when the bytes do not start like XML.

    >>> root_of(b'<?xml version="1.0"?><a xmlns="urn:x"/>')
    ('urn:x', 'a')
    """
    start = data[:400].lstrip(b"\xef\xbb\xbf\xff\xfe\x00 \t\r\n")
    if not start.startswith(b"<"):
        return None
    puller = etree.XMLPullParser(events=("start",), resolve_entities=False, no_network=True, recover=True)
    try:
        for at in range(0, min(len(data), 1_000_000), 4096):
            puller.feed(data[at : at + 4096])
            for _, element in puller.read_events():
                if not isinstance(element, Element):
                    continue
                name = etree.QName(element)
                return name.namespace or "", name.localname
    except etree.XMLSyntaxError:
        pass
    return None


def local(element: Element) -> str:
    """Name of an element without its namespace."""
    tag = element.tag
    return tag.rpartition("}")[2] if isinstance(tag, str) else ""


def children(element: Element, *names: str) -> Iterator[Element]:
    """Child elements, all or those with one of the local names; the tree stays as it is."""
    return (child for child in list(element) if not names or local(child) in names)


def has(element: Element, *names: str) -> bool:
    """Is there a child of one of these local names?"""
    return any(local(child) in names for child in element)


def take(element: Element, name: str) -> Element | None:
    """The first child of that local name, cut out of the tree, or None."""
    for child in element:
        if local(child) == name:
            cut(child)
            return child
    return None


def take_all(element: Element, *names: str) -> list[Element]:
    """All children of these local names (all children without a name), cut out of the tree."""
    found = list(children(element, *names))
    for child in found:
        cut(child)
    return found


def cut(element: Element) -> None:
    """Remove an element but leave the text that follows it in place."""
    parent = element.getparent()
    if parent is None or parent.tag == ASIDE:
        return
    if element.tail and element.tail.strip():
        before = element.getprevious()
        if before is None:
            parent.text = (parent.text or "") + element.tail
        else:
            before.tail = (before.tail or "") + element.tail
    element.tail = None
    aside = element.getroottree().getroot() if len(element) else None
    if aside is not None and aside.tag == ASIDE:
        aside.append(element)
    else:
        parent.remove(element)


def attribute(element: Element, name: str) -> str:
    """Value of an attribute, taken out of the tree; empty when there is none."""
    return str(element.attrib.pop(name, ""))


def text_of(element: Element) -> str:
    """Direct text of an element, taken out of the tree. Text of children is not included."""
    text, element.text = element.text or "", None
    return text


def is_empty(element: Element) -> bool:
    """Nothing is left: no attribute, child or text."""
    return not element.attrib and not len(element) and not (element.text or "").strip()


def leftovers(element: Element, noise: Callable[[str], bool] = lambda path: False) -> tuple[Extension, ...]:
    """What nobody took from below ``element``, as extensions; ``noise`` tells whether a path may be dropped.

    An element that is still there is kept even when nothing is left inside: whoever understands it cuts it out. A path
    is ``child/grandchild/@attribute``.
    """
    found: list[Extension] = []
    _collect(element, "", noise, found)
    return tuple(sorted(found, key=lambda e: (e.path, e.name, e.text)))


def _collect(element: Element, path: str, noise: Callable[[str], bool], found: list[Extension]) -> None:
    for name, value in element.attrib.items():
        where = f"{path}@{str(name).rpartition('}')[2]}"
        if not noise(where):
            found.append(Extension(path=where, text=str(value)))
    for text in (element.text, *(child.tail for child in element)):
        if text and text.strip() and not noise(f"{path}text()"):
            found.append(Extension(path=f"{path}text()", text=text.strip()))
    for child in element:
        where = f"{path}{local(child)}"
        if not noise(where):
            found.append(Extension(path=where, text=canonical(child), name=str(child.get("name", ""))))


def canonical(element: Element) -> str:
    """Exclusive canonical XML of a subtree, without white space between elements and without prefixes to trip over.

    Source: Canonical XML 2.0 (W3C), as far as ``etree.canonicalize`` implements it; prefixes are rewritten and
    text is stripped at its ends, because pretty printers pad it. Where an element has no namespace the prefixes stay
    as written: the rewriting would invent one for it (``xmlns:n0=""``), which is not XML any more.
    The namespaces of the exchange formats become one: they tell the version of the file, not what is in it.
    """
    own = copy.deepcopy(element)
    own.tail = None
    named = True
    for node in own.iter("*"):
        namespace, mark, name = str(node.tag).rpartition("}")
        named = named and bool(mark)
        if namespace.startswith(EXCHANGE):
            node.tag = f"{{exchange}}{name}"
    return str(etree.canonicalize(own, strip_text=True, rewrite_prefixes=named))
