"""Types: elementary and derived names, and types that are spelled out where they are used or declared.

The word in ``xsi:type`` tells what is spelled out (``ArrayTypeSpec``, ``EnumTypeWithNamedValueSpec`` ...). A word that
is not known here leaves the element in the tree, so that it becomes an extension.
"""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.language.types import canonical_type
from asfound.model.program import DataType, EnumValue, VariableDeclaration
from asfound.readers.exchange.declarations import range_text, string_text
from asfound.readers.exchange.initial_values import initial_value
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.spelled import spelled_enum, spelled_struct
from asfound.readers.iec61131_10.residue import RESIDUE, documentation, numbered, rest, take_kind
from asfound.readers.residue import Unrecognised, code, flat, hollow, kind_of
from asfound.readers.xml import Element, attribute, cut, local, take, take_all

SPECS = {
    "array": "array",
    "enum": "enum",
    "struct": "struct",
    "union": "union",
    "subrange": "subrange",
    "string": "string",
    "wstring": "wstring",
    "pointer": "pointer",
    "reference": "reference",
    "directlyderived": "alias",
    "alias": "alias",
}
"""``ArrayTypeSpec`` without its ending, lower case, and what it stands for."""
BASED = ("BaseType", "ReferencedType")


def spec_of(element: Element) -> str:
    """``array`` for ``xsi:type="ArrayTypeSpec"``; empty when the word is not known."""
    word = kind_of(element).lower()
    for ending in ("spec", "withnamedvalue", "type"):
        word = word.removesuffix(ending)
    return SPECS.get(word, "")


def type_text(holder: Element) -> tuple[str, Unrecognised]:
    """IEC text of the type inside ``Type``, ``BaseType``, ``ResultType``, which is consumed."""
    named = take(holder, "TypeName")
    text = ""
    unrecognised: Unrecognised = ()
    if named is not None:
        text, unrecognised = canonical_type(code(named)), hollow(named)
    else:
        spelled = next((e for e in holder if local(e) == "InstantlyDefinedType" and spec_of(e)), None)
        if spelled is not None:
            cut(spelled)
            text, unrecognised = _spelled(spelled)
    return text, flat((unrecognised, rest(holder)))


def _spelled(element: Element) -> tuple[str, Unrecognised]:
    kind = spec_of(element)
    take_kind(element)
    unrecognised: Unrecognised = ()
    if kind == "enum":
        values, base, unrecognised = _enumerators(element)
        text, said = spelled_enum(values, base)
        unrecognised = flat((unrecognised, said))
    elif kind in ("struct", "union"):
        text, unrecognised = spelled_struct(_members(element), kind.upper())
    else:
        text, unrecognised = _based(element, kind)
    return text, flat((unrecognised, rest(element)))


def _based(element: Element, kind: str) -> tuple[str, Unrecognised]:
    """A type that is made from another one."""
    if kind in ("string", "wstring"):
        return string_text(element, kind), ()
    of, unrecognised = _base(element)
    if kind == "array":
        ranges, unrecognised_ranges = _dimensions(element)
        return f"ARRAY[{', '.join(ranges)}] OF {of}", flat((unrecognised, unrecognised_ranges))
    if kind == "subrange":
        bounds = take(element, "Range")
        if bounds is None:
            return of, unrecognised
        return f"{of} ({range_text(bounds)})", flat((unrecognised, rest(bounds)))
    words = {"pointer": "POINTER TO ", "reference": "REF_TO "}
    return words.get(kind, "") + of, unrecognised


def _base(element: Element) -> tuple[str, Unrecognised]:
    holder = next((e for e in element if local(e) in BASED), None)
    if holder is None:
        return "", ()
    cut(holder)
    return type_text(holder)


def _dimensions(element: Element) -> tuple[list[str], Unrecognised]:
    """Ranges of an array in order of ``dimensionNumber``, else as they stand."""
    holders = take_all(element, "DimensionSpec", "Dimension")
    places, unrecognised = numbered(holders, "dimensionNumber")
    found = []
    for place, each in zip(places, holders, strict=True):
        bounds = take(each, "IndexRange")
        found.append((place or 0, range_text(each if bounds is None else bounds)))
        unrecognised = flat((unrecognised, rest(each), rest(bounds) if bounds is not None else ()))
    return [text for _, text in sorted(found, key=lambda pair: pair[0])], unrecognised


def _enumerators(element: Element) -> tuple[tuple[EnumValue, ...], str, Unrecognised]:
    """Values in order, the type they are based on, and what was unrecognised."""
    base, unrecognised = _base(element)
    values, rests = [], [unrecognised]
    for each in take_all(element, "Enumerator"):
        comment, unrecognised = documentation(each)
        inside = take(each, "Value")
        text = attribute(each, "value").strip()
        if inside is not None:
            text, unrecognised = code(inside).strip() or text, flat((unrecognised, hollow(inside)))
        values.append(EnumValue(name=attribute(each, "name"), value=canonical(text), comment=comment))
        rests += [unrecognised, rest(each)]
    return tuple(values), base, flat(rests)


def _members(element: Element) -> tuple[VariableDeclaration, ...]:
    from asfound.readers.iec61131_10.declarations import variable

    return tuple(variable(each, "member") for each in take_all(element, "Member", "Variable"))


def data_type(element: Element, namespace: str) -> DataType:
    """A ``DataTypeDecl``, consumed."""
    name = attribute(element, "name")
    kind, base, initial = "alias", "", ""
    members: tuple[VariableDeclaration, ...] = ()
    values: tuple[EnumValue, ...] = ()
    unrecognised: Unrecognised = ()
    spelled = next((e for e in element if local(e) == "UserDefinedTypeSpec" and spec_of(e)), None)
    if spelled is not None:
        cut(spelled)
        kind = spec_of(spelled)
        take_kind(spelled)
        initial = initial_value(spelled, "", RESIDUE)
        if kind == "enum":
            values, base, unrecognised = _enumerators(spelled)
        elif kind in ("struct", "union"):
            members = _members(spelled)
        else:
            base, unrecognised = _based(spelled, kind)
        unrecognised = flat((unrecognised, rest(spelled)))
        kind = kind if kind in ("enum", "struct", "union", "array", "subrange") else "alias"
    comment, unrecognised_comment = documentation(element)
    return DataType(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        base=base,
        members=members,
        values=values,
        initial=initial_value(element, base, RESIDUE) or initial,
        namespace=namespace,
        comment=comment,
        pragmas=pragmas_of(element),
        extensions=flat((unrecognised, unrecognised_comment, rest(element))),
    )
