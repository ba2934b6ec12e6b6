"""Literals and enumerators as values."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from asfound.analysis.canonical import folded, literal_key
from asfound.language.elementary import INTEGERS
from asfound.language.literals import value as literal_value
from asfound.model.logic import Expression, Member, Variable
from asfound.prove.encoder import Value
from asfound.prove.memory import Memory
from asfound.prove.sorts import FLOATS


class Constants(Memory):
    """What has one value at any time."""

    def literal(self, content: str, want: str) -> Value:
        """A literal; ``want`` is the type expected where it has none of its own."""
        kind, found = literal_value(content)
        prefix = content.split("#", maxsplit=1)[0].upper()
        if kind == "bool" or (kind == "int" and want == "BOOL" and found in (0, 1)):
            return Value(self.encoder.truth(bool(found)), "BOOL")
        if kind == "int" and isinstance(found, int):
            type = prefix if prefix in INTEGERS else want if want in INTEGERS or want in FLOATS else "LINT"
            return self.numbers.real(found, type) if type in FLOATS else self.numbers.whole(found, type)
        if kind == "duration" and isinstance(found, int):
            return self.numbers.whole(found, "TIME")
        if kind == "real" and isinstance(found, int | Fraction):
            type = prefix if prefix in FLOATS else want if want in FLOATS else "LREAL"
            return self.numbers.real(found, type)
        found_enum = self.side.enumerators.get(content.lower()) if kind == "enum" else None
        if found_enum:
            return self._enumerated(found_enum)
        return Value(self._unlike(content), "")

    def _unlike(self, content: str) -> Any:
        """A string, date or the like: two of one kind are known to differ."""
        kind, _ = literal_value(content)
        others = [term for name, term in self.encoder.constants.values() if literal_value(name)[0] == kind]
        term = self.encoder.constant(content, literal_key(content))
        if kind.endswith("string") and not any(term.eq(other) for other in others):
            self.encoder.facts += [term != other for other in others]
        return term

    def enumerator(self, e: Expression) -> Value | None:
        """A name that is declared nowhere but in an enumeration."""
        key = folded(e)
        known = self.side.enumerators.get(key) if isinstance(e, Variable | Member) else None
        if known is None:
            return None
        name = key.partition(".")[0]
        declared = self.side.variables(self.frame.pou)
        globals_ = self.side.symbols.globals
        if name in self.frame.bound or name in declared or name in globals_ or name in self.side.symbols.tags:
            return None
        return self._enumerated(known)

    def _enumerated(self, known: tuple[str, int]) -> Value:
        type, number = known
        names = self.side.names[type]
        terms = [self.encoder.constant(name, f"{type}#{n}") for n, name in enumerate(names)]
        if len(terms) > 1 and type not in self.encoder.declared:
            self.encoder.declared.add(type)
            self.encoder.facts.append(self.encoder.z3.Distinct(terms))
        return Value(terms[number], "ENUM")
