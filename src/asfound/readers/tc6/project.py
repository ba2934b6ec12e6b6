"""The document level: title block, types, configurations, and programs nested in extension data.

Some exporters leave ``types/pous`` empty and put every POU, type, list of globals and task into ``addData``. So each
container is searched in the same way: its standard children, then whatever its extension data holds.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import msgspec

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
from asfound.readers.exchange.packing import Open, unpacked
from asfound.readers.extra.attributes import drop
from asfound.readers.extra.intervals import scheduled
from asfound.readers.extra.settings import folders, libraries, task_settings
from asfound.readers.plate import flat
from asfound.readers.start import with_quotes
from asfound.readers.tc6.interface import global_list
from asfound.readers.tc6.nested import nested
from asfound.readers.tc6.plate import PLATE, documentation, rest
from asfound.readers.tc6.pous import is_pou, pou
from asfound.readers.tc6.types import data_type
from asfound.readers.xml import Element, attribute, children, has, is_empty, local, take, take_all

GLOBALS = {"globalvars": "global", "accessvars": "access", "configvars": "config"}


@dataclass
class _Found:
    """What has been read so far, in document order."""

    open: Open
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


def program(root: Element, open: Open = unpacked) -> Program:
    """Everything in a ``project`` document, eaten."""
    found = _Found(open)
    heading = _heading(root, found)
    for types in take_all(root, "types"):
        _types(types, found)
    for instances in take_all(root, "instances"):
        for holder in take_all(instances, "configurations"):
            for each in take_all(holder, "configuration"):
                _configuration(each, found)
            _left(holder, found)
        _left(instances, found)
    comment, odd = documentation(root)
    heading = msgspec.structs.replace(heading, comment=" ".join(filter(None, (heading.comment, comment))))
    found.extensions += odd
    _left(root, found)
    if found.tasks or found.instances:
        found.resources.append(Resource("", "", tasks=tuple(found.tasks), instances=tuple(found.instances)))
    return with_quotes(
        Program(
            heading=_with_folders(heading, found),
            pous=tuple(found.pous),
            types=tuple(found.types),
            globals=tuple(found.globals),
            resources=tuple(found.resources),
            libraries=tuple(found.libraries),
            extensions=flat((tuple(found.extensions),)),
        )
    )


def _left(element: Element, found: _Found, scope: str = "") -> None:
    """What a container holds besides its list: declarations in extension data, and what nobody knows."""
    _nested(element, scope, found)
    found.extensions += rest(element)


def _with_folders(heading: Heading, found: _Found) -> Heading:
    folders = sorted(found.folders, key=lambda s: (s.name, s.value))
    return msgspec.structs.replace(heading, settings=(*heading.settings, *folders))


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
        _nested(element, "", found)
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
        _left(holder, found)
    for holder in take_all(element, "pous"):
        for each in take_all(holder, "pou"):
            _pou(each, "", found)
        _left(holder, found)
    _left(element, found)


def _pou(element: Element, scope: str, found: _Found) -> None:
    """A POU; types and globals in its extension data belong to the program, POUs in there are its members."""
    element = found.open(element)
    nested(element, lambda each, path: not is_pou(each) and _take_nested(each, path, scope, found))
    found.pous.append(pou(element))


def _configuration(element: Element, found: _Found) -> None:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    _globals(element, name, found)
    before = len(found.resources), len(found.globals)
    for each in take_all(element, "resource"):
        _resource(each, name, found)
    _nested(element, name, found)
    if comment:
        odd = (*odd, Extension(path="configuration/documentation", text=comment))
    if name and before == (len(found.resources), len(found.globals)):
        odd = (*odd, Extension(path="configuration/@name", text=name))
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
    outer = found.tasks, found.instances
    found.tasks, found.instances = [], [_instance(each, "") for each in take_all(element, "pouInstance")]
    for each in take_all(element, "task"):
        _task(each, scope, found)
    _nested(element, scope, found)
    found.resources.append(
        Resource(
            name=name,
            scope=configuration,
            tasks=tuple(found.tasks),
            instances=tuple(found.instances),
            comment=comment,
            extensions=flat((odd, rest(element))),
        )
    )
    found.tasks, found.instances = outer


def _task(element: Element, scope: str, found: _Found) -> None:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    kind, settings = task_settings(element)
    interval, settings, odd_interval = scheduled(attribute(element, "interval"), kind, settings)
    found.instances += [_instance(each, name) for each in take_all(element, "pouInstance")]
    _nested(element, scope, found)
    task = Task(
        name=name,
        scope=scope,
        priority=canonical(attribute(element, "priority")),
        interval=interval,
        single=attribute(element, "single").strip(),
        kind=kind,
        settings=settings,
        comment=comment,
        extensions=flat((odd, odd_interval, rest(element))),
    )
    found.tasks.append(task)


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
    found.extensions += nested(element, lambda each, path: _take_nested(each, path, scope, found))


def _take_nested(each: Element, path: tuple[str, ...], scope: str, found: _Found) -> bool:
    kind, name = local(each).lower(), str(each.get("name", local(each)))
    if is_pou(each):
        _pou(each, scope, found)
    elif kind == "datatype" and has(each, "baseType"):
        found.types.append(data_type(each))
    elif kind in GLOBALS:
        found.globals.append(global_list(each, scope, GLOBALS[kind]))
    elif kind == "configuration" and "name" in each.attrib:
        _configuration(each, found)
    elif kind == "resource" and "name" in each.attrib:
        _resource(each, scope, found)
    elif kind == "task" and "name" in each.attrib:
        _task(each, scope, found)
    elif kind == "pouinstance":
        found.instances.append(_instance(each, ""))
    elif kind == "libraries":
        found.libraries += libraries(each, PLATE)
    elif kind == "projectstructure":
        found.folders += folders(each)
        found.extensions += rest(each)
        return True
    else:
        return False
    if path:
        found.folders.append(Setting("folder", "/".join((*path, name))))
    return True
