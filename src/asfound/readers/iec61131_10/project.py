"""The document level: title block, namespaces, configurations, and what is nested in extension data."""

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
from asfound.readers.extra.attributes import data_items, drop
from asfound.readers.extra.intervals import scheduled
from asfound.readers.extra.settings import folders, libraries, task_settings
from asfound.readers.iec61131_10.declarations import global_list, global_lists
from asfound.readers.iec61131_10.plate import PLATE, documentation, rest
from asfound.readers.iec61131_10.pous import KINDS, pou
from asfound.readers.iec61131_10.types import data_type
from asfound.readers.plate import flat
from asfound.readers.start import with_quotes
from asfound.readers.xml import Element, attribute, cut, is_empty, local, take_all

TOOL = ("companyName", "productName", "productVersion", "productRelease")
DECLARED = (*KINDS, "DataTypeDecl", "NamespaceDecl")
INSTANCES = ("ProgramInstance", "PouInstance")


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
    extensions: list[Extension] = field(default_factory=list)

    def size(self) -> int:
        """How many things have been found."""
        return len(self.pous) + len(self.types) + len(self.globals) + len(self.extensions)


def program(root: Element, open: Open = unpacked) -> Program:
    """Everything in a ``Project``, or in a document whose root is a single declaration, eaten."""
    found = _Found(open)
    if local(root) in DECLARED:
        _declared(root, "", found)
        return _program(Heading(), found)
    heading = _heading(root, found)
    for types in take_all(root, "Types"):
        for holder in take_all(types, "GlobalNamespace"):
            _namespace(holder, "", found)
        _namespace(types, "", found)
    for instances in take_all(root, "Instances"):
        holders = take_all(instances, "Configurations")
        for holder in (*holders, instances):
            for each in take_all(holder, "Configuration"):
                _configuration(each, found)
            found.extensions += rest(holder)
    _nested(root, "", found)
    found.extensions += rest(root)
    return _program(heading, found)


def _program(heading: Heading, found: _Found) -> Program:
    settings = (*heading.settings, *sorted(found.folders, key=lambda s: (s.name, s.value)))
    read = Program(
        heading=msgspec.structs.replace(heading, settings=settings),
        pous=tuple(found.pous),
        types=tuple(found.types),
        globals=tuple(found.globals),
        resources=tuple(found.resources),
        libraries=tuple(found.libraries),
        extensions=flat((tuple(found.extensions),)),
    )
    return with_quotes(read)


def _heading(root: Element, found: _Found) -> Heading:
    """Title block: what a person wrote, and the tool that exported."""
    tool: list[str] = []
    settings: list[Setting] = []
    values: dict[str, str] = {}
    for element in take_all(root, "FileHeader", "ContentHeader"):
        tool += [value for name in TOOL if (value := attribute(element, name).strip())]
        for name in ("name", "version", "author", "organization", "language"):
            values[name] = attribute(element, name).strip() or values.get(name, "")
        for name in ("companyURL", "contentDescription"):
            value = attribute(element, name).strip()
            if value:
                settings.append(Setting(name, value))
        comment, odd = documentation(element, "comment")
        values["comment"] = comment or values.get("comment", "")
        for data in data_items(element, "projectinformation"):
            if all(is_empty(inner) for inner in data):
                drop(data)
        found.extensions += _below("Project", flat((odd, rest(element))))
    return Heading(**values, tool=" ".join(tool), settings=tuple(settings))


def _below(path: str, extensions: tuple[Extension, ...]) -> tuple[Extension, ...]:
    """Paths seen from a container further out."""
    return tuple(Extension(path=f"{path}/{e.path}", text=e.text, name=e.name) for e in extensions)


# --- declarations -----------------------------------------------------------------------------------------------


def _namespace(element: Element, name: str, found: _Found) -> None:
    """Everything declared in ``GlobalNamespace`` or a ``NamespaceDecl``, with the namespaces inside it."""
    for each in take_all(element, *DECLARED):
        _declared(each, name, found)
    found.globals += global_lists(element, name)
    _nested(element, name, found)
    comment, odd = documentation(element)
    if comment:
        odd = (*odd, Extension(path=f"{local(element)}/Documentation", text=comment))
    found.extensions += _below(f"namespace {name}", flat((odd, rest(element)))) if name else flat((odd, rest(element)))


