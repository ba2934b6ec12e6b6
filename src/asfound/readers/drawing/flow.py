"""From a drawing to statements: power flow and data flow as expressions, blocks run on demand.

Every sink asks for the value of its wires. A contact is its variable AND what reaches it; several wires into one point
are OR; a coil passes on its input, not its variable; a block runs once, just before the first sink that needs it, its
inputs in pin order, and a function keeps its result in a temporary (temporaries.py then puts it where it is used,
as far as that cannot change the meaning). A block that is asked for while it is being run (a feedback loop) answers
with the value of the last cycle.

Wires are followed without the interpreter's stack (unwinding.py), so that a rung may be of any length; what the values
look like is the job of drawn_expressions.py.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace

from asfound.language.parser import parse_expression
from asfound.language.standard import function
from asfound.model.logic import (
    Argument,
    Assign,
    Branch,
    Call,
    Edge,
    Expression,
    If,
    Invocation,
    Jump,
    Member,
    Operation,
    Return,
    Statement,
    Temporary,
    Unparsed,
    Variable,
)
from asfound.readers.drawing.drawn_expressions import (
    FALSE,
    TRUE,
    Factors,
    Measure,
    modified,
    operand,
    parallel,
    positional,
    series,
)
from asfound.readers.drawing.drawn_items import Diagram, Item, Pin, Wire
from asfound.readers.drawing.unwinding import Steps, finish

RESULT = ("", "out")


@dataclass(frozen=True)
class Run:
    """One statement and the drawn element it comes from."""

    item: Item
    statement: Statement


@dataclass
class Flow:
    """Evaluation of one diagram in one order. Mutable while it runs; use :func:`run`."""

    diagram: Diagram
    runs: list[Run] = field(default_factory=list)
    seen: set[int] = field(default_factory=set)
    started: set[int] = field(default_factory=set)
    temporaries: dict[tuple[int, str], int] = field(default_factory=dict)
    walking: set[int] = field(default_factory=set)
    memory: dict[tuple[Wire, ...], Factors] = field(default_factory=dict)
    used: dict[str, set[str]] = field(default_factory=dict)
    """Output pins of each block that some wire names."""
    guarded: set[str] = field(default_factory=set)
    """Blocks wired straight to an output variable, which is only written while the block is enabled."""
    connectors: dict[str, Item] = field(default_factory=dict)
    doubled: frozenset[str] = frozenset()
    """Instances that more than one block of the drawing calls."""
    calls: dict[str, list[int]] = field(default_factory=dict)
    """The blocks that call such an instance, in the order in which they were met."""
    done: set[int] = field(default_factory=set)
    measure: Measure = field(default_factory=Measure)

    # --- values ------------------------------------------------------------------------------------------------

    def power(self, wires: tuple[Wire, ...]) -> Factors:
        """What reaches a point: one wire, or several in parallel. No wire that leads anywhere is FALSE."""
        return finish(self._power(wires))

    def factors(self, item: Item, pin: str) -> Factors:
        """Value of an element seen from its right side, as factors of a series."""
        return finish(self._factors(item, pin))

    def _power(self, wires: tuple[Wire, ...]) -> Steps[Factors]:
        if wires in self.memory:
            return self.memory[wires]
        branches: list[Factors] = []
        for wire in dict.fromkeys(wires):
            source = self.diagram.get(wire)
            if source is not None and source.kind != "rightPowerRail":
                branches.append((yield self._factors(source, wire.pin)))
        found = parallel(branches)
        if len(branches) > 1 and found:
            self.measure.check(found[-1])
        self.memory[wires] = found
        return found

    def _factors(self, item: Item, pin: str) -> Steps[Factors]:
        self.seen.add(item.index)
        match item.kind:
            case "leftPowerRail":
                return ()
            case "contact":
                return (*(yield self._through(item)), modified(operand(item), item))
            case "coil":
                return (*(yield self._through(item)),)
            case "inVariable" | "inOutVariable":
                value = operand(item)
                inverted = item.negated or any(p.negated for p in item.outputs)
                return (modified(value, replace(item, negated=inverted)),)
            case "block":
                return ((yield self._output(item, pin)),)
            case "continuation":
                return (*(yield self._continued(item)),)
        return (Unparsed(f"{item.kind} {item.text}".strip()),)

    def _through(self, item: Item) -> Steps[Factors]:
        """Power into an element that passes power on; a loop of wires without any block cannot be resolved."""
        if not item.wires:
            return (FALSE,)
        if item.index in self.walking:
            return (Unparsed(f"wire loop at {item.text}"),)
        self.walking.add(item.index)
        found: Factors = yield self._power(item.wires)
        self.walking.discard(item.index)
        return found

    def _continued(self, item: Item) -> Steps[Factors]:
        connector = self.connectors.get(item.text.lower())
        if connector is None:
            return (Unparsed(f"connector {item.text}"),)
        self.seen.add(connector.index)
        return (*(yield self._through(connector)),)

    def _value(self, pin: Pin) -> Steps[Expression | None]:
        """Value at an input pin with its modifiers; None when nothing is wired to it."""
        if not pin.wires:
            return None
        value = series((yield self._power(pin.wires)))
        if pin.negated:
            value = Operation("NOT", (value,))
        return Edge(pin.edge, value) if pin.edge else value  # type: ignore[arg-type]

    # --- blocks ------------------------------------------------------------------------------------------------

    def _output(self, block: Item, pin: str) -> Steps[Expression]:
        yield self._run_block(block)
        name = pin or _first_output(block)
        drawn = next((p for p in block.outputs if p.name.lower() == name.lower()), Pin())
        if block.instance:
            value: Expression = Member(parse_expression(block.instance), name)
            if block.instance.lower() in self.doubled and block.index in self.done:
                value = self.temporary(block, name)
        elif name.lower() == "eno" and not _has_enable(block) and not _sets_eno(block):
            value = TRUE
        else:
            value = self.temporary(block, "" if _is_result(block, name) else name)
        if drawn.negated:
            value = Operation("NOT", (value,))
        return Edge(drawn.edge, value) if drawn.edge else value  # type: ignore[arg-type]

    def temporary(self, block: Item, pin: str) -> Temporary:
        """The wire that carries an output of a function from where it ran to where it is used."""
        key = (block.index, pin.lower())
        number = self.temporaries.setdefault(key, len(self.temporaries) + 1)
        return Temporary(number, f"{self._called(block)}.{pin.upper() or 'OUT'}")

    def _called(self, block: Item) -> str:
        """A block as the origin of a wire; calls of one instance are counted, each has wires of its own."""
        if not block.instance:
            return block.type or "block"
        calls = self.calls.setdefault(block.instance.lower(), [])
        if block.index not in calls:
            calls.append(block.index)
        return f"{block.instance}_{calls.index(block.index) + 1}"

    def run_block(self, block: Item) -> None:
        """Emit the statements of a block, once; asked for again while running, it does nothing."""
        finish(self._run_block(block))

    def _run_block(self, block: Item) -> Steps[None]:
        if block.index in self.started:
            return
        self.started.add(block.index)
        arguments: list[Argument] = []
        for pin in block.inputs:
            value = yield self._value(pin)
            if value is not None:
                arguments.append(Argument(pin.name, value))
        if block.instance:
            instance = parse_expression(block.instance)
            self._emit(block, Call(instance, block.type, tuple(arguments)))
            if block.instance.lower() in self.doubled:  # a later call must not change what this one's wires carry
                for out in sorted(self.used.get(block.id, ())):
                    self._emit(block, Assign(self.temporary(block, out), Member(instance, _spelled(block, out))))
            self.done.add(block.index)
        else:
            self._function(block, arguments)

    def _function(self, block: Item, arguments: list[Argument]) -> None:
        """A function: its result goes to a temporary; EN becomes the condition, ENO is its value (IEC 61131-3)."""
        enable = next((a.value for a in arguments if a.name.lower() == "en"), None)
        data = tuple(a for a in arguments if a.name.lower() != "en")
        used = self.used.get(block.id, set())
        condition = enable
        if enable is not None and ("eno" in used or block.id in self.guarded):
            condition = self.temporary(block, "eno")
            self._emit(block, Assign(condition, enable))
        if block.code:
            self._code(block, condition)
            if not data and not used - {"eno"}:
                return
        name = Variable(block.type) if block.type else Unparsed("block without a type")
        extra = sorted(p for p in used if not _is_result(block, p) and (p != "eno" or _sets_eno(block)))
        if extra or not any(_is_result(block, p) for p in used):
            outputs = tuple(Argument(p.upper(), self.temporary(block, p)) for p in extra)
            if any(_is_result(block, p) for p in used):
                outputs = (Argument("OUT", self.temporary(block, "")), *outputs)
            self._emit(block, Call(name, "", data, outputs, condition))
            return
        value = Invocation(name, positional(data, block))
        self._emit(block, Assign(self.temporary(block, ""), value, condition=condition))

    def _code(self, block: Item, condition: Expression | None) -> None:
        """A block that holds structured text of its own: it runs while EN is TRUE."""
        if condition is not None:
            self._emit(block, If((Branch(condition, block.code),)))
            return
        for statement in block.code:
            self._emit(block, statement)

    # --- sinks -------------------------------------------------------------------------------------------------

    def run_sink(self, item: Item) -> None:
        """Emit the statement of a coil, an output variable, a jump or a return."""
        self.seen.add(item.index)
        value = series(self.power(item.wires))
        match item.kind:
            case "jump":
                self._emit(item, Jump(item.text, None if value == TRUE else value))
            case "return":
                self._emit(item, Return(None if value == TRUE else value))
            case _:
                inverted = item.negated or any(p.negated for p in item.inputs)
                if inverted:
                    value = Operation("NOT", (value,))
                if item.edge:
                    value = Edge(item.edge, value)  # type: ignore[arg-type]
                kind = item.storage or "assign"
                self._emit(item, Assign(operand(item), value, kind, self._guard(item)))  # type: ignore[arg-type]

    def _guard(self, item: Item) -> Expression | None:
        if item.kind == "coil" or len(item.wires) != 1:
            return None
        source = self.diagram.get(item.wires[0])
        if source is None or source.kind != "block" or not _has_enable(source):
            return None
        if item.wires[0].pin.lower() == "eno":
            return None
        if source.instance:
            return Member(parse_expression(source.instance), "ENO")
        return self.temporary(source, "eno")

    def _emit(self, item: Item, statement: Statement) -> None:
        self.runs.append(Run(item, statement))


def run(diagram: Diagram, sinks: tuple[Item, ...], outside: tuple[Wire, ...] = ()) -> Flow:
    """Statements of a diagram for one order of sinks; see ``runs`` of the result.

    ``outside`` are wires into something that is not an item of the diagram (the condition of a transition).
    """
    called = [item.instance.lower() for item in diagram.items if item.kind == "block" and item.instance]
    flow = Flow(diagram, doubled=frozenset(name for name, n in Counter(called).items() if n > 1))
    for wire in outside:
        source = diagram.get(wire)
        if source is not None:
            flow.used.setdefault(source.id, set()).add((wire.pin or _first_output(source)).lower())
    for item in diagram.items:
        if item.kind == "connector":
            flow.connectors.setdefault(item.text.lower(), item)
        for pin in item.inputs:
            for wire in pin.wires:
                source = diagram.get(wire)
                if source is not None and source.kind == "block":
                    flow.used.setdefault(source.id, set()).add((wire.pin or _first_output(source)).lower())
                    if item.kind in ("outVariable", "inOutVariable") and len(pin.wires) == 1:
                        flow.guarded.add(source.id)
    for item in sinks:
        if item.kind == "block":
            flow.run_block(item)
        else:
            flow.run_sink(item)
    return flow


def _has_enable(block: Item) -> bool:
    return any(p.name.lower() == "en" and p.wires for p in block.inputs)


def _spelled(block: Item, pin: str) -> str:
    return next((p.name for p in block.outputs if p.name.lower() == pin), pin.upper())


def _sets_eno(block: Item) -> bool:
    """A function of the user's may take its ENO back (IEC 61131-3, 6.6.1.9), so it is not the value of its EN."""
    return function(block.type) is None and not block.code


def _first_output(block: Item) -> str:
    """The pin meant by a wire without a pin name: the first output that is not ENO (TC6 schema documentation)."""
    return next((p.name for p in block.outputs if p.name.lower() != "eno"), "")


def _is_result(block: Item, pin: str) -> bool:
    """Is a pin the value of the function (as against a further output)?"""
    if pin.lower() == "eno":
        return False
    others = [p.name for p in block.outputs if p.name.lower() != "eno"]
    return pin.lower() in (*RESULT, block.type.lower()) or [o.lower() for o in others] == [""]
