"""Write a station's program as TC6 XML 2.01, valid against the published schema."""

from __future__ import annotations

import re
import uuid
from collections.abc import Iterable
from itertools import groupby

from lxml import etree

from samples import chart_drawing, ladder_drawing, network_drawing
from samples.plant import Action, DataType, Pou, Station, Variable
from samples.style import Style
from samples.tc6_diagram import XHTML, Diagram, Element, child, formatted

TC6 = "http://www.plcopen.org/xml/tc6_0201"
LIBRARIES = "urn:example:waterworks:libraries"
SPACE = uuid.UUID("6b1d4f3e-6a63-4a0f-9a6f-0c6d3a9b2f10")
ELEMENTARY = frozenset({"BOOL", "INT", "DINT", "UINT", "UDINT", "REAL", "LREAL", "WORD", "DWORD", "TIME"})


def write(station: Station, style: Style) -> bytes:
    """The exchange file of one copy."""
    maps = {None: TC6, style.prefix: XHTML}
    root = etree.Element(f"{{{TC6}}}project", nsmap=maps)
    _headers(root, station, style)
    types = child(root, "types")
    holder = child(types, "dataTypes")
    for data_type in station.types:
        _data_type(holder, data_type, style)
    holder = child(types, "pous")
    pous = sorted(station.pous, key=lambda p: p.name) if style.sorted_pous else station.pous
    for place, pou in enumerate(pous):
        _pou(holder, pou, place, station, style)
    _instances(root, station, style)
    _library(root, station)
    etree.indent(root, space=style.indent)
    quote = '"' if style.comments else "'"
    head = f"<?xml version={quote}1.0{quote} encoding={quote}utf-8{quote}?>\n"
    return (head + etree.tostring(root, encoding="unicode") + "\n").encode("utf-8")


def _headers(root: Element, station: Station, style: Style) -> None:
    child(
        root, "fileHeader", companyName="Example Waterworks", productName=style.product,
        productVersion=style.release, creationDateTime=style.created,
    )  # fmt: skip
    content = child(root, "contentHeader", name=station.title)
    if style.comments:
        content.attrib.update({"version": station.version, "organization": "Example Waterworks", "author": "Office"})
    content.set("modificationDateTime", style.created)
    info = child(content, "coordinateInfo")
    for language in ("fbd", "ld", "sfc"):
        child(child(info, language), "scaling", x="10", y="10")


def _type(parent: Element, text: str) -> None:
    array = re.fullmatch(r"ARRAY\[(\w+)\.\.(\w+)\] OF (\w+)", text)
    string = re.fullmatch(r"STRING\[(\d+)\]", text)
    if text in ELEMENTARY:
        child(parent, text)
    elif array:
        element = child(parent, "array")
        child(element, "dimension", lower=array[1], upper=array[2])
        _type(child(element, "baseType"), array[3])
    elif string:
        child(parent, "string", length=string[1])
    else:
        child(parent, "derived", name=text)


def _variable(parent: Element, variable: Variable, style: Style) -> None:
    element = child(parent, "variable", name=variable.name)
    if variable.address:
        element.set("address", variable.address)
    _type(child(element, "type"), variable.type)
    if variable.initial:
        child(child(element, "initialValue"), "simpleValue", value=variable.initial)
    if variable.comment and style.comments:
        formatted(element, "documentation", variable.comment, style)


def _lists(parent: Element, variables: Iterable[Variable], style: Style) -> None:
    """Sections in the order of the declarations; the upload splits long ones."""
    for (section, retain, constant), group in groupby(variables, lambda v: (v.section, v.retain, v.constant)):
        found = list(group)
        for start in range(0, len(found), style.section_limit):
            block = child(parent, section)
            if retain:
                block.set("retain", "true")
            if constant:
                block.set("constant", "true")
            for variable in found[start : start + style.section_limit]:
                _variable(block, variable, style)


