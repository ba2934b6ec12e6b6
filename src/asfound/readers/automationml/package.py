"""The ``.amlx`` container: which part is the root document, and what else is in it.

It is an OPC container (ISO/IEC 29500-2). The root document is the target of the relationship of type ``RootDocument``
in ``_rels/.rels``; without one, the only ``.aml`` part is taken. Every other part is kept by its digest.
"""

from __future__ import annotations

import hashlib
from typing import NamedTuple

from asfound.model.problem import Problem
from asfound.model.program import Extension
from asfound.readers import xml
from asfound.readers.container import Part, is_container, parts

PLUMBING = ("[Content_Types].xml", "_rels/.rels")


class Document(NamedTuple):
    """The XML document of an export, and what came with it."""

    data: bytes
    extensions: tuple[Extension, ...] = ()


def is_package(data: bytes, suffix: str) -> bool:
    """Whether the bytes are a container that holds an AutomationML part, or claim so by their name."""
    return is_container(data) and (suffix == ".amlx" or b".aml" in data[-65536:])


def open_document(data: bytes, name: str) -> Document:
    """The document itself, or the root document of a container. Raises Problem when there is none."""
    if not is_container(data):
        return Document(data)
    found = {part.name: part for part in parts(data, name)}
    root = _root(found, name)
    others = (part for part in found.values() if part is not root and part.name not in PLUMBING)
    return Document(root.data, tuple(_kept(part) for part in others))


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
    return [
        str(child.get("Target", "")).lstrip("/")
        for child in root
        if str(child.get("Type", "")).rpartition("/")[2] == "RootDocument"
    ]


def _kept(part: Part) -> Extension:
    digest = hashlib.sha256(part.data).hexdigest()
    return Extension(path=f"part/{part.name}", text=f"{len(part.data)} bytes, sha256 {digest}")
