"""From what to what each leaf of a POU leads, through instances (see names).

Names are told as seen inside the POU, so that it is walked once however many instances there are; :mod:`.instance_tree`
knows these, and :mod:`.reach` puts the two together. Each call of a function is an instance of its own.
Cost: one walk over the program. Known weakness: a reference to anything but a block is not followed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from asfound.analysis.argument_passing import Calling, Passed, calls
from asfound.analysis.leaves import Conditions, Leaf, declared_leaves
from asfound.analysis.names import RUN, STEER, Names, Outside, Ref
from asfound.analysis.symbols import Symbols
from asfound.language.walk import expressions, parts, walk
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
    Label,
    Literal,
    Member,
    Statement,
    Temporary,
    Variable,
)
from asfound.model.program import Pou

_STAYS = (Assign, Call, Label)


Parts = frozenset[Ref]


class Step(NamedTuple):
    """One leaf: its path, from what to what it leads, and all that it writes."""

    path: tuple[str, ...]
    flows: tuple[tuple[Parts, Parts], ...]
    writes: Parts


class Flow(Outside):
    """Reads and writes over one copy."""

    def __init__(self, symbols: Symbols) -> None:
        super().__init__(symbols)
        self.called: dict[str, dict[str, str]] = {}
        """By folded POU: the functions it calls, by the name of their instance."""
        self.handed: dict[str, dict[tuple[Ref, Ref], None]] = {}
        """By folded POU: a pin that stands for an instance, and the instance that is given to it."""
        self.given: dict[str, set[tuple[str, str]]] = {}
        """By folded POU: block and pin of these."""

    def steps(self, pou: Pou) -> Iterator[Step]:
        """Every leaf of a POU, those of its members with it."""
        leaves = list(declared_leaves(pou))
        steered = any(map(_steers, (leaf.statement for leaf, _ in leaves)))
        views: dict[int, View] = {}
        for leaf, declaring in leaves:
            if id(declaring) not in views:
                views[id(declaring)] = View(self, pou, declaring)
            yield views[id(declaring)].step(leaf, steered)


def _steers(statement: Statement) -> bool:
    """A jump, a return, or what nobody understands; the heads of branches and loops lead back."""
    head = isinstance(statement, Jump) and statement.label.startswith("§")
    return not isinstance(statement, _STAYS) and not head


class View(Names):
    """What the leaves lead from and to that one POU, or a member of it, declares the names of."""

    def __init__(self, flow: Flow, pou: Pou, declaring: Pou) -> None:
        super().__init__(flow, pou, declaring)
        self.flow = flow
        self.site = ""
        self._known: dict[int, tuple[Conditions, frozenset[Ref]]] = {}

    def step(self, leaf: Leaf, steered: bool) -> Step:
        """What one leaf leads from and to: what decides whether it runs leads to all that it writes."""
        statement = leaf.statement
        decides = set(self._conditions(leaf.conditions))
        if self.declaring is not self.pou:
            decides.add((self.declaring.name.lower(),))
        elif not any(part.startswith("action:") for part in leaf.place.path[1:2]):
            decides.add((RUN,))
        if steered:
            decides.add((STEER,))
        self.site = _site(statement)
        if isinstance(statement, Assign | Call) and statement.condition is not None:
            decides |= self.reads(statement.condition)
        read, written = self._plain(statement)
        flows: list[tuple[Iterable[Ref], Iterable[Ref]]] = []
        runs: set[Ref] = set()
        for calling in calls(statement):
            ran = self._runs(calling)
            runs |= ran
            for each in self.passing.arguments(calling, self.declaring):
                flows += self._handed(each, ran)
            flows += [(self._outgoing(calling, a), self.access(a.value)) for a in calling.outputs]
        whole = runs.union(written, *(there for _, there in flows))
        flows += [(read, written), (decides, whole)]
        told = tuple((frozenset(a), frozenset(map(_to_any, b))) for a, b in flows if a and b)
        return Step(leaf.place.path, told, frozenset(map(_to_any, whole)))

    def _plain(self, statement: Statement) -> tuple[set[Ref], set[Ref]]:
        """What a leaf reads and writes besides what its calls hand over."""
        match statement:
            case Assign(target, value, _, _):
                indexes = (i for n in walk(target) if isinstance(n, Element) for i in n.indexes)
                return self.reads(value) | self._all(indexes), self.access(target)
            case Call(instance, type, inputs, outputs, _) if type.startswith("§"):
                written = self.access(instance).union(*(self.access(a.value) for a in outputs))
                return self._all(a.value for a in inputs), written
            case Call():
                return set(), set()
        return self._all(expressions(statement)), {(STEER,)} if _steers(statement) else set()

    def _handed(self, passed: Passed, ran: set[Ref]) -> Iterator[tuple[Iterable[Ref], Iterable[Ref]]]:
        """From an argument to its pin, and back if it is given by reference; without a pin to the whole call."""
        value = passed.argument.value
        if not passed.pin:
            yield self.reads(value), ran
            return
        pin = self._pin(passed)
        yield self.reads(value), {pin}
        if passed.how in ("reference", "written"):
            yield {pin}, self.access(value)
        if passed.how != "value":
            yield {pin}, ran
        if type := self.block(value):
            self.flow.handed.setdefault(self.pou.name.lower(), {})[pin, self.instance(value, type)] = None
            self.flow.given.setdefault(self.pou.name.lower(), set()).add((passed.block, passed.pin))

    def _outgoing(self, calling: Calling, argument: Argument) -> set[Ref]:
        """What an output of a call reads."""
        callee = self.passing.callee(calling, self.declaring)
        if not argument.name or not isinstance(callee, Pou):
            return self._all(a.value for a in calling.inputs) | self.access(calling.function)
        placed = self.flow.placed(callee.name.lower()).get(argument.name.lower())
        return {placed or (*self._called_at(calling, callee), argument.name.lower())}

    def _conditions(self, conditions: Conditions) -> frozenset[Ref]:
        """What conditions read; those around several leaves are the same tuple."""
        known = self._known.get(id(conditions))
        if known is None:
            self.site = ""
            known = self._known[id(conditions)] = conditions, frozenset().union(*map(self.reads, conditions))
        return known[1]

    # --- expressions -------------------------------------------------------------------------------------------

    def reads(self, e: Expression) -> set[Ref]:
        """What an expression reads."""
        match e:
            case Variable() | Direct() | Temporary():
                return self.access(e)
            case Member():
                indexes = [i for n in walk(e) if isinstance(n, Element) for i in n.indexes]
                return self.access(e).union(*map(self.reads, indexes)) if indexes else self.access(e)
            case Invocation(Member() as function, _, _):
                return self.access(function)
            case Invocation(Variable(name), inputs, outputs) if name.lower() in self.names:
                return {self.names[name.lower()]}
            case Invocation(Variable(name) as function, inputs, outputs) if name.lower() in self.symbols.pous:
                calling = Calling(function, "", inputs, outputs)
                return {(*self._called_at(calling, self.symbols.pous[name.lower()]), name.lower())}
            case Invocation(_, inputs, _):
                return self._all(a.value for a in inputs)
            case Literal():
                return set()
        return self._all(parts(e))

    def _all(self, several: Iterable[Expression]) -> set[Ref]:
        found: set[Ref] = set()
        for e in several:
            found |= self.reads(e)
        return found

    def _runs(self, calling: Calling) -> set[Ref]:
        if type := self.block(calling.function):
            if self.symbols.pous[type].kind != "function":
                return {(*self.instance(calling.function, type), RUN)} | self.access(calling.function)
            return {(*self._called_at(calling, self.symbols.pous[type]), RUN)}
        function = calling.function
        if isinstance(function, Variable):
            key = function.name.lower()
            if key not in self.names and key not in self.local and key not in self.symbols.globals:
                return set()
        return self.access(function)

    def _called_at(self, calling: Calling, callee: Pou) -> Ref:
        """Where what is called has its variables."""
        function, name = calling.function, callee.name.lower()
        if callee.kind == "function":
            site = f"{self.site}:{name}"
            self.flow.called.setdefault(self.pou.name.lower(), {})[site] = name
            return (site,)
        if name in self.symbols.pous and self.symbols.pous[name] is callee:
            return self.instance(function, name)
        if isinstance(function, Member) and (type := self.block(function.of)):
            return (*self.instance(function.of, type), name)
        return (name,)

    def _pin(self, passed: Passed) -> Ref:
        assert passed.calling is not None
        callee = self.passing.callee(passed.calling, self.declaring)
        assert isinstance(callee, Pou)
        placed = self.flow.placed(callee.name.lower()).get(passed.pin)
        return placed or (*self._called_at(passed.calling, callee), passed.pin)


def _to_any(ref: Ref) -> Ref:
    """What is written to any instance of a type goes to each; what is read from any comes from each."""
    return (f">{ref[0][1:]}", *ref[1:]) if ref[0][:1] == "*" else ref


def _site(statement: Statement) -> str:
    """What tells the calls of one function apart: the name that gets the result."""
    match statement:
        case Assign(target):
            of = target
        case Call(instance):
            of = instance
        case _:
            return ""
    while isinstance(of, Member | Element | Dereference):
        of = of.of
    return of.name.lower() if isinstance(of, Variable) else f"_v{of.number}" if isinstance(of, Temporary) else ""
