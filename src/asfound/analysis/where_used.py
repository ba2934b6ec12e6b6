"""Who uses a name: places by what is declared globally, inside a POU, as a member of a type, or as a type.

Cost: each index is one walk over the program, made when it is first asked for.
Known weakness: a member of something whose type is unknown counts as a use of every member of that name.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from asfound.analysis.argument_passing import Passing
from asfound.analysis.leaves import Leaf, declared_leaves, leaves
from asfound.analysis.mod_ref import called, qualified, spelled
from asfound.analysis.places import Place
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.types import type_words
from asfound.language.walk import reads, walk, writes
from asfound.model.logic import Call, Expression, Invocation, Member, Statement, Variable
from asfound.model.program import Pou, VariableDeclaration


class Use(NamedTuple):
    """A place that uses a type: of the folded POU ``owner``, in the declaration of ``variable`` or in its code.

    A program instance, which no POU declares, has no owner.
    """

    where: str
    owner: str = ""
    variable: str = ""


class Users:
    """Places that use a name, over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        self.symbols = symbols
        self._inside: dict[int, tuple[Pou, dict[str, tuple[str, ...]]]] = {}

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
        """The same in words."""
        return {name: tuple(place.where for place in places) for name, places in self.places_of_global.items()}

    @cached_property
    def places_of_global(self) -> dict[str, tuple[Place, ...]]:
        """Places that use a name declared outside the POU, by folded name, in program order."""
        found: dict[str, dict[str, Place]] = {}
        for pou in self.symbols.copy.program.pous:
            inside = inner_names(pou)
            for leaf in leaves(pou):
                for name in names_of(leaf, self.symbols.lists):
                    if name not in inside:
                        found.setdefault(name, {}).setdefault(leaf.place.where, leaf.place)
        return {name: tuple(places.values()) for name, places in found.items()}

    @cached_property
    def _members(self) -> dict[tuple[str, str], tuple[str, ...]]:
        """Places that use a member through an instance, by folded type (empty when unknown) and name."""
        found: dict[tuple[str, str], dict[str, None]] = {}
        passing = Passing(self.symbols)
        for pou in self.symbols.copy.program.pous:
            local = self.symbols.locals_of(pou)
            for leaf, declaring in declared_leaves(pou):
                unnamed = (p for p in passing.passed(leaf.statement, declaring) if p.pin and not p.argument.name)
                for key in (*self._reached(leaf.statement, local), *((p.block, p.pin) for p in unnamed)):
                    found.setdefault(key, {})[leaf.place.where] = None
        return {key: tuple(places) for key, places in found.items()}

    def _reached(self, statement: Statement, local: dict[str, str]) -> Iterator[tuple[str, str]]:
        for node in walk(statement):
            if isinstance(node, Member) and not self._is_list(node.of, local):
                yield self._owner(node.of, local), node.name.lower()
            elif isinstance(node, Invocation):
                type = spelled(node.function).lower()
                yield from ((type, a.name.lower()) for a in (*node.inputs, *node.outputs) if a.name)
        if isinstance(statement, Call):
            type = (statement.type or self._owner(statement.instance, local)).lower()
            yield from ((type, a.name.lower()) for a in (*statement.inputs, *statement.outputs) if a.name)

    def _is_list(self, of: Expression, local: dict[str, str]) -> bool:
        return isinstance(of, Variable) and (name := of.name.lower()) in self.symbols.lists and name not in local

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
    def _types(self) -> dict[str, tuple[Use, ...]]:
        found: dict[str, dict[Use, None]] = {}
        for pou in self.symbols.copy.program.pous:
            owner = pou.name.lower()
            for variable in pou.variables:
                use = Use(f"{pou.name} / {variable.name}", owner, variable.name.lower())
                for word in type_words(variable.type):
                    found.setdefault(word, {})[use] = None
            local = self.symbols.locals_of(pou)
            for leaf in leaves(pou):
                for type in called(leaf.statement, self.symbols, local):
                    found.setdefault(type, {})[Use(leaf.place.where, owner)] = None
        for resource in self.symbols.copy.program.resources:
            for instance in resource.instances:
                run = (instance.type or instance.name).lower()
                found.setdefault(run, {})[Use(f"program {instance.name}")] = None
        return {name: tuple(uses) for name, uses in found.items()}

    def uses_of_type(self, name: str) -> tuple[Use, ...]:
        """What declares, calls or runs a POU or a type."""
        return self._types.get(name.lower(), ())

    def of_type(self, name: str) -> tuple[str, ...]:
        """Places that declare, call or run a POU or a type."""
        return tuple(dict.fromkeys(use.where for use in self.uses_of_type(name)))

    def of_local(self, pou: Pou, name: str, at: Place | None = None) -> tuple[str, ...]:
        """Places that use a name declared in a POU (that stands ``at`` a place), inside it or through an instance."""
        inside = self._inside.get(id(pou))
        if inside is None or inside[0] is not pou:
            inside = pou, self._index(pou, at)
            self._inside[id(pou)] = inside
        return tuple(dict.fromkeys((*inside[1].get(name.lower(), ()), *self.of_member(pou.name, name))))

    def _index(self, pou: Pou, at: Place | None) -> dict[str, tuple[str, ...]]:
        found: dict[str, dict[str, None]] = {}
        for leaf in leaves(pou, at):
            for name in names_of(leaf, self.symbols.lists):
                found.setdefault(name, {})[leaf.place.where] = None
        return {name: tuple(places) for name, places in found.items()}


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


def names_of(leaf: Leaf, lists: frozenset[str]) -> frozenset[str]:
    """Everything a leaf reads or writes; ``List.Name`` counts as a use of ``Name`` too."""
    names = reads(leaf.statement) | writes(leaf.statement)
    if not names & lists:
        return names
    return names.union(qualified(leaf.statement, lists))
