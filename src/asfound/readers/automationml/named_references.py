"""Names instead of object ids: every element gets a path of names, and every reference by id is rewritten to it.

After :func:`forget_ids` no id is left in the tree, so that nothing kept verbatim changes when a tool numbers its
objects anew. Cost: linear. Weakness: two elements of one name and parent are told apart by position, then by order.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from asfound.readers import xml
from asfound.readers.automationml.roles import role_of
from asfound.readers.xml import Element

_GUID = re.compile(r"\{?[0-9A-Fa-f]{8}(?:-[0-9A-Fa-f]{4}){3}-[0-9A-Fa-f]{12}\}?")


class Names:
    """Where everything is. ``twice`` lists ids that two elements have, by path, sorted.

    Links must be resolved with it before :func:`forget_ids` takes the ids away.
    """

    def __init__(self, root: Element) -> None:
        self.paths: dict[Element, str] = {}
        self.plain: dict[str, Element] = {}
        self.by_id: dict[str, Element] = {}
        self.twice: list[str] = []
        self._top = ""
        self._walk(root, "", "")
        self._number(root)

    def path(self, element: Element) -> str:
        """Path of names below the project, or below the instance hierarchy; neither of them is named in it.

        So a project with another title, which changes nothing in the plant, leaves all paths as they are.
        """
        return self.paths.get(element, "")

    def _walk(self, parent: Element, path: str, plain: str) -> None:
        members = [child for child in parent if child.get("Name") is not None and xml.local(child) != "Attribute"]
        for child, label in _labels(members):
            top = xml.local(child) == "InstanceHierarchy"
            self._top = str(child.get("Name", "")) if top else self._top
            here = "" if top else f"{path}/{label}" if path else label
            self.paths[child] = here
            raw = str(child.get("Name", ""))
            full = f"{plain}/{raw}" if plain else raw
            self.plain.setdefault(full, child)
            if not top and plain:  # a path may start below the hierarchy, whose name is the first step
                self.plain.setdefault(full.removeprefix(f"{self._top}/"), child)
            self._walk(child, "" if is_project(child, members) else here, full)

    def _number(self, root: Element) -> None:
        for element in root.iter("*"):
            identity = element.get("ID")
            if identity is None:
                continue
            key = fold(str(identity))
            if self.by_id.setdefault(key, element) is not element:
                self.twice.append(self.path(element) or xml.local(element))
        self.twice.sort()

    def find(self, reference: str) -> Element | None:
        """The element a reference means: an id, or a path with or without the name of the hierarchy."""
        found = self.by_id.get(fold(reference))
        if found is not None:
            return found
        plain = "/".join(step.strip("[]") for step in reference.split("/"))
        return self.plain.get(plain)


def is_project(element: Element, siblings: list[Element]) -> bool:
    """Whether an element is the project around everything else in its hierarchy."""
    return len(siblings) == 1 and role_of(element) == "AutomationProject"


def fold(identity: str) -> str:
    """An id without braces and case (``{0F..}`` and ``0f..`` are one GUID)."""
    return identity.strip().strip("{}").lower()


def _labels(members: list[Element]) -> Iterator[tuple[Element, str]]:
    counts = Counter(str(child.get("Name", "")) for child in members)
    seen: Counter[str] = Counter()
    for child in sorted(members, key=_position):
        name = str(child.get("Name", ""))
        seen[name] += 1
        yield child, name if counts[name] == 1 else f"{name}[{seen[name]}]"


def _position(element: Element) -> int:
    for child in element:
        if xml.local(child) == "Attribute" and child.get("Name") == "PositionNumber":
            text = "".join(str(part) for part in child.itertext()).strip()
            if re.fullmatch(r"[0-9]{1,9}", text):
                return int(text)
    return -1


def forget_ids(root: Element, names: Names) -> None:
    """Take all ids out of the tree and write the path of names where a known id is referred to."""

    def named(match: re.Match[str]) -> str:
        target = names.by_id.get(fold(match[0]))
        return match[0] if target is None else names.path(target) or match[0]

    for element in root.iter("*"):
        element.attrib.pop("ID", "")
        for key, value in element.attrib.items():
            text = str(value)
            if str(key).startswith("Ref") and fold(text) in names.by_id:
                element.attrib[key] = names.path(names.by_id[fold(text)]) or text
            elif "-" in text:
                element.attrib[key] = _GUID.sub(named, text)
        if element.text and "-" in element.text:
            element.text = _GUID.sub(named, element.text)
