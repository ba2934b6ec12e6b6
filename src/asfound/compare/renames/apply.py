"""Applying renames to a whole copy, with the scopes of IEC 61131-3: local names hide global ones.

Cost: linear in the POUs that hold a renamed name; others are kept as they are. A member is renamed when the type of
what it belongs to is known; where it is not, the use shows up as a difference of its own.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import chain
from typing import Any

from msgspec.structs import replace

from asfound.analysis.leaves import dotted
from asfound.analysis.symbols import inner_names
from asfound.compare.renames.members import Members
from asfound.compare.renames.texts import Map, can_name, type_text, value_text, words_of
from asfound.model import logic as m
from asfound.model import program as p
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware, Module
from asfound.model.tree import NODES

_ROOT = re.compile(r"(?<![\w.])[^\W\d]\w*")
"""A name in a text that is not a member of what stands before it."""
_CODE = re.compile(rf"""'(?:\$.|[^$'])*'|"(?:\$.|[^$"])*"|{_ROOT.pattern}""", re.DOTALL)
"""The same in code that is not interpreted, or what stands between quotes, in which nothing is a name."""


@dataclass(frozen=True)
class Names:
    """Renames by scope: folded old name to new name.

    ``locals`` are by the folded path of what declares them: a POU, ``pump.reset`` for a method of one, or a type, whose
    members or values they are. ``charts`` are steps of a chart that is the body of an action.
    """

    globals: Map = field(default_factory=dict)
    types: Map = field(default_factory=dict)
    locals: Mapping[str, Map] = field(default_factory=dict)
    charts: Mapping[tuple[str, str], Map] = field(default_factory=dict)
    lists: Map = field(default_factory=dict)
    scopes: Map = field(default_factory=dict)

    def __bool__(self) -> bool:
        return any((self.globals, self.types, self.locals, self.charts, self.lists, self.scopes))

    @property
    def keys(self) -> frozenset[str]:
        """The old names, folded."""
        inside = chain(self.locals.values(), self.charts.values())
        return frozenset(chain(self.globals, self.types, self.lists, self.scopes, *inside))


def renamed_copy(copy: Copy, names: Names) -> Copy:
    """The copy with every rename applied; lists keep their order."""
    if not names:
        return copy
    return _Renamed(copy, names).copy()


def path_name(names: Map, name: str) -> str:
    """A dotted name with its first part renamed."""
    first, dot, rest = name.partition(".")
    return _get(names, first) + dot + rest


def _get(names: Map, name: str) -> str:
    return names.get(name.lower(), name)


