"""What a name in a POU stands for, type by type: what people look for when they ask where a name is used.

A node is (POU, name), or ("", name) for what is declared outside. A pin, variable or action reached through an instance
belongs to the type of the instance, so that callers and the code inside the block meet in one node.
"""

from __future__ import annotations

from asfound.analysis.symbols import Symbols
from asfound.model.logic import (
    Dereference,
    Direct,
    Element,
    Expression,
    Member,
    Temporary,
    Variable,
)
from asfound.model.program import Pou

Node = tuple[str, str]


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
        return self.symbols.block_of(of, self.declared, self.inside)

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
