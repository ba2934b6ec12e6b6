"""The document level: title block, namespaces, configurations, and what is nested in extension data."""

from __future__ import annotations

import msgspec

from asfound.model.copy import Copy
from asfound.model.program import (
    Extension,
    Heading,
    Instance,
    Resource,
    Task,
)
from asfound.readers.exchange.document import Found, Title, below, task
from asfound.readers.exchange.packing import Open, unpacked
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.extra.named_values import folders, libraries
from asfound.readers.iec61131_10.declarations import global_list, global_lists
from asfound.readers.iec61131_10.pous import KINDS, pou
from asfound.readers.iec61131_10.residue import RESIDUE, documentation, rest
from asfound.readers.iec61131_10.types import data_type
from asfound.readers.iec61131_10.unlisted_pins import unlisted_pins
from asfound.readers.residue import flat
from asfound.readers.xml import Element, attribute, cut, local, take_all

DECLARED = (*KINDS, "DataTypeDecl", "NamespaceDecl")
INSTANCES = ("ProgramInstance", "PouInstance")


def program(root: Element, open: Open = unpacked) -> Copy:
    """Everything in a ``Project``, or in a document whose root is a single declaration, consumed."""
    found = Found(open, unlisted_pins)
    if local(root) in DECLARED:
        _declared(root, "", found)
        return found.copy(Heading())
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
    return found.copy(heading)


def _heading(root: Element, found: Found) -> Heading:
    title, comment = Title(), ""
    for element in take_all(root, "FileHeader", "ContentHeader"):
        title.add(element)
        own, unrecognised = documentation(element, "comment")
        comment = own or comment
        found.extensions += below("Project", flat((unrecognised, rest(element))))
    return msgspec.structs.replace(title.heading(), comment=comment)


# --- declarations -----------------------------------------------------------------------------------------------


def _namespace(element: Element, name: str, found: Found) -> None:
    """Everything declared in ``GlobalNamespace`` or a ``NamespaceDecl``, with the namespaces inside it."""
    for each in take_all(element, *DECLARED):
        _declared(each, name, found)
    found.globals += global_lists(element, name)
    _nested(element, name, found)
    comment, unrecognised = documentation(element)
    if comment:
        unrecognised = (*unrecognised, Extension(path=f"{local(element)}/Documentation", text=comment))
    found.extensions += (
        below(f"namespace {name}", flat((unrecognised, rest(element)))) if name else flat((unrecognised, rest(element)))
    )


def _declared(each: Element, namespace: str, found: Found) -> None:
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
        found.pou(each, f"iec-61131-10 {namespace}", lambda inside: pou(inside, namespace))


# --- configurations ---------------------------------------------------------------------------------------------


def _configuration(element: Element, found: Found) -> None:
    name = attribute(element, "name")
    comment, unrecognised = documentation(element)
    found.globals += global_lists(element, name)
    for each in take_all(element, "Resource"):
        _resource(each, name, found)
    _nested(element, name, found)
    if comment:
        unrecognised = (*unrecognised, Extension(path="Configuration/Documentation", text=comment))
    found.extensions += below(f"configuration {name}", flat((unrecognised, rest(element))))


def _resource(element: Element, configuration: str, found: Found) -> None:
    name = attribute(element, "name")
    scope = f"{configuration}/{name}" if configuration else name
    comment, unrecognised = documentation(element)
    found.globals += global_lists(element, scope)
    tasks: list[Task] = []
    instances = [_instance(each, "") for each in take_all(element, *INSTANCES)]
    for each in take_all(element, "Task"):
        read, own = _task(each, scope)
        tasks.append(read)
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
            extensions=flat((unrecognised, rest(element))),
        )
    )


def _by_task(instances: list[Instance], tasks: list[Task]) -> tuple[Instance, ...]:
    """Instances without a task, then task by task: only those of one task run in the order they stand in."""
    place = {task.name.lower(): number for number, task in enumerate(tasks, start=1)}
    return tuple(sorted(instances, key=lambda each: place.get(each.task.lower(), 0)))


def _task(element: Element, scope: str) -> tuple[Task, list[Instance]]:
    read = task(element, scope, RESIDUE)
    instances = [_instance(each, read.name) for each in take_all(element, *INSTANCES)]
    return msgspec.structs.replace(read, extensions=flat((read.extensions, rest(element)))), instances


def _instance(element: Element, task: str) -> Instance:
    """A program instance; inside a task, or naming one (``associatedTaskName``)."""
    comment, unrecognised = documentation(element)
    named = attribute(element, "associatedTaskName").strip()
    if named and task and named.lower() != task.lower():
        unrecognised = (*unrecognised, Extension(path="ProgramInstance/@associatedTaskName", text=named))
    return Instance(
        name=attribute(element, "name"),
        type=attribute(element, "typeName"),
        task=task or named,
        comment=comment,
        extensions=flat((unrecognised, rest(element))),
    )


# --- extension data ---------------------------------------------------------------------------------------------


def _nested(element: Element, scope: str, found: Found) -> None:
    """Programs, types, globals, resources, libraries and the project tree inside extension data of a container."""
    for data in data_items(element):
        for each in list(data):
            if _take_nested(each, scope, found):
                cut(each)
        if not len(data) and not (data.text or "").strip():
            drop(data)


def _take_nested(each: Element, scope: str, found: Found) -> bool:
    kind = local(each)
    if kind in DECLARED:
        _declared(each, "", found)
    elif kind == "GlobalVars":
        found.globals.append(global_list(each, scope))
    elif kind == "Resource":
        _resource(each, scope, found)
    elif kind.lower() == "libraries":
        found.libraries += libraries(each, RESIDUE)
    elif kind == "ProjectStructure":
        found.folders += folders(each)
        found.extensions += rest(each)
    else:
        return False
    return True