class _Renamed:
    """Renames of one copy: what holds for all of its declarations."""

    def __init__(self, copy: Copy, names: Names) -> None:
        self.old, self.names, self.words = copy, names, words_of(names.keys)
        self.members = Members(copy)
        self.values = self.members.values_alone(names.locals)
        self.pous = frozenset(pou.name.lower() for pou in copy.program.pous)
        programs = (pou.name.lower() for pou in copy.program.pous if pou.kind == "program")
        enumerations = (type.name.lower() for type in copy.program.types if type.kind == "enum")
        self.named_inside = frozenset((*programs, *enumerations))
        """What is accessed from elsewhere by its name and a point."""

    def copy(self) -> Copy:
        """The whole."""
        names, old = self.names, self.old
        program = replace(
            old.program,
            pous=tuple(map(self._pou, old.program.pous)),
            types=tuple(map(self._type, old.program.types)),
            globals=tuple(map(self._list, old.program.globals)),
            resources=tuple(map(self._resource, old.program.resources)),
            heading=self._heading(),
        )
        tables = tuple(
            replace(t, tags=tuple(replace(tag, name=_get(names.globals, tag.name)) for tag in t.tags))
            for t in old.tables
        )
        values = tuple(replace(v, name=path_name(names.globals, v.name)) for v in old.values)
        forces = tuple(replace(f, name=path_name(names.globals, f.name)) for f in old.forces)
        hardware = self._hardware()
        return replace(old, program=program, tables=tables, values=values, forces=forces, hardware=hardware)

    def _pou(self, pou: p.Pou) -> p.Pou:
        return Substitution(self, pou).pou() if can_name(pou, self.words) else pou

    def _heading(self) -> p.Heading:
        """The folders of a project are called like what lies in them."""
        heading = self.old.program.heading
        settings = [s if s.name != "folder" else replace(s, value=self._folder(s.value)) for s in heading.settings]
        return replace(heading, settings=tuple(settings))

    def _folder(self, path: str) -> str:
        owner, parts = "", list[str]()
        for part in path.split("/"):
            own = _get(self.names.locals.get(owner, {}), part)
            parts.append(own if own != part else _get(self.names.lists, _get(self.names.types, part)))
            owner = part.lower() if part.lower() in self.pous else owner
        return "/".join(parts)

    def declared(self, v: p.VariableDeclaration, name: str, constants: Map) -> p.VariableDeclaration:
        """A declaration under its new name, with what its type and its initial value name."""
        types, alone = self.names.types, {**self.values, **constants}
        initial = v.initial and value_text(
            v.initial, types, self.names.locals, self.members.reached(v.type, self.names.locals), alone
        )
        return replace(v, name=name, type=type_text(types, v.type, constants), initial=initial)

    def literal(self, text: str) -> str:
        """A literal with the type, and the value of it, that it names."""
        return value_text(text, self.names.types, self.names.locals) if "#" in text else text

    def _type(self, type: p.DataType) -> p.DataType:
        names, own = self.names, self.names.locals.get(type.name.lower(), {})
        members = tuple(self.declared(v, _get(own, v.name), names.globals) for v in type.members)
        values = tuple(replace(v, name=_get(own, v.name)) for v in type.values)
        base = type_text(names.types, type.base, names.globals)
        alone = {**self.values, **own} if type.kind == "enum" else {**names.globals, **self.values}
        members_of = self.members.reached(f"{type.name} {type.base}", names.locals)
        initial = value_text(type.initial, names.types, names.locals, members_of, alone)
        new = replace(type, name=_get(names.types, type.name), base=base, members=members)
        return replace(new, values=values, initial=initial)

    def _list(self, block: p.GlobalList) -> p.GlobalList:
        names = self.names
        variables = tuple(self.declared(v, _get(names.globals, v.name), names.globals) for v in block.variables)
        name, scope = _get(names.lists, block.name), self._scope(block.scope)
        return replace(block, name=name, scope=scope, variables=variables)

    def _scope(self, scope: str) -> str:
        return "/".join(_get(self.names.scopes, part) for part in scope.split("/"))

    def _resource(self, resource: p.Resource) -> p.Resource:
        names = self.names
        tasks = tuple(
            replace(t, scope=self._scope(t.scope), single=path_name(names.globals, t.single)) for t in resource.tasks
        )
        instances = tuple(replace(i, type=_get(names.types, i.type)) for i in resource.instances)
        name, scope = _get(names.scopes, resource.name), self._scope(resource.scope)
        return replace(resource, name=name, scope=scope, tasks=tasks, instances=instances)

    def _hardware(self) -> Hardware:
        names, hardware = self.names.globals, self.old.hardware
        if not names or not hardware.devices:
            return hardware

        def module(found: Module) -> Module:
            channels = tuple(replace(c, tag=_get(names, c.tag)) if c.tag else c for c in found.channels)
            return replace(found, channels=channels, modules=tuple(map(module, found.modules)))

        devices = tuple(replace(d, modules=tuple(map(module, d.modules))) for d in hardware.devices)
        return replace(hardware, devices=devices)