def _declared(each: Element, namespace: str, found: _Found) -> None:
    kind = local(each)
    if kind == "DataTypeDecl":
        found.types.append(data_type(each, namespace))
    elif kind == "NamespaceDecl":
        name = attribute(each, "name").strip()
        whole, before = f"{namespace}.{name}" if namespace else name, found.size()
        _namespace(each, whole, found)
        if found.size() == before:
            found.extensions += (Extension(path="NamespaceDecl", text="holds nothing", name=whole),)
    else:
        found.pous.append(pou(found.open(each), namespace))


# --- configurations ---------------------------------------------------------------------------------------------


def _configuration(element: Element, found: _Found) -> None:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    found.globals += global_lists(element, name)
    for each in take_all(element, "Resource"):
        _resource(each, name, found)
    _nested(element, name, found)
    if comment:
        odd = (*odd, Extension(path="Configuration/Documentation", text=comment))
    found.extensions += _below(f"configuration {name}", flat((odd, rest(element))))


def _resource(element: Element, configuration: str, found: _Found) -> None:
    name = attribute(element, "name")
    scope = f"{configuration}/{name}" if configuration else name
    comment, odd = documentation(element)
    found.globals += global_lists(element, scope)
    tasks: list[Task] = []
    instances = [_instance(each, "") for each in take_all(element, *INSTANCES)]
    for each in take_all(element, "Task"):
        task, own = _task(each, scope)
        tasks.append(task)
        instances += own
    _nested(element, scope, found)
    found.resources.append(
        Resource(
            name=name,
            scope=configuration,
            type=attribute(element, "resourceTypeName").strip(),
            tasks=tuple(tasks),
            instances=_by_task(instances, tasks),
            comment=comment,
            extensions=flat((odd, rest(element))),
        )
    )


def _by_task(instances: list[Instance], tasks: list[Task]) -> tuple[Instance, ...]:
    """Instances without a task, then task by task: only those of one task run in the order they stand in."""
    place = {task.name.lower(): number for number, task in enumerate(tasks, start=1)}
    return tuple(sorted(instances, key=lambda each: place.get(each.task.lower(), 0)))


def _task(element: Element, scope: str) -> tuple[Task, list[Instance]]:
    name = attribute(element, "name")
    comment, odd = documentation(element)
    kind, settings = task_settings(element)
    interval, settings, odd_interval = scheduled(attribute(element, "interval"), kind, settings)
    instances = [_instance(each, name) for each in take_all(element, *INSTANCES)]
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
    return task, instances


def _instance(element: Element, task: str) -> Instance:
    """A program instance; inside a task, or naming one (``associatedTaskName``)."""
    comment, odd = documentation(element)
    named = attribute(element, "associatedTaskName").strip()
    if named and task and named.lower() != task.lower():
        odd = (*odd, Extension(path="ProgramInstance/@associatedTaskName", text=named))
    return Instance(
        name=attribute(element, "name"),
        type=attribute(element, "typeName"),
        task=task or named,
        comment=comment,
        extensions=flat((odd, rest(element))),
    )


# --- extension data ---------------------------------------------------------------------------------------------


def _nested(element: Element, scope: str, found: _Found) -> None:
    """Programs, types, globals, resources, libraries and the project tree inside extension data of a container."""
    for data in data_items(element):
        for each in list(data):
            if _take_nested(each, scope, found):
                cut(each)
        if not len(data) and not (data.text or "").strip():
            drop(data)


def _take_nested(each: Element, scope: str, found: _Found) -> bool:
    kind = local(each)
    if kind in DECLARED:
        _declared(each, "", found)
    elif kind == "GlobalVars":
        found.globals.append(global_list(each, scope))
    elif kind == "Resource":
        _resource(each, scope, found)
    elif kind.lower() == "libraries":
        found.libraries += libraries(each, PLATE)
    elif kind == "ProjectStructure":
        found.folders += folders(each)
        found.extensions += rest(each)
    else:
        return False
    return True
