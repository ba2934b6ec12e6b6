"""Declarations: variables of an interface, and lists of globals."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.language.addresses import canonical as canonical_address
from asfound.model.program import Extension, GlobalList, VariableDeclaration
from asfound.readers.exchange.declarations import ACCESS, PARAMETERS
from asfound.readers.exchange.initial_values import initial_value
from asfound.readers.extra.attribute_pragmas import pragmas_of
from asfound.readers.extra.plaintext import with_comment, written
from asfound.readers.residue import Unrecognised, flag, flat, said_of
from asfound.readers.tc6.residue import RESIDUE, documentation, rest
from asfound.readers.tc6.types import type_text
from asfound.readers.xml import Element, attribute, local, take, take_all

SECTIONS = {
    "inputVars": "input",
    "outputVars": "output",
    "inOutVars": "in_out",
    "localVars": "local",
    "tempVars": "temp",
    "externalVars": "external",
    "globalVars": "global",
    "accessVars": "access",
    "configVars": "config",
}

Declared = tuple[VariableDeclaration, ...]


def _variables(element: Element, section: str) -> tuple[Declared, Unrecognised]:
    """All variables of one list of an interface, and what else the list holds, under the names it is said of."""
    found, unrecognised = _listed(element, section)
    comment, unrecognised_comment = documentation(element)
    if comment:
        unrecognised_comment = (*unrecognised_comment, Extension(path=f"{local(element)}/documentation", text=comment))
    return found, said_of(flat((unrecognised, unrecognised_comment, rest(element))), (v.name for v in found))


def _listed(element: Element, section: str) -> tuple[Declared, Unrecognised]:
    """The variables of a list, taken; the attributes of the list count for each of them."""
    constant = flag(element, "constant")
    persistent, not_persistent = flag(element, "persistent"), flag(element, "nonpersistent")
    retain, not_retain = flag(element, "retain"), flag(element, "nonretain")
    unrecognised: Unrecognised = ()
    if retain and not_retain:
        unrecognised = (Extension(path=f"{local(element)}/@nonretain", text="true"),)
    if not_persistent:
        unrecognised = (*unrecognised, Extension(path=f"{local(element)}/@nonpersistent", text="true"))
    word = "retain" if retain else "non_retain" if not_retain else ""
    found = tuple(
        variable(each, section, constant=constant, retain=word, persistent=persistent)
        for each in take_all(element, "variable", "accessVariable", "configVariable")
    )
    return found, unrecognised


def variable(
    element: Element, section: str, *, constant: bool = False, retain: str = "", persistent: bool = False
) -> VariableDeclaration:
    """One ``variable`` of an interface, a global list or a structure.

    An access variable stands for what ``instancePathAndName`` names: it becomes the address. A configuration variable
    is named by it.
    """
    path = attribute(element, "instancePathAndName").strip()
    name = attribute(element, "name") or attribute(element, "alias") or path
    type_name, initial, unrecognised = _typed(element)
    comment, unrecognised_comment = documentation(element)
    address = canonical_address(attribute(element, "address").strip())
    if path and path != name:
        if address:
            unrecognised = (*unrecognised, Extension(path="variable/@address", text=address))
        address = path
    access = ACCESS.get(direction := attribute(element, "direction"))
    pragmas = pragmas_of(element)
    return VariableDeclaration(
        name=name,
        type=type_name,
        section=section,  # type: ignore[arg-type]
        address=address,
        initial=initial,
        constant=constant,
        retain=retain,  # type: ignore[arg-type]
        persistent=persistent,
        comment=comment,
        access=access or direction,
        pragmas=pragmas,
        extensions=flat((unrecognised, unrecognised_comment, rest(element))),
    )


def _typed(element: Element) -> tuple[str, str, Unrecognised]:
    """Type and initial value of a declaration, both as IEC text, and what was unrecognised about the type."""
    holder = take(element, "type")
    text, unrecognised = type_text(holder) if holder is not None else ("", ())
    return text, initial_value(element, text, RESIDUE), unrecognised


def global_list(element: Element, scope: str, section: str = "global") -> GlobalList:
    """A ``globalVars``, ``accessVars`` or ``configVars`` block."""
    name = attribute(element, "name")
    pragmas = pragmas_of(element)
    comment, unrecognised = documentation(element)
    listed, unrecognised_list = _listed(element, section)
    text = written(element, listed)
    return GlobalList(
        name=name,
        scope=scope,
        variables=text.variables,
        comment=with_comment(comment, text.comment),
        pragmas=tuple(sorted({*pragmas, *text.pragmas})),
        extensions=flat((unrecognised, unrecognised_list, text.extensions, rest(element))),
    )


def interface(element: Element | None) -> tuple[str, Declared, tuple[str, ...], str, Unrecognised]:
    """Result type, variables section after section, parameters as they are declared, comment, and leftovers.

    Several blocks of one section are put together in order: where a block is split says nothing, but its attributes
    (constant, retain, persistent) do and are copied to each variable.
    """
    if element is None:
        return "", (), (), "", ()
    comment, unrecognised_comment = documentation(element)
    holder = take(element, "returnType")
    result, unrecognised = type_text(holder) if holder is not None else ("", ())
    read = [(SECTIONS[local(each)], *_variables(each, SECTIONS[local(each)])) for each in take_all(element, *SECTIONS)]
    found = tuple(v for section in SECTIONS.values() for name, group, _ in read if name == section for v in group)
    order = tuple(v.name for section, group, _ in read if section in PARAMETERS for v in group)
    left = (unrecognised, unrecognised_comment, *(left for _, _, left in read), rest(element))
    return result, found, order, comment, flat(left)


def interleaved(variables: Iterable[VariableDeclaration], order: Sequence[str]) -> Unrecognised:
    """The order of all parameters where it is not inputs, outputs, in-outs: a call without names depends on it."""
    grouped = [v.name for v in variables if v.section in PARAMETERS]
    if grouped == list(order):
        return ()
    return (Extension(path="Parameters/order()", text=", ".join(order)),)
