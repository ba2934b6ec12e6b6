"""Cross-reference: where a name or a direct address is declared, read, written and called.

What is asked for is first turned into everything it stands for (:class:`Meaning`): the name in every scope that
declares it, the addresses these names are tied to, every bit under these addresses, and every other name tied to one of
these bits. Then each access of the program is held against it, with the same rules of scope as :mod:`.flow`.
Cost: one walk over the program.
Known weakness: what is reached through a pointer or a reference is not followed; addresses whose bits depend on the
make (three numbers, no bit number) are found by their text only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal as Choice
from typing import NamedTuple

from msgspec.structs import replace

from asfound.analysis.argument_passing import Passed, Passing, by_reference
from asfound.analysis.canonical import folded
from asfound.analysis.dataflow import Node as Key
from asfound.analysis.dataflow import Scope
from asfound.analysis.leaves import declared_leaves
from asfound.analysis.located import MODULE, Located, located
from asfound.analysis.numbering import Numbering
from asfound.analysis.places import natural_path, top
from asfound.analysis.symbols import Symbols, inner_names
from asfound.language.addresses import Memory
from asfound.language.readable import expression as text
from asfound.language.readable import statements as printed
from asfound.language.types import type_words
from asfound.language.walk import expressions, parts
from asfound.model.copy import Copy
from asfound.model.logic import (
    Argument,
    Assign,
    Call,
    Dereference,
    Direct,
    Element,
    Expression,
    Invocation,
    Jump,
    Member,
    Node,
    Statement,
    Variable,
)
from asfound.model.problem import Problem, meant
from asfound.model.program import DataType, Pou
from asfound.readers.tables.operands import canonical

SCHEMA = "asfound/cross-reference/1"
How = Choice["declared", "used as type", "written", "read", "called"]
HEADS = {"if": ("IF", "THEN"), "case": ("CASE", "OF"), "loop": ("loop while or until", "")}
ORDER: tuple[How, ...] = ("declared", "used as type", "written", "read", "called")


class Use(Node, frozen=True, omit_defaults=False):
    """One use. ``name`` as it is written there, ``text`` the statement or declaration it stands in.

    ``perhaps`` when it is one only if words are counted in one of the ways that are possible.
    """

    access: How
    where: str
    path: tuple[str, ...]
    name: str
    text: str
    perhaps: bool = False


class CrossReference(Node, frozen=True, omit_defaults=False):
    """``also`` are other names and addresses that stand for the same memory, ``uses`` sorted by place.

    ``perhaps`` are those for which it hangs on how words are counted, ``counted`` says how, where that matters.
    """

    schema: str
    asked: str
    also: tuple[str, ...]
    perhaps: tuple[str, ...]
    counted: str
    uses: tuple[Use, ...]


@dataclass
class Meaning:
    """Everything that what was asked for stands for: nodes of :mod:`.flow`, folded texts, memory.

    Memory is met when it is so in each way to count that is possible, or (``widely``) in one of them.
    """

    numbering: Numbering
    widely: bool = False
    nodes: set[Key] = field(default_factory=set)
    texts: set[str] = field(default_factory=set)
    memory: set[Memory] = field(default_factory=set)

    def covers(self, memory: Memory) -> bool:
        """Does it share a bit with what is meant?"""
        met = ("yes", "unclear") if self.widely else ("yes",)
        return any(memory.meets(meant) in met for meant in self.memory)

    def declares(self, place: Located) -> bool:
        """Is it a declaration of what is meant, or of something at the same address?"""
        return place.key in self.nodes or self.covers(place.memory)


def cross_reference(copy: Copy, asked: str) -> CrossReference:
    """Every use of a name (``DOOR``, ``Pump.RUN``, ``Motor``) or an address (``%IX0.3``, ``%QW4``) in a copy.

    Names are compared without case. Raises :class:`Problem` when nothing in the copy is called so.

    >>> from asfound.readers.reading import read
    >>> found = cross_reference(read(b"PROGRAM P VAR a, b : BOOL; END_VAR a := b; END_PROGRAM", "p.st"), "B")
    >>> [(use.access, use.where) for use in found.uses]
    [('declared', 'P / b'), ('read', 'P / statement 1')]
    """
    symbols = Symbols(copy)
    places = located(copy, symbols.numbering)
    found, meant_ = _found(symbols, places, asked.strip()), asked.strip()
    operand = canonical(asked)
    if not found.uses and operand:  # written as tag tables of DIN 19239 write it, unless something is called so
        found, meant_ = _found(symbols, places, operand), operand
    wide = _found(symbols, places, meant_, widely=True) if symbols.numbering.counted == "unclear" else found
    if not wide.uses:
        near = meant(asked.strip(), [*(pou.name for pou in copy.program.pous), *(place.name for place in places)])
        raise Problem(
            f"nothing is called '{asked}', and no statement uses it",
            advice=f"{near}write a variable, tag, block or step, POU.NAME, or a direct address such as %IX0.3",
        )
    uses = found.uses | {replace(use, perhaps=True) for use in wide.uses - found.uses}
    perhaps = tuple(name for name in wide.also if name not in found.also)
    counted = symbols.numbering.sentence() if wide.placed else ""
    return CrossReference(SCHEMA, asked, found.also, perhaps, counted, tuple(sorted(uses, key=_place)))


class _Found(NamedTuple):
    """Every use of what a text means, and its other names; ``placed`` when it lies at an address."""

    uses: set[Use]
    also: tuple[str, ...]
    placed: bool


def _found(symbols: Symbols, places: Sequence[Located], asked: str, widely: bool = False) -> _Found:
    meaning, also = _meaning(symbols, places, asked, widely)
    uses = {_declared(place) for place in places if meaning.declares(place)}
    uses |= {*_blocks(symbols, places, meaning)}
    uses |= {use for pou in symbols.copy.program.pous for use in _in_pou(symbols, pou, meaning)}
    return _Found(uses, also, any(memory.text for memory in meaning.memory))


def _place(use: Use) -> tuple[object, ...]:
    return use.access not in ORDER[:2], natural_path(use.path), ORDER.index(use.access), use.name, use.text


# --- what is meant -----------------------------------------------------------------------------------------------


def _meaning(symbols: Symbols, places: Sequence[Located], asked: str, widely: bool) -> tuple[Meaning, tuple[str, ...]]:
    """What is meant, and in words what else has the same memory."""
    found = Meaning(symbols.numbering, widely, _nodes_called(symbols, asked.lower()), {asked.lower()})
    direct = symbols.numbering.at(asked)
    own = {place.memory for place in places if place.memory.text and place.key in found.nodes}
    found.memory |= own | ({direct} if direct.text else set())
    others = [p for p in places if p.key[0] != MODULE and p.key not in found.nodes and found.covers(p.memory)]
    found.nodes |= {place.key for place in others}
    also = {f"{p.name} ({p.memory.text})" for p in others} | {m.text for m in own - {direct}}
    return found, tuple(sorted(also))


def _nodes_called(symbols: Symbols, key: str) -> set[Key]:
    """Nodes of a folded name: in every scope that declares it, or in the one named before the dot."""
    head, dot, tail = key.rpartition(".")
    if not dot:
        inside = {(name, key) for name, pou in symbols.pous.items() if name != key and key in inner_names(pou)}
        return {("", key), *inside}
    found = {("", key)}
    if head in symbols.pous or head in symbols.types:
        found.add((head, tail))
    if head in symbols.lists:
        found.add(("", tail))
    return found


def _declared(place: Located) -> Use:
    return Use("declared", *place.place[:2], place.name, place.text)


def _blocks(symbols: Symbols, places: Sequence[Located], meaning: Meaning) -> Iterator[Use]:
    """POUs and types of this name, and the variables and program instances that are of such a type."""
    kinds: dict[str, DataType | Pou] = {**symbols.types, **symbols.pous}
    names = {name for scope, name in meaning.nodes if not scope and name in kinds}
    for thing in (kinds[name] for name in sorted(names)):
        yield Use("declared", *top(thing.name)[:2], thing.name, f"{thing.kind.replace('_', ' ')} {thing.name}")
    for place in places:
        if names & set(type_words(place.type)):
            yield Use("used as type", *place.place[:2], place.name, place.text)
    for resource in symbols.copy.program.resources:
        for instance in resource.instances:
            if (instance.type or instance.name).lower() in names:
                at = top(resource.name or "resource").down(f"program {instance.name}", f"instance:{instance.name}")
                task = f" by task {instance.task}" if instance.task else ""
                yield Use("called", *at[:2], instance.name, f"program {instance.name} run{task}")


# --- uses --------------------------------------------------------------------------------------------------------


def _in_pou(symbols: Symbols, pou: Pou, meaning: Meaning) -> Iterator[Use]:
    scope = Scope(symbols, pou, inner_names(pou))
    passing = Passing(symbols)
    for leaf, declaring in declared_leaves(pou):
        passed = list(passing.passed(leaf.statement, declaring))
        written = [touch for e in by_reference(passed) for touch in _target(scope, e)]
        written += (_pin(p) for p in passed if p.calling is not None and not p.argument.name)
        for access, expression, nodes in (*_touched(scope, leaf.statement), *written):
            if nodes & meaning.nodes or _by_address(expression, meaning) or _by_text(expression, meaning):
                yield Use(access, leaf.place.where, leaf.place.path, text(expression), _line(leaf.statement))


def _by_address(expression: Expression, meaning: Meaning) -> bool:
    while isinstance(expression, Member | Element | Dereference):
        expression = expression.of
    return isinstance(expression, Direct) and meaning.covers(meaning.numbering.at(expression.address))


def _by_text(expression: Expression, meaning: Meaning) -> bool:
    """Is the access, or what it is part of, written as was asked (``Motor.Q``)?"""
    while True:
        if folded(expression) in meaning.texts:
            return True
        if not isinstance(expression, Member | Element | Dereference):
            return False
        expression = expression.of


def _line(statement: Statement) -> str:
    """The statement on one line; the heads of branches, loops, steps and transitions (see leaves) as they are said."""
    match statement:
        case Jump(label, condition) if label.startswith("§") and condition is not None:
            word, tail = HEADS[label[1:]]
            return f"{word} {text(condition)} {tail}".strip()
        case Call(instance, type, inputs, outputs) if type.startswith("§"):
            return _head(type[1:], instance, [text(a.value) for a in inputs], [text(a.value) for a in outputs])
    return " ".join(printed((statement,)).split())


def _head(type: str, instance: Expression, read: list[str], written: list[str]) -> str:
    word, _, more = type.partition(" ")
    match word:
        case "for":
            return f"FOR {written[0]} := {' TO '.join(read[:2])}{''.join(f' BY {step}' for step in read[2:])} DO"
        case "arm":
            return f"CASE arm {', '.join(read)}"
        case "transition":
            return f"{', '.join(read[:-1])} -> {', '.join(written)} when {read[-1]}"
    return f"action {text(instance)} ({', '.join(more.split())}) of step {read[0]}"


Touch = tuple[How, Expression, set[Key]]


def _touched(scope: Scope, statement: Statement) -> Iterator[Touch]:
    """Every access of a leaf: what is done, to which expression, and the nodes it stands for."""
    if isinstance(statement, Assign):
        yield from _target(scope, statement.target)
        yield from _read(scope, statement.value)
        yield from _read(scope, statement.condition) if statement.condition is not None else ()
    elif isinstance(statement, Call):
        yield from _call(scope, statement.instance, statement.inputs, statement.outputs)
        yield from _read(scope, statement.condition) if statement.condition is not None else ()
    else:
        for expression in expressions(statement):
            yield from _read(scope, expression)


def _target(scope: Scope, target: Expression) -> Iterator[Touch]:
    yield "written", target, _nodes(scope, target)
    yield from _indexes(scope, target)


def _indexes(scope: Scope, access: Expression) -> Iterator[Touch]:
    while isinstance(access, Member | Element | Dereference):
        if isinstance(access, Element):
            for index in access.indexes:
                yield from _read(scope, index)
        access = access.of


def _read(scope: Scope, expression: Expression) -> Iterator[Touch]:
    if isinstance(expression, Variable | Direct | Member | Element | Dereference):
        yield "read", expression, _nodes(scope, expression)
        yield from _indexes(scope, expression)
    elif isinstance(expression, Invocation):
        yield from _call(scope, expression.function, expression.inputs, expression.outputs)
    else:
        for part in parts(expression):
            yield from _read(scope, part)


def _call(
    scope: Scope, instance: Expression, inputs: Iterable[Argument], outputs: Iterable[Argument]
) -> Iterator[Touch]:
    """A call runs its block, writes the pins that are wired and the variables its outputs go to."""
    type = scope.block(instance)
    yield "called", instance, _nodes(scope, instance) | ({("", type)} if type else set())
    for argument in inputs:
        if argument.name and type:
            yield "written", Member(instance, argument.name), {(type, argument.name.lower())}
        yield from _read(scope, argument.value)
    for argument in outputs:
        if argument.name and type:
            yield "read", Member(instance, argument.name), {(type, argument.name.lower())}
        yield from _target(scope, argument.value)


def _pin(passed: Passed) -> Touch:
    """The pin that an argument without a name is given to."""
    assert passed.calling is not None
    return "written", Member(passed.calling.function, passed.pin), {(passed.block, passed.pin)}


def _nodes(scope: Scope, access: Expression) -> set[Key]:
    """The node of an access and those of everything it is part of."""
    found = scope.access(access)
    while isinstance(access, Member | Element | Dereference):
        access = access.of
        found = found | scope.access(access)
    return found
