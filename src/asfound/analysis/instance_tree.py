"""The instances of the blocks of a copy: where each stands, from the programs and global variables inwards.

A program is called by its name, or by those of its instances when it has several; a block that nothing holds is one
instance, called by its name, and so is one inside of itself.
Cost: linear in the instances, of which at most :data:`MOST` are told apart; the others count as one per type.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.analysis.influence import Flow
from asfound.analysis.names import Ref
from asfound.analysis.symbols import ELEMENT, Symbols
from asfound.model.program import Pou, VariableDeclaration

MOST = 10_000
"""Instances that are followed one by one."""
_DEEPEST = 16
"""Structures inside each other; more is a circle."""
_NESTED = 60
"""Blocks inside each other."""


class Instances:
    """``of`` is the folded POU of each place, ``shared`` the place that stands for one that is not told apart."""

    def __init__(self, symbols: Symbols, flow: Flow) -> None:
        self.symbols, self.flow = symbols, flow
        self.given = frozenset().union(*flow.given.values())
        self.of: dict[Ref, str] = {}
        self.shared: dict[Ref, Ref] = {}
        self.programs: dict[str, Ref] = {}
        """Places of program instances, by folded name."""
        pous = symbols.pous
        for name in (name for name, pou in pous.items() if pou.kind == "program"):
            for place in self._runs(name):
                self._grow(place, pous[name], ())
        for key, variable in symbols.globals.items():
            for inside, pou in self._held(variable.type):
                self._grow(("", key, *inside), pou, ())
        self._left_over()

    def _runs(self, name: str) -> list[Ref]:
        """Where a program stands: once for each of its instances, if there are several."""
        resources = self.symbols.copy.program.resources
        runs = [(r.name, i.name) for r in resources for i in r.instances if (i.type or i.name).lower() == name]
        names = [run for _, run in runs]
        for resource, run in runs:
            place = (name,) if len(runs) == 1 else (run.lower(),)
            if names.count(run) > 1:
                place = (f"{resource}.{run}".lower(),)
            self.programs.setdefault(run.lower(), place)
            self.programs[f"{resource}.{run}".lower()] = place
        return [self.programs[f"{resource}.{run}".lower()] for resource, run in runs] or [(name,)]

    def _left_over(self) -> None:
        """Blocks and functions that nothing holds or calls, those inside each other in a circle last."""
        missing = self.symbols.pous.keys() - set(self.of.values())
        inner = {n for m in missing for n in self._inside(self.symbols.pous[m]) if n != m}
        for name in (*sorted(missing - inner), *sorted(missing & inner)):
            if name not in inner or name not in set(self.of.values()):
                self._grow((name,), self.symbols.pous[name], ())

    def _inside(self, pou: Pou) -> set[str]:
        held = {inner.name.lower() for _, v in self._variables(pou) for _, inner in self._held(v.type)}
        return held | set(self.flow.called.get(pou.name.lower(), {}).values())

    def _grow(self, place: Ref, pou: Pou, around: tuple[str, ...]) -> None:
        name = pou.name.lower()
        if place in self.of:
            return
        if name in around or len(around) >= _NESTED or len(self.of) >= MOST:
            self.shared[place] = (name,)
            if (name,) in self.of:
                return
            place = (name,)
        self.of[place] = name
        inside = (*around, name)
        for at, variable in self._variables(pou):
            for path, inner in self._held(variable.type):
                self._grow((*place, *at, *path), inner, inside)
        for site, function in self.flow.called.get(name, {}).items():
            self._grow((*place, site), self.symbols.pous[function], inside)

    def _variables(self, pou: Pou) -> Iterator[tuple[Ref, VariableDeclaration]]:
        """Variables that may hold an instance; not those whose instance stands elsewhere, since a call gives it."""
        for each in self.flow.passing.chain(pou):
            for at, owner in ((), each), *(((member.name.lower(),), member) for member in each.members):
                for variable in owner.variables:
                    pin = owner.name.lower(), variable.name.lower()
                    if variable.section != "external" and pin not in self.given:
                        yield (*at, pin[1]), variable

    def _held(self, type: str, depth: int = 0) -> Iterator[tuple[Ref, Pou]]:
        """Paths and POUs of the instances that a variable of a type is or holds."""
        resolved = self.symbols.resolved(type)
        key = resolved.lower()
        if key in self.symbols.pous:
            if self.symbols.pous[key].kind not in ("interface", "program"):
                yield (), self.symbols.pous[key]
        elif found := ELEMENT.fullmatch(resolved):
            yield from self._held(found.group(1).strip(), depth + 1)
        elif key in self.symbols.types and depth < _DEEPEST:
            for member in self.symbols.types[key].members:
                for path, pou in self._held(member.type, depth + 1):
                    yield (member.name.lower(), *path), pou

    def kinds(self, name: str) -> Iterator[str]:
        """Folded names of what a POU is: itself, what it extends and implements."""
        pou = self.symbols.pous.get(name)
        for each in self.flow.passing.chain(pou) if pou is not None else ():
            yield each.name.lower()
            yield from (word.lower() for word in each.implements)