def _data_type(parent: Element, data_type: DataType, style: Style) -> None:
    element = child(parent, "dataType", name=data_type.name)
    base = child(element, "baseType")
    if data_type.members:
        holder = child(base, "struct")
        for member in data_type.members:
            _variable(holder, member, style)
    else:
        values = child(child(base, "enum"), "values")
        for name in data_type.values:
            child(values, "value", name=name)
    if data_type.comment and style.comments:
        formatted(element, "documentation", data_type.comment, style)


def _externals(pou: Pou, station: Station) -> tuple[Variable, ...]:
    """A declaration for each global that the POU uses, in the order of the globals."""
    parts = [rung.text for rung in pou.rungs] + [pou.text, repr(pou.chart)]
    parts += [action.text for action in (*pou.actions, *pou.transitions)]
    used = set(re.findall(r"[A-Za-z_]\w*", re.sub(r"\(\*.*?\*\)", "", " ".join(parts), flags=re.DOTALL)))
    own = {variable.name for variable in pou.variables}
    return tuple(
        Variable(v.name, v.type, "externalVars", constant=v.constant)
        for v in (*station.tags, *station.globals)
        if v.name in used - own
    )


def _pou(parent: Element, pou: Pou, place: int, station: Station, style: Style) -> None:
    element = child(parent, "pou", name=pou.name, pouType=pou.kind)
    if style.explicit:
        element.set("globalId", "id-" + str(uuid.uuid5(SPACE, f"{station.name} {pou.name} {style.created}")))
    interface = child(element, "interface")
    if pou.result:
        _type(child(interface, "returnType"), pou.result)
    _lists(interface, (*pou.variables, *_externals(pou, station)), style)
    _named_bodies(element, "action", pou.actions, style)
    _named_bodies(element, "transition", pou.transitions, style)
    _body(child(element, "body"), pou, place, style)
    if pou.comment and style.comments:
        formatted(element, "documentation", pou.comment, style)


def _named_bodies(element: Element, kind: str, bodies: tuple[Action, ...], style: Style) -> None:
    if bodies:
        holder = child(element, kind + "s")
        for body in bodies:
            inner = child(child(holder, kind, name=body.name), "body")
            formatted(inner, "ST", style.text(body.text), style)


def _body(body: Element, pou: Pou, place: int, style: Style) -> None:
    if pou.language in ("ST", "IL"):
        formatted(body, pou.language, style.text(pou.text), style)
    elif pou.language == "LD":
        Diagram(child(body, "LD"), ladder_drawing.draw(pou.rungs, style.one_rail), style, place)
    elif pou.language == "FBD":
        Diagram(child(body, "FBD"), network_drawing.draw(pou.rungs), style, place)
    else:
        Diagram(child(body, "SFC"), chart_drawing.draw(pou.chart), style, place)


def _instances(root: Element, station: Station, style: Style) -> None:
    configuration = child(child(child(root, "instances"), "configurations"), "configuration", name="Plant")
    resource = child(configuration, "resource", name=station.name.replace("-", "_"))
    for task in station.tasks:
        element = child(resource, "task", name=task.name, interval=task.interval, priority=str(task.priority))
        for name, type_name in task.programs:
            child(element, "pouInstance", name=name, typeName=type_name)
        if task.comment and style.comments:
            formatted(element, "documentation", task.comment, style)
    declared = [Variable(**{**vars(v), "section": "globalVars"}) for v in (*station.tags, *station.globals)]
    if style.sorted_pous:
        declared.sort(key=lambda v: (v.retain, v.constant, v.name))
    _lists(resource, declared, style)


def _library(root: Element, station: Station) -> None:
    """The library a project links, as the data of the project that TC6 leaves to its writer."""
    if station.library[0]:
        data = child(child(root, "addData"), "data", name=LIBRARIES, handleUnknown="implementation")
        libraries = etree.SubElement(data, "libraries")
        etree.SubElement(libraries, "library", name=station.library[0], version=station.library[1])
