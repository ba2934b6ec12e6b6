"""The ``.amlx`` container: which part is the root document, and what else is in it.

It is an OPC container (ISO/IEC 29500-2). The root document is the target of the relationship of type ``RootDocument``
in ``_rels/.rels``; without one, the only ``.aml`` part is taken. Every other part goes to the reader that knows it; one
that none knows, and a container in the container, is kept by its digest.
"""

from __future__ import annotations

import hashlib
import posixpath
from collections.abc import Mapping
from typing import NamedTuple

import msgspec

from asfound.model.problem import Problem
from asfound.model.program import Extension
from asfound.readers import xml
from asfound.readers.automationml.logic_links import Link, links, mentioned
from asfound.readers.container import Part, is_container, parts
from asfound.readers.merging import Part as ReadPart
from asfound.readers.xml import root_of

ROOT = "CAEXFile"
_RELATION = ("Type", "Target", "TargetMode")
PLUMBING = ("[Content_Types].xml", "_rels/.rels")


class Document(NamedTuple):
    """The XML document of an export, and what came with it: parts that were read, and the digests of the others."""

    data: bytes
    extensions: tuple[Extension, ...] = ()
    parts: tuple[ReadPart, ...] = ()


class Linking(NamedTuple):
    """The links of an export to logic; of a container also the bytes of its parts, by folded name."""

    links: tuple[Link, ...] = ()
    inside: Mapping[str, bytes] | None = None


def is_package(data: bytes, suffix: str) -> bool:
    """Whether the bytes are a container that holds an AutomationML part, or claim so by their name."""
    return is_container(data) and (suffix == ".amlx" or b".aml" in data[-65536:])


def open_document(data: bytes, name: str) -> Document:
    """The document itself, or the root document of a container. Raises Problem when there is none."""
    if not is_container(data):
        return Document(data)
    found = {part.name: part for part in parts(data, name)}
    root = _root(found, name)
    others = [part for part in found.values() if part is not root and part.name not in PLUMBING]
    read = {part: _read(part, name) for part in others}
    kept = tuple(_kept(part) for part, known in read.items() if known is None)
    return Document(root.data, kept, tuple(known for known in read.values() if known is not None))


def _read(part: Part, name: str) -> ReadPart | None:
    """What a part holds, None when no reader knows it; a container in a container is not opened."""
    from asfound.readers.registry import readers
    from asfound.readers.single_files import read_part
    from asfound.readers.tables.profile import READER as PROFILE

    if is_container(part.data):
        return None
    read = read_part(f"{name}/{part.name}", part.data, [each for each in readers() if each is not PROFILE])
    source = msgspec.structs.replace(read.source, name=part.name)
    return ReadPart(source, read.copy) if source.format else None


def linking(data: bytes, name: str) -> Linking:
    """The links of an export; none of what is no such export.

    Targets are seen from the folder that the name is seen from, those of a container from its root.
    """
    suffix = name[name.rfind(".") :].lower()
    if is_container(data):
        if not is_package(data, suffix):
            return Linking()
        found = {part.name: part for part in parts(data, name)}
        root = _root(found, name)
        inside = {part.name.lower(): part.data for part in found.values()}
        return Linking(_links(root.data, name, posixpath.dirname(root.name), True), inside)
    return Linking(_links(data, name, posixpath.dirname(name), False))


def _links(data: bytes, name: str, folder: str, rooted: bool) -> tuple[Link, ...]:
    root = root_of(data) if mentioned(data) else None
    return links(xml.parse(data, name), folder, rooted) if root and root[1] == ROOT else ()


def _root(found: dict[str, Part], name: str) -> Part:
    targets = _targets(found.get("_rels/.rels"), name)
    documents = [part for part in found.values() if part.name.lower().endswith(".aml")]
    named = [found[target] for target in targets if target in found]
    candidates = named if targets else documents
    if len(candidates) != 1:
        raise Problem(
            f"holds {len(candidates)} AutomationML documents that could be the main one",
            where=name,
            advice="give the .aml file itself",
        )
    return candidates[0]


def _targets(relations: Part | None, name: str) -> list[str]:
    if relations is None:
        return []
    root = xml.parse(relations.data, f"{name}, {relations.name}")
    found = ((str(child.get("Type", "")), str(child.get("Target", ""))) for child in root)
    return sorted(target.lstrip("/") for type, target in found if type.rpartition("/")[2] == "RootDocument")


def _kept(part: Part) -> Extension:
    relations = _relations(part) if part.name.endswith(".rels") else None
    if relations is not None:
        return Extension(path=f"part/{part.name}", text=relations)
    digest = hashlib.sha256(part.data).hexdigest()
    return Extension(path=f"part/{part.name}", text=f"{len(part.data)} bytes, sha256 {digest}")


def _relations(part: Part) -> str | None:
    """Type, target and mode of each relation that a part lists, sorted; None when it holds anything else."""
    try:
        root = xml.parse(part.data, part.name)
    except Problem:
        return None
    texts = (root.text, *(text for child in root for text in (child.text, child.tail)))
    odd = any(len(child) or set(child.attrib) - {"Id", *_RELATION} for child in root) or root.attrib
    if odd or any(text and text.strip() for text in texts):
        return None
    return "\n".join(sorted(" ".join(filter(None, (str(child.get(key, "")) for key in _RELATION))) for child in root))
