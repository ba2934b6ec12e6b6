"""What a statement reads and writes when everything it calls is counted in (its mod-ref summary).

The reads and writes of a call are those of the call itself, what it is given by reference, and what the called block
touches outside of itself (globals, addresses), through every further call: a closure over the call graph, computed once
per POU. An action or method of the own POU touches whatever stands in it; one of an instance touches that instance.
Cost: each POU is walked once; a query is then set arithmetic.
Known weakness: a method called through an interface is not followed, it may touch anything; so may a block that goes
through a reference, and one whose code is not in the export.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from asfound.analysis.argument_passing import Passing, by_reference, calls
from asfound.analysis.leaves import Leaf, declared_leaves, leaves, of_body
from asfound.analysis.places import top
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.walk import every_statement, invocations, reads, root, targets, walk, writes
from asfound.model.logic import (
    Assign,
    Call,
    Case,
    Dereference,
    Expression,
    For,
    If,
    Member,
    Remark,
    Repeat,
    Statement,
    Variable,
    While,
)
from asfound.model.program import Pou

STAYS = (Assign, Call, If, Case, For, While, Repeat, Remark)
"""Kinds after which the next statement runs, unless one inside leads away; so may whatever else the model has."""
_NOTHING: frozenset[str] = frozenset()
UNSEEN = "?"
"""Stands for whatever a block touches whose code is not in the export."""
POINTED = "^"
"""Stands for whatever a block touches that goes through a reference."""


class Access(NamedTuple):
    """Folded root names; ``maybe`` are those that code which nobody can see may write."""

    reads: frozenset[str] = _NOTHING
    writes: frozenset[str] = _NOTHING
    maybe: frozenset[str] = _NOTHING

    def __or__(self, other: Access) -> Access:
        return Access(self.reads | other.reads, self.writes | other.writes, self.maybe | other.maybe)

    def without(self, names: frozenset[str]) -> Access:
        """The same but for some names."""
        return Access(self.reads - names, self.writes - names, self.maybe - names)


_ELSEWHERE = Access(frozenset({UNSEEN}), frozenset({UNSEEN}))
_EMPTY = Access()


class ModRef:
    """Reads and writes over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self.passing = Passing(symbols)
        self._outside: dict[str, Access] = {}
        self._routines: dict[tuple[str, str], Access] = {}
        self._exposed: dict[int, tuple[Pou, frozenset[str]]] = {}

    def access(self, statement: Statement, local: dict[str, str], pou: Pou | None = None) -> Access:
        """Reads and writes of a statement inside a POU whose declarations are ``local``."""
        found = Access(self._read(statement, local), self._written(statement, local))
        touched = [self._passed(statement, local, pou)]
        touched += [self.summary(type) for type in called(statement, self.symbols, local)]
        touched += [self._touched(node, local, pou) for node in _callees(statement)]
        touched += self._properties_of(statement, local, pou)
        if any(self._foreign(callee, local) for callee in _callees(statement)):
            touched.append(_ELSEWHERE)
        whole = Access(*(_NOTHING.union(*names) for names in zip(found, *touched, strict=True)))
        return whole.without(frozenset({""}))

    def _read(self, statement: Statement, local: dict[str, str]) -> frozenset[str]:
        names = reads(statement)
        lists = names & (self.symbols.lists - local.keys())
        return (names - lists).union(qualified(statement, lists)) if lists else names

    def _written(self, statement: Statement, local: dict[str, str]) -> frozenset[str]:
        if not self.symbols.lists:
            return writes(statement)
        named = frozenset(self.root(target, local) for target in targets(statement))
        return named | (writes(statement) - self.symbols.lists)

    def root(self, access: Expression, local: dict[str, str]) -> str:
        """Folded name of the variable that an access belongs to; ``List.Name`` belongs to ``Name``."""
        name = root(access)
        if name not in self.symbols.lists or name in local:
            return name
        return next(iter(qualified(access, frozenset({name}))), name)

    def _passed(self, statement: Statement, local: dict[str, str], pou: Pou | None) -> Access:
        """What is given by reference, and what is given to code that nobody can see."""
        found = _EMPTY
        passed = list(self.passing.passed(statement, pou))
        given = frozenset(self.root(e, local) for e in by_reference(passed))
        maybe = frozenset(self.root(p.argument.value, local) for p in passed if p.how == "unknown")
        if any(self.passing.callee(calling, pou) == "unknown" for calling in calls(statement)):
            found = _ELSEWHERE
        return found | Access(given, given, maybe)

    def _properties_of(self, statement: Statement, local: dict[str, str], pou: Pou | None) -> Iterator[Access]:
        """What reading or writing a property touches: it runs code."""
        if not self._properties:
            return
        for node in walk(statement):
            if isinstance(node, Member | Variable) and node.name.lower() in self._properties:
                yield self._touched(node, local, pou)

    @cached_property
    def _properties(self) -> frozenset[str]:
        members = (m for p in self.symbols.copy.program.pous for m in p.members)
        return frozenset(m.name.lower() for m in members if m.kind == "property")

    def exposed(self, pou: Pou) -> frozenset[str]:
        """Folded names in a POU that code elsewhere may reach: their address is taken, or nobody sees how they go."""
        known = self._exposed.get(id(pou))
        if known is None:
            local = self.symbols.locals_of(pou)
            known = self._exposed[id(pou)] = (
                pou,
                frozenset(
                    self.root(p.argument.value, local)
                    for leaf in leaves(pou)
                    for p in self.passing.passed(leaf.statement, pou)
                    if p.how in ("unknown", "address")
                ),
            )
        return known[1]

    def effects(self, statements: Iterable[Statement]) -> Counter[str]:
        """How often each function of the copy is called inside expressions that writes something outside of itself."""
        names = (spelled(node.function).lower() for s in statements for node in invocations(s))
        return Counter(name for name in names if self.summary(name).writes)

    def _foreign(self, callee: Expression, local: dict[str, str]) -> bool:
        """A method called through an interface, or through an instance of a type that is not in the export."""
        if not isinstance(callee, Member) or isinstance(callee.of, Dereference):
            return False
        type = self.symbols.resolved(self.symbols.type_of(callee.of, local)).lower()
        pou = self.symbols.pous.get(type)
        return type not in self.symbols.types and (pou is None or pou.kind == "interface")

    def _touched(self, callee: Expression, local: dict[str, str], pou: Pou | None) -> Access:
        """What an action or method touches, of the own POU or of an instance."""
        match callee:
            case Variable(name) if pou is not None:
                return self._routine(pou, name.lower())
            case Member(Dereference(), name) if pou is not None and root(callee) == "this":
                return self._routine(pou, name.lower())
            case Member(of, _):
                own = frozenset({self.root(of, local)})
                return self.summary(self.symbols.resolved(self.symbols.type_of(of, local)).lower()) | Access(own, own)
        return _EMPTY

    def _routine(self, pou: Pou, name: str) -> Access:
        """What an action or method touches as seen from its own POU (or from another member of that)."""
        owner = self.passing.owner(pou)
        key = owner.name.lower(), name
        if key not in self._routines:
            self._routines[key] = _EMPTY
            self._routines[key] = self._every(_routine_leaves(owner, name))
        return self._routines[key]

    def _every(self, group: Iterable[tuple[Leaf, Pou]]) -> Access:
        """What leaves touch together, each seen from the POU that declares its names."""
        touched = [_EMPTY]
        for leaf, pou in group:
            touched += (self.access(leaf.statement, self.symbols.locals_of(pou), pou), Access(leaf.guards))
            if _goes_through(leaf.statement):
                touched.append(Access(frozenset({POINTED}), frozenset({POINTED})))
        return Access(*(_NOTHING.union(*names) for names in zip(*touched, strict=True)))

    def summary(self, type: str) -> Access:
        """What a POU (by folded name) reads and writes outside of itself, through all its calls."""
        if type in self._outside:
            return self._outside[type]
        self._outside[type] = _EMPTY
        pou = self.symbols.pous.get(type)
        if pou is not None:
            inside = self._every(declared_leaves(pou)) | self._inherited(pou)
            self._outside[type] = inside.without(inner_names(pou))
        return self._outside[type]

    def _inherited(self, pou: Pou) -> Access:
        """What the methods and the body that a POU inherits touch outside of it."""
        if not pou.extends:
            return _EMPTY
        base = pou.extends.lower()
        return self.summary(base) if base in self.symbols.pous else _ELSEWHERE


