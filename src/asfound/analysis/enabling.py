"""Where compilers differ about a block that is not enabled: two readings of a drawing, each said once for a report.

While EN is FALSE, one compiler leaves an output variable wired to the block as it is, another writes it; and the result
of a function keeps its last value or is 0, which matters where something reads it all the same. Cost: linear.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from asfound.analysis.leaves import leaves
from asfound.language.readable import expression
from asfound.language.walk import every_body, targets, walk
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Statement, Temporary
from asfound.model.program import Pou

SHOWN = 5
"""Places that are named where there are many."""


def readings(copies: Iterable[Copy]) -> tuple[str, ...]:
    """At most two sentences, with the places in any of the copies."""
    kept: dict[str, None] = {}
    last: dict[str, None] = {}
    for pou in (pou for copy in copies for pou in copy.program.pous if _enables(pou)):
        for place, statements in _by_place(pou).items():
            kept |= {f"{place} ({expression(s.target)})": None for s in _written(statements)}
            last |= {f"{place} ({wire.origin or 'a wire'})": None for wire in _read_anyway(statements)}
    told = (
        ("while a block is not enabled, some compilers write the variable wired to its output and some leave it", kept),
        ("a function that is not enabled keeps its last value with some compilers and gives 0 with others", last),
    )
    return tuple(f"{sentence}: {_some(places)}" for sentence, places in told if places)


def _some(places: Iterable[str]) -> str:
    found = list(places)
    more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return f"{', '.join(found[:SHOWN])}{more}"


def _enables(pou: Pou) -> bool:
    drawn = (s for body in every_body(pou) for network in body.networks for s in network.statements)
    return any(isinstance(s, Assign) and s.condition is not None for s in drawn)


def _by_place(pou: Pou) -> dict[str, list[Statement]]:
    found: dict[str, list[Statement]] = {}
    for leaf in leaves(pou):
        found.setdefault(leaf.place.where, []).append(leaf.statement)
    return found


def _written(statements: Iterable[Statement]) -> Iterator[Assign]:
    for s in statements:
        if isinstance(s, Assign) and s.condition is not None and not isinstance(s.target, Temporary):
            yield s


def _read_anyway(statements: list[Statement]) -> Iterator[Temporary]:
    """Results on a wire that are read though the function may not have run."""
    for s in statements:
        if isinstance(s, Assign) and s.condition is not None and isinstance(s.target, Temporary):
            others = (o for o in statements if o is not s and getattr(o, "condition", None) != s.condition)
            if any(s.target in walk(o) and s.target not in targets(o) for o in others):
                yield s.target
