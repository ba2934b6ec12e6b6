"""How often the memory of a POU exists, and whether it is retained as a whole."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.analysis.symbols import Symbols
from asfound.language.types import type_words
from asfound.language.walk import every_pou
from asfound.model.program import Instance, Pou, VariableDeclaration

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
    here: Pou | None = pou
    seen: set[str] = set()
    while here is not None:
        name = here.name.lower()
        if name in seen or any(p.extends.lower() == name for p in symbols.copy.program.pous):
            return False
        seen.add(name)
        if here.kind == "program":
            return len(_run(symbols, name)) < 2
        holders = [(v, owner) for v, owner in _declared(symbols) if name in type_words(v.type)]
        if here.kind != "function_block" or len(holders) != 1:
            return False
        ((variable, here),) = holders
        if variable.section == "temp" or variable.type.lower() != name:
            return False
    return True


def retained(symbols: Symbols, pou: Pou) -> bool:
    """Is a memory of a POU retained because what holds it is, whatever its variables say themselves?"""
    declared, waiting, seen = [*_declared(symbols)], [pou.name.lower()], set[str]()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        holders = [(v, owner) for v, owner in declared if name in type_words(v.type)]
        said = (e for i in _run(symbols, name) for e in i.extensions)
        if any(v.retain == "retain" or v.persistent for v, _ in holders) or any(e.text == "RETAIN" for e in said):
            return True
        waiting += [owner.name.lower() for _, owner in holders if owner is not None]
    return False


def _run(symbols: Symbols, name: str) -> list[Instance]:
    """The program instances of a folded name of a program."""
    instances = (i for r in symbols.copy.program.resources for i in r.instances)
    return [i for i in instances if (i.type or i.name).lower() == name]


def _declared(symbols: Symbols) -> Iterator[tuple[VariableDeclaration, Pou | None]]:
    """Every variable that is a memory of its own, with the POU that holds it; a type may be held anywhere."""
    program = symbols.copy.program
    for pou in every_pou(program.pous):
        yield from ((v, pou) for v in pou.variables if v.section not in NO_MEMORY)
    yield from ((v, None) for block in program.globals for v in block.variables)
    for type in symbols.types.values():
        yield from ((v, Pou(type.name, "interface")) for v in (*type.members, VariableDeclaration("", type.base)))
