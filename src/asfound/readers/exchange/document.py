"""The document level: what has been found so far, the title block, and tasks."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import msgspec

from asfound.language.literals import canonical
from asfound.language.near_keywords import Odd
from asfound.model.copy import Copy, Finding
from asfound.model.program import (
    DataType,
    Extension,
    GlobalList,
    Heading,
    Instance,
    Library,
    Pou,
    Program,
    Resource,
    Setting,
    Task,
)
from asfound.readers.exchange import known
from asfound.readers.exchange.packing import Open, unpacked
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.extra.intervals import scheduled
from asfound.readers.extra.named_values import task_settings
from asfound.readers.oddities import corrected_texts, told
from asfound.readers.residue import Residue, flat
from asfound.readers.start import with_quotes
from asfound.readers.xml import Element, attribute, is_empty, local

TOOL = ("companyName", "productName", "productVersion", "productRelease")
WRITTEN = ("name", "version", "author", "organization", "language")
MORE = ("companyURL", "contentDescription")


@dataclass
class Found:
    """What has been read so far, in document order."""

    open: Open
    unlisted: Callable[[Element], Iterable[str]]
    """What a POU says of wires from pins that no list has, in sentences; asked before the POU is read."""
    pous: list[Pou] = field(default_factory=list)
    types: list[DataType] = field(default_factory=list)
    globals: list[GlobalList] = field(default_factory=list)
    resources: list[Resource] = field(default_factory=list)
    libraries: list[Library] = field(default_factory=list)
    folders: list[Setting] = field(default_factory=list)
    tasks: list[Task] = field(default_factory=list)
    """Of the resource that is being read, like the instances."""
    instances: list[Instance] = field(default_factory=list)
    extensions: list[Extension] = field(default_factory=list)
    odd: list[Odd] = field(default_factory=list)
    notes: list[Finding] = field(default_factory=list)

    def size(self) -> int:
        """How many things have been found."""
        return len(self.pous) + len(self.types) + len(self.globals) + len(self.extensions)

    def pou(self, element: Element, format: str, read: Callable[[Element], Pou]) -> None:
        """Add the POU in an element; one whose text was read before is not read again.

        ``read`` may add to the rest of what was found as well; then its POU is not remembered.
        """
        place = f"POU {element.get('name', '')}".strip()
        inside = self.open(element)
        key = known.key(inside, format) if self.open is unpacked else b""
        self.notes += [Finding("note", place, text) for text in self.unlisted(inside)]
        self.odd += corrected_texts(inside, place)
        if self.open is not unpacked:
            self.pous.append(read(inside))
            return
        found = known.find(key)
        if found is None:
            before = self._count()
            found = read(element)
            if self._count() == before:
                known.keep(key, found)
        self.pous.append(found)

    def _count(self) -> int:
        return sum(len(each) for each in vars(self).values() if isinstance(each, list))

    def copy(self, heading: Heading) -> Copy:
        """All of it under its title block, with what is to be told of it."""
        findings = (*told(self.odd, lambda each: each.place), *self.notes)
        return Copy(program=self._program(heading), findings=findings)

    def _program(self, heading: Heading) -> Program:
        folders = sorted(self.folders, key=lambda s: (s.name, s.value))
        return with_quotes(
            Program(
                heading=msgspec.structs.replace(heading, settings=(*heading.settings, *folders)),
                pous=tuple(self.pous),
                types=tuple(self.types),
                globals=tuple(self.globals),
                resources=tuple(self.resources),
                libraries=tuple(self.libraries),
                extensions=flat((tuple(self.extensions),)),
            )
        )


@dataclass
class Title:
    """The title block: what a person wrote, and the tool that exported; it stands in two elements."""

    values: dict[str, str] = field(default_factory=dict)
    tool: list[str] = field(default_factory=list)
    settings: list[Setting] = field(default_factory=list)

    def add(self, element: Element) -> None:
        """Take the attributes of one of the two; extension data that says nothing about the project goes too."""
        self.tool += [value for name in TOOL if (value := attribute(element, name).strip())]
        for name in WRITTEN:
            self.values[name] = attribute(element, name).strip() or self.values.get(name, "")
        self.settings += [Setting(name, value) for name in MORE if (value := attribute(element, name).strip())]
        for data in data_items(element):
            inner = list(data)
            if len(inner) == 1 and local(inner[0]) == "ProjectInformation" and is_empty(inner[0]):
                drop(data)

    def heading(self) -> Heading:
        """What it says."""
        return Heading(**self.values, tool=" ".join(self.tool), settings=tuple(self.settings))


def below(path: str, extensions: tuple[Extension, ...]) -> tuple[Extension, ...]:
    """Paths seen from a container further out; the noise table names header nodes from the root."""
    return tuple(Extension(path=f"{path}/{e.path}", text=e.text, name=e.name) for e in extensions)


def task(element: Element, scope: str, residue: Residue) -> Task:
    """A task by itself; its program instances and what is not understood stay in the tree."""
    comment, unrecognised = residue.documentation(element)
    kind, settings = task_settings(element)
    interval, settings, unrecognised_interval = scheduled(attribute(element, "interval"), kind, settings)
    return Task(
        name=attribute(element, "name"),
        scope=scope,
        priority=canonical(attribute(element, "priority")),
        interval=interval,
        single=attribute(element, "single").strip(),
        kind=kind,
        settings=settings,
        comment=comment,
        extensions=flat((unrecognised, unrecognised_interval)),
    )
