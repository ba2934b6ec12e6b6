"""From what is written to the outputs: a graph of names through instances, assignments and calls.

From everything a leaf reads, and from the conditions that decide whether it runs, to everything it writes. One graph
for both copies, so that what was removed is followed as well. Names at one address are one name, and those whose
addresses share a bit are one memory; where it is not known how words are counted, each way to count is followed.
Cost: linear in the program times the instances of its blocks, once; then one walk per different set of starting names.
Known weakness: an upper bound; a reference to a block counts as one to each block of that type.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

from asfound.analysis.influence import Flow
from asfound.analysis.instance_tree import MOST, Instances
from asfound.analysis.located import memories
from asfound.analysis.names import Ref
from asfound.analysis.numbering import Numbering, different
from asfound.analysis.outputs import Names, Output
from asfound.analysis.places import natural
from asfound.analysis.symbols import Symbols
from asfound.model.program import Pou

KINDS = ("physical", "access path", "block", "global")
"""Of outputs, in the order in which they are told; a global variable is one where nothing else can be touched."""
LEAVING = frozenset(("physical", "access path"))
"""Kinds that leave the controller. Where there are any, the way is told to them alone."""
NEAREST = 3
"""Outputs of a kind to which the way is told."""


Steps = dict[tuple[frozenset[Ref], frozenset[Ref]], None]
"""From what to what the leaves lead, each once."""


class Reached(NamedTuple):
    """An output and the names on the way to it, where it is told: what is written first, the output last."""

    output: Output
    way: tuple[str, ...]


class Side:
    """One copy: its instances, and what each path of each POU writes.

    POUs that are ``same`` in another copy, with all they call and hold, are not walked again.
    """

    def __init__(self, symbols: Symbols, other: Side | None = None, same: frozenset[str] = frozenset()) -> None:
        self.symbols, self.flow = symbols, Flow(symbols)
        self.walked: dict[str, tuple[Steps, dict[tuple[str, ...], set[Ref]]]] = {}
        if other is not None and self.flow.around == other.flow.around:
            theirs = other.symbols.pous
            mine = Counter(pou.name.lower() for pou in symbols.copy.program.pous)
            for name in (n for n in same if mine[n] == 1 and symbols.pous[n] == theirs.get(n)):
                self.walked[name] = other.walked[name]
                self.flow.called[name] = other.flow.called.get(name, {})
                self.flow.handed[name] = other.flow.handed.get(name, {})
                self.flow.given[name] = other.flow.given.get(name, set())
        known = frozenset(self.walked)
        for pou in symbols.copy.program.pous:
            if pou.name.lower() not in known:
                self._walk(pou)
        self.instances = Instances(symbols, self.flow)

    def _walk(self, pou: Pou) -> None:
        steps, written_at = self.walked.setdefault(pou.name.lower(), ({}, {}))
        for path, flows, written in self.flow.steps(pou):
            steps.update(dict.fromkeys(flows))
            for length in range(1, len(path) + 1):
                written_at.setdefault(path[:length], set()).update(written)

    def written(self, path: tuple[str, ...]) -> set[Ref] | None:
        """What the leaves at a path, or inside of it, write; None where there is none."""
        return self.walked.get(path[0].lower(), ({}, {}))[1].get(path)


class Graph:
    """The graph of some copies."""

    def __init__(self, sides: Sequence[Side], numbering: Numbering) -> None:
        self.sides = sides
        self.ids: dict[Ref, int] = {}
        self.refs: list[Ref] = []
        self.readers: list[list[int]] = []
        self.writes: list[tuple[int, ...]] = []
        self.known: dict[tuple[int, ...], tuple[Reached, ...]] = {}
        self.outputs: dict[int, tuple[Output, ...]] = {}
        self.ranks: dict[Output, int] = {}
        self.looked_at = 0
        self.spelled: dict[int, str] = {}
        self.shared = {place: one for side in sides for place, one in side.instances.shared.items()}
        self.instances = frozenset().union(*(side.instances.of for side in sides))
        self.crowded = any(len(side.instances.of) >= MOST for side in sides)
        self.entangled = False
        """Whether instances are handed on in a circle, or too often, to be followed to the end."""
        self.places: dict[str, list[Ref]] = {}
        """Where each POU runs, by its folded name, also as the base of another one."""
        self._fill()
        self.names = Names([(side.symbols, side.instances) for side in sides])
        self._link_handed()
        self._link_any()
        for here, there in (*_one_memory(sides, numbering, self.ids), *self.names.bound):
            self._link(here, there)

    def _fill(self) -> None:
        of: dict[Ref, dict[str, None]] = {}
        for side in self.sides:
            for place, name in side.instances.of.items():
                of.setdefault(place, {}).update(dict.fromkeys(side.instances.kinds(name)))
        for place, kinds in of.items():
            for kind in kinds:
                self.places.setdefault(kind, []).append(place)
        for name, places in self.places.items():
            steps = {step: None for side in self.sides for step in side.walked.get(name, ({}, {}))[0]}
            ordered = [(sorted(read), sorted(written)) for read, written in steps]
            for place in places:
                for read, written in ordered:
                    self._leaf([self.at(place, ref) for ref in read], [self.at(place, ref) for ref in written])

    def _leaf(self, read: Iterable[Ref], written: Iterable[Ref]) -> None:
        number = len(self.writes)
        self.writes.append(tuple(map(self._id, written)))
        for ref in read:
            self.readers[self._id(ref)].append(number)

    def _id(self, ref: Ref) -> int:
        number = self.ids.get(ref)
        if number is None:
            number = self.ids[ref] = len(self.refs)
            self.refs.append(ref)
            self.readers.append([])
        return number

    def at(self, place: Ref, ref: Ref) -> Ref:
        """What a name inside a POU stands for at one of its places."""
        whole = ref if ref[0][:1] in ("", "*", ">") else (*place, *ref)
        for length in range(1, len(whole)) if self.shared else ():
            if whole[:length] in self.shared:
                return (*self.shared[whole[:length]], *whole[length:])
        return whole

    def with_inside(self, ref: Ref) -> Iterator[Ref]:
        """A name, and all inside of it where it is an instance."""
        yield ref
        if ref in self.instances:
            yield from (each for each in self.refs if each[: len(ref)] == ref)

    def _link(self, here: Ref, there: Ref) -> None:
        if here in self.ids or there in self.ids:
            self._leaf([here], [there])
            self._leaf([there], [here])

    def _link_any(self) -> None:
        """Tie what belongs to any instance of a type to each of them."""
        for ref in [ref for ref in self.refs if ref[0][:1] in ("*", ">")]:
            for place in self.places.get(ref[0][1:], ()):
                one = (*place, *ref[1:])
                self._leaf(*(([one], [ref]) if ref[0][0] == "*" else ([ref], [one])))

    def _link_handed(self) -> None:
        """Tie what is inside of a pin that stands for an instance to what is inside of the instance given to it."""
        pairs = [pair for side in self.sides for name, given in side.flow.handed.items()
                 for place in self.places.get(name, ()) for pin, one in given
                 for pair in product(self._each(place, pin), self._each(place, one))]  # fmt: skip
        tied: dict[Ref, list[Ref]] = {}
        for pin, one in dict.fromkeys(pairs):
            tied.setdefault(pin, []).append(one)
            tied.setdefault(one, []).append(pin)
        deepest, most = 2 * max(map(len, self.refs), default=0), len(self.refs) + 10 * MOST
        for ref in self.refs if tied else ():  # which grows, without end where a block is handed to itself
            if len(ref) > deepest or len(self.refs) > most:
                self.entangled = True
                continue
            for length in range(len(ref)):
                for other in tied.get(ref[:length], ()):
                    self._leaf([ref], [(*other, *ref[length:])])

    def _each(self, place: Ref, ref: Ref) -> list[Ref]:
        """Where an instance stands, or each one of a type."""
        if ref[0][:1] != "*":
            return [self.at(place, ref)]
        return [(*one, *ref[1:]) for one in self.places.get(ref[0][1:], ())]

    def reached(self, start: Iterable[Ref]) -> tuple[Reached, ...]:
        """What can be touched from some names, the nearest first in each kind."""
        begin = tuple(self._id(ref) for ref in sorted(set(start)))
        if begin not in self.known:
            self.known[begin] = self._reached(begin)
        return self.known[begin]

    def _reached(self, begin: tuple[int, ...]) -> tuple[Reached, ...]:
        came, order = self._walk(begin)
        outputs = self._outputs()
        found = [(output, node) for node in order if node in outputs for output in outputs[node]]
        kinds = {output.kind for output, _ in found}
        told = [kind for kind in KINDS if kind in kinds and (kind != "global" or len(kinds) == 1)]
        rows: list[Reached] = []
        for kind in told:
            of_kind = [(output, node) for output, node in found if output.kind == kind]
            if kind in LEAVING or not rows:
                rows += self._with_ways(came, of_kind)
            else:
                rows += [Reached(output, ()) for output, _ in of_kind]
        return tuple(rows)

    def _with_ways(self, came: dict[int, int], found: list[tuple[Output, int]]) -> list[Reached]:
        ways = [(output, self._way(came, node, output.name)) for output, node in found]
        ways.sort(key=lambda each: (len(each[1]), self.ranks[each[0]]))
        return [Reached(output, way if number < NEAREST else ()) for number, (output, way) in enumerate(ways)]

    def _walk(self, begin: tuple[int, ...]) -> tuple[dict[int, int], list[int]]:
        """From where each node was come to first, and the nodes by their distance."""
        came = dict.fromkeys(begin, -1)
        passed = bytearray(len(self.writes))
        order = list(begin)
        readers, writes = self.readers, self.writes
        for node in order:
            for leaf in readers[node]:
                if not passed[leaf]:
                    passed[leaf] = 1
                    for target in writes[leaf]:
                        if target not in came:
                            came[target] = node
                            order.append(target)
        return came, order

    def _outputs(self) -> dict[int, tuple[Output, ...]]:
        """The outputs among the nodes so far."""
        if self.looked_at < len(self.refs):
            for node in range(self.looked_at, len(self.refs)):
                if found := self.names.outputs(self.refs[node]):
                    self.outputs[node] = found
            self.looked_at = len(self.refs)
            named = sorted({o for each in self.outputs.values() for o in each}, key=lambda o: (natural(o.name), o))
            self.ranks = {output: number for number, output in enumerate(named)}
        return self.outputs

    def _way(self, came: dict[int, int], node: int, last: str) -> tuple[str, ...]:
        names = [last]
        node = came[node]
        while node >= 0:
            name = self.spelled.get(node)
            if name is None:
                name = self.spelled[node] = self.names.spelled(self.refs[node])
            if name and name != names[-1]:
                names.append(name)
            node = came[node]
        names.reverse()
        return tuple(names)


def _one_memory(sides: Sequence[Side], numbering: Numbering, ids: dict[Ref, int]) -> Iterator[tuple[Ref, Ref]]:
    """Pairs of addresses whose memory overlaps: for each way to count one sweep over the spans, sorted by begin."""
    placed = {numbering.at(ref[1]) for ref in ids if not ref[0] and ref[1].startswith("%")}
    placed |= {memory for side in sides for _, memory in memories(side.symbols.copy, numbering)}
    rows = [(("", m.text), m.area, m.spans) for m in placed if m.spans]
    found: set[tuple[Ref, Ref]] = set()
    for column in different([spans for _, _, spans in rows]):
        found.update(_sweep(sorted((area, spans[column].start, spans[column].stop, ref) for ref, area, spans in rows)))
    return iter(sorted(found))


def _sweep(spans: Iterable[tuple[str, int, int, Ref]]) -> Iterator[tuple[Ref, Ref]]:
    running: list[tuple[str, int, Ref]] = []
    for area, start, stop, ref in spans:
        running = [each for each in running if each[0] == area and each[1] > start]
        yield from ((other, ref) for _, _, other in running if other != ref)
        running.append((area, stop, ref))
