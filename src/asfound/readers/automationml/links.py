"""Internal links: which channel has which tag, which node is on which network, which interface in which I/O system.

The sides of a link, its name and the place where it is written mean nothing. A link that is none of the three kinds
is kept as text (``Link`` among the settings of the hardware), and so is one whose partner is missing, with a finding.
"""

from __future__ import annotations

import re
from collections import Counter
from typing import NamedTuple

from asfound.model.copy import Finding
from asfound.model.program import Extension, Setting
from asfound.readers import xml
from asfound.readers.automationml.attributes import unseen
from asfound.readers.automationml.named_references import Names
from asfound.readers.automationml.roles import class_of, role_of
from asfound.readers.xml import Element

_SIDES = ("RefPartnerSideA", "RefPartnerSideB")


class Resolved(NamedTuple):
    """What the links say. ``tags``: channel -> tag names; ``networks``: node -> subnets; ``systems``: owner -> I/O
    systems; ``used`` are the interfaces whose link is told by one of these."""

    tags: dict[Element, list[str]]
    networks: dict[Element, list[str]]
    systems: dict[Element, list[str]]
    used: frozenset[Element]
    settings: tuple[Setting, ...]
    extensions: tuple[Extension, ...]
    findings: tuple[Finding, ...]


def tag_name(interface: Element) -> str:
    """Name of a tag; a member of a structured tag is ``Structure.Member``."""
    owner, name = interface.getparent(), str(interface.get("Name", ""))
    if owner is not None and role_of(owner) == "ComplexTag":
        return f"{owner.get('Name', '')}.{name}"
    return name


def resolve(root: Element, names: Names, where: str) -> Resolved:
    """Take all links out of the instance hierarchies and say what they connect."""
    found = Resolved({}, {}, {}, frozenset(), (), (), ())
    labels = _Labels(root, names)
    used: set[Element] = set()
    settings: list[Setting] = []
    extensions: list[Extension] = []
    findings: list[Finding] = []
    for hierarchy in xml.children(root, "InstanceHierarchy"):
        for link in [e for e in hierarchy.iter("*") if xml.local(e) == "InternalLink"]:
            xml.cut(link)
            texts = [xml.attribute(link, side) for side in _SIDES]
            title = xml.attribute(link, "Name")
            xml.attribute(link, "ID")
            extensions += unseen(link, "InternalLink")
            ends = [_end(text, names) for text in texts]
            for text, end in zip(texts, ends, strict=True):
                if end is None:
                    told = f"the link '{title}' ends at '{text}', which is not in this file"
                    findings.append(Finding("warning", where, told))
            a, b = ends
            if a is not None and b is not None and _tell(found, labels, a, b):
                used |= {a, b}
                if not _several(a, b):
                    continue
            settings.append(Setting("Link", " - ".join(sorted(map(labels.end, texts, ends)))))
    settings.sort(key=lambda s: s.value)
    findings.sort(key=lambda f: f.text)
    extensions.sort(key=lambda e: (e.path, e.text))
    return found._replace(
        used=frozenset(used), settings=tuple(settings), extensions=tuple(extensions), findings=tuple(findings)
    )


class _Labels:
    """Names for the ends of links, with their path where the bare name would be ambiguous."""

    def __init__(self, root: Element, names: Names) -> None:
        self.names = names
        tags: Counter[str] = Counter()
        networks: Counter[str] = Counter()
        for element in root.iter("*"):
            kind = xml.local(element)
            if kind == "ExternalInterface" and class_of(element) == "Tag":
                tags[tag_name(element).lower()] += 1
            elif kind == "InternalElement" and role_of(element) in ("Subnet", "IoSystem"):
                networks[str(element.get("Name", "")).lower()] += 1
        self.tags, self.networks = tags, networks

    def tag(self, interface: Element) -> str:
        name = tag_name(interface)
        return name if self.tags[name.lower()] == 1 else self.names.path(interface)

    def network(self, element: Element) -> str:
        name = str(element.get("Name", ""))
        return name if self.networks[name.lower()] == 1 else self.names.path(element)

    def end(self, text: str, element: Element | None) -> str:
        if element is None:
            return text
        owner = element.getparent()
        return f"{self.names.path(owner) if owner is not None else ''}:{element.get('Name', '')}"


def _end(text: str, names: Names) -> Element | None:
    """The interface that one side of a link means: ``id:Interface``, ``path:Interface``, or the interface's own id."""
    direct = names.find(text)
    if direct is not None and xml.local(direct) == "ExternalInterface":
        return direct
    for colon in re.finditer(":", text):
        owner = names.find(text[: colon.start()])
        if owner is None:
            continue
        name = text[colon.end() :]
        for child in xml.children(owner, "ExternalInterface"):
            if child.get("Name") == name:
                return child
    return None


def _tell(found: Resolved, labels: _Labels, a: Element, b: Element) -> bool:
    """File a link under the one kind it is of; False when it is of none."""
    for this, other in ((a, b), (b, a)):
        owner, partner = this.getparent(), other.getparent()
        if owner is None or partner is None:
            continue
        if class_of(this) == "Channel" and class_of(other) == "Tag":
            found.tags.setdefault(this, []).append(labels.tag(other))
            return True
        role, goal = role_of(owner), role_of(partner)
        if role == "Node" and goal == "Subnet":
            found.networks.setdefault(owner, []).append(labels.network(partner))
            return True
        if goal == "IoSystem" and role not in ("Subnet", "IoSystem"):
            found.systems.setdefault(owner, []).append(labels.network(partner))
            return True
    return False


def _several(a: Element, b: Element) -> bool:
    """Whether an owner has several interfaces beside channels and tags, so that its name alone would not tell which."""
    for end in (a, b):
        owner = end.getparent()
        if class_of(end) in ("Channel", "Tag") or owner is None:
            continue
        others = [i for i in xml.children(owner, "ExternalInterface") if class_of(i) not in ("Channel", "Tag")]
        if len(others) > 1:
            return True
    return False
