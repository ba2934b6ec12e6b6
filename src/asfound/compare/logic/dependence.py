"""What it means that two pieces of a program now run in the other order.

A name that one of them writes and the other touches decides; so do two names of one memory (a bit and the word over
it), two VAR_IN_OUT of one type, which may be the same variable, and whatever is reached through a reference.
Cost: the product of the names of two statements, which are few.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from asfound.analysis.mod_ref import POINTED, UNSEEN, Access, steers
from asfound.compare.context import Scope
from asfound.compare.result import Edit
from asfound.compare.wording.phrases import edit
from asfound.language.walk import everything, root, walk
from asfound.model.logic import Dereference, Direct, Member, Statement, Variable

Group = Sequence[Statement]
UNKNOWN = frozenset(("elsewhere", "elsewhere written", "through a reference", "counted"))
"""Reasons of which nobody can see whether they hold: foreign code, or how the controller counts words."""
HIDDEN = frozenset({UNSEEN, POINTED})


def dependences(scope: Scope, first: Group, second: Group) -> tuple[Edit, ...]:
    """Why it matters that ``second`` now runs before ``first``; empty when it does not.

    ``read before written``: ``first`` writes it, ``second`` reads it.
    """
    if steers(first) or steers(second):
        return (edit("program flow"),)
    spelling = _spelling((*first, *second))
    found: list[Edit] = []
    for a in map(scope.accesses, first):
        for b in map(scope.accesses, second):
            found += _reasons(scope, a, b, spelling)
    if pointed := _pointers(first, second):
        found.append(edit("referred", of=", ".join(pointed)))
    return in_order(found)


def in_order(reasons: Iterable[Edit]) -> tuple[Edit, ...]:
    """Each reason once, what is known first, by name."""
    return tuple(sorted(set(reasons), key=lambda e: (e.field in UNKNOWN, not e.of, e.of, e.owner, e.field)))


def _reasons(scope: Scope, first: Access, second: Access, spelling: dict[str, str]) -> Iterator[Edit]:
    yield from _unseen(scope, first, second, spelling)
    for one, other in _shared(scope, first.writes - HIDDEN, second.reads - HIDDEN):
        yield _meeting(scope, one, other, spelling, "read before written")
    for one, other in _shared(scope, first.reads - HIDDEN, second.writes - HIDDEN):
        yield _meeting(scope, one, other, spelling, "read after written")
    for one, other in _shared(scope, first.writes - HIDDEN, second.writes - HIDDEN):
        yield _meeting(scope, one, other, spelling, "written last by the first")


def _unseen(scope: Scope, first: Access, second: Access, spelling: dict[str, str]) -> Iterator[Edit]:
    """What may be touched by code that nobody can see, or through a reference."""
    for one, other in _shared(scope, first.writes | first.reads, second.writes | second.reads):
        if HIDDEN & {one, other}:
            known = next((spelling.get(n, n) for n in (one, other) if n not in HIDDEN), "")
            yield edit("elsewhere" if UNSEEN in (one, other) else "through a reference", of=known)
    pairs = {*_shared(scope, first.maybe, second.reads | second.writes | second.maybe)}
    pairs |= {*_shared(scope, second.maybe, first.reads | first.writes | first.maybe)}
    for one, other in pairs:
        if not HIDDEN & {one, other}:
            yield edit("elsewhere written", of=spelling.get(one, one))


def _shared(scope: Scope, left: frozenset[str], right: frozenset[str]) -> Iterator[tuple[str, str]]:
    for one in sorted(left):
        for other in sorted(right):
            if one == other or scope.alias(one, other) != "no":
                yield one, other


def unknown(reasons: Sequence[Edit]) -> bool:
    """Is of every reason unknown whether it holds?"""
    return all(reason.field in UNKNOWN for reason in reasons)


def _meeting(scope: Scope, one: str, other: str, spelling: dict[str, str], what: str) -> Edit:
    first, second = spelling.get(one, one), spelling.get(other, other)
    if one != other and scope.alias(one, other) == "unclear":
        return edit("counted", of=first, owner=second, inner=(edit(what, of=first),))
    return edit(what, of=first, owner="" if one == other else second)


def _spelling(statements: Group) -> dict[str, str]:
    nodes = [n for s in statements for e in everything(s) for n in walk(e)]
    names = {n.name.lower(): n.name for n in nodes if isinstance(n, Member)}
    names |= {n.name.lower(): n.name for n in nodes if isinstance(n, Variable)}
    return names | {root(n): n.address for n in nodes if isinstance(n, Direct)}


def _pointers(first: Group, second: Group) -> list[str]:
    """Names of references that either group goes through, when the other touches anything at all."""
    nodes = (n for s in (*first, *second) for e in everything(s) for n in walk(e))
    return sorted({root(n) for n in nodes if isinstance(n, Dereference)})
