"""Several exports of one copy become one: lists one after the other, in file-name order.

Nothing is united or chosen between: two POUs of one name are both kept and a finding names both files. Of several
title blocks the first is the heading; each further, different one is kept as an extension (and so compared).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, NamedTuple, TypeVar

import msgspec

from asfound.model.copy import Copy, Finding, Source
from asfound.model.hardware import Hardware
from asfound.model.program import Extension, Heading, Pou, Program
from asfound.model.tags import TagTable
from asfound.readers.limits import limits_of

T = TypeVar("T")


class Part(NamedTuple):
    """One file of a copy: where it came from and what it holds (nothing when its format is unknown)."""

    source: Source
    copy: Copy


def merge(parts: Sequence[Part]) -> Copy:
    """One copy out of its parts, which stand in file-name order."""
    whole = _joined_whole(parts)
    findings = (*whole.findings, *_duplicates(parts))
    limits = tuple(sorted({*whole.limits, *_unknown(parts), *limits_of(whole)}))
    return msgspec.structs.replace(whole, findings=findings, limits=limits)


def with_parts(own: Copy, parts: Sequence[Part]) -> Copy:
    """What one file holds, with what was read from the parts inside it; these are no sources of their own."""
    if not parts:
        return own
    whole = _joined_whole([Part(Source("", "", 0, ""), own), *parts])
    return msgspec.structs.replace(whole, sources=())


def _joined_whole(parts: Sequence[Part]) -> Copy:
    copies = [part.copy for part in parts]
    return Copy(
        sources=tuple(part.source for part in parts),
        program=_programs(parts),
        tables=_tables(parts),
        hardware=Hardware(
            devices=_joined(copies, lambda copy: copy.hardware.devices),
            subnets=_joined(copies, lambda copy: copy.hardware.subnets),
            settings=_joined(copies, lambda copy: copy.hardware.settings),
            extensions=_joined(copies, lambda copy: copy.hardware.extensions),
        ),
        values=_joined(copies, lambda copy: copy.values),
        forces=_joined(copies, lambda copy: copy.forces),
        findings=_joined(copies, lambda copy: copy.findings),
        limits=_joined(copies, lambda copy: copy.limits),
    )


def _tables(parts: Sequence[Part]) -> tuple[TagTable, ...]:
    """All tag tables; those that have one name in several files are called by their folder too.

    A table is named after its file, and ``pumps/tags.csv`` and ``fans/tags.csv`` are not one table: a tag that went
    from one to the other would not be seen.
    """
    files: dict[str, set[str]] = {}
    for source, copy in parts:
        for table in copy.tables:
            files.setdefault(table.name.lower(), set()).add(source.name)
    return tuple(
        msgspec.structs.replace(table, name=f"{folder}/{table.name}")
        if len(files[table.name.lower()]) > 1 and (folder := source.name.rpartition("/")[0])
        else table
        for source, copy in parts
        for table in copy.tables
    )


def _joined(copies: Iterable[Copy], pick: Callable[[Copy], tuple[T, ...]]) -> tuple[T, ...]:
    return tuple(item for copy in copies for item in pick(copy))


def _unknown(parts: Sequence[Part]) -> Iterator[str]:
    for source, _ in parts:
        if not source.format:
            reason = "is empty" if not source.size else "is not understood"
            yield f"{source.name} {reason}; it is stored and compared byte by byte"


def _programs(parts: Sequence[Part]) -> Program:
    copies = [part.copy for part in parts]
    heading, further = _headings(parts)
    return Program(
        heading=heading,
        pous=_joined(copies, lambda copy: copy.program.pous),
        types=_joined(copies, lambda copy: copy.program.types),
        globals=_joined(copies, lambda copy: copy.program.globals),
        resources=_joined(copies, lambda copy: copy.program.resources),
        libraries=_joined(copies, lambda copy: copy.program.libraries),
        extensions=(*_joined(copies, lambda copy: copy.program.extensions), *further),
    )


def _headings(parts: Sequence[Part]) -> tuple[Heading, tuple[Extension, ...]]:
    """The heading of the whole, and the further ones. Names of tools are evidence, not part of what is compared."""
    found = [(source.name, copy.program.heading) for source, copy in parts]
    tools = list(dict.fromkeys(heading.tool for _, heading in found if heading.tool))
    bare = [(name, msgspec.structs.replace(heading, tool="")) for name, heading in found]
    titled = [(name, heading) for name, heading in bare if heading != Heading()]
    first = titled[0][1] if titled else Heading()
    further = tuple(
        Extension(path="heading", name=name, text=msgspec.json.encode(heading).decode())
        for name, heading in titled[1:]
        if heading != first
    )
    return msgspec.structs.replace(first, tool="; ".join(tools)), further


def _named(copy: Copy) -> Iterator[tuple[str, str, str]]:
    """(kind, folded key, name as written) of everything that must be declared once in a copy."""
    program = copy.program
    groups: tuple[tuple[str, tuple[Any, ...], Callable[[Any], str]], ...] = (
        ("POU", program.pous, lambda item: item.namespace),
        ("data type", program.types, lambda item: item.namespace),
        ("global list", program.globals, lambda item: item.scope),
        ("resource", program.resources, lambda item: item.scope),
        ("tag table", copy.tables, lambda item: ""),
        ("device", copy.hardware.devices, lambda item: ""),
    )
    for kind, items, scope in groups:
        for item in items:
            if item.name:
                yield kind, f"{scope(item)}\n{item.name}".lower(), item.name


def _duplicates(parts: Sequence[Part]) -> Iterator[Finding]:
    """A warning for each name that is declared twice, in two files or in one.

    Several lists of globals of one name in a file are one list, written as several blocks.
    """
    first: dict[tuple[str, str], str] = {}
    for source, copy in parts:
        for kind, key, name in _named(copy):
            known = (kind, key) in first
            other = first.setdefault((kind, key), source.name)
            if other != source.name:
                text = f"{kind} {name} is in {other} and in {source.name}; both are kept"
                yield Finding(severity="warning", where=name, text=text)
            elif known and kind in ("POU", "data type"):
                text = f"{kind} {name} is in {source.name} twice; both are kept"
                yield Finding(severity="warning", where=name, text=text)
        for pou in copy.program.pous:
            yield from _inside(pou)


def _inside(pou: Pou) -> Iterator[Finding]:
    """A warning for each second action, transition or member of one name."""
    groups: tuple[tuple[str, list[str]], ...] = (
        ("actions", [a.name for a in pou.actions]),
        ("transitions", [t.name for t in pou.transitions]),
        ("members", [m.name for m in pou.members]),
        ("variables", [v.name for v in pou.variables]),
    )
    for what, names in groups:
        seen: set[str] = set()
        for name in names:
            if name and name.lower() in seen:
                text = f"{pou.name}: two {what} are called {name}; both are kept"
                yield Finding(severity="warning", where=pou.name, text=text)
            seen.add(name.lower())
    for member in pou.members:
        yield from _inside(member)
