"""Two names inside one POU that may be one variable, since one of them was passed by reference or is a reference.

A VAR_IN_OUT is a variable of the caller: another VAR_IN_OUT, or a global one that the body uses under its own name, may
be the same, or hold it as a member or an element. A reference may lead anywhere.
Cost: the declarations of one POU, and the members of a structure where types differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from asfound.analysis.symbols import Symbols
from asfound.language.elementary import ELEMENTARY
from asfound.language.standard import block
from asfound.model.program import Pou

_ARRAY = re.compile(r"ARRAY\s*\[[^\]]*\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_DEEPEST = 16
_WAYS = frozenset(("POINTER", "REF_TO", "REFERENCE"))
"""What leads somewhere is none of the things it leads to."""


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
    return may_share(symbols, types[0], types[1])


def may_share(symbols: Symbols, one: str, other: str) -> bool:
    """May variables of two types be one, or one a part of the other? A type that no export declares may be anything."""
    types = symbols.resolved(one), symbols.resolved(other)
    if types[0].lower() == types[1].lower() or any(_unseen(symbols, type) for type in types):
        return True
    return _holds(symbols, types[0], types[1], 0) or _holds(symbols, types[1], types[0], 0)


def _unseen(symbols: Symbols, type: str) -> bool:
    while array := _ARRAY.fullmatch(type):
        type = symbols.resolved(array.group(1).strip())
    word = re.split(r"[\s(\[]", type.strip())[0]
    if word.upper() in ELEMENTARY or word.upper() in _WAYS:
        return False
    return block(word) is None and word.lower() not in symbols.types and word.lower() not in symbols.pous


def _type(symbols: Symbols, name: str, local: dict[str, str]) -> str:
    if name in local:
        return local[name]
    declared = symbols.globals.get(name) or symbols.tags.get(name)
    return declared.type if declared is not None else ""


def _holds(symbols: Symbols, whole: str, part: str, depth: int) -> bool:
    """Is a type the other one, or does it have a part of that type?"""
    if whole.lower() == part.lower():
        return True
    if depth > _DEEPEST or (depth and _unseen(symbols, whole)):
        return True
    return any(_holds(symbols, symbols.resolved(type), part, depth + 1) for type in _parts(symbols, whole))


def _parts(symbols: Symbols, type: str) -> Iterator[str]:
    array = _ARRAY.fullmatch(type)
    if array:
        yield array.group(1).strip()
    yield from symbols.members.get(type.lower(), {}).values()
