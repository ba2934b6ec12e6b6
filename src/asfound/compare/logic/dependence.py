"""What it means that two pieces of a program now run in the other order.

A name that one of them writes and the other touches decides; so do two names of one memory (a bit and the word over
it), two VAR_IN_OUT of one type, which may be the same variable, and whatever is reached through a reference.
Cost: the product of the names of two statements, which are few.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from asfound.analysis.mod_ref import POINTED, UNSEEN, Access, steers
from asfound.compare.context import Scope
from asfound.language.walk import everything, root, walk
from asfound.model.logic import Dereference, Direct, Member, Statement, Variable

Group = Sequence[Statement]
ELSEWHERE = "what a block does that is not in the export"
"""Begins every sentence about code that nobody can see: then it is not known whether the order matters."""
COUNTED = "it depends on how words are counted whether"
"""Begins every sentence about two addresses that may share bits or not."""
THROUGH = "what a block does through a reference"
HIDDEN = frozenset({UNSEEN, POINTED})
FLOW = "program flow: a jump, label or return is passed"


def dependences(scope: Scope, first: Group, second: Group) -> tuple[str, ...]:
    """Why it matters that ``second`` now runs before ``first``, in sentences; empty when it does not.

    ``X is now read before it is written``: ``first`` writes X, ``second`` reads it.
    """
    if steers(first) or steers(second):
        return (FLOW,)
    spelling = _spelling((*first, *second))
    found: dict[str, None] = {}
    for a in map(scope.accesses, first):
        for b in map(scope.accesses, second):
            found.update(dict.fromkeys(_sentences(scope, a, b, spelling)))
    pointed = _pointers(first, second)
    if pointed:
        found[f"what {', '.join(pointed)} refers to may be touched by the other"] = None
    return tuple(sorted(found))


def _sentences(scope: Scope, first: Access, second: Access, spelling: dict[str, str]) -> Iterator[str]:
    yield from _unseen(scope, first, second, spelling)
    for one, other in _shared(scope, first.writes - HIDDEN, second.reads - HIDDEN):
        yield _worded(scope, one, other, spelling, "is now read before it is written")
    for one, other in _shared(scope, first.reads - HIDDEN, second.writes - HIDDEN):
        yield _worded(scope, one, other, spelling, "is now read after it is written")
    for one, other in _shared(scope, first.writes - HIDDEN, second.writes - HIDDEN):
        yield _worded(scope, one, other, spelling, "is now written last by what was written first")


def _unseen(scope: Scope, first: Access, second: Access, spelling: dict[str, str]) -> Iterator[str]:
    """What may be touched by code that nobody can see, or through a reference."""
    for one, other in _shared(scope, first.writes | first.reads, second.writes | second.reads):
        if HIDDEN & {one, other}:
            known = next((spelling.get(n, n) for n in (one, other) if n not in HIDDEN), "")
            what = ELSEWHERE if UNSEEN in (one, other) else THROUGH
            yield f"{what} may depend on {known or 'another such block'}"
    pairs = {*_shared(scope, first.maybe, second.reads | second.writes | second.maybe)}
    pairs |= {*_shared(scope, second.maybe, first.reads | first.writes | first.maybe)}
    for one, other in sorted(pairs):
        if not HIDDEN & {one, other}:
            yield f"{ELSEWHERE} may write {spelling.get(one, one)}"


def _shared(scope: Scope, left: frozenset[str], right: frozenset[str]) -> Iterator[tuple[str, str]]:
    for one in sorted(left):
        for other in sorted(right):
            if one == other or scope.alias(one, other) != "no":
                yield one, other


def unknown(reasons: Sequence[str]) -> bool:
    """Are all reasons about what nobody can see: foreign code, or how the controller counts words?"""
    return all(reason.startswith((ELSEWHERE, THROUGH, COUNTED)) for reason in reasons)


def _worded(scope: Scope, one: str, other: str, spelling: dict[str, str], what: str) -> str:
    first, second = spelling.get(one, one), spelling.get(other, other)
    if one != other and scope.alias(one, other) == "unclear":
        return f"{COUNTED} {first} and {second} share memory; if so, {first} {what}"
    return f"{first} {what}" if one == other else f"{first}, which may be the same memory as {second}, {what}"


def _spelling(statements: Group) -> dict[str, str]:
    nodes = [n for s in statements for e in everything(s) for n in walk(e)]
    names = {n.name.lower(): n.name for n in nodes if isinstance(n, Member)}
    names |= {n.name.lower(): n.name for n in nodes if isinstance(n, Variable)}
    return names | {root(n): n.address for n in nodes if isinstance(n, Direct)}


def _pointers(first: Group, second: Group) -> list[str]:
    """Names of references that either group goes through, when the other touches anything at all."""
    nodes = (n for s in (*first, *second) for e in everything(s) for n in walk(e))
    return sorted({root(n) for n in nodes if isinstance(n, Dereference)})
