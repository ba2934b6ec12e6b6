"""Whose member a name is: through instances, references, THIS and SUPER, and what a block inherits.

Only renames look that far: where a member is not known to belong to a type, nothing wrong follows, the use is told.
Cost: a look-up for each step of an access.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from asfound.analysis.mod_ref import spelled
from asfound.analysis.symbols import Symbols, inner_names
from asfound.compare.renames.texts import Map
from asfound.language.types import type_words
from asfound.model.logic import Dereference, Expression, Member, Variable
from asfound.model.program import Pou

DEEPEST = 16
"""How far a chain of base blocks is followed."""
_REFERENCE = re.compile(r"REFERENCE\s+TO\s+(.+)", re.IGNORECASE | re.DOTALL)
Locals = Mapping[str, Map]


class Members(Symbols):
    """What the names of a copy stand for, seen by whoever has to follow a rename."""

    def owners(self, type: str) -> Iterator[str]:
        """Folded names of a type behind aliases and references, and of what it extends."""
        found = self._plain(type).lower()
        for _ in range(DEEPEST):
            yield found
            pou = self.pous.get(found)
            if pou is None or not pou.extends:
                break
            found = pou.extends.lower()

    def _plain(self, type: str) -> str:
        reference = _REFERENCE.fullmatch(self.resolved(type))
        return self.resolved(reference.group(1).strip()) if reference else self.resolved(type)

    def _member(self, type: str, name: str) -> str:
        for owner in self.owners(type):
            if name in self.members.get(owner, {}):
                return self.members[owner][name]
            if owner in self.pous and (found := _property(self.pous[owner], name)):
                return found
        return super()._member(self._plain(type), name)

    def seen_in(self, pou: Pou) -> dict[str, str]:
        """Types of what a POU sees besides what it declares: the own instance, and what it inherits."""
        base = f"POINTER TO {pou.extends}" if pou.extends else ""
        found = {"this": f"POINTER TO {pou.name}", "super": base}
        for owner in reversed([*self.owners(pou.name)][1:]):
            found |= self.members.get(owner, {})
        return found

    def names_inside(self, pou: Pou) -> frozenset[str]:
        """Folded names that a POU inherits."""
        bases = [self.pous[owner] for owner in [*self.owners(pou.name)][1:] if owner in self.pous]
        return frozenset(name for base in bases for name in inner_names(base) - {base.name.lower()})

    def inherited(self, pou: Pou, locals: Locals) -> dict[str, str]:
        """Renames of what a POU inherits."""
        found: dict[str, str] = {}
        for owner in reversed([*self.owners(pou.name)][1:]):
            found |= locals.get(owner, {})
        return found

    def renamed(self, type: str, name: str, locals: Locals) -> str:
        """The new name of a member of a type, as the nearest of its bases that declares it calls it now."""
        for owner in self.owners(type) if type else ():
            if name.lower() in locals.get(owner, {}):
                return locals[owner][name.lower()]
            if owner in self.pous and name.lower() in inner_names(self.pous[owner]):
                break
        return name

    def called(self, callee: Expression, local: dict[str, str], owner: str) -> str:
        """The folded path of what a call runs: ``pump`` for an instance or an action, ``pump.reset`` for a method."""
        match callee:
            case Variable(name) if name.lower() not in local:
                method = self._method(owner, name.lower())
                return method or name.lower()
            case Member(of, name) if method := self._method(self.type_of(of, local), name.lower()):
                return method
        type = self.type_of(callee, local)
        return self._plain(type).lower() if type else spelled(callee).lower()

    def _method(self, type: str, name: str) -> str:
        for owner in self.owners(type) if type else ():
            if owner in self.pous and any(m.name.lower() == name for m in self.pous[owner].members):
                return f"{owner}.{name}"
            if owner in self.pous and any(a.name.lower() == name for a in self.pous[owner].actions):
                return owner
        return ""

    def pins(self, path: str, locals: Locals) -> Map:
        """Renames of what can be connected to what a path names."""
        found: dict[str, str] = {}
        for owner in reversed([*self.owners(path)]) if path and "." not in path else (path,):
            found |= locals.get(owner, {})
        return found

    def values_alone(self, locals: Locals) -> dict[str, str]:
        """New names of values of enumerations where no type stands before them, which then have to be the only ones."""
        found: dict[str, set[str]] = {}
        for type in self.types.values():
            for value in type.values:
                new = locals.get(type.name.lower(), {}).get(value.name.lower(), value.name)
                found.setdefault(value.name.lower(), set()).add(new)
        return {old: new for old, names in found.items() if len(names) == 1 for new in names if new.lower() != old}

    def reached(self, type: str, locals: Locals) -> dict[str, str]:
        """New names of members that an initial value of a type can name: of every type inside of it."""
        found: dict[str, set[str]] = {}
        waiting, seen = [w.lower() for w in type_words(type)] if locals else [], set[str]()
        while waiting:
            word = waiting.pop()
            if word not in seen:
                seen.add(word)
                inside = self.members.get(word, {})
                for name in inside:
                    found.setdefault(name, set()).add(locals.get(word, {}).get(name, name))
                known = self.types.get(word)
                texts = (*inside.values(), known.base if known else "")
                waiting += [w.lower() for text in texts for w in type_words(text)]
        return {old: new for old, names in found.items() if len(names) == 1 for new in names if new.lower() != old}

    def is_variable(self, name: str) -> bool:
        """Does a global variable, or a tag, have a folded name?"""
        return name in self.globals or name in self.tags

    def type_of(self, expression: Expression, local: dict[str, str]) -> str:
        """The same as anywhere, and that of the own instance without a ``^``."""
        match expression:
            case Dereference(Variable(name)) if name.lower() in ("this", "super"):
                return local.get(name.lower(), "").removeprefix("POINTER TO ")
        return super().type_of(expression, local)


def _property(pou: Pou, name: str) -> str:
    return next((m.result for m in pou.members if m.kind == "property" and m.name.lower() == name), "")
