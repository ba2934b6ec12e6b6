"""TC6 2.01 (or 2.0) written as IEC 61131-10, and as TC6 1.01: the same program in another format.

Follows the public description of the formats, not the readers. What the other format has no place for is an error.
"""

from __future__ import annotations

import copy
import re

from conversion_declarations import (
    SECTIONS,
    TARGET,
    XSI,
    Element,
    child,
    copied,
    data_type,
    done,
    each,
    extra,
    first,
    interface,
    local,
    said,
    same,
    variables,
    written,
)
from conversion_drawings import chart, diagram
from lxml import etree

POUS = {"program": "Program", "functionBlock": "FunctionBlock", "function": "Function"}
OLD = "http://www.plcopen.org/xml/tc6.xsd"


def to_61131_10(data: bytes) -> bytes:
    """A TC6 document as an IEC 61131-10 one."""
    source = etree.fromstring(data, etree.XMLParser(remove_comments=True, remove_pis=True))
    root = etree.Element(f"{{{TARGET}}}Project", {"schemaVersion": "1.0"}, nsmap={None: TARGET, "xsi": XSI})
    _header(source, root)
    space = child(child(root, "Types"), "GlobalNamespace")
    for types in each(source, "types"):
        for one in (t for holder in each(types, "dataTypes") for t in each(holder, "dataType")):
            data_type(one, space)
        for one in (p for holder in each(types, "pous") for p in each(holder, "pou")):
            pou(one, space)
        extra(types, space)
    instances = child(root, "Instances")
    for one in source.iterfind("{*}instances/{*}configurations/{*}configuration"):
        configuration(one, instances)
    extra(source, root)
    done(source, "fileHeader", "contentHeader", "types", "instances", "addData")
    return etree.tostring(root, xml_declaration=True, encoding="utf-8", pretty_print=True)


def _header(source: Element, root: Element) -> None:
    file, content = first(source, "fileHeader"), first(source, "contentHeader")
    made, title = child(root, "FileHeader"), child(root, "ContentHeader")
    names = ("companyName", "companyURL", "productName", "productVersion", "productRelease", "contentDescription")
    if file is not None:
        copied(file, made, **same(*names))
        copied(file, title, **same("creationDateTime"))
        done(file, *(f"@{n}" for n in names), "@creationDateTime", "coordinateInfo")
    if content is not None:
        words = ("name", "version", "modificationDateTime", "organization", "author", "language")
        copied(content, title, **same(*words))
        for comment in each(content, "Comment"):
            written(comment, child(title, "Comment"))
        extra(content, title)
        done(content, *(f"@{n}" for n in words), "Comment", "coordinateInfo", "addData")


def pou(source: Element, parent: Element) -> None:
    made = child(parent, POUS[source.get("pouType")], name=source.get("name"))
    copied(source, made, **same("globalId"))
    for one in each(source, "interface"):
        interface(one, made)
    for one in each(source, "body"):
        body(one, child(made, "MainBody"))
    for group, name in (("actions", "Action"), ("transitions", "Transition")):
        for holder in each(source, group):
            listed = child(made, f"{name}s")
            for one in each(holder):
                _named(one, child(listed, name))
    said(source, made)
    done(source, *("interface", "body", "actions", "transitions", "documentation", "addData"),
         *("@name", "@pouType", "@globalId"))  # fmt: skip


def _named(source: Element, made: Element) -> None:
    copied(source, made, **same("name", "globalId"))
    for one in each(source, "body"):
        body(one, child(made, "Body"))
    said(source, made)
    done(source, "body", "documentation", "addData", "@name", "@globalId")


def body(source: Element, holder: Element) -> None:
    """The content of a body in any language, with what is said about it."""
    for content in each(source, "ST", "IL", "LD", "FBD", "SFC"):
        language = local(content)
        target = child(holder, "BodyContent", language)
        if language in ("ST", "IL"):
            written(content, child(target, language))
        elif language == "SFC":
            chart(content, target, body)
        else:
            diagram(content, target)
    said(source, holder)
    done(source, "ST", "IL", "LD", "FBD", "SFC", "documentation", "addData", "@globalId")


