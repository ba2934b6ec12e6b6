"""The document level: title block, types, configurations, and programs nested in extension data.

Some exporters leave ``types/pous`` empty and put every POU, type, list of globals and task into ``addData``. So each
container is searched in the same way: its standard children, then whatever its extension data holds.
"""

from __future__ import annotations

import msgspec

from asfound.model.copy import Copy
from asfound.model.program import (
    Extension,
    Heading,
    Instance,
    Pou,
    Resource,
    Setting,
)
from asfound.readers.exchange.document import Found, Title, below, task
from asfound.readers.exchange.packing import Open, unpacked
from asfound.readers.extra.named_values import folders, libraries
from asfound.readers.residue import flat
from asfound.readers.tc6.interface import global_list
from asfound.readers.tc6.nested import nested
from asfound.readers.tc6.pous import is_pou, pou
from asfound.readers.tc6.residue import RESIDUE, documentation, rest
from asfound.readers.tc6.types import data_type
from asfound.readers.tc6.unlisted_pins import unlisted_pins
from asfound.readers.xml import Element, attribute, has, local, take, take_all

GLOBALS = {"globalvars": "global", "accessvars": "access", "configvars": "config"}


def program(root: Element, open: Open = unpacked) -> Copy:
    """Everything in a ``project`` document, consumed."""
    found = Found(open, unlisted_pins)
    heading = _heading(root, found)
    for types in take_all(root, "types"):
        _types(types, found)
    for instances in take_all(root, "instances"):
        for holder in take_all(instances, "configurations"):
            for each in take_all(holder, "configuration"):
                _configuration(each, found)
            _left(holder, found)
        _left(instances, found)
    comment, unrecognised = documentation(root)
    heading = msgspec.structs.replace(heading, comment=" ".join(filter(None, (heading.comment, comment))))
    found.extensions += unrecognised
    _left(root, found)
    if found.tasks or found.instances:
        found.resources.append(Resource("", "", tasks=tuple(found.tasks), instances=tuple(found.instances)))
    return found.copy(heading)


def _left(element: Element, found: Found) -> None:
    """What a container holds besides its list: declarations in extension data, and what nobody knows."""
    _nested(element, "", found)
    found.extensions += rest(element)


def _heading(root: Element, found: Found) -> Heading:
    title, comment = Title(), ""
    for name in ("fileHeader", "contentHeader"):
        element = take(root, name)
        if element is None:
            continue
        title.add(element)
        for each in take_all(element, "Comment"):
            comment = " ".join((each.text or "").split())
            each.text = None
            found.extensions += rest(each)
        _nested(element, "", found)
        found.extensions += below("project", rest(element))
    return msgspec.structs.replace(title.heading(), comment=comment)


def _types(element: Element, found: Found) -> None:
    for holder in take_all(element, "dataTypes"):
        found.types += [data_type(each) for each in take_all(holder, "dataType")]
        _left(holder, found)
    for holder in take_all(element, "pous"):
        for each in take_all(holder, "pou"):
            _pou(each, "", found)
        _left(holder, found)
    _left(element, found)


def _pou(element: Element, scope: str, found: Found) -> None:
    """A POU; types and globals in its extension data belong to the program, POUs in there are its members."""

    def read(inside: Element) -> Pou:
        nested(inside, lambda each, path: not is_pou(each) and _take_nested(each, path, scope, found))
        return pou(inside)

    found.pou(element, "tc6", read)


def _configuration(element: Element, found: Found) -> None:
    name = attribute(element, "name")
    comment, unrecognised = documentation(element)
    _globals(element, name, found)
    before = len(found.resources), len(found.globals)
    for each in take_all(element, "resource"):
        _resource(each, name, found)
    _nested(element, name, found)
    if comment:
        unrecognised = (*unrecognised, Extension(path="configuration/documentation", text=comment))
    if name and before == (len(found.resources), len(found.globals)):
        unrecognised = (*unrecognised, Extension(path="configuration/@name", text=name))
    found.extensions += below(f"configuration {name}", flat((unrecognised, rest(element))))


def _globals(element: Element, scope: str, found: Found) -> None:
    for each in take_all(element, "globalVars"):
        found.globals.append(global_list(each, scope))
    for each in take_all(element, "accessVars"):
        found.globals.append(global_list(each, scope, "access"))
    for each in take_all(element, "configVars"):
        found.globals.append(global_list(each, scope, "config"))


def _resource(element: Element, configuration: str, found: Found) -> None:
    name = attribute(element, "name")
    scope = f"{configuration}/{name}" if configuration else name
    comment, unrecognised = documentation(element)
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
            extensions=flat((unrecognised, rest(element))),
        )
    )
    found.tasks, found.instances = outer


def _task(element: Element, scope: str, found: Found) -> None:
    read = task(element, scope, RESIDUE)
    found.instances += [_instance(each, read.name) for each in take_all(element, "pouInstance")]
    _nested(element, scope, found)
    found.tasks.append(msgspec.structs.replace(read, extensions=flat((read.extensions, rest(element)))))


def _instance(element: Element, task: str) -> Instance:
    comment, unrecognised = documentation(element)
    return Instance(
        name=attribute(element, "name"),
        type=attribute(element, "typeName") or attribute(element, "type"),
        task=task,
        comment=comment,
        extensions=flat((unrecognised, rest(element))),
    )


def _nested(element: Element, scope: str, found: Found) -> None:
    """Programs, types, globals, resources, libraries and the project tree inside extension data of a container."""
    found.extensions += nested(element, lambda each, path: _take_nested(each, path, scope, found))


def _take_nested(each: Element, path: tuple[str, ...], scope: str, found: Found) -> bool:
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
        found.libraries += libraries(each, RESIDUE)
    elif kind == "projectstructure":
        found.folders += folders(each)
        found.extensions += rest(each)
        return True
    else:
        return False
    if path:
        found.folders.append(Setting("folder", "/".join((*path, name))))
    return True
