"""What an element or interface is: the class or role it refers to."""

from __future__ import annotations

from asfound.readers import xml
from asfound.readers.xml import Element

_ROLE = (("SupportedRoleClass", "RefRoleClassPath"), ("RoleRequirements", "RefBaseRoleClassPath"))


def last(path: str) -> str:
    """Last segment of a class path."""
    return path.strip().rpartition("/")[2]


def role_of(element: Element) -> str:
    """The first role an element has, by the last segment of its path; the tree stays as it is."""
    for tag, attribute in _ROLE:
        for child in xml.children(element, tag):
            if child.get(attribute):
                return last(str(child.get(attribute)))
    return ""


def class_of(interface: Element) -> str:
    """Class of an interface, by the last segment of its path."""
    return last(str(interface.get("RefBaseClassPath", "")))
