"""Initial values of every shape, as IEC text."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.readers.start import start_value
from asfound.readers.xml import Element, attribute, children, is_empty, local, take

SHAPES = ("SimpleValue", "ArrayValue", "StructValue")


def initial_value(element: Element, type_name: str) -> str:
    """Canonical text of ``InitialValue``, eaten; empty when there is none.

    What is not understood inside it goes back into the tree and so becomes an extension of the owner.
    """
    holder = take(element, "InitialValue")
    if holder is None:
        return ""
    text = _value(holder, type_name)
    if not is_empty(holder):
        element.append(holder)
    return text


def _value(holder: Element, type_name: str) -> str:
    """The value in a holder; what was understood is cut out of it."""
    for child in children(holder, *SHAPES):
        kind = local(child)
        if kind == "SimpleValue":
            text = start_value(attribute(child, "value"), type_name)
        elif kind == "ArrayValue":
            of = type_name.partition("] OF ")[2]
            text = "[" + ", ".join(_repeated(value, of) for value in children(child, "Value")) + "]"
        else:
            fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "Value"))
            text = "(" + ", ".join(fields) + ")"
        for value in [each for each in children(child, "Value") if is_empty(each)]:
            child.remove(value)
        if is_empty(child):
            holder.remove(child)
        return text
    return ""


def _repeated(value: Element, type_name: str) -> str:
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name)
    return f"{times}({text})" if times and times != "1" else text