class Substitution:
    """Renames inside one POU, or inside a member of ``outer``."""

    def __init__(self, whole: _Renamed, pou: p.Pou, outer: Substitution | None = None) -> None:
        self.whole, self.names, self.members, self.found = whole, whole.names, whole.members, pou
        self.path: str = f"{outer.path}.{pou.name.lower()}" if outer else pou.name.lower()
        self.owner: str = outer.owner if outer else pou.name
        own = inner_names(pou) - {pou.name.lower()}
        around: Map = outer.local if outer else self.members.inherited(pou, self.names.locals)
        self.local: Map = {name: new for name, new in around.items() if name not in own} | {
            **self.names.locals.get(self.path, {})
        }
        self.inside: frozenset[str] = inner_names(pou) | (outer.inside if outer else self.members.names_inside(pou))
        seen = outer.declared if outer else self.members.seen_in(pou)
        self.declared: dict[str, str] = seen | self.members.locals_of(pou)

    def pou(self) -> p.Pou:
        """The POU with its renames applied."""
        new: p.Pou = self.renamed(self.found)
        return new

    def renamed(self, node: Any) -> Any:
        """A node and everything in it with every name replaced."""
        match node:
            case p.Pou(name) if node is not self.found:
                return replace(Substitution(self.whole, node, self).pou(), name=self.own(name))
            case p.Action(name) if steps := self.names.charts.get((self.found.name.lower(), name.lower())):
                inside = Substitution(self.whole, self.found)
                inside.local = {**self.local, **steps}
                return replace(node, name=self.own(name), body=inside.renamed(node.body))
        return self._named(node, NODES.rebuilt(node, self.renamed))

    def _named(self, node: Any, new: Any) -> Any:
        """A node whose inside is renamed, with its own names replaced."""
        types = self.names.types
        match node:
            case m.Variable(name):
                return node if self.name(name) == name else m.Variable(self.name(name))
            case m.Literal(written):
                return m.Literal(self.whole.literal(written))
            case m.Member(of, name):
                return replace(new, name=self._member(of, name))
            case m.Verbatim(text) | m.Unparsed(text):
                return replace(node, text=_CODE.sub(lambda found: self.name(found.group()), text))
            case m.Invocation(function):
                return self._wired(new, self.members.called(function, self.declared, self.owner))
            case m.Call(instance, type):
                called = type.lower() or self.members.called(instance, self.declared, self.owner)
                return replace(self._wired(new, called), type=_get(types, type))
            case p.Network(leftovers=told) if told:
                return replace(new, leftovers=tuple(map(self._words, told)))
            case p.Chart(leftovers=told, extensions=more) if told or more:
                paths = {p.ALTERNATIVES.format(step.name): step.name for step in node.steps}
                more = tuple(self._alternatives(e, paths[e.path]) if e.path in paths else e for e in more)
                return replace(new, leftovers=tuple(map(self._words, told)), extensions=more)
            case p.Step(name) | p.Action(name):
                return replace(new, name=self.own(name))
            case p.Association(action) if action:
                return replace(new, action=_spelled(self.renamed(dotted(action))))
            case p.Transition(sources, targets):
                return replace(new, sources=tuple(map(self.own, sources)), targets=tuple(map(self.own, targets)))
            case p.VariableDeclaration():
                return self._declaration(node)
            case p.Pou():
                interfaces = tuple(_get(types, each) for each in node.implements)
                new = replace(new, extends=_get(types, node.extends), implements=interfaces)
                name = _get(types, node.name) if self.path == node.name.lower() else node.name
                return replace(new, name=name, result=type_text(types, node.result, self.names.globals))
        return new

    def _words(self, told: str) -> str:
        """What is told of a drawing, in which names stand among words."""
        return _ROOT.sub(lambda found: self.name(found.group()), told)

    def _alternatives(self, e: p.Extension, step: str) -> p.Extension:
        return replace(e, path=p.ALTERNATIVES.format(self.own(step)), text=self._words(e.text))

    def own(self, name: str) -> str:
        """A name declared in this POU."""
        return self.local.get(name.lower(), name)

    def _declaration(self, v: p.VariableDeclaration) -> p.VariableDeclaration:
        """A declaration; an external one follows the global it stands for."""
        name = self.own(v.name)
        if v.section == "external" and v.name.lower() not in self.local:
            name = self._global(v.name)
        seen = {old: new for old, new in self.names.globals.items() if old not in self.inside}
        return self.whole.declared(v, name, {**seen, **self.local})

    def _global(self, name: str) -> str:
        new = self.names.globals.get(name.lower(), name)
        return name if new.lower() in self.inside else new

    def name(self, name: str) -> str:
        """The new name of a variable, instance, step, action, function or list used in a body."""
        key = name.lower()
        if key in self.local:
            return self.local[key]
        if key in self.inside:
            return _get(self.names.types, name) if key == self.owner.lower() else name
        if key in self.names.globals:
            return self._global(name)
        if key in self.whole.values and key not in self.declared and not self.members.is_variable(key):
            return self.whole.values[key]
        return _get(self.names.lists, _get(self.names.types, name))

    def _member(self, of: m.Expression, name: str) -> str:
        if isinstance(of, m.Variable) and of.name.lower() not in self.inside:
            key = of.name.lower()
            if key in self.members.lists:
                return _get(self.names.globals, name)
            if key in self.whole.named_inside:
                return _get(self.names.locals.get(key, {}), name)
        return self.members.renamed(self.members.type_of(of, self.declared), name, self.names.locals)

    def _wired(self, call: Any, path: str) -> Any:
        """A call with the pins of what it calls renamed."""
        pins = self.members.pins(path, self.names.locals)

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
