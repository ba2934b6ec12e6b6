"""What a statement reads and writes when everything it calls is counted in, and who uses a name.

The reads and writes of a call are those of the call itself, what it is given by reference, and what the called block
touches outside of itself (globals, addresses), through every further call: a closure over the call graph, computed once
per POU. An action or method of the own POU touches whatever stands in it; one of an instance touches that instance.
Cost: each POU is walked once; a query is then set arithmetic.
Known weakness: a method called through an interface is not followed, it may touch anything; so may a block that goes
through a reference, and one whose code is not in the export.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from asfound.analysis.argument_passing import Passing, by_reference, calls
from asfound.analysis.leaves import Leaf, declared_leaves, leaves, of_body
from asfound.analysis.places import top
from asfound.analysis.symbols import Symbols
from asfound.language.walk import every_statement, reads, root, targets, walk, writes
from asfound.model.logic import (
    Call,
    Continue,
    Dereference,
    Exit,
    Expression,
    Invocation,
    Jump,
    Label,
    Member,
    Return,
    Statement,
    Variable,
    Verbatim,
)
from asfound.model.program import Pou, VariableDeclaration

FLOW = (Jump, Label, Return, Exit, Continue, Verbatim)
_NOTHING: frozenset[str] = frozenset()
UNSEEN = "?"
"""Stands for whatever a block touches whose code is not in the export."""
POINTED = "^"
"""Stands for whatever a block touches that goes through a reference."""
_PROPERTIES = frozenset(("property", "get", "set"))


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
    """Reads, writes and uses over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self.passing = Passing(symbols)
        self._outside: dict[str, Access] = {}
        self._routines: dict[tuple[str, str], Access] = {}
        self._inside: dict[int, tuple[Pou, dict[str, tuple[str, ...]]]] = {}
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
        return (names - lists).union(_qualified(statement, lists)) if lists else names

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
        return next(iter(_qualified(access, frozenset({name}))), name)

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
        return frozenset(m.name.lower() for m in members if m.kind in _PROPERTIES)

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
        nodes = (n for s in statements for n in walk(s) if isinstance(n, Invocation))
        names = (_spelled(node.function).lower() for node in nodes)
        return Counter(name for name in names if self.summary(name).writes)

    def _foreign(self, callee: Expression, local: dict[str, str]) -> bool:
        """A method called through an interface, or through an instance of a type that is not in the export."""
        if not isinstance(callee, Member) or isinstance(callee.of, Dereference):
            return False
        type = self.symbols.resolved(self.symbols.type_of(callee.of, local)).lower()
        pou = self.symbols.pous.get(type)
        return bool(type) and type not in self.symbols.types and (pou is None or pou.kind == "interface")

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

    @cached_property
    def positional(self) -> frozenset[str]:
        """Folded names of the POUs that some call gives its arguments by their order alone."""
        found: set[str] = set()
        for pou in self.symbols.copy.program.pous:
            local = self.symbols.locals_of(pou)
            for leaf in leaves(pou):
                if isinstance(leaf.statement, Call) and any(not a.name for a in leaf.statement.inputs):
                    found.update(called(leaf.statement, self.symbols, local))
        return frozenset(found)

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

    @cached_property
    def in_declarations(self) -> dict[str, tuple[str, ...]]:
        """Places of declarations, in any scope, that use a folded name in a bound or a start value."""
        program = self.symbols.copy.program
        groups = [(p.variables, p.name) for pou in program.pous for p in (pou, *pou.members)]
        groups += [(block.variables, block.name or "globals") for block in program.globals]
        groups += [(type.members, type.name) for type in program.types]
        found: dict[str, tuple[str, ...]] = {}
        for variables, owner in groups:
            for name, places in declared_uses(variables, owner).items():
                found[name] = (*found.get(name, ()), *places)
        return found

    @cached_property
    def of_global(self) -> dict[str, tuple[str, ...]]:
        """Places that use a name declared outside the POU, by folded name, in program order."""
        found: dict[str, dict[str, None]] = {}
        for pou in self.symbols.copy.program.pous:
            inside = inner_names(pou)
            for leaf in leaves(pou):
                for name in names_of(leaf, self.symbols.lists):
                    if name not in inside:
                        found.setdefault(name, {})[leaf.place.where] = None
        return {name: tuple(places) for name, places in found.items()}

    @cached_property
    def _members(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """Places that use a member through an instance, by folded type (empty when unknown) and name."""
        found: dict[tuple[str, str], dict[str, None]] = {}
        for pou in self.symbols.copy.program.pous:
            local = self.symbols.locals_of(pou)
            for leaf in leaves(pou):
                for key in self._reached(leaf.statement, local):
                    found.setdefault(key, {})[leaf.place.where] = None
        return {key: tuple(places) for key, places in found.items()}

    def _reached(self, statement: Statement, local: dict[str, str]) -> Iterator[tuple[str, str]]:
        for node in walk(statement):
            if isinstance(node, Member):
                yield self._owner(node.of, local), node.name.lower()
            elif isinstance(node, Invocation):
                type = _spelled(node.function).lower()
                yield from ((type, a.name.lower()) for a in (*node.inputs, *node.outputs) if a.name)
        if isinstance(statement, Call):
            type = (statement.type or self._owner(statement.instance, local)).lower()
            yield from ((type, a.name.lower()) for a in (*statement.inputs, *statement.outputs) if a.name)

    def _owner(self, of: Expression, local: dict[str, str]) -> str:
        type = self.symbols.resolved(self.symbols.type_of(of, local)).lower()
        if not type and isinstance(of, Variable) and of.name.lower() in self.symbols.pous:
            return of.name.lower()
        return type

    def of_member(self, type: str, name: str) -> tuple[str, ...]:
        """Places that use a member of a type through an instance, or of something whose type is unknown."""
        key = name.lower()
        return tuple(dict.fromkeys((*self._members.get((type.lower(), key), ()), *self._members.get(("", key), ()))))

    @cached_property
    def _types(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, dict[str, None]] = {}
        for pou in self.symbols.copy.program.pous:
            for variable in pou.variables:
                for word in type_words(variable.type):
                    found.setdefault(word, {})[f"{pou.name} / {variable.name}"] = None
            local = self.symbols.locals_of(pou)
            for leaf in leaves(pou):
                for type in called(leaf.statement, self.symbols, local):
                    found.setdefault(type, {})[leaf.place.where] = None
        for resource in self.symbols.copy.program.resources:
            for instance in resource.instances:
                found.setdefault((instance.type or instance.name).lower(), {})[f"program {instance.name}"] = None
        return {name: tuple(places) for name, places in found.items()}

    def of_type(self, name: str) -> tuple[str, ...]:
        """Places that declare, call or run a POU or a type."""
        return self._types.get(name.lower(), ())

    def of_local(self, pou: Pou, name: str) -> tuple[str, ...]:
        """Places that use a name declared in a POU, inside it or through an instance of it."""
        inside = self._inside.get(id(pou))
        if inside is None or inside[0] is not pou:
            inside = pou, self._index(pou)
            self._inside[id(pou)] = inside
        return tuple(dict.fromkeys((*inside[1].get(name.lower(), ()), *self.of_member(pou.name, name))))

    def _index(self, pou: Pou) -> dict[str, tuple[str, ...]]:
        found: dict[str, dict[str, None]] = {}
        for leaf in leaves(pou):
            for name in names_of(leaf, self.symbols.lists):
                found.setdefault(name, {})[leaf.place.where] = None
        return {name: tuple(places) for name, places in found.items()}


def type_words(type: str) -> list[str]:
    """Folded words of a type text that may name a type.

    >>> type_words("ARRAY[1..4] OF Pump")
    ['array', 'of', 'pump']
    """
    return re.findall(r"[^\W\d]\w*", type.lower())


def declared_uses(variables: Iterable[VariableDeclaration], owner: str) -> dict[str, tuple[str, ...]]:
    """Places of declarations whose bounds, subranges or start values use a folded name.

    >>> declared_uses([VariableDeclaration("list", "ARRAY[0..N] OF INT", initial="[M, (k := 1)]")], "P")
    {'n': ('P / list',), 'm': ('P / list',)}
    """
    found: dict[str, dict[str, None]] = {}
    for variable in variables:
        texts = (*re.findall(r"[\[(][^\])]*", variable.type), variable.initial)
        for word in (w for text in texts for w in re.findall(r"\b[^\W\d]\w*\b(?!\s*(?::=|#))", text)):
            found.setdefault(word.lower(), {})[f"{owner} / {variable.name}"] = None
    return {name: tuple(places) for name, places in found.items()}


def inner_names(pou: Pou) -> frozenset[str]:
    """Folded names that a POU declares itself: variables (not external ones), actions, steps, members, its result."""
    names = [v.name for v in pou.variables if v.section != "external"]
    names += [a.name for a in (*pou.actions, *pou.transitions)]
    names += [m.name for m in pou.members]
    bodies = (*pou.bodies, *(a.body for a in pou.actions))
    names += [step.name for body in bodies if body.chart is not None for step in body.chart.steps]
    return frozenset((pou.name.lower(), *(n.lower() for n in names)))


def names_of(leaf: Leaf, lists: frozenset[str]) -> frozenset[str]:
    """Everything a leaf reads or writes; ``List.Name`` counts as a use of ``Name`` too."""
    names = reads(leaf.statement) | writes(leaf.statement)
    if not names & lists:
        return names
    return names.union(_qualified(leaf.statement, lists))


def _qualified(code: Expression | Statement, lists: frozenset[str]) -> Iterator[str]:
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
            yield (each.type or symbols.type_of(each.instance, local) or _spelled(each.instance)).lower()
    yield from (_spelled(node.function).lower() for node in walk(statement) if isinstance(node, Invocation))


def _callees(statement: Statement) -> Iterator[Expression]:
    """What the calls of a statement name, nested statements included."""
    yield from (each.instance for each in every_statement(statement) if isinstance(each, Call))
    yield from (node.function for node in walk(statement) if isinstance(node, Invocation))


def _routine_leaves(owner: Pou, name: str) -> Iterator[tuple[Leaf, Pou]]:
    """Leaves of the actions and members with a folded name, each with the POU that declares its names."""
    for action in owner.actions:
        if action.name.lower() == name:
            yield from ((leaf, owner) for leaf in of_body(action.body, top(owner.name), _NOTHING))
    for member in owner.members:
        if member.name.lower() == name:
            yield from ((leaf, member) for leaf in leaves(member))


def _spelled(expression: object) -> str:
    return expression.name if isinstance(expression, Variable | Member) else ""


def steers(statements: Iterable[Statement]) -> bool:
    """True when a jump, label, return or text that nobody understood is among them: then order always matters."""
    return any(isinstance(each, FLOW) for s in statements for each in every_statement(s))
