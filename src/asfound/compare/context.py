"""What every part of a comparison needs to know about the two copies, and what the whole comparison may spend."""

from __future__ import annotations

from typing import TypeGuard

from msgspec.structs import replace

from asfound.compare.canonical import pure
from asfound.compare.symbols import Symbols
from asfound.compare.uses import Access, Uses, conflicts, everything, steers
from asfound.compare.wording import Words
from asfound.language.walk import root, walk
from asfound.model.copy import Copy
from asfound.model.logic import Call, Expression, Invocation, Statement, Variable
from asfound.model.program import Body, Pou

PROOFS = 400
"""Pairs of statements that are proved in one comparison; every further pair is left undecided."""


class Budget:
    """Counts the proofs; the only thing in a comparison that changes, and it does so in a fixed order."""

    def __init__(self, proofs: int = PROOFS) -> None:
        self.left = proofs
        self.refused = 0
        self.gave_up = 0
        self.exhausted: set[str] = set()

    def allow(self) -> bool:
        """True when one more proof may be tried."""
        self.left -= 1
        self.refused += self.left < 0
        return self.left >= 0

    def limits(self) -> tuple[str, ...]:
        """Sentences about what was left out."""
        found = [f"{place}: too many differences to pair every piece" for place in sorted(self.exhausted)]
        if self.refused:
            found.append(f"{self.refused} pairs of statements were not tried to be proved equal: the limit was reached")
        if self.gave_up:
            found.append(f"{self.gave_up} proofs were given up at their time limit")
        return tuple(found)


class Context:
    """Both copies with renames already applied to the old one."""

    def __init__(self, old: Copy, new: Copy, budget: Budget | None = None) -> None:
        self.old, self.new = Symbols(old), Symbols(new)
        self.uses_old, self.uses_new = Uses(self.old), Uses(self.new)
        self.budget = budget or Budget()

    def inside(self, old: Pou | None, new: Pou | None) -> Scope:
        """The scope of a pair of POUs."""
        return Scope(self, self.old.locals_of(old), self.new.locals_of(new), Words())


class Scope:
    """One pair of POUs: the declared types on both sides and how things are called."""

    def __init__(self, context: Context, old: dict[str, str], new: dict[str, str], words: Words) -> None:
        self.context, self.old, self.new, self.words = context, old, new, words

    def spoken(self, body: Body) -> Scope:
        """The same scope with the words of another language."""
        return Scope(self.context, self.old, self.new, Words(ladder=body.language == "LD"))

    def accesses(self, statement: Statement) -> Access:
        """What a statement touches in either copy."""
        before = self.context.uses_old.access(statement, self.old)
        after = self.context.uses_new.access(statement, self.new)
        return Access(before.reads | after.reads, before.writes | after.writes)

    def conflict(self, first: tuple[Statement, ...], second: tuple[Statement, ...]) -> tuple[str, ...]:
        """Why the order of two groups of statements matters; empty when it does not."""
        if steers(first) or steers(second):
            return ("program flow",)
        found: set[str] = set()
        for a in map(self.accesses, first):
            for b in map(self.accesses, second):
                found.update(conflicts(a, b))
        spelled = {root(n): n.name for s in (*first, *second) for e in everything(s) for n in walk(e) if _named(n)}
        return tuple(sorted(spelled.get(name, name) for name in found))

    def typed(self, old: Statement, new: Statement) -> tuple[Statement, Statement]:
        """Calls with the declared type of their instance where only one side writes it."""
        if isinstance(old, Call) and isinstance(new, Call) and bool(old.type) != bool(new.type):
            before = old.type or self.context.old.type_of(old.instance, self.old)
            after = new.type or self.context.new.type_of(new.instance, self.new)
            return replace(old, type=before), replace(new, type=after)
        return old, new

    def calm(self, statements: tuple[Statement, ...]) -> bool:
        """True when no call in them has side effects: a compiler may skip a call whose value is not needed."""
        nodes = (n for s in statements for e in everything(s) for n in walk(e) if isinstance(n, Invocation))
        return all(pure(n) or self._harmless(n) for n in nodes)

    def _harmless(self, call: Invocation) -> bool:
        if not isinstance(call.function, Variable) or call.outputs:
            return False
        name = call.function.name.casefold()
        known = [s.pous.get(name) for s in (self.context.old, self.context.new)]
        touched = (u.outside(name).writes for u in (self.context.uses_old, self.context.uses_new))
        return all(p is not None and p.kind == "function" for p in known) and not any(touched)


def _named(node: Expression) -> TypeGuard[Variable]:
    return isinstance(node, Variable)
