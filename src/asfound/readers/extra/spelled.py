"""Structures and enumerations spelled out where they are used: as IEC text, and what such a text has no place for."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.model.program import EnumValue, Extension, VariableDeclaration
from asfound.readers.residue import flat


def spelled_struct(members: Sequence[VariableDeclaration], word: str) -> tuple[str, tuple[Extension, ...]]:
    """``STRUCT a : INT; END_STRUCT``; whatever else the members carry is told beside it."""
    inside = " ".join(f"{m.name} : {m.type}{' := ' + m.initial if m.initial else ''};" for m in members)
    return f"{word} {inside} END_{word}", flat(_besides(m) for m in members)


def spelled_enum(values: Sequence[EnumValue], base: str) -> tuple[str, tuple[Extension, ...]]:
    """``(On, Off := 7) USINT``; comments of the values are told beside it."""
    listed = ", ".join(f"{v.name} := {v.value}" if v.value else v.name for v in values)
    return f"({listed}) {base}".rstrip(), flat(_said(v.name, v.comment) for v in values)


def _said(name: str, comment: str) -> tuple[Extension, ...]:
    return (Extension(path=f"{name}/documentation", text=comment),) if comment else ()


def _besides(member: VariableDeclaration) -> tuple[Extension, ...]:
    """What a member of a structure without a name carries and its text cannot say."""
    found = [Extension(path=f"{member.name}/{e.path}", text=e.text, name=e.name) for e in member.extensions]
    found += [Extension(path=f"{member.name}/pragma", text=text) for text in member.pragmas]
    told = (("address", member.address), ("access", member.access))
    found += [Extension(path=f"{member.name}/@{name}", text=text) for name, text in told if text]
    return (*found, *_said(member.name, member.comment))
