"""What every part of a comparison needs to know about the two copies, and what the whole comparison may spend."""

from __future__ import annotations

from functools import cached_property

from msgspec.structs import replace

from asfound.analysis.aliasing import may_be_one
from asfound.analysis.canonical import Canonical, folded, sequence_key
from asfound.analysis.instance_tree import MOST
from asfound.analysis.leaves import leaves
from asfound.analysis.mod_ref import POINTED, UNSEEN, Access, ModRef, called
from asfound.analysis.numbering import Numbering, together
from asfound.analysis.start_values import sets_memory
from asfound.analysis.symbols import Symbols
from asfound.analysis.where_used import Users
from asfound.language.addresses import Meeting
from asfound.language.types import type_words
from asfound.model.copy import Copy
from asfound.model.logic import Call, Statement
from asfound.model.program import Body, Pou, VariableDeclaration

PROOFS = 4000
"""Pairs of statements that are proved in one comparison; every further pair is left undecided. Most take some ms."""
GIVEN_UP = 60
"""Proofs that may reach their time limit before no further pair is tried: two minutes."""


BODIES = 60
"""Whole bodies that are proved in one comparison."""
GIVEN_UP_BODY = 4
"""How many bodies one counts for whose proof reached its limit: others like it will do the same."""


WIDTHS = (
    "where a sum or another calculation leaves the range of its type before it is stored, compilers differ in its "
    "width; what differs only there is undecided"
)


CROWDED = (
    f"more than {MOST:,} instances of blocks: what can be reached counts those beyond as one instance of each type"
)
ENTANGLED = (
    "blocks are handed on to blocks in a circle, or very often: what can be reached through them is told in part"
)


class Budget:
    """Counts the proofs; the only thing in a comparison that changes, and it does so in a fixed order."""

    def __init__(self, proofs: int = PROOFS) -> None:
        self.left = proofs
        self.refused = 0
        self.gave_up = 0
        self.given_up_pairs = 0
        self.bodies = BODIES
        self.exhausted: set[str] = set()
        self.widths = 0
        self.crowded = False
        self.entangled = False

    def allow(self) -> bool:
        """True when one more proof may be tried."""
        self.left -= 1
        allowed = self.left >= 0 and self.given_up_pairs < GIVEN_UP
        self.refused += not allowed
        return allowed

    def limits(self) -> tuple[str, ...]:
        """Sentences about what was left out."""
        found = [f"{place}: too many differences to pair every piece" for place in sorted(self.exhausted)]
        if self.refused:
            pairs = "1 pair of statements was" if self.refused == 1 else f"{self.refused} pairs of statements were"
            found.append(f"{pairs} not tried to be proved equal: the limit was reached")
        if self.gave_up:
            found.append(f"{self.gave_up} proof{'s were' if self.gave_up > 1 else ' was'} given up at the time limit")
        if self.widths:
            found.append(WIDTHS)
        if self.crowded:
            found.append(CROWDED)
        if self.entangled:
            found.append(ENTANGLED)
        return tuple(found)


class Context:
    """Both copies with renames already applied to the old one."""

    def __init__(self, old: Copy, new: Copy, budget: Budget | None = None, numbering: Numbering | None = None) -> None:
        self._given = numbering
        self.old, self.new = (Symbols(copy, lambda: self.numbering) for copy in (old, new))
        self.mod_ref_old, self.mod_ref_new = ModRef(self.old), ModRef(self.new)
        self.users_old, self.users_new = Users(self.old), Users(self.new)
        self.budget = budget or Budget()

    @cached_property
    def numbering(self) -> Numbering:
        """How both copies count words."""
        return self._given or together([self.old.copy, self.new.copy])

    def inside(self, old: Pou | None, new: Pou | None) -> Scope:
        """The scope of a pair of POUs."""
        return Scope(self, (old, new))

    def sets(self, variable: VariableDeclaration) -> bool:
        """Does a declaration set memory at the start, as either copy knows its type?"""
        return any(sets_memory(symbols, variable) for symbols in (self.old, self.new))

    @cached_property
    def key(self) -> Canonical:
        """Keys in which functions of the copies are what they are, even when they are named like standard ones."""
        return Canonical(self.old.declared | self.new.declared)

    @cached_property
    def same(self) -> frozenset[str]:
        """Folded names of the POUs that are equal in both copies with all they call and hold."""
        old, new = self.old.pous, self.new.pous
        found = {name for name in old.keys() & new.keys() if old[name] == new[name] or _alike(old[name], new[name])}
        needs = {name: self._needs(old[name]) & old.keys() for name in sorted(found)}
        while changed := {name for name in found if needs[name] - found}:
            found -= changed
        return frozenset(found)

    def _needs(self, pou: Pou) -> set[str]:
        local = self.old.locals_of(pou)
        held = {word for v in pou.variables for word in type_words(v.type)}
        return held | {type for leaf in leaves(pou) for type in called(leaf.statement, self.old, local)}


