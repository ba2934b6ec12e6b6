"""Initial values of every shape, as IEC text."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.readers.start import start_value
from asfound.readers.xml import Element, attribute, children, local


def initial_value(element: Element, type_name: str) -> str:
    """Canonical text of ``initialValue``, read in place; empty when there is none."""
    holder = next(children(element, "initialValue"), None)
    return "" if holder is None else _value(holder, type_name)


def _value(holder: Element, type_name: str) -> str:
    for child in children(holder, "simpleValue", "arrayValue", "structValue"):
        kind = local(child)
        if kind == "simpleValue":
            return start_value(attribute(child, "value"), type_name)
        if kind == "arrayValue":
            element_type = type_name.partition("] OF ")[2]
            values = enumerate(children(child, "value"), 1)
            return "[" + ", ".join(_repeated(value, element_type, place) for place, value in values) + "]"
        fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "value"))
        return "(" + ", ".join(fields) + ")"
    return ""


def _repeated(value: Element, type_name: str, place: int) -> str:
    """One value of a list; where something is left in it, its place is noted beside."""
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name)
    if any(node.attrib or (node.text or "").strip() for node in value.iter()):
        value.set("place", str(place))
    return f"{times}({text})" if times and times != "1" else text
