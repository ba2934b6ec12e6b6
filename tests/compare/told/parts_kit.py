"""Copies of parts in few words."""

from __future__ import annotations

from asfound.model.copy import Copy
from asfound.model.hardware import Device, Hardware, Module
from asfound.model.program import (
    DataType,
    EnumValue,
    GlobalList,
    Heading,
    Instance,
    Library,
    Pou,
    Program,
    Resource,
    Setting,
    Task,
    VariableDeclaration,
)
from asfound.model.tags import Tag, TagTable

V = VariableDeclaration


def block(name: str = "Pump", kind: str = "function_block", **parts: object) -> Copy:
    """A copy of one block."""
    return Copy(program=Program(pous=(Pou(name, kind, **parts),)))


def variables(*declared: V, kind: str = "function_block") -> Copy:
    return block(kind=kind, variables=declared)


def data(name: str = "Mode", kind: str = "enum", **parts: object) -> Copy:
    return Copy(program=Program(types=(DataType(name, kind, **parts),)))


def lists(*blocks: GlobalList) -> Copy:
    return Copy(program=Program(globals=blocks))


def resource(name: str = "CPU", scope: str = "Plant", **parts: object) -> Copy:
    return Copy(program=Program(resources=(Resource(name, scope, **parts),)))


def task(name: str = "Fast", scope: str = "Plant/CPU", **parts: object) -> Copy:
    return resource(tasks=(Task(name, scope, **parts),))


def instance(*of: str, **parts: object) -> Copy:
    return resource(instances=(Instance(*of, **parts),))


def libraries(*used: Library) -> Copy:
    return Copy(program=Program(libraries=used))


def heading(**parts: object) -> Copy:
    return Copy(program=Program(heading=Heading(**parts)))


def tags(*rows: Tag, table: str = "Terminals") -> Copy:
    return Copy(tables=(TagTable(table, rows),))


def devices(*those: Device, **parts: object) -> Copy:
    return Copy(hardware=Hardware(those, **parts))


def rack(*modules: Module, **parts: object) -> Copy:
    return devices(Device("PLC1", modules=modules, **parts))


def module(name: str = "DI16", slot: int | None = 1, **parts: object) -> Copy:
    return rack(Module(name, slot, **parts))


def named(*pairs: str) -> tuple[Setting, ...]:
    """Settings, written ``Name=value``."""
    return tuple(Setting(*pair.split("=")) for pair in pairs)


def enum(*values: str) -> tuple[EnumValue, ...]:
    """Values of an enumeration, written ``Name=value=comment``."""
    return tuple(EnumValue(*value.split("=")) for value in values)


WATER, AIR = (
    GlobalList("Water", "P/CPU", (V("Level", "INT", "global"),)),
    GlobalList("Air", "P/CPU", (V("Flow", "INT", "global"),)),
)

Row = tuple[Copy, Copy, tuple[str, ...]]
