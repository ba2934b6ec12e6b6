"""What a change can touch: the outputs that can be influenced through assignments and calls (see analysis/reach).

A change begins with what its piece writes, in the old copy and in the new one, each at the place where it stands there;
a condition with what it decides over, a declaration with its name, a type with all that is of it.
Cost: that of the graph, only when behaviour changed.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec.structs import replace

from asfound.analysis.names import Ref, address
from asfound.analysis.reach import LEAVING, Graph, Side
from asfound.analysis.symbols import Symbols
from asfound.compare.context import Context
from asfound.compare.result import Change, Reached
from asfound.compare.wording.logic import PIN_FIELDS
from asfound.compare.wording.phrases import differences
from asfound.language.types import type_words


def with_impact(context: Context, changes: list[Change]) -> list[Change]:
    """The same changes; those that may act differently or are undecided with the outputs they can influence."""
    if not any(map(_weighty, changes)):
        return changes
    impact = Impact(context)
    return [impact.told(c) if _weighty(c) else c for c in changes]


def _weighty(change: Change) -> bool:
    return change.effect in ("behaviour", "undecided")


class Impact:
    """The graph of both copies, and where each change begins in it."""

    def __init__(self, context: Context) -> None:
        self.old = Side(context.old)
        self.new = Side(context.new, self.old, context.same)
        self.graph = Graph((self.old, self.new), context.numbering)
        context.budget.crowded |= self.graph.crowded
        context.budget.entangled |= self.graph.entangled
        self.typed: dict[str, set[Ref]] | None = None
        self.known: dict[int, tuple[tuple[Reached, ...], tuple[str, ...]]] = {}

    def told(self, change: Change) -> Change:
        """The change with the outputs that it can influence."""
        found = self.graph.reached(self._start(change))
        told = self.known.get(id(found))
        if told is None:
            reached = tuple(Reached(output.kind, output.name, output.at, way) for output, way in found)
            leading = tuple(r for r in reached if r.kind in LEAVING or r.kind == reached[0].kind)
            told = self.known[id(found)] = leading, tuple(map(label, reached))
        return replace(change, reached=told[0], reach=told[1])

    def _start(self, change: Change) -> Iterator[Ref]:
        kind = change.path[-1].partition(":")[0]
        if change.area == "datatype":
            yield from self._of_type(change.path[0].partition(":")[2].lower())
        elif kind in ("variable", "tag", "value", "force"):
            for name in change.names:
                yield from self._named(change, name)
        elif kind == "channel":
            for tag in (change.before, change.after):
                yield from self._outside((tag or "").lower())
        else:
            pins = _pins(change)
            if change.kind != "added":
                yield from self._written(self.old, change.old_path or change.path, pins)
            if change.kind != "removed":
                yield from self._written(self.new, change.path, pins)

    def _written(self, side: Side, path: tuple[str, ...], pins: frozenset[str]) -> Iterator[Ref]:
        deciding = _deciding(path)
        lengths = range(len(deciding), min(1, len(deciding) - 1), -1)
        found = next((refs for n in lengths if (refs := side.written(deciding[:n])) is not None), set())
        for ref in {ref for ref in found if ref[-1] in pins} or found:
            yield from self._everywhere(path[0].lower(), ref)

    def _everywhere(self, pou: str, ref: Ref) -> Iterator[Ref]:
        yield from (self.graph.at(place, ref) for place in self.graph.places.get(pou, ()))

    def _named(self, change: Change, name: str) -> Iterator[Ref]:
        """The variable of a declaration, a tag, a value or a force, as each copy knows it."""
        owner, *inside = change.path[:-1] or ("",)
        if ":" in owner or not owner:
            yield from self._outside(name)
            return
        members = [step.partition(":")[2].lower() for step in inside]
        for side in (self.old, self.new):
            placed = side.flow.placed(owner.lower()).get(name)
            if placed is not None and not members:
                yield placed
        for ref in self._everywhere(owner.lower(), (*members, name)):
            yield from self.graph.with_inside(ref)

    def _outside(self, name: str) -> Iterator[Ref]:
        """A folded name of a tag, a global variable, an address, or ``program.block.variable``."""
        if not name:
            return
        for side in (self.old, self.new):
            yield address(name) or side.flow.at_top(name)
            first, *rest = name.split(".")
            if rest:
                yield side.flow.at_top(first)
                place = side.instances.programs.get(first, (first,))
                yield from ((*place, *rest), ("", first, *rest), side.flow.at_top(rest[0]))
        yield from self.graph.with_inside(("", name))

    def _of_type(self, name: str) -> set[Ref]:
        """All variables that are of a folded type, or hold it."""
        if self.typed is None:
            self.typed = {}
            for side in (self.old, self.new):
                for word, owner, variable in _typed(side.symbols):
                    found = self.typed.setdefault(word, set())
                    placed = side.flow.placed(owner).get(variable) if owner else side.flow.at_top(variable)
                    found.update([placed] if placed else self._everywhere(owner, (variable,)))
        return self.typed.get(name, set())


def label(reached: Reached) -> str:
    """``RUN (%QX0.0)``, ``seen (access path R.I.aside)``, ``Main.cylinder.DO_Extend``."""
    if not reached.at or reached.at == reached.name:
        return reached.name
    what = "access path " if reached.kind == "access path" else ""
    return f"{reached.name} ({what}{reached.at})"


def _deciding(path: tuple[str, ...]) -> tuple[str, ...]:
    """The path of what a change can make run or not: a condition or label decides over the whole IF or CASE."""
    return path[:-1] if path[-1].startswith(("branch:", "arm:")) else path


def _pins(change: Change) -> frozenset[str]:
    """Folded names of the pins of a call when nothing else differs."""
    told = differences(change.edits)
    return frozenset(e.of.lower() for e in told) if all(e.field in PIN_FIELDS for e in told) else frozenset()


def _typed(symbols: Symbols) -> Iterator[tuple[str, str, str]]:
    """Folded type, owner and name of all that holds the type, types inside types followed."""
    held = {t.name.lower(): {w for text in (t.base, *(m.type for m in t.members)) for w in type_words(text)}
            for t in symbols.types.values()}  # fmt: skip
    for owner, variables in (("", symbols.globals.values()), *((n, p.variables) for n, p in symbols.pous.items())):
        for variable in variables:
            if variable.section != "external":
                waiting, seen = type_words(variable.type), set[str]()
                while waiting:
                    word = waiting.pop()
                    if word not in seen:
                        seen.add(word)
                        waiting += held.get(word, ())
                        yield word, owner, variable.name.lower()
