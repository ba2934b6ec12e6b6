"""Two names inside one POU that may be one variable, since one of them was passed by reference or is a reference.

A VAR_IN_OUT is a variable of the caller: another VAR_IN_OUT, or a global one that the body uses under its own name, may
be the same, or hold it as a member or an element. A reference may lead anywhere.
Cost: the declarations of one POU, and the members of a structure where types differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.analysis.symbols import Symbols
from asfound.model.program import Pou

_ARRAY = re.compile(r"ARRAY\s*\[[^\]]*\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_DEEPEST = 16


def may_be_one(symbols: Symbols, pou: Pou, names: tuple[str, str]) -> bool:
    """May two different folded names be one variable?"""
    variables = symbols.variables(pou)
    passed = [name for name in names if (v := variables.get(name)) is not None and v.section == "in_out"]
    local = symbols.locals_of(pou)
    types = [symbols.resolved(_type(symbols, name, local)) for name in names]
    if any(type.upper().startswith("REFERENCE TO ") for type in types):
        return True
    outside = [name for name in names if (v := variables.get(name)) is None or v.section in ("external", "in_out")]
    if not passed or len(outside) < 2 or any(n.startswith("_v") and n[2:].isdigit() for n in names):
        return False
    if any(name in local and variables.get(name) is None for name in names):
        return False
    return "" in types or _holds(symbols, types[0], types[1], 0) or _holds(symbols, types[1], types[0], 0)


def _type(symbols: Symbols, name: str, local: dict[str, str]) -> str:
    if name in local:
        return local[name]
    declared = symbols.globals.get(name) or symbols.tags.get(name)
    return declared.type if declared is not None else ""


def _holds(symbols: Symbols, whole: str, part: str, depth: int) -> bool:
    """Is a type the other one, or does it have a part of that type?"""
    if whole.lower() == part.lower():
        return True
    if depth > _DEEPEST:
        return True
    return any(_holds(symbols, symbols.resolved(type), part, depth + 1) for type in _parts(symbols, whole))


def _parts(symbols: Symbols, type: str) -> Iterator[str]:
    array = _ARRAY.fullmatch(type)
    if array:
        yield array.group(1).strip()
    yield from symbols.members.get(type.lower(), {}).values()
