"""How the program uses tags and addresses: inputs that are written, outputs with several writers, unused, undeclared.

Every leaf of the program (analysis.leaves) is asked once for what it reads and writes; what a call is given on an
in/out pin is written there. Weakness: what is reached through a pointer or a reference is not followed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import NamedTuple

from asfound.analysis.argument_passing import Passing, by_reference
from asfound.analysis.leaves import Leaf, declared_leaves, leaves
from asfound.analysis.located import located
from asfound.analysis.places import Place
from asfound.analysis.symbols import Symbols, inner_names
from asfound.analysis.where_used import Users
from asfound.checks.findings import Finding, Severity, finding
from asfound.language.addresses import Memory
from asfound.language.standard import BLOCKS
from asfound.language.types import type_words
from asfound.language.walk import every_pou, root, walk, writes
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Call, Variable
from asfound.model.program import Pou

_NAME = re.compile(r"[^\W\d]\w*")
_TEMPORARY = re.compile(r"_v\d+")


class Write(NamedTuple):
    """One place that writes an address. ``piece`` is the rung, network, statement or chart it belongs to."""

    memory: Memory
    name: str
    kind: str
    place: Place
    pou: str
    piece: tuple[str, ...]


class Usage:
    """Uses of one copy, looked up by every inspection of this module."""

    def __init__(self, copy: Copy) -> None:
        self.copy = copy
        self.symbols = Symbols(copy)
        self.uses = Users(self.symbols).places_of_global
        self.passing = Passing(self.symbols)

    @cached_property
    def globally(self) -> dict[str, Memory]:
        """Memory of every name that is declared outside of POUs and has an address, by folded name."""
        found = [p for p in located(self.copy, self.symbols.numbering) if p.memory.text and p.key[0] == ""]
        return {p.name.lower(): p.memory for p in reversed(found)}

    @cached_property
    def spelled(self) -> dict[str, str]:
        """Names as they are declared, or else written first, by folded name."""
        found = {
            node.name.lower(): node.name
            for pou in reversed(self.copy.program.pous)
            for leaf in leaves(pou)
            for node in walk(leaf.statement)
            if isinstance(node, Variable)
        }
        return found | {p.name.lower(): p.name for p in reversed(located(self.copy, self.symbols.numbering))}

    @cached_property
    def written(self) -> tuple[Write, ...]:
        """Every write to an address, in program order."""
        return tuple(write for pou in self.copy.program.pous for write in self._in(pou))

    def _in(self, pou: Pou) -> Iterator[Write]:
        inside = inner_names(pou)
        own = {v.name.lower(): self.symbols.numbering.at(v.address, v.type) for v in pou.variables if v.address}
        for leaf, declaring in declared_leaves(pou):
            given = {root(e) for e in by_reference(self.passing.passed(leaf.statement, declaring))}
            for name in sorted((_targets(leaf) | given) - {""}):
                memory = self.symbols.numbering.at(name) if name.startswith("%") else own.get(name)
                if memory is None and name not in inside:
                    memory = self.globally.get(name)
                if memory is not None and memory.text:
                    yield Write(
                        memory,
                        self.spelled.get(name, name),
                        _kind(leaf),
                        leaf.place,
                        pou.name,
                        _piece(leaf.place.path),
                    )


def _piece(path: tuple[str, ...]) -> tuple[str, ...]:
    """The way to the rung, network or statement at the top; all steps of a chart are one piece."""
    for at, step in enumerate(path):
        if step.startswith(("network:", "statement:")):
            return path[: at + 1]
        if step.startswith(("step:", "transition:")) and at:
            return (*path[:at], "chart")
    return path


def _targets(leaf: Leaf) -> frozenset[str]:
    """Folded roots a leaf writes; the instance of a call counts only where it is an action of a chart."""
    found = writes(leaf.statement)
    if isinstance(leaf.statement, Call) and not leaf.statement.type.startswith("§action"):
        outputs = {root(a.value) for a in leaf.statement.outputs}
        return found - ({root(leaf.statement.instance)} - outputs)
    return found


def _kind(leaf: Leaf) -> str:
    if isinstance(leaf.statement, Assign):
        return "plain" if leaf.statement.kind == "assign" else leaf.statement.kind
    if isinstance(leaf.statement, Call) and leaf.statement.type.startswith("§action"):
        qualifier = leaf.statement.type.split()[1:2]
        return {"S": "set", "R": "reset"}.get(qualifier[0] if qualifier else "N", "plain")
    return "plain"


def inputs_written(copy: Copy) -> Iterator[Finding]:
    """Statements that write an input."""
    found: dict[str, list[Write]] = {}
    for write in Usage(copy).written:
        if write.memory.area == "I":
            found.setdefault(write.memory.text, []).append(write)
    for address, several in found.items():
        text = f"input {_named(several[0], address)} is written in {several[0].place.where}" + _more(len(several))
        reason = "the next reading of the inputs usually overwrites it; what is wired there is not seen until then"
        yield finding("inputs written", "warning", several[0].place, text, reason, [w.place.where for w in several])


def _named(write: Write, address: str) -> str:
    return address if write.name.startswith("%") else f"{write.name} ({address})"


def _more(count: int) -> str:
    return "" if count == 1 else f" and in {count - 1} more place{'s' if count > 2 else ''}"


def outputs_written_twice(copy: Copy) -> Iterator[Finding]:
    """Outputs that several rungs, networks or statements write; set and reset may well stand in different places."""
    writes_ = [w for w in Usage(copy).written if w.memory.area == "Q"]
    groups: dict[str, list[Write]] = {}
    for write in writes_:
        groups.setdefault(write.memory.text, []).append(write)
    for address, own in groups.items():
        wider = [w for w in writes_ if w.memory.text != address and _holds(w.memory, own[0].memory)]
        several = [*own, *wider]
        pieces = {w.piece for w in several}
        plain = [w for w in several if w.kind not in ("set", "reset")]
        if len(pieces) < 2 or not plain:
            continue
        one_text = len({w.pou for w in several}) == 1 and all(p[-1].startswith("statement:") for p in pieces)
        severity: Severity = "note" if one_text else "warning"
        text = f"output {_named(own[0], address)} is written in {len(pieces)} places"
        reason = "later statements override earlier ones; often meant so in structured text"
        if severity == "warning":
            reason = "the last one that runs usually decides; what runs between sees the others"
        evidence = [f"{w.place.where} ({w.kind})" + (f" as {w.memory.text}" if w in wider else "") for w in several]
        yield finding("outputs written", severity, own[0].place, text, reason, evidence)


def _holds(larger: Memory, smaller: Memory) -> bool:
    if larger.meets(smaller) != "yes" or not larger.spans or not smaller.spans:
        return False
    return len(larger.spans[0]) > len(smaller.spans[0])


def unused(copy: Copy) -> Iterator[Finding]:
    """Tags that no statement names and whose address no statement uses directly."""
    if not copy.program.pous or not copy.tables:
        return
    usage = Usage(copy)
    addresses = {Memory.at(name).text for name in usage.uses if name.startswith("%")}
    told: set[str] = set()
    for table in copy.tables:
        free = [t for t in table.tags if t.name and t.name.lower() not in usage.uses]
        free = [t for t in free if Memory.at(t.address).text not in addresses]
        left = [words for t in free if (words := f"{t.name} ({t.address})" if t.address else t.name) not in told]
        told.update(left)
        if left:
            text = f"{len(left)} of {len(table.tags)} tags of table {table.name} are used by no statement"
            reason = "spare, used by another device only, or left over"
            yield finding(
                "unused tags", "note", Place(f"tag table {table.name}", (f"tags:{table.name}",)), text, reason, left
            )


def undeclared(copy: Copy) -> Iterator[Finding]:
    """Names that statements use and nothing declares, and addresses without a tag."""
    if not copy.program.pous:
        return
    usage = Usage(copy)
    known = _declared(usage.symbols)
    missing = {
        usage.spelled.get(name, name): places
        for name, places in sorted(usage.uses.items())
        if name not in known and _NAME.fullmatch(name) and not _TEMPORARY.fullmatch(name)
    }
    if copy.tables or copy.program.globals:
        reason = "a download would be refused, or it belongs to a library that is not part of this copy"
        for word, places in missing.items():
            text = f"{word} is used and declared nowhere"
            yield finding("undeclared", "warning", places[0], text, reason, [place.where for place in places])
    elif missing:
        lines = [f"{word}: {_first(places)}" for word, places in missing.items()]
        text = f"{len(missing)} names are declared in no file of this copy: {', '.join(list(missing)[:5])}"
        reason = "global variables and tags are in another export"
        yield finding("undeclared", "note", next(iter(missing.values()))[0], text, reason, lines)
    yield from _bare(usage)


def _first(places: Sequence[Place]) -> str:
    return ", ".join(place.where for place in places[:3])


def _declared(symbols: Symbols) -> set[str]:
    known = {*symbols.globals, *symbols.tags, *symbols.pous, *symbols.types, *symbols.lists, *map(str.lower, BLOCKS)}
    program = symbols.copy.program
    known |= {value.name.lower() for type in program.types for value in type.values}
    known |= {i.name.lower() for r in program.resources for i in r.instances}
    known |= {r.name.lower() for r in program.resources}
    known |= {p.namespace.lower() for p in program.pous} | {lib.name.lower() for lib in program.libraries}
    known |= {name for p in program.pous for m in every_pou(p.members) for name in inner_names(m)}
    bases = {p.extends.lower() for p in program.pous if p.extends}
    known |= {name for p in program.pous if p.name.lower() in bases for name in inner_names(p)}
    typed = [v.type for p in program.pous for v in p.variables] + [v.type for v in symbols.globals.values()]
    known |= {word for type in typed if type.startswith("(") for word in type_words(type)}
    return known | {"this", "super", "true", "false", "null", "eno", "en", ""}


def _bare(usage: Usage) -> Iterator[Finding]:
    """Direct addresses in statements that have no tag."""
    if not usage.copy.tables:
        return
    named = {memory.text for memory in usage.globally.values()}
    bare = {
        name: places
        for name, places in sorted(usage.uses.items())
        if name.startswith("%") and Memory.at(name).text not in named
    }
    if bare:
        lines = [f"{Memory.at(name).text or name}: {_first(places)}" for name, places in bare.items()]
        text = f"{len(bare)} addresses are used without a tag"
        reason = "nothing says what is wired there"
        yield finding("undeclared", "note", next(iter(bare.values()))[0], text, reason, lines)