def configuration(source: Element, parent: Element) -> None:
    made = child(parent, "Configuration", name=source.get("name"))
    copied(source, made, **same("globalId"))
    for one in each(source, "resource"):
        resource(one, made)
    for one in each(source, "globalVars", "accessVars", "configVars"):
        variables(one, made)
    said(source, made)
    done(source, *("resource", "globalVars", "accessVars", "configVars", "documentation", "addData"),
         *("@name", "@globalId"))  # fmt: skip


def resource(source: Element, parent: Element) -> None:
    """A resource; the program instances of a task stand beside it and name it."""
    made = child(parent, "Resource", name=source.get("name", ""))
    copied(source, made, **same("globalId"))
    for one in each(source, *SECTIONS):
        variables(one, made)
    for one in each(source, "task"):
        task = child(made, "Task")
        words = ("name", "single", "interval", "priority", "globalId")
        copied(one, task, **same(*words))
        said(one, task)
        done(one, "pouInstance", "documentation", "addData", *(f"@{n}" for n in words))
    for task in each(source, "task"):
        for one in each(task, "pouInstance"):
            _instance(one, made).set("associatedTaskName", task.get("name"))
    for one in each(source, "pouInstance"):
        _instance(one, made)
    said(source, made)
    done(source, *SECTIONS, "task", "pouInstance", "documentation", "addData", "@name", "@globalId")


def _instance(source: Element, parent: Element) -> Element:
    made = child(parent, "ProgramInstance")
    copied(source, made, **same("name", "typeName", "globalId"))
    said(source, made)
    done(source, "documentation", "addData", "@name", "@typeName", "@globalId")
    return made


NESTED = {
    "pou": pou,
    "dataType": data_type,
    "resource": resource,
    "globalVars": variables,
    "accessVars": variables,
    "configVars": variables,
}
"""Declarations that extension data may hold."""


# --- version 1.01 -----------------------------------------------------------------------------------------------


def to_1_01(data: bytes) -> bytes:
    """A TC6 2.x document as version 1.01 of the same format."""
    source = etree.fromstring(data, etree.XMLParser(remove_comments=True, remove_pis=True))
    for node in source.iter("{*}task"):
        if "#" in node.get("interval", ""):
            node.set("interval", _time_of_day(node.get("interval")))
    for node in source.iter("{*}pouInstance"):
        node.set("type", node.attrib.pop("typeName", ""))
    for holder in source.iter("{*}condition"):
        for point in each(holder, "connectionPointIn"):
            holder.extend(list(point))
            holder.remove(point)
    for block in source.iter("{*}actionBlock"):
        namespace = etree.QName(block).namespace
        block.insert(1, etree.Element(f"{{{namespace}}}connectionPointOut", formalParameter=""))
    return _in_namespace(source, OLD)


def _time_of_day(text: str) -> str:
    """An IEC duration below one day as xsd:time: ``T#1m20ms`` is ``00:01:00.020``."""
    parts = re.findall(r"(\d+)(ms|h|m|s)", text.lower().partition("#")[2].replace("_", ""))
    scale = {"h": 3_600_000, "m": 60_000, "s": 1_000, "ms": 1}
    total = sum(int(number) * scale[unit] for number, unit in parts)
    hours, left = divmod(total, 3_600_000)
    minutes, left = divmod(left, 60_000)
    return f"{hours:02}:{minutes:02}:{left // 1000:02}.{left % 1000:03}"


def _in_namespace(source: Element, namespace: str) -> bytes:
    """The tree with every element of an exchange format in another of its namespaces."""
    made = etree.Element(f"{{{namespace}}}project", dict(source.attrib), nsmap={None: namespace})
    made.extend(copy.deepcopy(list(source)))
    for node in made.iter(etree.Element):
        if "/xml/tc6" in (etree.QName(node).namespace or ""):
            node.tag = f"{{{namespace}}}{local(node)}"
    etree.cleanup_namespaces(made)
    return etree.tostring(made, xml_declaration=True, encoding="utf-8")
