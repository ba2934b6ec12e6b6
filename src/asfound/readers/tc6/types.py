"""Types: the text of a type where it is used, and the declarations of user types."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.language.types import canonical_type
from asfound.model.program import DataType, EnumValue, Extension, VariableDeclaration
from asfound.readers.exchange.declarations import range_text, string_text
from asfound.readers.exchange.initial_values import initial_value
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.plaintext import declared_text
from asfound.readers.extra.spelled import spelled_enum, spelled_struct
from asfound.readers.residue import Unrecognised, flat
from asfound.readers.tc6.residue import RESIDUE, documentation, rest
from asfound.readers.xml import Element, attribute, children, local, take, take_all
from asfound.readers.xml import canonical as canonical_xml

POINTERS = {"pointer": "POINTER TO", "reference": "REFERENCE TO"}
KINDS = {"array": "array", "subrangeSigned": "subrange", "subrangeUnsigned": "subrange"}


def type_text(holder: Element) -> tuple[str, Unrecognised]:
    """IEC text of the type inside ``type``, ``baseType``, ``returnType``; the type element is taken."""
    found = take_all(holder)
    if not found:
        return "", rest(holder)
    text, unrecognised = _type(found[0])
    return text, flat((unrecognised, _more(holder, found), rest(holder)))


def _more(holder: Element, found: list[Element]) -> Unrecognised:
    """Types after the first, of which there should be none."""
    return tuple(Extension(path=f"{local(holder)}/{local(extra)}", text=canonical_xml(extra)) for extra in found[1:])


def _type(element: Element) -> tuple[str, Unrecognised]:
    kind = local(element)
    unrecognised: Unrecognised = ()
    if kind == "derived":
        text = canonical_type(attribute(element, "name"))
    elif kind in ("string", "wstring"):
        text = string_text(element, kind)
    elif kind == "array":
        ranges, unrecognised_ranges = _dimensions(element)
        of, unrecognised = _base(element)
        text, unrecognised = f"ARRAY[{ranges}] OF {of}", (*unrecognised, *unrecognised_ranges)
    elif kind in POINTERS:
        of, unrecognised = _base(element)
        text = f"{POINTERS[kind]} {of}"
    elif kind in ("subrangeSigned", "subrangeUnsigned"):
        bounds = next(children(element, "range"), None)
        of, unrecognised = _base(element)
        text = f"{of} ({range_text(bounds) if bounds is not None else '..'})"
    elif kind == "enum":
        values, base, unrecognised = enum_values(element)
        text, said = spelled_enum(values, base)
        unrecognised = flat((unrecognised, said))
    elif kind in ("struct", "union"):
        text, unrecognised = spelled_struct(_members(element), kind.upper())
    else:
        text = canonical_type(kind)
    return text, flat((unrecognised, rest(element)))


def _dimensions(element: Element) -> tuple[str, Unrecognised]:
    """``1..4, 0..9`` and what else the dimensions carry, which is told apart by their number."""
    ranges, unrecognised = [], []
    for number, each in enumerate(take_all(element, "dimension"), 1):
        ranges.append(range_text(each))
        unrecognised += [Extension(path=f"{number}/{e.path}", text=e.text, name=e.name) for e in rest(each)]
    return ", ".join(ranges), tuple(unrecognised)


def _base(element: Element) -> tuple[str, Unrecognised]:
    base = take(element, "baseType")
    return ("", ()) if base is None else type_text(base)


def enum_values(element: Element) -> tuple[tuple[EnumValue, ...], str, Unrecognised]:
    """Values of an ``enum`` in order, the type it is based on (empty when it does not say), and the unrecognised."""
    base, unrecognised = _base(element)
    named: list[EnumValue] = []
    for value in (v for holder in children(element, "values") for v in take_all(holder, "value")):
        comment, more = documentation(value)
        name, number = attribute(value, "name"), canonical(attribute(value, "value"))
        named.append(EnumValue(name=name, value=number, comment=comment))
        left = flat((more, rest(value)))
        unrecognised = (*unrecognised, *(Extension(path=f"{name}/{e.path}", text=e.text, name=e.name) for e in left))
    return tuple(named), base, unrecognised


def _members(element: Element) -> tuple[VariableDeclaration, ...]:
    from asfound.readers.tc6.interface import variable

    return tuple(variable(each, "member") for each in take_all(element, "variable"))


def data_type(element: Element) -> DataType:
    """A ``dataType`` declaration."""
    name = attribute(element, "name")
    holder = take(element, "baseType")
    inner = take_all(holder) if holder is not None else []
    kind, base = "alias", ""
    unrecognised: Unrecognised = ()
    members: tuple[VariableDeclaration, ...] = ()
    values: tuple[EnumValue, ...] = ()
    for each in inner[:1]:
        word = local(each)
        if word == "enum":
            kind, (values, base, unrecognised) = "enum", enum_values(each)
            unrecognised = (*unrecognised, *rest(each))
        elif word in ("struct", "union"):
            kind, members, unrecognised = word, _members(each), rest(each)
        else:
            base, unrecognised = _type(each)
            kind = KINDS.get(word, "alias")
    if holder is not None:
        unrecognised = (*unrecognised, *_more(holder, inner), *rest(holder))
    plain = declared_text(element)
    comment, unrecognised_comment = documentation(element)
    return DataType(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        base=base,
        members=members,
        values=values,
        initial=initial_value(element, base, RESIDUE),
        comment=comment,
        pragmas=pragmas_of(element),
        extensions=flat((unrecognised, plain, unrecognised_comment, rest(element))),
    )
