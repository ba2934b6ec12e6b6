"""Applying renames to a whole copy, with the scopes of IEC 61131-3: local names hide global ones.

Cost: linear in the POUs that hold a renamed name; others are kept as they are. A member is renamed when the type of
what it belongs to is known; where it is not, the use shows up as a difference of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from msgspec.structs import replace

from asfound.analysis.leaves import dotted
from asfound.analysis.mod_ref import inner_names
from asfound.analysis.symbols import Symbols
from asfound.language.walk import rewrite
from asfound.model import logic as m
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware, Module

Map = Mapping[str, str]
T = TypeVar("T")


@dataclass(frozen=True)
class Names:
    """Renames by scope: folded old name to new name. ``charts`` are steps of a chart that is the body of an action."""

    globals: Map = field(default_factory=dict)
    types: Map = field(default_factory=dict)
    locals: Mapping[str, Map] = field(default_factory=dict)
    charts: Mapping[tuple[str, str], Map] = field(default_factory=dict)
    lists: Map = field(default_factory=dict)
    scopes: Map = field(default_factory=dict)

    def __bool__(self) -> bool:
        return any((self.globals, self.types, self.locals, self.charts, self.lists, self.scopes))


def renamed_copy(copy: Copy, names: Names) -> Copy:
    """The copy with every rename applied; lists keep their order."""
    if not names:
        return copy
    symbols = Symbols(copy)
    program = copy.program
    new = replace(
        program,
        pous=tuple(Substitution(names, symbols, pou).pou() for pou in program.pous),
        types=tuple(_type(t, names) for t in program.types),
        globals=tuple(_list(block, names) for block in program.globals),
        resources=tuple(_resource(r, names) for r in program.resources),
    )
    tables = tuple(
        replace(t, tags=tuple(replace(tag, name=_get(names.globals, tag.name)) for tag in t.tags)) for t in copy.tables
    )
    values = tuple(replace(v, name=path_name(names.globals, v.name)) for v in copy.values)
    forces = tuple(replace(f, name=path_name(names.globals, f.name)) for f in copy.forces)
    return replace(copy, program=new, tables=tables, values=values, forces=forces, hardware=_hardware(copy, names))


def path_name(names: Map, name: str) -> str:
    """A dotted name with its first part renamed."""
    first, dot, rest = name.partition(".")
    return _get(names, first) + dot + rest


def _get(names: Map, name: str) -> str:
    return names.get(name.lower(), name)


def type_text(types: Map, text: str) -> str:
    """A type text with the names of user types replaced."""
    if not types or not text:
        return text
    return re.sub(r"[^\W\d]\w*", lambda found: _get(types, found.group()), text)


def _type(type: p.DataType, names: Names) -> p.DataType:
    own = names.locals.get(type.name.lower(), {})
    members = tuple(replace(v, name=_get(own, v.name), type=type_text(names.types, v.type)) for v in type.members)
    values = tuple(replace(v, name=_get(own, v.name)) for v in type.values)
    name, base = _get(names.types, type.name), type_text(names.types, type.base)
    return replace(type, name=name, base=base, members=members, values=values)


def _list(block: p.GlobalList, names: Names) -> p.GlobalList:
    variables = tuple(
        replace(v, name=_get(names.globals, v.name), type=type_text(names.types, v.type)) for v in block.variables
    )
    return replace(block, name=_get(names.lists, block.name), scope=_scope(names, block.scope), variables=variables)


def _scope(names: Names, scope: str) -> str:
    return "/".join(_get(names.scopes, part) for part in scope.split("/"))


def _resource(resource: p.Resource, names: Names) -> p.Resource:
    tasks = tuple(
        replace(t, scope=_scope(names, t.scope), single=path_name(names.globals, t.single)) for t in resource.tasks
    )
    instances = tuple(replace(i, type=_get(names.types, i.type)) for i in resource.instances)
    name, scope = _get(names.scopes, resource.name), _scope(names, resource.scope)
    return replace(resource, name=name, scope=scope, tasks=tasks, instances=instances)


def _hardware(copy: Copy, names: Names) -> Hardware:
    if not names.globals or not copy.hardware.devices:
        return copy.hardware

    def module(found: Module) -> Module:
        channels = tuple(replace(c, tag=_get(names.globals, c.tag)) if c.tag else c for c in found.channels)
        return replace(found, channels=channels, modules=tuple(map(module, found.modules)))

    devices = tuple(replace(d, modules=tuple(map(module, d.modules))) for d in copy.hardware.devices)
    return replace(copy.hardware, devices=devices)


class Substitution:
    """Renames inside one POU."""

    def __init__(self, names: Names, symbols: Symbols, pou: p.Pou, outer: Map | None = None) -> None:
        self.names, self.symbols, self.found = names, symbols, pou
        self.local = {**(outer or {}), **names.locals.get(pou.name.lower(), {})}
        self.inside = inner_names(pou)
        self.declared = symbols.locals_of(pou)

    def pou(self) -> p.Pou:
        """The POU with its renames applied."""
        found, key = self.found, self.found.name.lower()
        actions = tuple(
            replace(a, name=self.own(a.name), body=self.body(a.body, self.names.charts.get((key, a.name.lower()))))
            for a in found.actions
        )
        members = tuple(Substitution(self.names, self.symbols, member, self.local).pou() for member in found.members)
        return replace(
            found,
            name=_get(self.names.types, found.name),
            result=type_text(self.names.types, found.result),
            extends=_get(self.names.types, found.extends),
            implements=tuple(_get(self.names.types, i) for i in found.implements),
            variables=tuple(map(self.declaration, found.variables)),
            bodies=tuple(map(self.body, found.bodies)),
            actions=actions,
            transitions=tuple(replace(t, name=self.own(t.name), body=self.body(t.body)) for t in found.transitions),
            members=members,
        )

    def own(self, name: str) -> str:
        """A name declared in this POU."""
        return self.local.get(name.lower(), name)

    def declaration(self, v: p.VariableDeclaration) -> p.VariableDeclaration:
        """A declaration; an external one follows the global it stands for."""
        name = self.own(v.name)
        if v.section == "external" and v.name.lower() not in self.local:
            name = self._global(v.name)
        return replace(v, name=name, type=type_text(self.names.types, v.type))

    def _global(self, name: str) -> str:
        new = self.names.globals.get(name.lower(), name)
        return name if new.lower() in self.inside else new

    def name(self, name: str) -> str:
        """The new name of a variable, instance, step, action, function or list used in a body."""
        key = name.lower()
        if key in self.local:
            return self.local[key]
        if key in self.inside:
            return _get(self.names.types, name) if key == self.found.name.lower() else name
        if key in self.names.globals:
            return self._global(name)
        return _get(self.names.lists, _get(self.names.types, name))

    def expression(self, e: m.Expression) -> m.Expression:
        """An expression with every name replaced."""
        return rewrite(e, self._node)

    def _node(self, e: m.Expression) -> m.Expression | None:
        match e:
            case m.Variable(name):
                new = self.name(name)
                return e if new == name else m.Variable(new)
            case m.Member(of, name):
                return m.Member(self.expression(of), self._member(of, name))
            case m.Invocation(function, inputs, outputs):
                pins = self._pins(function.name if isinstance(function, m.Variable) else "")
                return m.Invocation(
                    self.expression(function), self._arguments(inputs, pins), self._arguments(outputs, pins)
                )
        return None

    def _member(self, of: m.Expression, name: str) -> str:
        if isinstance(of, m.Variable) and of.name.lower() not in self.inside:
            key = of.name.lower()
            if key in self.symbols.lists:
                return _get(self.names.globals, name)
            if key in self.symbols.types and self.symbols.types[key].kind == "enum":
                return _get(self.names.locals.get(key, {}), name)
        return _get(self._pins(self.symbols.type_of(of, self.declared)), name)

    def _pins(self, type: str) -> Map:
        return self.names.locals.get(self.symbols.resolved(type).lower(), {}) if type else {}

    def _arguments(self, arguments: tuple[m.Argument, ...], pins: Map) -> tuple[m.Argument, ...]:
        return tuple(replace(a, name=_get(pins, a.name), value=self.expression(a.value)) for a in arguments)

    def _maybe(self, e: m.Expression | None) -> m.Expression | None:
        return None if e is None else self.expression(e)

    def statements(self, sequence: tuple[m.Statement, ...]) -> tuple[m.Statement, ...]:
        """A statement list with every name replaced."""
        return tuple(map(self.statement, sequence))

    def statement(self, s: m.Statement) -> m.Statement:
        """A statement and everything nested in it."""
        match s:
            case m.Assign(target, content, kind, condition):
                return m.Assign(self.expression(target), self.expression(content), kind, self._maybe(condition))
            case m.Call(instance, type, inputs, outputs, condition):
                pins = self._pins(type or self.symbols.type_of(instance, self.declared))
                return m.Call(
                    self.expression(instance), _get(self.names.types, type), self._arguments(inputs, pins),
                    self._arguments(outputs, pins), self._maybe(condition),
                )  # fmt: skip
            case m.Jump(label, condition):
                return m.Jump(label, self._maybe(condition))
            case m.Return(condition):
                return m.Return(self._maybe(condition))
            case m.If(branches, otherwise):
                arms = tuple(m.Branch(self.expression(b.condition), self.statements(b.statements)) for b in branches)
                return m.If(arms, self.statements(otherwise))
            case m.Case(selector, arms_, otherwise):
                return m.Case(self.expression(selector), tuple(map(self._arm, arms_)), self.statements(otherwise))
            case m.For(variable, first, last, step, inner):
                bounds = self.expression(first), self.expression(last), self._maybe(step)
                return m.For(self.expression(variable), *bounds, self.statements(inner))
            case m.While(condition, inner):
                return m.While(self.expression(condition), self.statements(inner))
            case m.Repeat(inner, until):
                return m.Repeat(self.statements(inner), self.expression(until))
        return s

    def _arm(self, arm: m.CaseArm) -> m.CaseArm:
        labels = tuple(
            m.Span(self.expression(x.low), self.expression(x.high)) if isinstance(x, m.Span) else self.expression(x)
            for x in arm.labels
        )
        return m.CaseArm(labels, self.statements(arm.statements))

    def body(self, body: p.Body, steps: Map | None = None) -> p.Body:
        """A body; ``steps`` are renames of the steps of its own chart."""
        if steps:
            return _with_steps(self, steps).body(body)
        networks = tuple(replace(n, statements=self.statements(n.statements)) for n in body.networks)
        chart = None if body.chart is None else self.chart(body.chart)
        return replace(body, statements=self.statements(body.statements), networks=networks, chart=chart)

    def chart(self, chart: p.Chart) -> p.Chart:
        """A chart with steps, actions and conditions renamed."""
        return replace(
            chart,
            steps=tuple(map(self._step, chart.steps)),
            transitions=tuple(
                replace(
                    t,
                    sources=tuple(map(self.own, t.sources)),
                    targets=tuple(map(self.own, t.targets)),
                    condition=self.expression(t.condition),
                    statements=self.statements(t.statements),
                )
                for t in chart.transitions
            ),
        )

    def _step(self, step: p.Step) -> p.Step:
        actions = tuple(
            replace(a, action=self._path(a.action), body=None if a.body is None else self.body(a.body))
            for a in step.actions
        )
        body = None if step.body is None else self.body(step.body)
        return replace(step, name=self.own(step.name), actions=actions, body=body)

    def _path(self, name: str) -> str:
        return _spelled(self.expression(dotted(name))) if name else name


def _with_steps(base: Substitution, steps: Map) -> Substitution:
    return Substitution(base.names, base.symbols, base.found, {**base.local, **steps})


def _spelled(e: m.Expression) -> str:
    match e:
        case m.Member(of, name):
            return f"{_spelled(of)}.{name}"
        case m.Variable(name):
            return name
    return ""
