"""Does a variable act the same in the memory of its POU and as a global one?

It does when the memory is one and the same in both: at a stated address, or a constant; else where exactly one
instance of the POU runs, keeps its memory from call to call and is not retained as a whole, and the global one is new
and nothing else writes it. And when nobody else meant something else by the name, or reached the variable through its
instance.
Known weakness: what other stations and screens write is in no export.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from asfound.analysis.argument_passing import by_reference
from asfound.analysis.instances import retained, single
from asfound.analysis.leaves import Leaf, declared_leaves
from asfound.analysis.mod_ref import ModRef
from asfound.analysis.symbols import Symbols, inner_names
from asfound.analysis.where_used import Users, declared_uses, names_of
from asfound.compare.result import Edit
from asfound.compare.wording.phrases import edit
from asfound.language.walk import targets
from asfound.model.program import Pou, VariableDeclaration


class Sides(NamedTuple):
    """What has to be known of one copy."""

    symbols: Symbols
    users: Users
    mod_ref: ModRef

    @classmethod
    def of(cls, symbols: Symbols) -> Sides:
        """The same for the copy that is looked up here."""
        return cls(symbols, Users(symbols), ModRef(symbols))


def reasons(pou: str, v: VariableDeclaration, here: Sides, there: Sides, movers: frozenset[str]) -> Iterator[Edit]:
    """Why the variable of a POU (folded name), local ``here`` and global ``there``, may act differently.

    ``movers`` are all POUs whose variable of this name moved.
    """
    name = v.name.lower()
    if name not in here.symbols.globals:
        yield from (edit("named elsewhere", new=at, of=v.name) for at in _elsewhere(here, name, movers))
    for side in (here, there):
        yield from (edit("reached through", new=at, of=v.name) for at in side.users.of_member(pou, v.name))
        yield from (edit("reached through", new=at, of=v.name) for at in _paths(side.symbols, name))
    if v.constant or (v.address and not v.address.endswith("*")):
        return
    declared = here.symbols.pous[pou], there.symbols.pous[pou]
    if v.section == "temp" or any(p.kind not in ("program", "function_block") for p in declared):
        yield edit("new at each call")
        return
    if not all(single(side.symbols, p) for side, p in zip((here, there), declared, strict=True)):
        yield edit("several instances", of=declared[0].name)
    if not v.retain and not v.persistent and retained(here.symbols, declared[0]):
        yield edit("retained instance", of=declared[0].name)
    for side in (here, there):
        yield from (edit("written elsewhere", new=at, of=v.name) for at in _writers(side, name, pou))
    if name in here.symbols.globals:
        yield edit("another", of=v.name)


def _outside(side: Sides, name: str, without: frozenset[str]) -> Iterator[tuple[Leaf, Pou]]:
    """Leaves of other POUs that use the global variable of a name."""
    for pou in side.symbols.copy.program.pous:
        if pou.name.lower() not in without and name not in inner_names(pou):
            for leaf, inside in declared_leaves(pou):
                if name in names_of(leaf, side.symbols.lists) and name not in inner_names(inside):
                    yield leaf, inside


def _elsewhere(side: Sides, name: str, movers: frozenset[str]) -> Iterator[str]:
    """Places at which a name is used, or declared as external, though no global variable has it."""
    program = side.symbols.copy.program
    for pou in program.pous:
        if pou.name.lower() not in movers:
            external = any(v.section == "external" and v.name.lower() == name for v in pou.variables)
            yield from (pou.name for _ in range(external))
            yield from declared_uses(pou.variables, pou.name).get(name, ()) if name not in inner_names(pou) else ()
    yield from dict.fromkeys(leaf.place.where for leaf, _ in _outside(side, name, movers))


def _writers(side: Sides, name: str, pou: str) -> Iterator[str]:
    """Places in other POUs that may write the global variable of a name."""
    found: dict[str, None] = {}
    for leaf, inside in _outside(side, name, frozenset((pou,))):
        local = side.symbols.locals_of(inside)
        passed = list(side.mod_ref.passing.passed(leaf.statement, inside))
        given = [*by_reference(passed), *(p.argument.value for p in passed if p.how == "unknown")]
        if name in {side.mod_ref.root(e, local) for e in (*targets(leaf.statement), *given)}:
            found[leaf.place.where] = None
    yield from found


def _paths(symbols: Symbols, name: str) -> Iterator[str]:
    """Access and configuration paths that end at a variable of this name."""
    for block in symbols.copy.program.globals:
        for v in block.variables:
            paths = (v.name, v.address) if v.section in ("access", "config") else ()
            if any(path.lower().split(".")[1:][-1:] == [name] for path in paths):
                yield v.name
