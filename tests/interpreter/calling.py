"""Calls: blocks, actions, methods and functions. What is passed by reference is the cell itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from asfound.model.logic import Argument, Call, Expression, Invocation, Member, Variable
from asfound.model.program import Pou, VariableDeclaration
from interpreter import blocks, functions
from interpreter.cells import Cell, Group
from interpreter.frames import Frame
from interpreter.kinds import Block, Elementary, NotRun
from interpreter.numbers import Stopped, Val

DEEPEST = 30


class Calling:
    """Mixed into the machine."""

    def call(self, s: Call) -> None:
        """A call as a statement."""
        if s.condition is not None and not self.truth(s.condition):
            return
        if isinstance(s.instance, Variable):
            name = s.instance.name
            action = self._action(self.frame.pou, name)
            pou = self.kinds.pous.get(name.lower())
            if action is not None:
                return self.run_body(action)
            if self.find(name) is None or (pou is not None and pou.kind == "function"):
                self.evaluate(Invocation(s.instance, s.inputs, s.outputs))
                return None
        if isinstance(s.instance, Member):
            owner = self._instance_of(s.instance.of)
            if owner is not None and s.instance.name.lower() not in owner.parts:
                self.call_member(s.instance, s.inputs, s.outputs)
                return None
        return self.call_block(self.locate(s.instance), s.inputs, s.outputs)

    def _action(self, pou: Pou, name: str) -> Any:
        found = next((a for a in pou.actions if a.name.lower() == name.lower()), None)
        return found.body if found is not None else None

    def _instance_of(self, e: Expression) -> Group | None:
        if isinstance(e, Variable) and e.name.upper() == "THIS":
            return self.frame.owner
        found = self.locate(e)
        return found if isinstance(found, Group) and isinstance(found.kind, Block) else None

    # --- blocks

    def call_block(self, instance: Any, inputs: Sequence[Argument], outputs: Sequence[Argument]) -> None:
        if not isinstance(instance, Group) or not isinstance(instance.kind, Block):
            raise NotRun("a call of no block")
        sections = self._sections(instance.kind)
        enabled = self._receive(instance, sections, inputs)
        instance.parts.setdefault("eno", Cell(Elementary("BOOL"), True)).content = enabled
        if enabled:
            self._enter(instance)
        self._hand_out(instance, [n for n, s in sections.items() if s == "output"], outputs, enabled)

    def _sections(self, kind: Block) -> dict[str, str]:
        if kind.pou is None:
            return {name: section for name, (_, section) in blocks.PINS[kind.name].items()}
        return {v.name.lower(): v.section for v in self.declared(kind.pou)}

    def _receive(self, instance: Group, sections: dict[str, str], inputs: Sequence[Argument]) -> bool:
        """Pass the inputs; False when the enable pin is FALSE, and then nothing arrives."""
        ways = [n for n, s in sections.items() if s in ("input", "in_out")]
        given = [(a.name.lower() or ways[n], a) for n, a in enumerate(inputs)]
        for name, a in given:
            if name == "en" and not self.truth(a.value):
                return False
        given = [pair for pair in given if pair[0] != "en"]
        once = self.readings.right_first or not self.readings.one_by_one
        contents: list[tuple[str, Any]] = []
        for name, a in reversed(given) if self.readings.right_first else given:
            if sections.get(name) == "in_out":
                instance.parts[name] = self.locate(a.value)
                continue
            if name not in instance.parts:
                raise NotRun(f"input {name}")
            content = self.evaluate(a.value, getattr(instance.parts[name].kind, "name", ""))
            content = functions.inverted(content) if a.negated else content
            if once:
                contents.append((name, content))
            else:
                self.write(instance.parts[name], content)
        for name, content in contents:
            self.write(instance.parts[name], content)
        return True

    def _enter(self, instance: Group) -> None:
        kind = instance.kind
        if kind.pou is None:
            return blocks.run(kind.name, instance, self.now)
        missing = [v for v in self.declared(kind.pou) if v.section == "in_out" and v.name.lower() not in instance.parts]
        if missing:
            raise NotRun(f"in-out {missing[0].name} is not bound")
        self._look_for_edges(instance, kind.pou)
        body_of = kind.pou
        while not body_of.bodies and body_of.extends:
            body_of = self.kinds.pous[body_of.extends.lower()]
        return self._inside(Frame(kind.pou, self._names(instance, kind.pou), instance.hidden, owner=instance), body_of)

    def _names(self, instance: Group, pou: Pou) -> dict[str, Any]:
        return instance.parts | {
            v.name.lower(): self.make(v.type, v.initial) for v in self.declared(pou) if v.section == "temp"
        }

    def _look_for_edges(self, instance: Group, pou: Pou) -> None:
        for v in pou.variables:
            if v.edge:
                cell = instance.parts[v.name.lower()]
                now = bool(cell.read().content) == (v.edge == "rising")
                before = instance.hidden.get(("input", v.name), v.edge == "falling")
                instance.hidden["input", v.name] = now
                cell.content = now and not before if v.edge == "rising" else not (now and not before)

    def _inside(self, frame: Frame, pou: Pou) -> None:
        outer, self.frame = self.frame, frame
        self.depth += 1
        if self.depth > DEEPEST:
            raise Stopped("calls too deep")
        for body in pou.bodies:
            self.run_body(body)
        self.depth -= 1
        self.frame = outer

    def _hand_out(self, source: Group, ways: list[str], outputs: Sequence[Argument], enabled: bool) -> None:
        for n, a in enumerate(outputs):
            name = a.name.lower() or ways[n]
            if name != "eno" and not enabled:
                continue
            content = (
                source.parts[name].read() if not isinstance(source.parts[name], Group) else Val(source.parts[name], "")
            )
            self.write(self.locate(a.value), functions.inverted(content) if a.negated else content)

    # --- members: actions and methods

    def call_member(self, e: Member, inputs: Sequence[Argument], outputs: Sequence[Argument]) -> Val:
        owner = self._instance_of(e.of)
        if owner is None or owner.kind.pou is None:
            raise NotRun(f"call of {e.name}")
        pou: Pou | None = owner.kind.pou
        while pou is not None:
            action = self._action(pou, e.name)
            method = next((m for m in pou.members if m.name.lower() == e.name.lower()), None)
            if action is not None:
                outer = self.frame
                self.frame = Frame(owner.kind.pou, self._names(owner, owner.kind.pou), owner.hidden, owner=owner)
                self.run_body(action)
                self.frame = outer
                return Val(False, "BOOL")
            if method is not None:
                return self.call_method(method, owner, inputs, outputs)
            pou = self.kinds.pous.get(pou.extends.lower()) if pou.extends else None
        raise NotRun(f"call of {e.name}")

    def method(self, name: str) -> tuple[Pou, Group] | None:
        """A method of the block that runs, by its name alone."""
        owner = self.frame.owner
        pou = owner.kind.pou if owner is not None else None
        found = next((m for m in pou.members if m.name.lower() == name.lower()), None) if pou is not None else None
        return (found, owner) if found is not None and owner is not None else None

    def call_method(self, pou: Pou, owner: Group, inputs: Sequence[Argument], outputs: Sequence[Argument]) -> Val:
        around = Frame(owner.kind.pou, self._names(owner, owner.kind.pou), owner.hidden, owner=owner)
        return self.call_function(pou, inputs, outputs, around)

    # --- functions

    def call_function(
        self, pou: Pou, inputs: Sequence[Argument], outputs: Sequence[Argument], outer: Frame | None = None
    ) -> Val:
        own = [v for v in pou.variables if v.section != "external"]
        cells = {v.name.lower(): self.make(v.type, v.initial) for v in own if v.section != "in_out"}
        group = Group(Block(pou.name, pou), cells)
        result = VariableDeclaration(pou.name, pou.result) if pou.result else None
        enabled = self._receive(group, {v.name.lower(): v.section for v in own}, inputs)
        if result is not None:
            cells[pou.name.lower()] = self.make(result.type)
        cells["eno"] = Cell(Elementary("BOOL"), enabled)
        if enabled:
            for name in (v.name.lower() for v in own if v.section == "in_out"):
                if name not in cells:
                    raise NotRun(f"in-out {name} is not bound")
            self._inside(Frame(pou, group.parts, {}, outer, outer.owner if outer else None), pou)
        self._hand_out(group, [v.name.lower() for v in own if v.section == "output"], outputs, enabled)
        if result is None:
            return Val(False, "BOOL")
        found = cells[pou.name.lower()]
        return Val(found, "") if isinstance(found, Group) else found.read()
