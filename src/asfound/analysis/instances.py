"""How often the memory of a POU exists."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.analysis.symbols import Symbols
from asfound.language.types import type_words
from asfound.language.walk import every_pou
from asfound.model.program import Pou, VariableDeclaration

NO_MEMORY = frozenset(("external", "in_out"))
"""Sections that name a memory which is declared elsewhere."""


def single(symbols: Symbols, pou: Pou) -> bool:
    """Is there at most one memory of a program or function block? Where no instance is shown, a program runs once.

    >>> from asfound.readers.reading import read
    >>> text = "FUNCTION_BLOCK F END_FUNCTION_BLOCK PROGRAM P VAR {} : F; END_VAR END_PROGRAM"
    >>> plants = [Symbols(read(text.format(names).encode(), "p.st")) for names in ("a", "a, b")]
    >>> [single(plant, plant.pous["f"]) for plant in plants]
    [True, False]
    """
    name = pou.name.lower()
    if any(p.extends.lower() == name for p in symbols.copy.program.pous):
        return False
    if pou.kind == "program":
        instances = (i for r in symbols.copy.program.resources for i in r.instances)
        return sum((i.type or i.name).lower() == name for i in instances) < 2
    holders = [(v, owner) for v, owner in _declared(symbols) if name in type_words(v.type)]
    if pou.kind != "function_block" or len(holders) != 1:
        return False
    ((variable, owner),) = holders
    kept = variable.section != "temp" and variable.type.lower() == name
    return kept and (owner is None or single(symbols, owner))


def _declared(symbols: Symbols) -> Iterator[tuple[VariableDeclaration, Pou | None]]:
    """Every variable that is a memory of its own, with the POU that holds it; a type may be held anywhere."""
    program = symbols.copy.program
    for pou in every_pou(program.pous):
        yield from ((v, pou) for v in pou.variables if v.section not in NO_MEMORY)
    yield from ((v, None) for block in program.globals for v in block.variables)
    for type in symbols.types.values():
        yield from ((v, Pou(type.name, "interface")) for v in (*type.members, VariableDeclaration("", type.base)))