def _alike(old: Pou, new: Pou) -> bool:
    """Whether two POUs of statements differ in nothing but spelling and comments."""
    if any(p.members or p.actions or p.transitions or p.extensions or p.extends for p in (old, new)):
        return False
    return _meaning(old) == _meaning(new)


def _meaning(pou: Pou) -> tuple[object, ...]:
    declared = [
        replace(v, name=v.name.lower(), type=v.type.lower(), comment="", extensions=(), access="")
        for v in sorted(pou.variables, key=lambda v: v.section)
    ]
    bodies = [(sequence_key(b.statements, folded), b.networks, b.chart, b.order, b.extensions) for b in pou.bodies]
    return pou.kind, pou.result.lower(), declared, bodies


class Scope:
    """One pair of POUs: the declared types on both sides and how things are called."""

    def __init__(self, context: Context, pous: tuple[Pou | None, Pou | None], ladder: bool = False) -> None:
        self.context, self.pous, self.ladder = context, pous, ladder
        self.old, self.new = context.old.locals_of(pous[0]), context.new.locals_of(pous[1])
        self.key = context.key

    def spoken(self, body: Body) -> Scope:
        """The same scope with the words of another language."""
        return Scope(self.context, self.pous, ladder=body.language == "LD")

    def accesses(self, statement: Statement) -> Access:
        """What a statement touches in either copy."""
        before = self.context.mod_ref_old.access(statement, self.old, self.pous[0])
        after = self.context.mod_ref_new.access(statement, self.new, self.pous[1])
        return before | after

    def alias(self, one: str, other: str) -> Meeting:
        """May two folded names stand for the same memory? ``unclear`` when it hangs on how words are counted."""
        if UNSEEN in (one, other) or POINTED in (one, other):
            return "yes" if self._visible(one) and self._visible(other) else "no"
        found: set[Meeting] = set()
        for symbols, pou in ((self.context.old, self.pous[0]), (self.context.new, self.pous[1])):
            ours, theirs = symbols.memory(one, pou), symbols.memory(other, pou)
            if ours is not None and theirs is not None:
                found.add(ours.meets(theirs))
            if one != other and pou is not None and may_be_one(symbols, pou, (one, other)):
                return "yes"
        return "yes" if "yes" in found else "unclear" if "unclear" in found else "no"

    def _visible(self, name: str) -> bool:
        """May code outside of the POU touch a name? Not what the POU keeps to itself, without an address."""
        if name in (UNSEEN, POINTED):
            return True
        if name.startswith("_v") and name[2:].isdigit():
            return False
        own = [v for pou in self.pous if pou for v in pou.variables if v.name.lower() == name]
        if not own or any(v.section in ("external", "in_out") or v.address for v in own):
            return True
        return any(
            pou is not None and name in uses.exposed(pou)
            for uses, pou in zip((self.context.mod_ref_old, self.context.mod_ref_new), self.pous, strict=True)
        )

    def typed(self, old: Statement, new: Statement) -> tuple[Statement, Statement]:
        """Calls with the declared type of their instance where only one side writes it."""
        if isinstance(old, Call) and isinstance(new, Call) and bool(old.type) != bool(new.type):
            before = old.type or self.context.old.type_of(old.instance, self.old)
            after = new.type or self.context.new.type_of(new.instance, self.new)
            return replace(old, type=before), replace(new, type=after)
        return old, new
