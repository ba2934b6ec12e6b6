"""What the names of a copy stand for: type of an expression, scope of a variable, POUs and types by name.

Built once per copy; every lookup is a dictionary access. Names are folded (identifiers are case-insensitive).
Known weakness: namespaces are ignored, so two POUs of one name in two namespaces share one entry.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Container, Iterator
from functools import cached_property
from typing import TypeVar

from asfound.analysis import numbering
from asfound.analysis.numbering import Numbering
from asfound.language import standard
from asfound.language.addresses import Memory
from asfound.language.walk import every_pou
from asfound.model.copy import Copy
from asfound.model.logic import Dereference, Direct, Element, Expression, Invocation, Member, Variable
from asfound.model.program import DataType, Pou, VariableDeclaration
from asfound.model.tags import Tag

_T = TypeVar("_T")
ELEMENT = re.compile(r"ARRAY\s*\[[^\]]*\]\s*OF\s+(.+)", re.IGNORECASE | re.DOTALL)
_POINTER = re.compile(r"(?:POINTER\s+TO|REF_TO|REFERENCE\s+TO)\s+(.+)", re.IGNORECASE | re.DOTALL)
ALIASES = 16
"""How far a chain of types that stand for each other is followed; more is a circle."""
_SIZES = {"X": "BOOL", "B": "BYTE", "W": "WORD", "D": "DWORD", "L": "LWORD"}


class Symbols:
    """Lookups over one copy. ``copy`` is not changed."""

    def __init__(self, copy: Copy, counted: Callable[[], Numbering] | None = None) -> None:
        self.copy, self._counted = copy, counted
        self._variables: dict[int, tuple[Pou, dict[str, VariableDeclaration]]] = {}

    @cached_property
    def numbering(self) -> Numbering:
        """How words are counted: as somebody else found, else as this copy alone tells. Asked for at first use."""
        return self._counted() if self._counted else numbering.of(self.copy)

    @cached_property
    def pous(self) -> dict[str, Pou]:
        """POUs by folded name; the first of two with one name."""
        return _first((pou.name, pou) for pou in self.copy.program.pous)

    @cached_property
    def types(self) -> dict[str, DataType]:
        """User types by folded name."""
        return _first((type.name, type) for type in self.copy.program.types)

    @cached_property
    def globals(self) -> dict[str, VariableDeclaration]:
        """Global variables by folded name."""
        return _first((v.name, v) for block in self.copy.program.globals for v in block.variables)

    def variables(self, pou: Pou) -> dict[str, VariableDeclaration]:
        """Declarations of a POU by folded name; of two with one name the last. Not to be changed.

        Made once per POU: proofs ask for it at every changed rung. The POU is kept too, so that its id stays its own.
        """
        known = self._variables.get(id(pou))
        if known is None:
            known = self._variables[id(pou)] = pou, {v.name.lower(): v for v in pou.variables}
        return known[1]

    @cached_property
    def lists(self) -> frozenset[str]:
        """Folded names of the global lists."""
        return frozenset(block.name.lower() for block in self.copy.program.globals if block.name)

    @cached_property
    def tags(self) -> dict[str, Tag]:
        """Tags by folded name."""
        return _first((tag.name, tag) for table in self.copy.tables for tag in table.tags)

    @cached_property
    def declared(self) -> frozenset[str]:
        """Folded names that run code of the program and do not look like it: properties, and the standard's names."""
        pous = every_pou(self.copy.program.pous)
        return frozenset(p.name.lower() for p in pous if p.kind == "property" or standard.function(p.name))

    @cached_property
    def routines(self) -> frozenset[str]:
        """Folded names of methods, properties and actions: what is called so may write the variables of its block."""
        pous = list(every_pou(self.copy.program.pous))
        members = (p.name.lower() for p in pous if p.kind in ("method", "property"))
        return frozenset((*members, *(action.name.lower() for p in pous for action in p.actions)))

    @cached_property
    def reached_by_path(self) -> frozenset[str]:
        """Folded words of all access and configuration paths: what they name is written or started from outside."""
        variables = (v for block in self.copy.program.globals for v in block.variables)
        return frozenset(w for v in variables if v.section in ("access", "config")
                         for text in (v.name, v.address) for w in text.lower().split("."))  # fmt: skip

    def function(self, name: str) -> standard.Function | None:
        """The standard function of that name, which is none where the program declares it."""
        return None if name.lower() in self.declared else standard.function(name)

    def block(self, type: str) -> standard.Block | None:
        """The standard function block of that name, which is none where the program declares it."""
        return None if type.lower() in self.pous or type.lower() in self.types else standard.block(type)

    @cached_property
    def members(self) -> dict[str, dict[str, str]]:
        """Type of every member, by folded name of the type: pins and variables of a block, fields of a structure."""
        found = {name.lower(): block.pins for name, block in standard.BLOCKS.items()}
        for type in self.types.values():
            found[type.name.lower()] = {m.name.lower(): m.type for m in type.members}
        for pou in self.pous.values():
            found[pou.name.lower()] = self.locals_of(pou)
        return found

    def locals_of(self, pou: Pou | None) -> dict[str, str]:
        """Type of everything declared in a POU, by folded name; the result of a function goes by the POU's name."""
        if pou is None:
            return {}
        types = {v.name.lower(): v.type for v in pou.variables}
        if pou.result:
            types.setdefault(pou.name.lower(), pou.result)
        return types

    @cached_property
    def _memories(self) -> dict[str, Memory]:
        """Memory of global variables and tags, by folded name."""
        placed = [(tag.name, tag.address, tag.type) for tag in self.tags.values()]
        placed += [
            (v.name, v.address, v.type) for v in self.globals.values() if v.address or v.name.lower() not in self.tags
        ]
        return {name.lower(): self.numbering.at(address, type) for name, address, type in placed}

    def memory(self, name: str, pou: Pou | None) -> Memory | None:
        """Where a folded name (or a direct address) lies, seen from inside a POU; None when it has no address."""
        if name.startswith("%"):
            return self.numbering.at(name)
        own = next((v for v in pou.variables if v.name.lower() == name), None) if pou is not None else None
        if own is not None and own.section != "external":
            return self.numbering.at(own.address, own.type) if own.address else None
        return self._memories.get(name)

    def type_of(self, expression: Expression, local: dict[str, str]) -> str:
        """Type text of an access, empty when unknown; ``local`` is what :meth:`locals_of` gives."""
        match expression:
            case Variable(name):
                return self._variable(name.lower(), local)
            case Member(Variable(list_), name) if list_.lower() in self.lists and list_.lower() not in local:
                return self._variable(name.lower(), {})
            case Member(of, name):
                return self._member(self.type_of(of, local), name.lower())
            case Element(of, _):
                found = ELEMENT.fullmatch(self.resolved(self.type_of(of, local)))
                return found.group(1).strip() if found else ""
            case Dereference(of):
                found = _POINTER.fullmatch(self.resolved(self.type_of(of, local)))
                return found.group(1).strip() if found else ""
            case Direct(address):
                return _SIZES.get(address[2:3], "BOOL" if "." in address else "")
            case Invocation(Variable(name), _, _):
                pou = self.pous.get(name.lower())
                return pou.result if pou else ""
        return ""

    def block_of(self, of: Expression, local: dict[str, str], inside: Container[str]) -> str:
        """Folded name of the POU that an instance is of, or that is called by its name, unless ``inside`` has that."""
        type = self.resolved(self.type_of(of, local)).lower()
        if type in self.pous:
            return type
        name = of.name.lower() if isinstance(of, Variable) else ""
        return name if name in self.pous and name not in inside else ""

    def _variable(self, name: str, local: dict[str, str]) -> str:
        if name in local:
            return local[name]
        if name in self.globals:
            return self.globals[name].type
        return self.tags[name].type if name in self.tags else ""

    def _member(self, type: str, name: str) -> str:
        base = self.resolved(type).lower()
        if base in self.members:
            return self.members[base].get(name, "")
        if name.isdigit() or name.startswith("%x"):
            return "BOOL"
        return ""

    def subrange(self, type: str) -> str:
        """The subrange behind a type name, ``INT (0..9)``; empty when every value of the base type fits."""
        for _ in range(ALIASES):
            if "(" in type and ".." in type and not type.upper().startswith("ARRAY"):
                return type
            known = self.types.get(type.lower())
            if known is None or known.kind not in ("alias", "subrange") or not known.base:
                break
            type = known.base
        return ""

    def resolved(self, type: str) -> str:
        """The type behind aliases and subranges, at most so many of them."""
        for _ in range(ALIASES):
            known = self.types.get(type.lower())
            if known is None or known.kind not in ("alias", "subrange", "array") or not known.base:
                break
            type = known.base
        return type.split("(")[0].strip() if not type.upper().startswith("ARRAY") else type


def _first(pairs: Iterator[tuple[str, _T]]) -> dict[str, _T]:
    found: dict[str, _T] = {}
    for name, thing in pairs:
        found.setdefault(name.lower(), thing)
    return found


def inner_names(pou: Pou) -> frozenset[str]:
    """Folded names that a POU declares itself: variables (not external ones), actions, steps, members, its result."""
    names = [v.name for v in pou.variables if v.section != "external"]
    names += [a.name for a in (*pou.actions, *pou.transitions)]
    names += [m.name for m in pou.members]
    bodies = (*pou.bodies, *(a.body for a in pou.actions))
    names += [step.name for body in bodies if body.chart is not None for step in body.chart.steps]
    return frozenset((pou.name.lower(), *(n.lower() for n in names)))
