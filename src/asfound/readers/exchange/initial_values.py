"""Initial values of every shape, as IEC text."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.readers.residue import Residue
from asfound.readers.start import start_value
from asfound.readers.xml import Element, attribute, children, local


def initial_value(element: Element, type_name: str, residue: Residue) -> str:
    """Canonical text of ``initialValue``, read in place (see ``WRAPPERS`` of a residue); empty when there is none."""
    holder = next(children(element, residue.name("initialValue")), None)
    return "" if holder is None else _value(holder, type_name, residue)


def _value(holder: Element, type_name: str, residue: Residue) -> str:
    simple, listed, fields = (residue.name(word) for word in ("simpleValue", "arrayValue", "structValue"))
    for child in children(holder, simple, listed, fields):
        kind, values = local(child), children(child, residue.name("value"))
        if kind == simple:
            return start_value(attribute(child, "value"), type_name)
        if kind == listed:
            of = type_name.partition("] OF ")[2]
            return "[" + ", ".join(_repeated(value, of, place, residue) for place, value in enumerate(values, 1)) + "]"
        members = (f"{attribute(value, 'member')} := {_value(value, '', residue)}" for value in values)
        return "(" + ", ".join(members) + ")"
    return ""


def _repeated(value: Element, type_name: str, place: int, residue: Residue) -> str:
    """One value of a list; where something that matters is left in it, its place is noted beside."""
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name, residue)
    if any(_says_more(node, residue) for node in value.iter()):
        value.set("place", str(place))
    return f"{times}({text})" if times and times != "1" else text


def _says_more(node: Element, residue: Residue) -> bool:
    left = (str(name).rpartition("}")[2] for name in node.attrib)
    return bool((node.text or "").strip()) or any(not residue.is_noise(f"{local(node)}/@{name}") for name in left)
