"""The residue of this format: what is left of its elements after reading (see readers.residue), and small helpers."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.model.program import Extension
from asfound.readers.iec61131_10.noise import NOISE
from asfound.readers.residue import TYPE, Residue, kind_of, whole_number
from asfound.readers.xml import Element

WRAPPERS = frozenset(
    {
        "AddData",
        "ConnectionPointIn",
        "ConnectionPointOut",
        "ConnectionPointOutAction",
        "InputVariables",
        "OutputVariables",
        "InoutVariables",
        "InputVariable",
        "InoutVariable",
        "OutputVariable",
        "Connection",
        "InitialValue",
        "SimpleValue",
        "ArrayValue",
        "StructValue",
        "Value",
    }
)
"""Elements that say nothing once they are empty.

They are read in place, not cut out: what their reading leaves in them is then found by the ``rest`` of their owner."""

COMMON = {
    **dict.fromkeys(("Program", "FunctionBlock", "Function"), "pou"),
    **{"GlobalNamespace": "types", "DataTypeDecl": "dataType", "UserDefinedTypeSpec": "struct", "Member": "variable"},
    **{"InoutVars": "inOutVars", "Vars": "localVars", "ProgramInstance": "pouInstance", "FileHeader": "fileHeader"},
    **dict.fromkeys(("MainBody", "Body", "BodyContent"), "body"),
}
"""Owners of extension data in the words of the older format, where only the case of a letter does not do it."""

RESIDUE = Residue(noise=NOISE, wrappers=WRAPPERS, capital=True, text_type="SimpleText", common=COMMON)
rest, documentation = RESIDUE.rest, RESIDUE.documentation


def take_kind(element: Element, *known: str) -> str:
    """As :func:`kind_of`; the attribute is taken when its word is one of the known ones (or when any will do)."""
    word = kind_of(element)
    if (not known or word in known) and TYPE in element.attrib:
        del element.attrib[TYPE]
    return word


def numbered(elements: Sequence[Element], name: str) -> tuple[list[int | None], tuple[Extension, ...]]:
    """Places that the members of a list name in an attribute, taken; a word that is no number stays in the tree.

    Two members with one number are told by an extension: which of them comes first is not known then.
    """
    found: list[int | None] = []
    for each in elements:
        place = whole_number(str(each.get(name, "")))
        if place is not None:
            del each.attrib[name]
        found.append(place)
    doubled = sorted({n for n in found if n is not None and found.count(n) > 1})
    return found, tuple(Extension(path=f"@{name}", text=f"{n} is given more than once") for n in doubled)
