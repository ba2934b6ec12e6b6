"""Variables that were local in a POU and are global now, or the other way round.

A variable has moved when a POU declares it on one side, and on the other side uses the global one of that name (by an
external declaration or without any). The old copy is compared as if it had declared it there already (see apply), so
that only what really differs is told besides: an address, a type, an initial value. Local ones that take part in no
rename keep their names. Cost: linear in the declarations; nothing is walked where no variable has moved.
Known weakness: a variable that got another name on its way is told as removed and added; so is one that became a tag.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from asfound.analysis.leaves import leaves
from asfound.analysis.places import list_name
from asfound.analysis.symbols import Symbols, inner_names
from asfound.analysis.where_used import names_of
from asfound.compare.result import Edit
from asfound.compare.scopes.effect import Sides, reasons
from asfound.language.walk import walk
from asfound.model.copy import Copy
from asfound.model.logic import Member, Variable
from asfound.model.program import GlobalList, Pou, VariableDeclaration

LOCAL = frozenset(("local", "temp"))
Home = tuple[str, int]
"""Folded name of a list, and which of several blocks with that name."""


class Move(NamedTuple):
    """``local`` is the variable as its POU declares it, ``shared`` the global one (None: it is in no export).

    ``home`` is where ``shared`` is declared, ``written_home`` as people know it. ``outward``: local before, global now.
    ``external`` is how the POU declares the global one, if it does. ``reasons`` say why it may act differently.
    """

    pou: str
    name: str
    local: VariableDeclaration
    shared: VariableDeclaration | None
    external: VariableDeclaration | None
    home: Home
    written_home: str
    outward: bool
    reasons: tuple[Edit, ...] = ()


def scope_moves(old: Copy, new: Copy) -> tuple[Move, ...]:
    """Every variable that moved, in the order of the names of POUs; types and lists have the same names already."""
    before, after = Symbols(old), Symbols(new)
    found = [*_leaving(before, after, outward=True), *_leaving(after, before, outward=False)]
    if not found:
        return ()
    movers: dict[str, set[str]] = {}
    for move in found:
        movers.setdefault(move.name, set()).add(move.pou)
    both = Sides.of(before), Sides.of(after)
    judged = []
    for move in found:
        here, there = both if move.outward else both[::-1]
        why = reasons(move.pou, move.local, here, there, frozenset(movers[move.name]))
        judged.append(move._replace(reasons=tuple(dict.fromkeys(why))))
    return tuple(judged)


def _leaving(here: Symbols, there: Symbols, *, outward: bool) -> Iterator[Move]:
    """Variables that a POU declares here, while it uses a global one of that name there."""
    homes = _homes(there.copy)
    for key in sorted(_once(here) & _once(there)):
        pou, partner = here.pous[key], there.pous[key]
        inside = inner_names(partner)
        gone = [v for v in pou.variables if v.section in LOCAL and v.name.lower() not in inside]
        external = {v.name.lower(): v for v in partner.variables if v.section == "external"} if gone else {}
        used = _used(partner, there) if any(v.name.lower() in homes for v in gone) else frozenset()
        for v in gone:
            name = v.name.lower()
            if name in homes and (name in external or name in used):
                home, written, shared = homes[name]
                yield Move(key, name, v, shared, external.get(name), home, written, outward)
            elif name in external and name not in there.tags:
                yield Move(key, name, v, None, external[name], ("", 0), "", outward)


def _once(symbols: Symbols) -> frozenset[str]:
    """Folded names of the POUs that no other one shares."""
    count = Counter(p.name.lower() for p in symbols.copy.program.pous)
    return frozenset(name for name, number in count.items() if number == 1)


def _used(pou: Pou, symbols: Symbols) -> frozenset[str]:
    return frozenset(name for leaf in leaves(pou) for name in names_of(leaf, symbols.lists))


def named_by(pou: Pou, name: str, lists: frozenset[str]) -> str | None:
    """The list that a POU writes before the folded name of a global variable wherever it uses it."""
    nodes = [node for leaf in leaves(pou) for node in walk(leaf.statement)]
    under = [n.of.name for n in nodes
             if isinstance(n, Member) and n.name.lower() == name and isinstance(n.of, Variable)
             and n.of.name.lower() in lists]  # fmt: skip
    bare = any(isinstance(n, Variable) and n.name.lower() == name for n in nodes)
    return None if bare or not under else under[0]


def numbered(blocks: Iterable[GlobalList]) -> dict[Home, int]:
    """Where each list stands."""
    found: dict[Home, int] = {}
    count = Counter[str]()
    for number, block in enumerate(blocks):
        name = list_name(block).lower()
        found[name, count[name]] = number
        count[name] += 1
    return found


def _homes(copy: Copy) -> dict[str, tuple[Home, str, VariableDeclaration]]:
    """Where each global variable is declared, by folded name; of two with one name neither."""
    found: dict[str, list[tuple[Home, str, VariableDeclaration]]] = {}
    for home, number in numbered(copy.program.globals).items():
        block = copy.program.globals[number]
        for v in block.variables:
            found.setdefault(v.name.lower(), []).append((home, list_name(block), v))
    return {name: those[0] for name, those in found.items() if len(those) == 1 and those[0][2].section == "global"}
