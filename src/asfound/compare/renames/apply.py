"""Applying renames to a whole copy, with the scopes of IEC 61131-3: local names hide global ones.

Cost: linear in the POUs that hold a renamed name; others are kept as they are. A member is renamed when the type of
what it belongs to is known; where it is not, the use shows up as a difference of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from msgspec.structs import replace

from asfound.analysis.leaves import dotted
from asfound.analysis.symbols import Symbols, inner_names
from asfound.model import logic as m
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware, Module
from asfound.model.tree import NODES

Map = Mapping[str, str]


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


_TYPED = re.compile(r"""'(?:\$.|[^$'])*'|"(?:\$.|[^$"])*"|[^\W\d]\w*(?=#)""")
"""A string, in which nothing is a name, or the type before a ``#``."""


def typed_text(types: Map, text: str) -> str:
    """A literal or an initial value with the types that it names (``Mode#AUTO``) replaced."""
    if not types or "#" not in text:
        return text
    return _TYPED.sub(lambda found: _get(types, found.group()), text)


def _type(type: p.DataType, names: Names) -> p.DataType:
    own = names.locals.get(type.name.lower(), {})
    members = tuple(
        replace(
            v,
            name=_get(own, v.name),
            type=type_text(names.types, v.type),
            initial=typed_text(names.types, v.initial),
        )
        for v in type.members
    )
    values = tuple(replace(v, name=_get(own, v.name)) for v in type.values)
    name, base = _get(names.types, type.name), type_text(names.types, type.base)
    initial = typed_text(names.types, type.initial)
    return replace(type, name=name, base=base, members=members, values=values, initial=initial)


def _list(block: p.GlobalList, names: Names) -> p.GlobalList:
    variables = tuple(
        replace(
            v,
            name=_get(names.globals, v.name),
            type=type_text(names.types, v.type),
            initial=typed_text(names.types, v.initial),
        )
        for v in block.variables
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
        new: p.Pou = self.renamed(self.found)
        return new

    def renamed(self, node: Any) -> Any:
        """A node and everything in it with every name replaced."""
        match node:
            case p.Pou() if node is not self.found:
                return Substitution(self.names, self.symbols, node, self.local).pou()
            case p.Action(name) if steps := self.names.charts.get((self.found.name.lower(), name.lower())):
                inside = Substitution(self.names, self.symbols, self.found, {**self.local, **steps})
                return replace(node, name=self.own(name), body=inside.renamed(node.body))
        return self._named(node, NODES.rebuilt(node, self.renamed))

    def _named(self, node: Any, new: Any) -> Any:
        """A node whose inside is renamed, with its own names replaced."""
        types = self.names.types
        match node:
            case m.Variable(name):
                return node if self.name(name) == name else m.Variable(self.name(name))
            case m.Literal(written):
                return m.Literal(typed_text(types, written))
            case m.Member(of, name):
                return replace(new, name=self._member(of, name))
            case m.Invocation(m.Variable(name)):
                return self._wired(new, name)
            case m.Call(instance, type):
                called = type or self.symbols.type_of(instance, self.declared)
                return replace(self._wired(new, called), type=_get(types, type))
            case p.Step(name) | p.Action(name):
                return replace(new, name=self.own(name))
            case p.Association(action) if action:
                return replace(new, action=_spelled(self.renamed(dotted(action))))
            case p.Transition(sources, targets):
                return replace(new, sources=tuple(map(self.own, sources)), targets=tuple(map(self.own, targets)))
            case p.VariableDeclaration():
                return self._declaration(new)
            case p.Pou():
                interfaces = tuple(_get(types, each) for each in node.implements)
                new = replace(new, extends=_get(types, node.extends), implements=interfaces)
                return replace(new, name=_get(types, node.name), result=type_text(types, node.result))
        return new

    def own(self, name: str) -> str:
        """A name declared in this POU."""
        return self.local.get(name.lower(), name)

    def _declaration(self, v: p.VariableDeclaration) -> p.VariableDeclaration:
        """A declaration; an external one follows the global it stands for."""
        name = self.own(v.name)
        if v.section == "external" and v.name.lower() not in self.local:
            name = self._global(v.name)
        types = self.names.types
        return replace(v, name=name, type=type_text(types, v.type), initial=typed_text(types, v.initial))

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

    def _wired(self, call: Any, type: str) -> Any:
        """A call with the pins of a type renamed."""
        pins = self._pins(type)

        def named(arguments: tuple[m.Argument, ...]) -> tuple[m.Argument, ...]:
            return tuple(replace(a, name=_get(pins, a.name)) for a in arguments)

        return replace(call, inputs=named(call.inputs), outputs=named(call.outputs)) if pins else call


def _spelled(e: m.Expression) -> str:
    match e:
        case m.Member(of, name):
            return f"{_spelled(of)}.{name}"
        case m.Variable(name):
            return name
    return ""
