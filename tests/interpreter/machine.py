"""One program in one controller, cycle by cycle.

>>> import asfound
>>> text = b"PROGRAM P VAR_INPUT a : INT; END_VAR VAR_OUTPUT q : INT; END_VAR q := q + a; END_PROGRAM"
>>> machine = Machine(asfound.read(text, "p.st"), "P")
>>> machine.cycle({"a": 2}), machine.cycle({"a": 3})
({'out:q': 2}, {'out:q': 5})

What is observable: every bit of %Q and %M that is TRUE (``%Q5`` is bit 5 of byte 0 and on), the output and in-out
variables of the POU that runs (``out:``), global variables (``::``), the result of a function (``result``), and that the
cycle stopped (``stopped``). Not observable: local variables, instances, inputs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from asfound.language import addresses
from asfound.language.parser import parse_expression
from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.model.program import VariableDeclaration
from interpreter import blocks
from interpreter.calling import Calling
from interpreter.cells import Cell, Group, Located, leaves
from interpreter.evaluation import Evaluation
from interpreter.execution import MOST, Execution
from interpreter.frames import Builder, Frame
from interpreter.kinds import Block, Elementary, Kinds, NotRun
from interpreter.numbers import Stopped, Val
from interpreter.readings import USUAL, Readings

DIRECT = {"X": "BOOL", "B": "BYTE", "W": "WORD", "D": "DWORD", "L": "LWORD", "": "BOOL"}


class Machine(Builder, Evaluation, Execution, Calling):
    """``pou`` runs as the only program: a program, or a block as its own instance, or a function.

    ``seed`` chooses what functions of others return.
    """

    def __init__(self, copy: Copy, pou: str, readings: Readings = USUAL, seed: int = 0) -> None:
        self.copy, self.readings, self.seed = copy, readings, seed
        self.kinds = Kinds(copy.program)
        self.pou = self.kinds.pous[pou.lower()]
        self.images: dict[str, dict[int, bool]] = {"I": {}, "Q": {}, "M": {}}
        self.globals: dict[str, Any] = {}
        self.lists: dict[str, dict[str, Any]] = {}
        self.now, self.left, self.depth, self.halted = 0, MOST, 0, False
        self.frame = Frame(self.pou, {}, {})
        self._start_globals()
        self.own = self._start_own()

    def _start_globals(self) -> None:
        for block in self.copy.program.globals:
            found = self.lists.setdefault(block.name.lower(), {})
            for v in block.variables:
                if v.section == "global":
                    found[v.name.lower()] = self.make(v.type, v.initial, v.address)
                    self.globals.setdefault(v.name.lower(), found[v.name.lower()])
        for table in self.copy.tables:
            for tag in table.tags:
                if tag.address and tag.name.lower() not in self.globals:
                    self.globals[tag.name.lower()] = self.make(tag.type, "", tag.address)

    def _start_own(self) -> dict[str, Any]:
        """The variables of the POU that runs; those of a function begin anew in every cycle."""
        found = {}
        for v in self.declared(self.pou):
            if v.section == "external":
                if v.name.lower() not in self.globals:
                    self.globals[v.name.lower()] = self.make(v.type, "", v.address)
            else:
                found[v.name.lower()] = self.make(v.type, v.initial, v.address)
        if self.pou.result:
            found[self.pou.name.lower()] = self.make(self.pou.result)
        return found

    # --- names

    def find(self, name: str) -> Any:
        """The cell of a name in the body that runs; None when there is none."""
        key, frame = name.lower(), self.frame
        while frame is not None:
            if key in frame.names:
                return frame.names[key]
            frame = frame.outer  # type: ignore[assignment]
        return self.globals.get(key)

    def direct(self, address: str) -> Any:
        """A directly represented variable."""
        found = addresses.parse(address)
        bits = addresses.bits(found) if found is not None else None
        if found is None or bits is None:
            raise NotRun(f"address {address}")
        return Located(Elementary(DIRECT[found.size]), self.images[found.area], bits.start)

    def at(self, name: str) -> Any:
        """The cell of an access as text: ``x``, ``t.Q``, ``a[2]``, ``%IX0.0``."""
        self.frame = Frame(self.pou, self.own, {})
        return self.locate(parse_expression(name))

    def get(self, name: str) -> Any:
        return self.at(name).read().content

    def set(self, name: str, content: Any) -> None:
        """Write a plain value; an integer of a duration counts nanoseconds."""
        cell = self.at(name)
        cell.write(Val(content, cell.kind.name))

    def remember(self, instance: str, content: bool) -> bool:
        """Set what a standard block that looks for edges remembers; False when there is no such block."""
        try:
            found = self.at(instance)
        except (NotRun, Problem):
            return False
        keys = blocks.REMEMBERED.get(found.kind.name, ()) if isinstance(found, Group) else ()
        found.hidden.update(dict.fromkeys(keys, content)) if keys else None
        return bool(keys)

    # --- cycles

    def cycle(self, inputs: Mapping[str, Any] | None = None, elapsed_ms: float = 10) -> dict[str, Any]:
        """Set inputs (or any state), run once, and return what can be observed (see the top)."""
        for name, content in (inputs or {}).items():
            self.set(name, content)
        self.now += int(elapsed_ms * 1_000_000)
        if self.halted:
            return {"stopped": True}
        self._renew()
        self.left, self.depth = MOST, 0
        self.frame = Frame(self.pou, self.own, self.memory, owner=Group(Block(self.pou.name, self.pou), self.own))
        try:
            for body in self.pou.bodies:
                self.run_body(body)
        except Stopped:
            self.halted = not self.readings.goes_on
            return {"stopped": True} if self.halted else {**self.observed(), "stopped": True}
        return self.observed()

    @property
    def memory(self) -> dict[Any, Any]:
        """Edges and wires of the POU that runs."""
        return self.__dict__.setdefault("_memory", {})

    def _renew(self) -> None:
        """Temporary variables, and all of a function but what it is given, begin anew."""
        function = self.pou.kind in ("function", "method")
        for v in self.declared(self.pou):
            if v.section == "temp" or (function and v.section in ("local", "output")):
                self.own[v.name.lower()] = self.make(v.type, v.initial)
        if self.pou.result:
            self.own[self.pou.name.lower()] = self.make(self.pou.result)

    def restart(self) -> None:
        """A warm restart: what is retained stays, everything else starts again."""
        kept = {n: [(k, c.read()) for k, c in leaves(cell, "")] for n, cell in self._retained()}
        old, globals_ = self.own, self.globals
        self.images["Q"].clear()
        self.images["M"].clear()
        self.globals, self.lists = {}, {}
        self.__dict__.pop("_memory", None)
        self._start_globals()
        self.own = self._start_own()
        del old, globals_
        for name, values in kept.items():
            root = self.globals[name[2:]] if name.startswith("::") else self.own[name]
            ways = dict(leaves(root, ""))
            for key, content in values:
                if key in ways:
                    ways[key].write(content)

    def _retained(self) -> list[tuple[str, Any]]:
        def stays(v: VariableDeclaration) -> bool:
            return v.retain == "retain" or v.persistent

        found = [(v.name.lower(), self.own[v.name.lower()]) for v in self.declared(self.pou) if stays(v)]
        for block in self.copy.program.globals:
            found += [(f"::{v.name.lower()}", self.globals[v.name.lower()]) for v in block.variables if stays(v)]
        return found

    def observed(self) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for area in "QM":
            found |= {f"%{area}{bit}": True for bit, on in self.images[area].items() if on}
        for v in self.declared(self.pou):
            if v.section in ("output", "in_out") and not v.address:
                found |= _values(self.own[v.name.lower()], f"out:{v.name.lower()}")
        for name, cell in self.globals.items():
            found |= _values(cell, f"::{name}")
        if self.pou.result:
            found |= _values(self.own[self.pou.name.lower()], "result")
        return found

    def places(self) -> dict[str, Cell]:
        """Every elementary cell of the POU that runs and of the globals, by access text."""
        found: dict[str, Cell] = {}
        for name, cell in {**self.globals, **self.own}.items():
            found |= dict(leaves(cell, name))
        return found


def _values(cell: Any, name: str) -> dict[str, Any]:
    return {n: c.read().content for n, c in leaves(cell, name) if not isinstance(c, Located)}


def run(
    copy: Copy, pou: str, cycles: Sequence[tuple[Mapping[str, Any], float]], readings: Readings = USUAL, seed: int = 0
) -> list[dict[str, Any]]:
    """What can be observed after each cycle; ``cycles`` are inputs and milliseconds."""
    machine = Machine(copy, pou, readings, seed)
    return [machine.cycle(inputs, elapsed) for inputs, elapsed in cycles]
