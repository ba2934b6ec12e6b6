"""Initial values of every shape, as IEC text."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.readers.start import start_value
from asfound.readers.xml import Element, attribute, children, local

SHAPES = ("SimpleValue", "ArrayValue", "StructValue")


def initial_value(element: Element, type_name: str) -> str:
    """Canonical text of ``InitialValue``, read in place (see ``WRAPPERS`` in plate.py); empty when there is none."""
    holder = next(children(element, "InitialValue"), None)
    return "" if holder is None else _value(holder, type_name)


def _value(holder: Element, type_name: str) -> str:
    for child in children(holder, *SHAPES):
        kind = local(child)
        if kind == "SimpleValue":
            return start_value(attribute(child, "value"), type_name)
        if kind == "ArrayValue":
            of = type_name.partition("] OF ")[2]
            return "[" + ", ".join(_repeated(value, of) for value in children(child, "Value")) + "]"
        fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "Value"))
        return "(" + ", ".join(fields) + ")"
    return ""


def _repeated(value: Element, type_name: str) -> str:
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name)
    return f"{times}({text})" if times and times != "1" else text
