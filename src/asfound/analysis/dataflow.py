"""Which names a leaf of a POU reads and writes, as nodes of one graph over the whole program.

A node is (POU, name), or ("", name) for what is declared outside. A pin, variable or action reached through an instance
belongs to the type of the instance, so that callers and the code inside the block meet in one node.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from asfound.analysis.argument_passing import Passed, Passing, by_reference
from asfound.analysis.leaves import declared_leaves
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.walk import expressions, parts, walk
from asfound.model.logic import (
    Assign,
    Call,
    Dereference,
    Direct,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Statement,
    Temporary,
    Variable,
)
from asfound.model.program import Pou

Node = tuple[str, str]
RUN = "§run"
"""Name of the node that stands for the running of a block's own body."""


class Flow:
    """Reads and writes over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self.passing = Passing(symbols)

    def steps(self, pou: Pou) -> Iterator[tuple[tuple[str, ...], set[Node], set[Node]]]:
        """Path, nodes read and nodes written, for every leaf of a POU."""
        scope = Scope(self.symbols, pou, inner_names(pou))
        for leaf, declaring in declared_leaves(pou):
            passed = list(self.passing.passed(leaf.statement, declaring))
            read = {scope.node(name) for name in leaf.guards} | scope.read(leaf.statement) | scope.returned(passed)
            if not any(part.startswith("action:") for part in leaf.place.path[1:2]):
                read.add((scope.key, RUN))
            yield leaf.place.path, read, scope.written(leaf.statement) | scope.handed(passed)


class Scope:
    """Nodes as seen from inside one POU."""

    def __init__(self, symbols: Symbols, pou: Pou, inside: frozenset[str]) -> None:
        self.symbols, self.inside = symbols, inside
        self.key = pou.name.lower()
        self.declared = symbols.locals_of(pou)

    def node(self, name: str) -> Node:
        """The node of a name used in this POU."""
        key = name.lower()
        return (self.key, key) if key in self.inside else ("", key)

    def block(self, of: Expression) -> str:
        """Folded name of the POU that an instance is of, or empty."""
        type = self.symbols.resolved(self.symbols.type_of(of, self.declared)).lower()
        if type in self.symbols.pous:
            return type
        if isinstance(of, Variable) and of.name.lower() not in self.inside:
            return of.name.lower() if of.name.lower() in self.symbols.pous else ""
        return ""

    def access(self, e: Expression) -> set[Node]:
        """Nodes of one access, without its indexes."""
        match e:
            case Variable(name):
                return {self.node(name)}
            case Direct(address):
                return {("", address.upper())}
            case Temporary(number):
                return {(self.key, f"_v{number}")}
            case Member(of, name):
                if isinstance(of, Variable) and of.name.lower() in self.symbols.lists:
                    return {("", name.lower())}
                type = self.block(of)
                return {(type, name.lower())} if type else self.access(of)
            case Element(of, _) | Dereference(of):
                return self.access(of)
        return set()

    def reads(self, e: Expression) -> set[Node]:
        """Nodes that an expression reads."""
        match e:
            case Variable() | Direct() | Temporary():
                return self.access(e)
            case Member() | Element() | Dereference():
                indexes = [i for n in walk(e) if isinstance(n, Element) for i in n.indexes]
                return self.access(e).union(*map(self.reads, indexes)) if indexes else self.access(e)
            case Invocation(function, inputs, outputs):
                found = self._all(a.value for a in (*inputs, *outputs))
                if isinstance(function, Variable) and function.name.lower() in self.symbols.pous:
                    found.add((function.name.lower(), function.name.lower()))
                return found
            case Literal():
                return set()
        return self._all(parts(e))

    def _all(self, several: Iterable[Expression]) -> set[Node]:
        found: set[Node] = set()
        for e in several:
            found |= self.reads(e)
        return found

    def read(self, statement: Statement) -> set[Node]:
        """Nodes that a leaf reads."""
        match statement:
            case Assign(target, value, _, condition):
                indexes = (i for n in walk(target) if isinstance(n, Element) for i in n.indexes)
                return self.reads(value) | self._all(indexes) | (self.reads(condition) if condition else set())
            case Call(instance, _, inputs, outputs, condition):
                found = self._all(a.value for a in inputs) | (self.reads(condition) if condition else set())
                type = self.block(instance)
                found |= {(type, a.name.lower()) for a in outputs if type and a.name}
                return found | (self.access(instance) if not type else set())
        return self._all(expressions(statement))

    def written(self, statement: Statement) -> set[Node]:
        """Nodes that a leaf writes, but for what it hands over; a call runs its block."""
        found: set[Node] = set()
        match statement:
            case Assign(target, _, _, _):
                found = self.access(target)
            case Call(instance, _, _, outputs, _):
                found = self._called(instance)
                for argument in outputs:
                    found |= self.access(argument.value)
        for node in walk(statement):
            if isinstance(node, Invocation) and isinstance(node.function, Variable | Member):
                found |= self._called(node.function)
                for argument in node.outputs:
                    found |= self.access(argument.value)
        return found

    def handed(self, passed: Iterable[Passed]) -> set[Node]:
        """Nodes that arguments write: the pins they are given to, and what is given by reference."""
        found = {self._pin(p) for p in passed if p.pin}
        return found.union(*map(self.access, by_reference(passed)))

    def returned(self, passed: Iterable[Passed]) -> set[Node]:
        """Nodes of the pins through which what is given by reference is written."""
        return {self._pin(p) for p in passed if p.pin and p.how != "value"}

    def _pin(self, passed: Passed) -> Node:
        """Names that a method declares are not kept apart from those declared outside (see leaves)."""
        block = self.symbols.pous.get(passed.block)
        inside = block is not None and any(v.name.lower() == passed.pin for v in block.variables)
        return (passed.block, passed.pin) if inside else ("", passed.pin)

    def _called(self, instance: Expression) -> set[Node]:
        type = self.block(instance)
        return {(type, RUN)} | self.access(instance) if type else self.access(instance)
