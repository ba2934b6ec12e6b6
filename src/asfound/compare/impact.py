"""What a change can touch: the outputs that can be influenced through assignments and calls.

A graph of names: from everything a leaf reads, and from the conditions that decide whether it runs, to everything it
writes; both copies together, so that what was removed is followed as well. A pin or variable of a block is one node per
type, not per instance. From the names written by the changed piece the graph is walked to its end.
Cost: linear in the program once, then one walk per different set of starting names; only when behaviour changed.
Names whose addresses share a bit are one memory: what is written under one is read under the other; where it is not
known how words are counted, each way to count is followed.
Known weakness: an upper bound (all instances of a block count as one); references are not followed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from asfound.analysis.dataflow import Flow, Node
from asfound.analysis.located import memories
from asfound.analysis.numbering import different
from asfound.analysis.places import natural
from asfound.analysis.symbols import Symbols
from asfound.compare.context import Context
from asfound.compare.result import Change
from asfound.language.types import type_words

Graph = dict[Node, set[Node]]


def with_impact(context: Context, changes: list[Change]) -> list[Change]:
    """The same changes; those that may act differently or are undecided with the outputs they can influence, sorted."""
    if not any(map(_weighty, changes)):
        return changes
    graph = ImpactGraph(context)
    return [replace(c, reach=graph.of(c)) if _weighty(c) else c for c in changes]


def _weighty(change: Change) -> bool:
    return change.effect in ("behaviour", "undecided")


class ImpactGraph:
    """The graph of both copies, and names of outputs."""

    def __init__(self, context: Context) -> None:
        self.edges: Graph = {}
        self.written: dict[tuple[str, ...], set[Node]] = {}
        self.outputs: dict[Node, str] = {}
        self.shared: dict[Node, str] = {}
        self.typed: dict[str, set[Node]] = {}
        self.known: dict[frozenset[Node], tuple[str, ...]] = {}
        for symbols in (context.old, context.new):
            self._add(symbols)
        for one, other in _one_memory(context, self.edges):
            self.edges.setdefault(one, set()).add(other)
            self.edges.setdefault(other, set()).add(one)

    def _add(self, symbols: Symbols) -> None:
        flow = Flow(symbols)
        for pou in symbols.copy.program.pous:
            for path, read, written in flow.steps(pou):
                for node in read:
                    self.edges.setdefault(node, set()).update(written)
                for length in range(1, len(path) + 1):
                    self.written.setdefault(path[:length], set()).update(written)
        for word, nodes in _typed(symbols).items():
            self.typed.setdefault(word, set()).update(nodes)
        self.outputs.update(_outputs(symbols))
        self.shared.update({("", v): d.name for v, d in symbols.globals.items() if not d.constant})

    def of(self, change: Change) -> tuple[str, ...]:
        """Outputs that a change can influence."""
        start = frozenset(self._start(change))
        if start not in self.known:
            self.known[start] = self._walk(start)
        return self.known[start]

    def _start(self, change: Change) -> Iterator[Node]:
        *_, last = change.path
        kind = last.partition(":")[0]
        if kind in ("variable", "tag", "value", "force") and change.area != "datatype":
            scope = change.path[0].lower() if ":" not in change.path[0] else ""
            yield from ((scope, n.partition(".")[0]) for n in change.names)
        elif change.area == "datatype":
            yield from self.typed.get(change.path[0].partition(":")[2].lower(), ())
        elif kind == "channel":
            yield from (("", tag.lower()) for tag in (change.before, change.after) if tag)
        else:
            path = _deciding(change.path)
            lengths = range(len(path), min(1, len(path) - 1), -1)
            yield from next((self.written[path[:n]] for n in lengths if path[:n] in self.written), set())

    def _walk(self, start: Iterable[Node]) -> tuple[str, ...]:
        seen = set(start)
        stack = list(seen)
        while stack:
            for node in self.edges.get(stack.pop(), ()):
                if node not in seen:
                    seen.add(node)
                    stack.append(node)
        found = {self.outputs[n] for n in seen if n in self.outputs}
        found |= {node[1] for node in seen if node[1].startswith("%Q")}
        found = found or {self.shared[n] for n in seen if n in self.shared}
        return tuple(sorted(found, key=natural))


def _deciding(path: tuple[str, ...]) -> tuple[str, ...]:
    """The path of what a change can make run or not: a condition or label decides over the whole IF or CASE."""
    return path[:-1] if path[-1].startswith(("branch:", "arm:")) else path


def _typed(symbols: Symbols) -> dict[str, set[Node]]:
    """Names by the folded types that they hold, types inside types followed."""
    held = {t.name.lower(): {w for text in (t.base, *(m.type for m in t.members)) for w in type_words(text)}
            for t in symbols.types.values()}  # fmt: skip
    found: dict[str, set[Node]] = {}
    for scope, variables in (("", symbols.globals.values()), *((n, p.variables) for n, p in symbols.pous.items())):
        for variable in variables:
            if variable.section != "external":
                waiting, seen = type_words(variable.type), set[str]()
                while waiting:
                    word = waiting.pop()
                    if word not in seen:
                        seen.add(word)
                        waiting += held.get(word, ())
                        found.setdefault(word, set()).add((scope, variable.name.lower()))
    return found


def _one_memory(context: Context, edges: Graph) -> Iterator[tuple[Node, Node]]:
    """Pairs of nodes whose memory overlaps: for each way to count one sweep over the spans, sorted by their begin."""
    nodes = {node for read, written in edges.items() for node in (read, *written) if node[1].startswith("%")}
    placed = {(node, context.numbering.at(node[1])) for node in nodes}
    placed |= {each for s in (context.old, context.new) for each in memories(s.copy, context.numbering)}
    rows = [(node, m.area, m.spans) for node, m in placed if m.spans]
    for column in different([spans for _, _, spans in rows]):
        yield from _sweep(sorted((area, spans[column].start, spans[column].stop, node) for node, area, spans in rows))
    by_text: dict[str, Node] = {}
    for node, memory in sorted(placed, key=lambda each: each[0]):
        if not memory.spans and memory.text:
            yield by_text.setdefault(memory.text, node), node


def _sweep(spans: Iterable[tuple[str, int, int, Node]]) -> Iterator[tuple[Node, Node]]:
    running: list[tuple[str, int, Node]] = []
    for area, start, stop, node in spans:
        running = [each for each in running if each[0] == area and each[1] > start]
        yield from ((other, node) for _, _, other in running if other != node)
        running.append((area, stop, node))


def _accessed(symbols: Symbols) -> Iterator[tuple[Node, str]]:
    """What other stations read through access paths (VAR_ACCESS of IEC 61131-3): ``Cpu.P1.LEVEL``, ``Cpu.LEVEL``."""
    instances = {i.name.lower(): i.type.lower() for r in symbols.copy.program.resources for i in r.instances}
    paths = (v for block in symbols.copy.program.globals for v in block.variables if v.section == "access")
    for variable in paths:
        *owners, name = variable.address.lower().split(".")
        owner = next((instances[word] for word in reversed(owners) if word in instances), "")
        yield (owner, name), f"{variable.name} (access path {variable.address})"


def _outputs(symbols: Symbols) -> Iterator[tuple[Node, str]]:
    for tag in symbols.tags.values():
        if tag.address.upper().startswith("%Q"):
            yield ("", tag.name.lower()), f"{tag.name} ({tag.address})"
    for variable in symbols.globals.values():
        if variable.address.upper().startswith("%Q"):
            yield ("", variable.name.lower()), f"{variable.name} ({variable.address})"
    yield from _accessed(symbols)
    for pou in symbols.pous.values():
        for variable in pou.variables:
            node = (pou.name.lower(), variable.name.lower())
            if variable.address.upper().startswith("%Q"):
                yield node, f"{pou.name}.{variable.name} ({variable.address})"
            elif variable.section == "output" and pou.kind in ("program", "function_block"):
                yield node, f"{pou.name}.{variable.name}"
