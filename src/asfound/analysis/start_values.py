"""Which declarations set memory at an address when the controller starts, whether or not a statement uses them.

An output that is declared with TRUE is on until something writes it. What starts with zero is as good as not declared;
inputs are read over. Cost: the declarations of the types that are looked into.
Source: IEC 61131-3:2013 6.5.1.2 and table 13 (start values; a subrange starts with its lowest value), from memory.
"""

from __future__ import annotations

import re

from asfound.analysis.symbols import Symbols
from asfound.language.initials import initial_key
from asfound.language.literals import value
from asfound.model.program import VariableDeclaration

_ARRAY = re.compile(r"ARRAY\s*\[[^\]]*\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_SUBRANGE = re.compile(r"[^\W\d]\w*\s*\(\s*(.+?)\s*\.\.\s*.+\)", re.DOTALL)
_DEEPEST = 16


def sets_memory(symbols: Symbols, variable: VariableDeclaration, depth: int = 0) -> bool:
    """Does a declaration set an output or memory at an address to something other than zero?"""
    if variable.section == "external" or depth > _DEEPEST:
        return False
    if variable.address:
        inputs = variable.address.strip().upper().startswith("%I")
        return not inputs and starts(symbols, variable.type, variable.initial)
    block = symbols.pous.get(symbols.resolved(variable.type).lower())
    return block is not None and any(sets_memory(symbols, v, depth + 1) for v in block.variables)


def starts(symbols: Symbols, type: str, initial: str = "", depth: int = 0) -> bool:
    """Does a variable of a type start with something other than zero? Unknown types do not."""
    if initial:
        return not _zero(initial)
    array, subrange, known = _ARRAY.fullmatch(type), _SUBRANGE.fullmatch(type), symbols.types.get(type.lower())
    if array:
        return starts(symbols, array.group(1).strip(), depth=depth + 1)
    if subrange:
        return not _zero(subrange.group(1))
    if known is None or depth > _DEEPEST:
        return False
    if known.kind == "enum" and not known.initial:
        return any(not _zero(v.value) for v in known.values[:1] if v.value)
    if known.initial or known.kind not in ("struct", "union"):
        return starts(symbols, known.base, known.initial, depth + 1)
    return any(starts(symbols, m.type, m.initial, depth + 1) for m in known.members)


def _zero(initial: str) -> bool:
    kind, content = value(initial.strip())
    if kind in ("int", "real", "duration", "bool"):
        return not content
    return initial_key(initial) in ("string:''", "wstring:''")
