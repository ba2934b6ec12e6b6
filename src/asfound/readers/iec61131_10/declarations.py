"""Declarations: parameters and variables of a POU, and lists of globals."""

from __future__ import annotations

from asfound.language.addresses import canonical as canonical_address
from asfound.model.program import Extension, GlobalList, VariableDeclaration
from asfound.readers.exchange.declarations import ACCESS, PARAMETERS
from asfound.readers.exchange.initial_values import initial_value
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.plaintext import declaration_text
from asfound.readers.iec61131_10.residue import RESIDUE, documentation, numbered, rest
from asfound.readers.iec61131_10.types import type_text
from asfound.readers.residue import Unrecognised, flag, flat, said_of
from asfound.readers.xml import Element, attribute, local, take, take_all

SECTIONS = {
    "InputVars": "input",
    "OutputVars": "output",
    "InoutVars": "in_out",
    "Vars": "local",
    "TempVars": "temp",
    "ExternalVars": "external",
    "GlobalVars": "global",
    "AccessVars": "access",
    "ConfigVars": "config",
}
ORDERED = ("Function", "Method", "MethodPrototype")
"""A call of these without the names of the parameters depends on the order of all of them."""
VARIABLES = ("Variable", "AccessVariable", "ConfigVariable")

Declared = tuple[VariableDeclaration, ...]
Numbered = tuple[int | None, VariableDeclaration]


def variable(element: Element, section: str, common: dict[str, object] | None = None) -> VariableDeclaration:
    """One variable of a list, or member of a structure; ``common`` is what the list says for all of its variables."""
    path = attribute(element, "instancePathAndName").strip()
    name = attribute(element, "name") or attribute(element, "alias") or path
    holder = take(element, "Type")
    text, unrecognised = type_text(holder) if holder is not None else ("", ())
    initial = initial_value(element, text, RESIDUE)
    comment, unrecognised_comment = documentation(element)
    address, unrecognised_address = _address(element, path if path != name else "")
    given = dict(common or {})
    direction, specifier = attribute(element, "direction"), attribute(element, "accessSpecifier").strip()
    access = ACCESS.get(direction, direction) or specifier.upper()
    if access:
        given["access"] = access
    pragmas = pragmas_of(element)
    return VariableDeclaration(
        name=name,
        type=text,
        section=section,  # type: ignore[arg-type]
        address=address,
        initial=initial,
        comment=comment,
        pragmas=pragmas,
        extensions=flat((unrecognised, unrecognised_comment, unrecognised_address, rest(element))),
        **given,  # type: ignore[arg-type]
    )


def _address(element: Element, path: str) -> tuple[str, Unrecognised]:
    """Direct address, or the path that an access variable stands for; with both, the address is kept as an extension.

    A configuration variable is named by its path.
    """
    holder = take(element, "Address")
    text = canonical_address(attribute(holder, "address").strip()) if holder is not None else ""
    unrecognised = rest(holder) if holder is not None else ()
    if path and text:
        unrecognised = (*unrecognised, Extension(path="variable/@address", text=text))
    return path or text, unrecognised


def _common(element: Element) -> dict[str, object]:
    """What the attributes of a list say for each of its variables."""
    found: dict[str, object] = {}
    if flag(element, "constant"):
        found["constant"] = True
    if flag(element, "retain"):
        found["retain"] = "retain"  # nonretain besides would stay in the tree and so be seen
    elif flag(element, "nonretain"):
        found["retain"] = "non_retain"
    if flag(element, "persistent"):
        found["persistent"] = True
    access = attribute(element, "accessSpecifier").strip().upper()
    if access:
        found["access"] = access
    return found


def _listed(element: Element, section: str) -> tuple[list[Numbered], Unrecognised]:
    """The variables of a list with their place among the parameters, taken; and places given twice."""
    common = _common(element)
    found = take_all(element, *VARIABLES)
    places, unrecognised = numbered(found, "orderWithinParamSet")
    return [(place, variable(each, section, common)) for place, each in zip(places, found, strict=True)], unrecognised


def interface(element: Element) -> tuple[Declared, Unrecognised]:
    """Variables of a POU section after section, and what else its lists hold; the lists are taken.

    Several lists of one section are put together in order; their attributes are copied to each variable.
    """
    read: list[tuple[str, list[Numbered]]] = []
    unrecognised: list[Unrecognised] = []
    holders = take_all(element, "Parameters")
    groups = [group for holder in (*holders, element) for group in take_all(holder, *SECTIONS)]
    for group in groups:
        section = SECTIONS[local(group)]
        comment, unrecognised_comment = documentation(group)
        if comment:
            unrecognised_comment = (
                *unrecognised_comment,
                Extension(path=f"{local(group)}/Documentation", text=comment),
            )
        listed, unrecognised_places = _listed(group, section)
        read.append((section, listed))
        unrecognised.append(
            said_of(flat((unrecognised_comment, unrecognised_places, rest(group))), (v.name for _, v in listed))
        )
    unrecognised += [rest(holder) for holder in holders]
    sections = {name: [v for s, group in read if s == name for v in group] for name in SECTIONS.values()}
    ordered = [v for name, group in sections.items() for v in (_ordered(group) if name in PARAMETERS else group)]
    return tuple(v for _, v in ordered), flat(
        (*unrecognised, _interleaved(ordered) if local(element) in ORDERED else ())
    )


def _ordered(found: list[Numbered]) -> list[Numbered]:
    """Parameters of one section by their number, where all have one."""
    return sorted(found, key=lambda pair: pair[0] or 0) if all(n is not None for n, _ in found) else found


def _interleaved(found: list[Numbered]) -> Unrecognised:
    """The order of all parameters where it is not inputs, outputs, in-outs: a call without names depends on it."""
    given = [(number, v) for number, v in found if number is not None and v.section in PARAMETERS]
    ordered = sorted(given, key=lambda pair: pair[0])
    if ordered == given:
        return ()
    return (Extension(path="Parameters/order()", text=", ".join(v.name for _, v in ordered)),)


def global_list(element: Element, scope: str) -> GlobalList:
    """A ``GlobalVars``, ``AccessVars`` or ``ConfigVars`` block, consumed."""
    name, section = attribute(element, "name"), SECTIONS[local(element)]
    pragmas = pragmas_of(element)
    comment, unrecognised = documentation(element)
    listed, unrecognised_places = _listed(element, section)
    variables, more, plain = declaration_text(element, tuple(v for _, v in listed))
    return GlobalList(
        name=name,
        scope=scope,
        variables=variables,
        comment=comment,
        pragmas=tuple(sorted({*pragmas, *more})),
        extensions=flat((unrecognised, unrecognised_places, plain, rest(element))),
    )


def global_lists(element: Element, scope: str) -> list[GlobalList]:
    """All lists of globals directly below an element, taken."""
    return [global_list(each, scope) for each in take_all(element, "GlobalVars", "AccessVars", "ConfigVars")]
