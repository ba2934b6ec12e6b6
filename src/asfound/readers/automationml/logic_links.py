"""Links from hardware to the logic that belongs to it: which files, seen from the folder of the document.

IEC 62714-4: an interface of the class ``PLCopenXMLInterface``, or of one derived from it, has an attribute ``refURI``
with a file in the format of TC6 and, behind ``#``, the id of an object in there. Only a path within the folder of the
document (or within its container, where ``/`` is the root) is a target; every other address is named and let be.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator
from typing import NamedTuple
from urllib.parse import unquote

from asfound.readers import xml
from asfound.readers.xml import Element

CLASS = "PLCopenXMLInterface"
DERIVED = "LogicInterface"
"""How the names of the classes end that are derived from it."""
MENTION = "refURI"
_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
_NO_NAME = re.compile(r"[\x00-\x1f\x7f:]")


class Link(NamedTuple):
    """``uri`` as written; ``target`` is empty for what is no path in the folder, ``id`` is what stands behind #."""

    uri: str
    target: str
    id: str = ""

    @property
    def address(self) -> str:
        """What stands before #."""
        return self.uri.partition("#")[0].strip()


def mentioned(data: bytes) -> bool:
    """Whether a document may have such links: one look, before it is parsed."""
    return any(MENTION.encode(codec) in data for codec in ("utf-8", "utf-16-le", "utf-16-be"))


def links(root: Element, folder: str = "", rooted: bool = False) -> tuple[Link, ...]:
    """The links of a document in a folder, each once, sorted; ``rooted`` where ``/`` is the root of a container.

    Those into the document itself are left out.
    """
    found = {_link(uri, folder, rooted) for element in root.iter("{*}ExternalInterface") for uri in _uris(element)}
    return tuple(sorted(link for link in found if link is not None))


def _uris(interface: Element) -> Iterator[str]:
    steps = str(interface.get("RefBaseClassPath", "")).strip().split("/")
    if CLASS not in steps and not steps[-1].endswith(DERIVED):
        return
    for attribute in xml.children(interface, "Attribute"):
        if str(attribute.get("Name", "")).lower() == MENTION.lower():
            yield from ("".join(str(part) for part in v.itertext()).strip() for v in xml.children(attribute, "Value"))


def _link(uri: str, folder: str, rooted: bool) -> Link | None:
    address, _, id = (part.strip() for part in uri.partition("#"))
    path = unquote(address).replace("\\", "/")
    if not path:
        return None
    if rooted and path.startswith("/") and not path.startswith("//"):
        return Link(uri, _within(path[1:]), unquote(id))
    outside = path.startswith("/") or _SCHEME.match(path) is not None
    return Link(uri, "" if outside else _within(posixpath.join(folder, path)), unquote(id))


def _within(path: str) -> str:
    """The path without detours; empty when it leads out of the folder, or to what is hidden."""
    plain = posixpath.normpath(path)
    hidden = any(step.startswith(".") for step in plain.split("/"))
    return "" if hidden or plain.startswith("/") or _NO_NAME.search(plain) else plain
