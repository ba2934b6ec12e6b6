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
            return "[" + ", ".join(_repeated(value, element_type) for value in children(child, "value")) + "]"
        fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "value"))
        return "(" + ", ".join(fields) + ")"
    return ""


def _repeated(value: Element, type_name: str) -> str:
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name)
    return f"{times}({text})" if times and times != "1" else text
