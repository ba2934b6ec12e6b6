"""Pieces of declarations: words of modifiers, the text of a range and of a string type."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.readers.residue import flag
from asfound.readers.xml import Element, attribute

PARAMETERS = ("input", "output", "in_out")
ACCESS = {"readOnly": "READ_ONLY", "readWrite": "READ_WRITE"}
MODIFIERS = {"isAbstract": "ABSTRACT", "isFinal": "FINAL", "isOverride": "OVERRIDE"}


def modifiers(element: Element) -> tuple[str, ...]:
    """``FINAL``, ``PRIVATE`` and the like, sorted, from the attributes of a POU, taken."""
    access = attribute(element, "accessSpecifier").strip().upper()
    found = [word for name, word in MODIFIERS.items() if flag(element, name)]
    return tuple(sorted([*found, access] if access else found))


def range_text(element: Element) -> str:
    """``1..10`` from the bounds of a dimension or subrange, taken."""
    return f"{canonical(attribute(element, 'lower'))}..{canonical(attribute(element, 'upper'))}"


def string_text(element: Element, kind: str) -> str:
    """``STRING[20]``; the length is taken."""
    length = canonical(attribute(element, "length"))
    return kind.upper() + (f"[{length}]" if length else "")
