"""What an element or interface is: the class or role it refers to."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.readers import xml
from asfound.readers.xml import Element

_ROLE = (("SupportedRoleClass", "RefRoleClassPath"), ("RoleRequirements", "RefBaseRoleClassPath"))


def last(path: str) -> str:
    """Last segment of a class path."""
    return path.strip().rpartition("/")[2]


KNOWN = (
    "AutomationProject", "DeviceUserFolder", "Device", "DeviceItem", "CommunicationInterface", "CommunicationPort",
    "Node", "Subnet", "IoSystem", "TagTable", "ComplexTag",
)  # fmt: skip
"""Roles that say what an element is. Any other role beside one of them only adds to it, wherever it is written."""


def ranked(roles: Iterable[str]) -> list[str]:
    """Roles of one element, the one that says what it is first; their order in the file means nothing.

    >>> ranked(["Redundant", "DeviceItem", "Cooled"])
    ['DeviceItem', 'Cooled', 'Redundant']
    """
    return sorted(roles, key=lambda role: (KNOWN.index(role) if role in KNOWN else len(KNOWN), role))


def role_of(element: Element) -> str:
    """The role that says what an element is, by the last segment of its path; the tree stays as it is."""
    found = [
        last(str(child.get(attribute)))
        for tag, attribute in _ROLE
        for child in xml.children(element, tag)
        if child.get(attribute)
    ]
    return ranked(found)[0] if found else ""


def class_of(interface: Element) -> str:
    """Class of an interface, by the last segment of its path."""
    return last(str(interface.get("RefBaseClassPath", "")))
