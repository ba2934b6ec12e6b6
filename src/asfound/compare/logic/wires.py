"""The wires without a name of two networks that belong together: one that carries the same is the same wire.

Wires are numbered by where they appear, so that a block put in front renumbers all others. Partners are those with the
same definition, then those from the same kind of pin, then the rest in order (a block of another type on that wire).
Cost: linear in the statements of networks that have such wires.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import count
from typing import TypeVar

from msgspec.structs import replace

from asfound.language import statement_printer
from asfound.language.walk import rewrite, walk, writes
from asfound.model.logic import Expression, Statement, Temporary
from asfound.model.program import Network

C = TypeVar("C", Expression, Statement)
_NUMBER = re.compile(r'\{wire "[^{}]*\}')


def matched(old: Network, new: Network) -> Network:
    """``new`` with the numbers that its wires have in ``old``."""
    theirs = _wires(new)
    if not theirs:
        return new
    mine = _wires(old)
    partner: dict[int, Temporary] = {}
    keys: tuple[Callable[[Temporary, str], object], ...] = (lambda w, d: d, lambda w, d: _pin(w), lambda w, d: "")
    for key in keys:
        waiting: dict[object, list[Temporary]] = {}
        for wire, definition in mine.items():
            if wire not in partner.values():
                waiting.setdefault(key(wire, definition), []).append(wire)
        for wire, definition in theirs.items():
            same = waiting.get(key(wire, definition))
            if same and wire.number not in partner:
                partner[wire.number] = same.pop(0)
    return replace(new, statements=tuple(_renumbered(s, _named(theirs, partner)) for s in new.statements))


def _named(wires: dict[Temporary, str], partner: dict[int, Temporary]) -> dict[int, Temporary]:
    """What each wire becomes: its partner, under its own name where that is another kind of pin."""
    free = count(max((p.number for p in partner.values()), default=0) + 1)
    found = {}
    for wire in wires:
        same = partner.get(wire.number) or Temporary(next(free), wire.origin)
        found[wire.number] = same if _pin(same) == _pin(wire) else Temporary(same.number, wire.origin)
    return found


def without_names(code: C) -> C:
    """Code in which a wire is its number alone."""
    if not any(isinstance(e, Temporary) for e in walk(code)):
        return code
    return rewrite(code, lambda e: Temporary(e.number) if isinstance(e, Temporary) else None)


def _wires(network: Network) -> dict[Temporary, str]:
    """The wires in order of appearance, each with the statement that writes it, its wires without their numbers."""
    defined: dict[str, str] = {}
    found: dict[Temporary, str] = {}
    for statement in network.statements:
        inside = [e for e in walk(statement) if isinstance(e, Temporary)]
        if inside:
            text = _NUMBER.sub("wire", statement_printer.statements((statement,)))
            defined |= {name: text for name in writes(statement) if name not in defined}
            found |= dict.fromkeys(inside, "")
    return {wire: defined.get(f"_v{wire.number}", "") for wire in found}


def _pin(wire: Temporary) -> str:
    """Where a wire comes from, whichever of the blocks of that type it is."""
    return re.sub(r"_\d+(?=\.|$)", "", wire.origin).lower()


def _renumbered(statement: Statement, numbers: dict[int, Temporary]) -> Statement:
    return rewrite(statement, lambda e: numbers.get(e.number) if isinstance(e, Temporary) else None)
