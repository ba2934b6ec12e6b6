"""Everything a copy declares, with its address where it has one: variables of every scope, tags, steps, actions,
members of types, address ranges of modules.

One list, so that whatever has to be found by name or address is found in one way. Cost: linear.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from msgspec.structs import replace

from asfound.analysis.dataflow import Node as Key
from asfound.analysis.numbering import Numbering
from asfound.analysis.places import Place, list_place, rows, tag_place, tag_text, top
from asfound.language import printer
from asfound.language.addresses import Memory
from asfound.language.readable import plain
from asfound.model.copy import Copy
from asfound.model.hardware import Module
from asfound.model.program import DataType, Pou, VariableDeclaration

MODULE = "§module"
"""Scope of the key of a module, which is no name that a program can use."""


NOWHERE = Memory("")


class Located(NamedTuple):
    """``key`` is the node of the name as in :mod:`.flow`."""

    place: Place
    key: Key
    name: str
    type: str
    memory: Memory
    text: str


def located(copy: Copy, numbering: Numbering) -> tuple[Located, ...]:
    """Every declaration of a copy, in the order of the program, then tags, then hardware.

    Addresses lie where the numbering says; modules state bytes, however words are counted.
    """
    found = [d for pou in copy.program.pous for d in _pou(pou, top(pou.name))]
    found += [d for type in copy.program.types for d in _type(type)]
    for block in copy.program.globals:
        found += [_variable(v, "", list_place(block)) for v in block.variables]
    for table, tag in rows(copy.tables):
        place, key = tag_place(table, tag.name), ("", tag.name.lower())
        found.append(Located(place, key, tag.name, tag.type, Memory.at(tag.address), tag_text(tag)))
    if copy.hardware is not None:
        for device in copy.hardware.devices:
            for module in device.modules:
                found += _module(module, Place(device.name, (f"device:{device.name}",)))
    return tuple(_counted(each, numbering) for each in found)


def _counted(found: Located, numbering: Numbering) -> Located:
    if found.key[0] == MODULE:
        return found._replace(memory=found.memory._replace(spans=found.memory.spans * len(numbering.ways)))
    return found._replace(memory=numbering.at(found.memory.text, found.type)) if found.memory.text else found


def memories(copy: Copy, numbering: Numbering) -> Iterator[tuple[Key, Memory]]:
    """Node and memory of every name with an address, modules left out; the words of :func:`located` are not made."""
    for found in located(replace(copy, tables=()), numbering):
        if found.memory.text and found.key[0] != MODULE:
            yield found.key, found.memory
    for table in copy.tables:
        for tag in table.tags:
            if tag.address and (memory := numbering.at(tag.address, tag.type)).text:
                yield ("", tag.name.lower()), memory


def _pou(pou: Pou, place: Place) -> Iterator[Located]:
    key = pou.name.lower()
    for variable in pou.variables:
        yield _variable(variable, "" if variable.section == "external" else key, place)
    yield from (_named("action", action.name, key, place) for action in pou.actions)
    yield from (_named("transition", transition.name, key, place) for transition in pou.transitions)
    for body in (*pou.bodies, *(a.body for a in pou.actions)):
        steps = body.chart.steps if body.chart is not None else ()
        yield from (_named("step", step.name, key, place) for step in steps)
    for member in pou.members:
        yield from _pou(member, place.down(f"{member.kind} {member.name}", f"{member.kind}:{member.name}"))


def _named(word: str, name: str, scope: str, place: Place) -> Located:
    at = place.down(f"{word} {name}", f"{word}:{name}")
    return Located(at, (scope, name.lower()), name, "", NOWHERE, f"{word} {name}")


def _type(type: DataType) -> Iterator[Located]:
    place, key = top(type.name), type.name.lower()
    yield from (_variable(member, key, place) for member in type.members)
    for value in type.values:
        at = place.down(value.name, f"value:{value.name}")
        said = f"{value.name} := {value.value}" if value.value else value.name
        yield Located(at, (key, value.name.lower()), value.name, "", NOWHERE, said)


def _variable(variable: VariableDeclaration, scope: str, place: Place) -> Located:
    at = place.down(variable.name, f"variable:{variable.name}")
    key, text = (scope, variable.name.lower()), plain(printer.variable(variable))
    return Located(at, key, variable.name, variable.type, Memory.at(variable.address), text)


def _module(module: Module, place: Place) -> Iterator[Located]:
    at = place.down(f"module {module.name}", f"module:{module.name}")
    slot = f" in slot {module.slot}" if module.slot is not None else ""
    for part in module.addresses:
        if part.start is not None and part.length and part.direction:
            area = "I" if part.direction == "input" else "Q"
            span = range(part.start * 8, part.start * 8 + part.length)
            text = f"module {module.name}{slot}: {part.direction} bytes {part.start} to {(span.stop - 1) // 8}"
            yield Located(at, (MODULE, module.name), module.name, module.type_name, Memory(text, area, (span,)), text)
    for inside in module.modules:
        yield from _module(inside, at)
