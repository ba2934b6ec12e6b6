"""Types: the text of a type where it is used, and the declarations of user types."""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.language.types import canonical_type
from asfound.model.program import DataType, EnumValue, Extension, VariableDeclaration
from asfound.readers.exchange.declarations import range_text, string_text
from asfound.readers.exchange.values import initial_value
from asfound.readers.extra.attributes import pragmas_of
from asfound.readers.extra.plaintext import declared_text
from asfound.readers.extra.spelled import spelled_enum, spelled_struct
from asfound.readers.residue import Odd, flat
from asfound.readers.tc6.plate import PLATE, documentation, rest
from asfound.readers.xml import Element, attribute, children, local, take, take_all
from asfound.readers.xml import canonical as canonical_xml

POINTERS = {"pointer": "POINTER TO", "reference": "REFERENCE TO"}
KINDS = {"array": "array", "subrangeSigned": "subrange", "subrangeUnsigned": "subrange"}


def type_text(holder: Element) -> tuple[str, Odd]:
    """IEC text of the type inside ``type``, ``baseType``, ``returnType``; the type element is taken."""
    found = take_all(holder)
    if not found:
        return "", rest(holder)
    text, odd = _type(found[0])
    return text, flat((odd, _more(holder, found), rest(holder)))


def _more(holder: Element, found: list[Element]) -> Odd:
    """Types after the first, of which there should be none."""
    return tuple(Extension(path=f"{local(holder)}/{local(extra)}", text=canonical_xml(extra)) for extra in found[1:])


def _type(element: Element) -> tuple[str, Odd]:
    kind = local(element)
    odd: Odd = ()
    if kind == "derived":
        text = canonical_type(attribute(element, "name"))
    elif kind in ("string", "wstring"):
        text = string_text(element, kind)
    elif kind == "array":
        ranges, odd_ranges = _dimensions(element)
        of, odd = _base(element)
        text, odd = f"ARRAY[{ranges}] OF {of}", (*odd, *odd_ranges)
    elif kind in POINTERS:
        of, odd = _base(element)
        text = f"{POINTERS[kind]} {of}"
    elif kind in ("subrangeSigned", "subrangeUnsigned"):
        bounds = next(children(element, "range"), None)
        of, odd = _base(element)
        text = f"{of} ({range_text(bounds) if bounds is not None else '..'})"
    elif kind == "enum":
        values, base, odd = enum_values(element)
        text, said = spelled_enum(values, base)
        odd = flat((odd, said))
    elif kind in ("struct", "union"):
        text, odd = spelled_struct(_members(element), kind.upper())
    else:
        text = canonical_type(kind)
    return text, flat((odd, rest(element)))


def _dimensions(element: Element) -> tuple[str, Odd]:
    """``1..4, 0..9`` and what else the dimensions carry, which is told apart by their number."""
    ranges, odd = [], []
    for number, each in enumerate(take_all(element, "dimension"), 1):
        ranges.append(range_text(each))
        odd += [Extension(path=f"{number}/{e.path}", text=e.text, name=e.name) for e in rest(each)]
    return ", ".join(ranges), tuple(odd)


def _base(element: Element) -> tuple[str, Odd]:
    base = take(element, "baseType")
    return ("", ()) if base is None else type_text(base)


def enum_values(element: Element) -> tuple[tuple[EnumValue, ...], str, Odd]:
    """Values of an ``enum`` in order, the type it is based on (empty when it does not say), and what was odd."""
    base, odd = _base(element)
    named: list[EnumValue] = []
    for value in (v for holder in children(element, "values") for v in take_all(holder, "value")):
        comment, more = documentation(value)
        name, number = attribute(value, "name"), canonical(attribute(value, "value"))
        named.append(EnumValue(name=name, value=number, comment=comment))
        left = flat((more, rest(value)))
        odd = (*odd, *(Extension(path=f"{name}/{e.path}", text=e.text, name=e.name) for e in left))
    return tuple(named), base, odd


def _members(element: Element) -> tuple[VariableDeclaration, ...]:
    from asfound.readers.tc6.interface import variable

    return tuple(variable(each, "member") for each in take_all(element, "variable"))


def data_type(element: Element) -> DataType:
    """A ``dataType`` declaration."""
    name = attribute(element, "name")
    holder = take(element, "baseType")
    inner = take_all(holder) if holder is not None else []
    kind, base = "alias", ""
    odd: Odd = ()
    members: tuple[VariableDeclaration, ...] = ()
    values: tuple[EnumValue, ...] = ()
    for each in inner[:1]:
        word = local(each)
        if word == "enum":
            kind, (values, base, odd) = "enum", enum_values(each)
            odd = (*odd, *rest(each))
        elif word in ("struct", "union"):
            kind, members, odd = word, _members(each), rest(each)
        else:
            base, odd = _type(each)
            kind = KINDS.get(word, "alias")
    if holder is not None:
        odd = (*odd, *_more(holder, inner), *rest(holder))
    plain = declared_text(element)
    comment, odd_comment = documentation(element)
    return DataType(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        base=base,
        members=members,
        values=values,
        initial=initial_value(element, base, PLATE),
        comment=comment,
        pragmas=pragmas_of(element),
        extensions=flat((odd, plain, odd_comment, rest(element))),
    )
