"""What counts as an output, and what people call the names of the graph (see reach).

Physical outputs lie at ``%Q``; one address is one output, whatever it is called. Other stations read access paths
(VAR_ACCESS of IEC 61131-3: ``Cpu.P1.LEVEL``). A block or program has outputs of its own. Cost: linear.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal as Choice
from typing import NamedTuple

from asfound.analysis.instance_tree import Instances
from asfound.analysis.names import RUN, STEER, Ref, address
from asfound.analysis.symbols import Symbols
from asfound.language.walk import every_pou
from asfound.model.program import Pou, VariableDeclaration

Kind = Choice["physical", "access path", "block", "global"]


class Output(NamedTuple):
    """``name`` as people write it, ``at`` its address or access path where it has one."""

    kind: Kind
    name: str
    at: str = ""


class Names:
    """Outputs and spelling over some copies; what a later one says goes before."""

    def __init__(self, copies: Sequence[tuple[Symbols, Instances]]) -> None:
        self._spelling: dict[str, str] = {}
        self._tops: dict[str, str] = {}
        self._addressed: dict[Ref, str] = {}
        self._outputs: dict[Ref, tuple[Output, ...]] = {}
        self.bound: list[tuple[Ref, Ref]] = []
        """What VAR_CONFIG ties to an address."""
        for symbols, _ in copies:
            self._spell(symbols)
            self._address(symbols)
        for symbols, instances in copies:
            self._declared(symbols)
            for place, name in instances.of.items():
                for each in instances.flow.passing.chain(symbols.pous[name]):
                    self._of_block(place, each)
            for variable in (v for block in symbols.copy.program.globals for v in block.variables):
                self._seen_outside(instances, variable)

    def _spell(self, symbols: Symbols) -> None:
        program = symbols.copy.program
        for pou in every_pou(program.pous):
            self._spelling |= {v.name.lower(): v.name for v in pou.variables}
            self._spelling |= {a.name.lower(): a.name for a in (*pou.actions, *pou.transitions)}
            bodies = (*pou.bodies, *(a.body for a in pou.actions))
            self._spelling |= {s.name.lower(): s.name for b in bodies if b.chart is not None for s in b.chart.steps}
        for variables in (*(t.members for t in program.types), *(b.variables for b in program.globals)):
            self._spelling |= {v.name.lower(): v.name for v in variables}
        self._spelling |= {t.name.lower(): t.name for t in symbols.tags.values()}
        self._tops |= {pou.name.lower(): pou.name for pou in every_pou(program.pous)}
        self._tops |= {run.lower(): run for r in program.resources for i in r.instances
                       for run in (i.name, f"{r.name}.{i.name}") if run.lower() not in symbols.pous}  # fmt: skip

    def _address(self, symbols: Symbols) -> None:
        """What is called so outside of every POU goes before what is called so in one."""
        outside = {tag.name: tag.address for tag in symbols.tags.values() if tag.address}
        outside |= {v.name: v.address for v in symbols.globals.values() if v.address}
        inside = {f"{p.name}.{v.name}": v.address for p in symbols.pous.values() for v in p.variables if v.address}
        own: dict[Ref, str] = {}
        for name, text in (*outside.items(), *inside.items()):
            if ref := address(text):
                own.setdefault(ref, name)
        self._addressed |= own

    def _declared(self, symbols: Symbols) -> None:
        for name, variable in symbols.globals.items():
            if not address(variable.address):
                if variable.address.upper().startswith("%Q"):
                    self._outputs["", name] = (Output("physical", variable.name, variable.address),)
                elif not variable.constant:
                    self._outputs["", name] = (Output("global", variable.name),)
            elif not variable.constant and not variable.address.upper().startswith("%Q"):
                ref = address(variable.address)
                assert ref is not None
                self._outputs[ref] = (Output("global", variable.name, ref[1]),)

    def _of_block(self, place: Ref, pou: Pou) -> None:
        for variable in pou.variables:
            ref = (*place, variable.name.lower())
            if variable.address:
                if variable.address.upper().startswith("%Q") and not address(variable.address):
                    self._outputs[ref] = (Output("physical", self.spelled(ref), variable.address),)
            elif variable.section == "output" and pou.kind in ("program", "function_block"):
                self._outputs[ref] = (Output("block", self.spelled(ref)),)

    def _seen_outside(self, instances: Instances, variable: VariableDeclaration) -> None:
        if variable.section == "access" and (ref := _path(instances, variable.address)):
            seen = Output("access path", variable.name, variable.address)
            self._outputs[ref] = tuple(dict.fromkeys((*self.outputs(ref), seen)))
        elif variable.section == "config":
            ref, at = _path(instances, variable.name), address(variable.address)
            self.bound += [(ref, at)] if ref and at else []

    def outputs(self, ref: Ref) -> tuple[Output, ...]:
        """The outputs that a name is."""
        found = self._outputs.get(ref, ())
        if len(ref) == 2 and not ref[0] and ref[1].startswith("%Q"):
            return (Output("physical", self._addressed.get(ref, ref[1]), ref[1]), *found)
        return found

    def spelled(self, ref: Ref) -> str:
        """What people call a name; empty for a wire of a drawing and for what belongs to any instance.

        Of a call of a function the function is named.
        """
        if not ref[0] and ref[1].startswith("%"):
            return self._addressed.get(ref, ref[1])
        if ref[0][:1] in ("*", ">") or (ref[-1].startswith("_v") and ref[-1][2:].isdigit()):
            return ""
        called = next((number for number, part in enumerate(ref) if ":" in part), len(ref))
        top, *words = [part.rpartition(":")[2] for part in ref[: called + 1] if part not in (RUN, STEER)]
        inside = [self._spelling.get(word) or self._tops.get(word, word) for word in words]
        return ".".join([self._tops.get(top, top), *inside] if top else inside)


def _path(instances: Instances, text: str) -> Ref | None:
    """The variable of a program instance or the global one that ``Cpu.P1.LEVEL`` means."""
    words = text.lower().split(".")
    for first in range(len(words) - 1):
        for last in range(len(words) - 1, first, -1):
            place = instances.programs.get(".".join(words[first:last]))
            if place is not None:
                return (*place, *words[last:])
    return instances.flow.at_top(words[-1]) if words[-1] in instances.symbols.globals else None