def qualified(code: Expression | Statement, lists: frozenset[str]) -> Iterator[str]:
    """``Name`` of every ``List.Name``."""
    for node in walk(code):
        if isinstance(node, Member) and isinstance(node.of, Variable) and node.of.name.lower() in lists:
            yield node.name.lower()


def _goes_through(statement: Statement) -> bool:
    """Does a statement go through a reference? THIS and SUPER lead to the own instance."""
    nodes = (node for node in walk(statement) if isinstance(node, Dereference))
    return any(root(node) not in ("this", "super") for node in nodes)


def called(statement: Statement, symbols: Symbols, local: dict[str, str]) -> Iterator[str]:
    """Folded names of the POUs that a statement calls directly, nested statements included."""
    for each in every_statement(statement):
        if isinstance(each, Call):
            yield (each.type or symbols.type_of(each.instance, local) or spelled(each.instance)).lower()
    yield from (spelled(node.function).lower() for node in invocations(statement))


def _callees(statement: Statement) -> Iterator[Expression]:
    """What the calls of a statement name, nested statements included."""
    yield from (each.instance for each in every_statement(statement) if isinstance(each, Call))
    yield from (node.function for node in invocations(statement))


def _routine_leaves(owner: Pou, name: str) -> Iterator[tuple[Leaf, Pou]]:
    """Leaves of the actions and members with a folded name, each with the POU that declares its names."""
    for action in owner.actions:
        if action.name.lower() == name:
            yield from ((leaf, owner) for leaf in of_body(action.body, top(owner.name), ()))
    for member in owner.members:
        if member.name.lower() == name:
            yield from ((leaf, member) for leaf in leaves(member))


def spelled(expression: object) -> str:
    """The name by which something is called, or empty."""
    return expression.name if isinstance(expression, Variable | Member) else ""


def steers(statements: Iterable[Statement]) -> bool:
    """True when a jump, label, return or text that nobody understood is among them: then order always matters."""
    return any(not isinstance(each, STAYS) for s in statements for each in every_statement(s))
