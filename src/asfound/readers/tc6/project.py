"""The document level: title block, types, configurations, and programs nested in extension data.

Some exporters leave ``types/pous`` empty and put every POU, type, list of globals and task into ``addData``. So each
container is searched in the same way: its standard children, then whatever its extension data holds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from asfound.language.literals import canonical
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
from asfound.readers.extra.attributes import drop
from asfound.readers.extra.settings import folders, libraries, task_settings
from asfound.readers.tc6.interface import data_type, global_list
from asfound.readers.tc6.plate import PLATE, documentation, flat, rest
from asfound.readers.tc6.pous import pou
from asfound.readers.xml import Element, attribute, children, cut, is_empty, local, take, take_all

_CLOCK = re.compile(r"(\d{2}):(\d{2}):(\d{2}(?:\.\d+)?)")


@dataclass
class _Found:
    """What has been read so far, in document order."""

    pous: list[Pou] = field(default_factory=list)
    types: list[DataType] = field(default_factory=list)
    globals: list[GlobalList] = field(default_factory=list)
    resources: list[Resource] = field(default_factory=list)
    libraries: list[Library] = field(default_factory=list)
    folders: list[Setting] = field(default_factory=list)
    extensions: list[Extension] = field(default_factory=list)


def program(root: Element) -> Program:
    """Everything in a ``project`` document, eaten."""
    found = _Found()
    heading = _heading(root, found)
    types = take(root, "types")
    if types is not None:
        _types(types, found)
    instances = take(root, "instances")
    if instances is not None:
        for holder in take_all(instances, "configurations"):
            for each in take_all(holder, "configuration"):
                _configuration(each, found)
            found.extensions += rest(holder)
        found.extensions += rest(instances)
    _nested(root, "", found)
    found.extensions += rest(root)
    return Program(
        heading=Heading(**{f: getattr(heading, f) for f in heading.__struct_fields__} | _with_folders(heading, found)),
        pous=tuple(found.pous),
        types=tuple(found.types),
        globals=tuple(found.globals),
        resources=tuple(found.resources),
        libraries=tuple(found.libraries),
        extensions=flat((tuple(found.extensions),)),
    )


def _with_folders(heading: Heading, found: _Found) -> dict[str, tuple[Setting, ...]]:
    return {"settings": (*heading.settings, *sorted(found.folders, key=lambda s: (s.name, s.value)))}


def _heading(root: Element, found: _Found) -> Heading:
    """Title block: what a person wrote, and the tool that exported."""
    file, content = take(root, "fileHeader"), take(root, "contentHeader")
    tool: list[str] = []
    settings: list[Setting] = []
    values: dict[str, str] = {}
    for element in (e for e in (file, content) if e is not None):
        for name in ("companyName", "productName", "productVersion", "productRelease"):
            value = attribute(element, name).strip()
            if value:
                tool.append(value)
        for name in ("name", "version", "author", "organization", "language"):
            values[name] = attribute(element, name).strip() or values.get(name, "")
        for name in ("companyURL", "contentDescription"):
            value = attribute(element, name).strip()
            if value:
                settings.append(Setting(name, value))
        for each in take_all(element, "Comment"):
            values["comment"] = " ".join((each.text or "").split())
            each.text = None
            found.extensions += rest(each)
        _empty_information(element)
        found.extensions += _below("project", rest(element))
    return Heading(**values, tool=" ".join(tool), settings=tuple(settings))


def _below(path: str, extensions: tuple[Extension, ...]) -> tuple[Extension, ...]:
    """Paths seen from a container further out; the noise table names header nodes from the root."""
    return tuple(Extension(path=f"{path}/{e.path}", text=e.text, name=e.name) for e in extensions)


def _empty_information(element: Element) -> None:
    """``ProjectInformation`` without content says nothing."""
    for add in list(children(element, "addData")):
        for data in list(children(add, "data")):
            inner = list(data)
            if len(inner) == 1 and local(inner[0]) == "ProjectInformation" and is_empty(inner[0]):
                drop(data)


def _types(element: Element, found: _Found) -> None:
    for holder in take_all(element, "dataTypes"):
        found.types += [data_type(each) for each in take_all(holder, "dataType")]
        found.extensions += rest(holder)
    for holder in take_all(element, "pous"):
        found.pous += [pou(each) for each in take_all(holder, "pou")]
        found.extensions += rest(holder)
    _nested(element, "", found)
    found.extensions += rest(element)


def _configuration(element: Element, found: _Found) -> None:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    _globals(element, name, found)
    for each in take_all(element, "resource"):
        _resource(each, name, found)
    _nested(element, name, found)
    if comment:
        odd = (*odd, Extension(path="configuration/documentation", text=comment))
    found.extensions += _below(f"configuration {name}", flat((odd, rest(element))))


def _globals(element: Element, scope: str, found: _Found) -> None:
    for each in take_all(element, "globalVars"):
        found.globals.append(global_list(each, scope))
    for each in take_all(element, "accessVars"):
        found.globals.append(global_list(each, scope, "access"))
    for each in take_all(element, "configVars"):
        found.globals.append(global_list(each, scope, "config"))


def _resource(element: Element, configuration: str, found: _Found) -> None:
    name = attribute(element, "name")
    scope = f"{configuration}/{name}" if configuration else name
    comment, odd = documentation(element)
    _globals(element, scope, found)
    tasks, instances = [], [_instance(each, "") for each in take_all(element, "pouInstance")]
    for each in take_all(element, "task"):
        task, own = _task(each, scope)
        tasks.append(task)
        instances += own
    _nested(element, scope, found)
    found.resources.append(
        Resource(
            name=name,
            scope=configuration,
            tasks=tuple(tasks),
            instances=tuple(instances),
            comment=comment,
            extensions=flat((odd, rest(element))),
        )
    )


def _task(element: Element, scope: str) -> tuple[Task, list[Instance]]:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    kind, settings = task_settings(element)
    instances = [_instance(each, name) for each in take_all(element, "pouInstance")]
    task = Task(
        name=name,
        scope=scope,
        priority=attribute(element, "priority").strip(),
        interval=_interval(attribute(element, "interval").strip()),
        single=attribute(element, "single").strip(),
        kind=kind,
        settings=settings,
        comment=comment,
        extensions=flat((odd, rest(element))),
    )
    return task, instances


def _interval(text: str) -> str:
    """A duration in canonical spelling; version 1.x writes a time of day, ``00:00:00.02`` (xsd:time).

    >>> _interval("t#20ms"), _interval("00:00:00.02")
    ('T#20ms', 'T#20ms')
    """
    clock = _CLOCK.fullmatch(text)
    if clock is None:
        return canonical(text, "TIME")
    hours, minutes, seconds = clock.groups()
    return canonical(f"T#{hours}h{minutes}m{seconds}s", "TIME")


def _instance(element: Element, task: str) -> Instance:
    comment, odd = documentation(element)
    return Instance(
        name=attribute(element, "name"),
        type=attribute(element, "typeName") or attribute(element, "type"),
        task=task,
        comment=comment,
        extensions=flat((odd, rest(element))),
    )


def _nested(element: Element, scope: str, found: _Found) -> None:
    """Programs, types, globals, resources, libraries and the project tree inside extension data of a container."""
    for add in children(element, "addData"):
        for data in list(children(add, "data")):
            for each in list(data):
                if not _take_nested(each, scope, found):
                    continue
                cut(each)
            drop(data)


def _take_nested(each: Element, scope: str, found: _Found) -> bool:
    match local(each):
        case "pou":
            found.pous.append(pou(each))
        case "dataType":
            found.types.append(data_type(each))
        case "globalVars":
            found.globals.append(global_list(each, scope))
        case "resource":
            _resource(each, scope, found)
        case "Libraries":
            found.libraries += libraries(each, PLATE)
        case "ProjectStructure":
            found.folders += folders(each)
            found.extensions += rest(each)
        case _:
            return False
    return True
