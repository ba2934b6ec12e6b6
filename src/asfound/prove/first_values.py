"""What a Boolean memory holds when the program starts, as its declaration says; None where that is not known.

Only what one body alone has is asked for. Whatever keeps its value over a start (retained, persistent, at an address)
is not known, and nothing is known of an array, of a type that may have a start value of its own (an alias), or of an
instance with values of its own.
Source: IEC 61131-3:2013 6.5.1.2 (start values), from memory.
"""

from __future__ import annotations

from asfound.language.literals import canonical
from asfound.model.program import Pou, VariableDeclaration
from asfound.prove.proof_side import Side
from asfound.prove.standard_blocks import standard

_KEPT = ("local", "input", "output")
"""Sections of a block whose variables are memory of the instance."""


def first_value(key: str, alone: frozenset[str], side: Side) -> bool | None:
    """The value of ``h`` or ``h.in.q`` (folded), where ``h`` is one of the names that this side ``alone`` has."""
    root, *members = key.split(".")
    declared = side.variables(side.pou).get(root)
    if root not in alone or "[" in key or declared is None or declared.section != "local":
        return None
    for name in members:
        if declared.initial or _outlasts(declared):
            return None
        inside = _block(declared.type, side)
        if name.startswith("_") and inside is standard(declared.type) is not None:
            return False  # memories of the standard's blocks
        found = side.variables(inside).get(name)
        if found is None or found.section not in _KEPT:
            return None
        declared = found
    return None if _outlasts(declared) else _truth(declared)


def _outlasts(variable: VariableDeclaration) -> bool:
    return variable.persistent or variable.retain == "retain" or bool(variable.address)


def _block(type: str, side: Side) -> Pou | None:
    """The block of a type, not of an alias; what the export declares is never the standard's."""
    found = standard(type) if side.symbols.block(type) else side.symbols.pous.get(type.lower())
    return found if found is not None and found.kind == "function_block" and not found.extends else None


def _truth(variable: VariableDeclaration) -> bool | None:
    if variable.type.upper() != "BOOL":
        return None
    return {"": False, "FALSE": False, "TRUE": True}.get(variable.initial and canonical(variable.initial, "BOOL"))
