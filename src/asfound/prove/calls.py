"""Calls: functions, function blocks and actions are followed into; what cannot be entered stays uninterpreted.

A called block works on the locations of its instance, a function on locations of its own; arguments by reference are
the locations that were passed. A block whose code is not known, or is the same in both copies but cannot be followed,
gives equal results for equal state, equal inputs and an equal world: the values that were written outside before it,
and the calls of its kind before it. Afterwards every variable outside of the body may have changed, in a way known
only by that world.
Cost: a call costs its body. Known weakness: a block called in more than ``MAX_DEPTH`` levels is not entered.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from asfound.language.elementary import INTEGERS, TIMES, initial_value
from asfound.language.readable import expression as text
from asfound.language.walk import names_in, root
from asfound.model.logic import (
    Argument,
    Call,
    Direct,
    Element,
    Expression,
    Invocation,
    Literal,
    Member,
    Repeat,
    Variable,
    Verbatim,
    While,
)
from asfound.model.program import Body, Pou, VariableDeclaration
from asfound.model.tree import STATEMENTS
from asfound.prove.encoder import Encoder, Hidden, Unordered, Unsupported, Value
from asfound.prove.evaluate import Evaluator
from asfound.prove.locations import OUTSIDE, Frame, exposed
from asfound.prove.proof_side import Location, Side, array
from asfound.prove.standard_blocks import standard

if TYPE_CHECKING:
    from collections.abc import Iterator

MAX_DEPTH = 5
PASSED = (Variable, Member, Element, Direct)
"""What can be passed by reference."""


class Caller(Evaluator):
    """Adds calls; ``same`` names the blocks (folded) that are equal in both copies with all they call."""

    same: frozenset[str] = frozenset()

    def __init__(self, encoder: Encoder, side: Side, label: str, private: frozenset[str]) -> None:
        super().__init__(encoder, side, label, private)
        self.world: Any = encoder.input("§world", "world", "")
        self.log: list[tuple[str, Any]] = []
        self.entered: set[str] = set()
        self.functions_entered = 0

    @abstractmethod
    def run_body(self, body: Body) -> None:
        """Execute a whole body (see execute)."""

    @contextmanager
    def inside(self, frame: Frame, condition: Any) -> Iterator[None]:
        """Run in another frame while a condition holds; a RETURN in it ends there."""
        outer, active, reached = self.frame, self.active, self.reached
        if frame.depth > MAX_DEPTH:
            raise Unsupported("blocks are called too deeply")
        self.frame, self.active = frame, self.encoder.both(active, condition)
        yield
        self.frame, self.active, self.reached = outer, active, reached

    def call(self, call: Call) -> None:
        """A call as a statement."""
        instance = call.instance
        pou = self.frame.pou
        if isinstance(instance, Variable):
            name = instance.name.lower()
            action = next((a for a in pou.actions if a.name.lower() == name), None) if pou is not None else None
            if action is not None and not (call.inputs or call.outputs):
                return self._act(action.body, call.condition)
            function = self.side.symbols.pous.get(name)
            if function is not None and function.kind == "function":
                self.known(instance)
                condition = self._condition(call.condition, ())
                self._function(function, call.inputs, call.outputs, condition)
                return None
        return self._block(call)

    def _act(self, body: Body, condition: Expression | None) -> None:
        term = self._condition(condition, ())
        frame = Frame(**{**vars(self.frame), "depth": self.frame.depth + 1, "action": True})
        with self.inside(frame, term):
            self.run_body(body)

    def _condition(self, condition: Expression | None, inputs: Sequence[Argument]) -> Any:
        term = self.encoder.true if condition is None else self.boolean(condition)
        for argument in inputs:
            if argument.name.upper() == "EN":
                term = self.encoder.both(term, self.boolean(argument.value))
        return term

    def _block(self, call: Call) -> None:
        self.seen(call.instance)
        location = self.location(call.instance)
        type = call.type or location.type
        if call.type and location.type and self.side.resolved(location.type).lower() != call.type.lower():
            raise Unsupported(f"{location.shown} is declared as {location.type}")
        pou = self.side.block(self.side.resolved(type)) if type else None
        enabled = any(a.name.upper() == "EN" for a in call.inputs)
        if (enabled and call.outputs) or any(a.name.upper() == "ENO" for a in call.outputs):
            raise Unsupported("outputs behind an enable pin")
        condition = self._condition(call.condition, call.inputs)
        inputs = [a for a in call.inputs if a.name.upper() != "EN"]
        if len(inputs) > 1 and any(root(call.instance) in names_in(a.value) for a in inputs):
            raise Unordered("an input of a call reads a pin of the block that is called")
        if pou is not None and pou.kind == "function_block" and enterable(pou):
            frame = Frame(pou, f"{location.key}.", f"{location.shown}.", depth=self.frame.depth + 1)
            self.entered.add(pou.name.lower())
            self._enter(frame, inputs, call.outputs, condition)
            self._enabled(location, call)
        else:
            self._uninterpreted_block(location, type, pou, inputs, call.outputs, condition)

    def _enabled(self, location: Location, call: Call) -> None:
        """ENO of a block that was called: whether it was enabled."""
        outer = self.active
        if call.condition is not None:
            self.active = self.encoder.both(outer, self.boolean(call.condition))
        eno = Location(f"{location.key}.eno", "BOOL", "hidden", f"{location.shown}.ENO")
        self.store(eno, Value(self._condition(None, call.inputs), "BOOL"), self.encoder.true)
        self.active = outer

    def _enter(self, frame: Frame, inputs: Sequence[Argument], outputs: Sequence[Argument], condition: Any) -> None:
        assert frame.pou is not None
        ways = [v for v in frame.pou.variables if v.section in ("input", "in_out")]
        given = _paired(ways, inputs)
        if any(v.edge for v in frame.pou.variables):
            raise Unsupported("an input that looks for edges")
        values = []
        for variable, argument in given:
            if variable.section == "in_out":
                frame.bound[variable.name.lower()] = self._reference(argument.value, variable)
            else:
                values.append((variable, self._argument(argument, variable)))
        if len(frame.bound) < sum(v.section == "in_out" for v in ways):
            raise Unsupported("an argument by reference is missing")
        with self.inside(frame, condition):
            for variable, content in values:
                self._receive(variable, content)
            self.run_body(frame.pou.bodies[0])
            names = [v for v in frame.pou.variables if v.section == "output"]
            results = [(a, self._at(self._variable(v.name, Variable(v.name)), "")) for v, a in _paired(names, outputs)]
        active = self.active
        self.active = self.encoder.both(active, condition)
        for argument, result in results:
            self.assign(argument.value, self._negated(result) if argument.negated else result)
        self.active = active

    def _negated(self, v: Value) -> Value:
        if v.type != "BOOL":
            raise Unsupported("an output that is no BOOL is negated")
        return Value(self.encoder.negated(v.term), "BOOL")

    def _argument(self, argument: Argument, variable: VariableDeclaration) -> Value | Location:
        type = self.side.elementary(variable.type)
        if argument.negated:
            raise Unsupported("a negated input pin")
        return self.location(argument.value) if self.composed(variable.type) else self.value(argument.value, type)

    def _receive(self, variable: VariableDeclaration, content: Value | Location) -> None:
        location = self._variable(variable.name, Variable(variable.name))
        if isinstance(content, Location):
            self.copied(location, content)
        else:
            self.store(location, content, self.encoder.true)

    def _reference(self, e: Expression, variable: VariableDeclaration) -> Location:
        location = self.location(e)
        if location.bit is not None or location.constant:
            raise Unsupported(f"{text(e)} cannot be passed by reference")
        if location.type and location.type.lower() != variable.type.lower():
            raise Unsupported(f"{text(e)} is passed by reference as another type")
        return location._replace(type=location.type or variable.type)

    def assign(self, target: Expression, content: Value) -> None:
        """Write a value to everything a target can name."""
        for condition, location in self.possible_locations(target):
            if self.skippable and location.kind in OUTSIDE | {"local", "output"} and "§" not in location.key:
                self.may_be_skipped("a write")
            if "§" not in location.key:
                self.effects += self.frame.depth > 0
            self.store(location, content, condition)

    def may_be_skipped(self, what: str) -> None:
        """Something happens in an operand that a compiler which stops early may leave out."""
        raise Unsupported(f"{what} inside an expression that a compiler may skip")

    def given(self, e: Expression) -> Any:
        """An argument for code that is not known: equal terms for equal values."""
        found = self.value(e)
        return self.numbers.settled(found) if found.type in INTEGERS else found.term

    def composed(self, type: str) -> bool:
        """Whether a type is an array or a structure."""
        found = self.side.resolved(type)
        return array(found) is not None or self.side.fields(found) is not None

    def copied(self, target: Location, source: Location) -> None:
        """Copy an array or a structure, value by value."""
        self.encoder.tick()
        left, right = (self.side.resolved(p.type) for p in (target, source))
        if left.lower() != right.lower():
            raise Unsupported(f"{source.shown} is copied to another type")
        bounds, fields = array(left), self.side.fields(left)
        if bounds is not None and len(bounds.ranges) == 1:
            low, high = bounds.ranges[0]
            parts = [(f"[{n}]", f"[{n}]", bounds.element) for n in range(low, min(high, low + 4096) + 1)]
        elif fields is not None:
            parts = [(f".{f.name.lower()}", f".{f.name}", f.type) for f in fields]
        elif bounds is None and self.side.block(left) is None:
            return self.store(target, self._at(source, ""), self.encoder.true)
        else:
            raise Unsupported(f"{source.shown} cannot be copied part by part")
        self.encoder.tick(len(parts))
        for key, shown, type in parts:
            ways = [p._replace(key=p.key + key, shown=p.shown + shown, type=type) for p in (target, source)]
            self.copied(*ways)
        return None

    def known(self, function: Expression) -> None:
        """Stop at a method: of this block or, through an instance, of another one.

        It hides a function of its name everywhere but in a function, which has no methods.
        """
        self.seen(function)
        key = function.name.lower() if isinstance(function, Variable) else ""
        pou = self.frame.pou
        meant = pou is not None and pou.kind == "function" and key in self.side.symbols.pous
        if key in self.side.symbols.routines and not meant:
            raise Hidden(f"{text(function)} may write what is declared here")

    def invoked(self, e: Invocation, want: str) -> Value:
        """A function of the program is entered, an unknown one is uninterpreted."""
        self.known(e.function)
        if not isinstance(e.function, Variable):
            raise Unsupported(f"{text(e)} cannot be followed")
        owner = self.frame.pou
        if e.function.name.startswith("_") and owner is not None and owner is standard(owner.name):
            known_by = tuple(self.value(a.value) for a in e.inputs)
            term = self.numbers.uninterpreted(e.function.name, known_by, want, fixed=False)
            if want in TIMES:  # no time runs backwards
                self.encoder.starts.append(term >= 0)
            return Value(term, want)
        pou = self.side.symbols.pous.get(e.function.name.lower())
        if pou is not None and pou.kind == "function" and enterable(pou):
            return self._function(pou, e.inputs, e.outputs, self.encoder.true)
        known = pou is None or pou.name.lower() in self.same
        if not known or e.outputs or any(a.negated for a in e.inputs):
            raise Unsupported(f"{text(e)} cannot be followed")
        args = [self.given(a.value) for a in e.inputs]
        type = self.side.elementary(pou.result) if pou is not None else want
        name = f"{e.function.name.lower()}({','.join(a.name.lower() for a in e.inputs)})"
        world = self._unknown(name, args)
        if pou is None:
            self._passed([a.value for a in e.inputs])
        return Value(self.encoder.apply(f"result {type}", [world], self.encoder.sort(type), type=type), type)

    def _function(self, pou: Pou, inputs: Sequence[Argument], outputs: Sequence[Argument], condition: Any) -> Value:
        if any(a.name.upper() in ("EN", "ENO") for a in (*inputs, *outputs)) or not enterable(pou):
            raise Unsupported(f"the call of {pou.name} cannot be followed")
        self.functions_entered += 1
        prefix = f"§{self.functions_entered}:{pou.name.lower()}."
        frame = Frame(pou, prefix, f"{pou.name}.", depth=self.frame.depth + 1, function=True)
        outer = self.frame
        self.frame = frame
        for variable in pou.variables:
            if variable.section not in ("external", "in_out"):
                self._start(variable)
        if pou.result:
            self._start(VariableDeclaration(pou.name, pou.result))
        self.frame = outer
        self._enter(frame, inputs, outputs, condition)
        if not pou.result:
            return Value(self.encoder.false, "BOOL")
        self.frame = frame
        result = self._at(self._variable(pou.name, Variable(pou.name)), "")
        self.frame = outer
        return result

    def _start(self, variable: VariableDeclaration) -> None:
        """Locals of a function begin anew at every call."""
        type = self.side.elementary(variable.type)
        if not type:
            raise Unsupported(f"{variable.name} of a function is no elementary value")
        location = self._variable(variable.name, Variable(variable.name))
        initial = Literal(variable.initial or initial_value(type) or "0")
        self.state[location.key] = self.numbers.convert(self.value(initial, type), type)

    def _uninterpreted_block(
        self, location: Location, type: str, pou: Pou | None, inputs: Sequence[Argument], outputs: Sequence[Argument],
        condition: Any,
    ) -> None:  # fmt: skip
        if pou is not None and type.lower() not in self.same:
            raise Unsupported(f"{type} cannot be followed")
        if any(a.negated for a in (*inputs, *outputs)) or any(not a.name for a in (*inputs, *outputs)) or not type:
            raise Unsupported(f"the call of {location.shown} cannot be followed")
        if pou is not None and any(v.section == "in_out" for v in pou.variables):
            raise Unsupported(f"{type} gets an argument by reference")
        own = Location(f"{location.key}.~state", "", "hidden", f"state of {location.shown}")
        given = sorted((a.name.lower(), self.given(a.value)) for a in inputs)
        set_before = [k for k in sorted(self.written) if k.startswith(f"{location.key}.") and k != own.key]
        given += [(key, self.state.pop(key)) for key in set_before if key in self.state]
        before, _ = self._term(own, "")
        outer = self.active
        self.active = self.encoder.both(outer, condition)
        names = ",".join(name for name, _ in given)
        world = self._unknown(f"{type.lower()}({names})", [before, *(term for _, term in given)])
        if pou is None:
            self._passed([a.value for a in inputs])
        self.opaque_blocks[location.key] = type.lower()
        self.store(own, Value(self.encoder.apply("state", [world], self.encoder.anything), ""), self.encoder.true)
        for argument in outputs:
            raise Unsupported(f"an output of {location.shown} goes to {text(argument.value)}")
        self.active = outer

    def _passed(self, arguments: Sequence[Expression]) -> None:
        """Code that is not known may take what it is given by reference."""
        locations = [self.location(e) for e in arguments if isinstance(e, PASSED)]
        for location in sorted({p.key: p for p in locations if not p.constant}.values(), key=lambda p: p.key):
            if not location.key.startswith("%I") and location.bit is None and not exposed(location):
                term, _ = self._term(location, "")
                self.state[location.key] = self.behind(location.key, term, self.environments[-1])
                self.written.setdefault(location.key, location)

    def _unknown(self, name: str, args: list[Any]) -> Any:
        """Something unknown happens outside; the new world."""
        if self.skippable:
            self.may_be_skipped("a call")
        self.effects += 1
        for key, term in self.log:
            self.world = self.encoder.apply(f"written {key}", [self.world, term], self.encoder.anything)
        self.log.clear()
        self.world = self.encoder.apply(name, [self.world, self.active, *args], self.encoder.anything)
        environment = (self.active, self.world)
        for key in sorted(self.state):
            location = self.touched.get(key)
            if location is not None and exposed(location):
                self.state[key] = self.behind(key, self.state[key], environment)
        self.environments.append(environment)
        return self.world


def enterable(pou: Pou) -> bool:
    """Whether a POU can be entered: one body of statements or networks, nothing inherited."""
    bodies = pou.bodies
    simple = len(bodies) == 1 and bodies[0].chart is None and not bodies[0].extensions
    if not simple or pou.members or pou.extends or pou.implements or pou.extensions:
        return False
    return not any(isinstance(each, Verbatim | While | Repeat) for each in STATEMENTS.all(bodies[0]))


def _paired(
    variables: Sequence[VariableDeclaration], arguments: Sequence[Argument]
) -> list[tuple[VariableDeclaration, Argument]]:
    """Arguments with the variables they belong to, by name or by position."""
    if not any(a.name for a in arguments):
        if len(arguments) > len(variables):
            raise Unsupported("more arguments than inputs")
        return list(zip(variables, arguments, strict=False))
    known = {v.name.lower(): v for v in variables}
    if not all(a.name.lower() in known for a in arguments):
        raise Unsupported("an argument without a partner")
    return [(known[a.name.lower()], a) for a in arguments]
