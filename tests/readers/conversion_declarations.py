"""Declarations of TC6 2.01 written as IEC 61131-10: names, documentation, extension data, types, values, variables.

Independent of the readers: only the two formats are known here. What a format has no place for is an error, so that
nothing is lost on the way.
"""

from __future__ import annotations

from lxml import etree

TARGET = "www.iec.ch/public/TC65SC65BWG7TF10"
XSI = "http://www.w3.org/2001/XMLSchema-instance"
XHTML = "http://www.w3.org/1999/xhtml"
SECTIONS = {
    "inputVars": "InputVars",
    "outputVars": "OutputVars",
    "inOutVars": "InoutVars",
    "localVars": "Vars",
    "tempVars": "TempVars",
    "externalVars": "ExternalVars",
    "globalVars": "GlobalVars",
    "accessVars": "AccessVars",
    "configVars": "ConfigVars",
}
PARAMETERS = ("inputVars", "outputVars", "inOutVars")
Element = etree._Element


def local(node: Element) -> str:
    return etree.QName(node).localname


def child(parent: Element, name: str, kind: str = "", /, **attributes: str) -> Element:
    """A new child in the target namespace; ``kind`` becomes its ``xsi:type``."""
    made = etree.SubElement(parent, f"{{{TARGET}}}{name}", attributes)
    if kind:
        made.set(f"{{{XSI}}}type", kind)
    return made


def each(node: Element, *names: str) -> list[Element]:
    return [c for c in node if isinstance(c.tag, str) and (not names or local(c) in names)]


def first(node: Element, name: str) -> Element | None:
    return next(iter(each(node, name)), None)


def done(node: Element, *handled: str) -> None:
    """Fails for a child or attribute that the caller has not named."""
    left = [local(c) for c in each(node) if local(c) not in handled]
    left += [f"@{name}" for name in node.attrib if f"@{name}" not in handled and not name.startswith("{")]
    assert not left, f"the converter does not know {local(node)}: {left}"


def copied(source: Element, target: Element, **names: str) -> None:
    """Attributes under their new names, as far as they are there."""
    for old, new in names.items():
        if source.get(old) is not None:
            target.set(new, source.get(old))


def same(*names: str) -> dict[str, str]:
    return {name: name for name in names}


# --- what everything can carry ----------------------------------------------------------------------------------


def said(source: Element, target: Element) -> None:
    """Documentation and extension data."""
    for text in each(source, "documentation"):
        written(text, child(target, "Documentation", "SimpleText"))
    extra(source, target)


def written(source: Element, target: Element) -> None:
    """Text of any wrapping as plain text."""
    target.text = "".join(source.itertext())


def extra(source: Element, target: Element) -> None:
    for add in each(source, "addData"):
        holder = child(target, "AddData")
        for data in each(add, "data"):
            made = child(holder, "Data")
            copied(data, made, **same("name", "handleUnknown"))
            for inner in data:
                made.append(_payload(inner))


def _payload(node: Element) -> Element:
    """Programs and declarations are converted, anything else keeps its names and changes its namespace."""
    from conversion import NESTED

    holder = etree.Element(f"{{{TARGET}}}holder")
    if local(node) in NESTED:
        NESTED[local(node)](node, holder)
        return holder[0]
    made = etree.SubElement(holder, _renamed(node), dict(node.attrib))
    made.text, made.tail = node.text, None
    for inner in node:
        if local(inner) != "addData":
            made.append(_payload(inner))
            made[-1].tail = inner.tail
    extra(node, made)
    return made


def _renamed(node: Element) -> str:
    namespace = etree.QName(node).namespace or ""
    return f"{{{TARGET}}}{local(node)}" if "/xml/tc6" in namespace else str(node.tag)


# --- types and values -------------------------------------------------------------------------------------------


def typed(source: Element, target: Element) -> None:
    """The type in ``type``, ``baseType``, ``returnType`` into ``Type``, ``BaseType``, ``ResultType``."""
    kind = each(source)[0]
    done(source, local(kind))
    if local(kind) == "derived":
        child(target, "TypeName").text = kind.get("name")
        done(kind, "@name")
    elif (local(kind) in ("string", "wstring") and not kind.get("length")) or not (len(kind) or kind.attrib):
        child(target, "TypeName").text = local(kind).upper()
    else:
        spelled(kind, child(target, "InstantlyDefinedType"))


def spelled(kind: Element, target: Element) -> None:
    """A type that is spelled out, into an element whose ``xsi:type`` is set here."""
    word = local(kind)
    names = {
        "array": "ArrayTypeSpec",
        "enum": "EnumTypeSpec",
        "struct": "StructTypeSpec",
        "subrangeSigned": "SubrangeTypeSpec",
        "subrangeUnsigned": "SubrangeTypeSpec",
        "string": "StringTypeSpec",
        "wstring": "WStringTypeSpec",
        "pointer": "PointerTypeSpec",
    }
    name = names[word]
    copied(kind, target, **same("length"))
    base = first(kind, "baseType")
    if base is not None:
        typed(base, child(target, "BaseType"))
    for number, bounds in enumerate(each(kind, "dimension"), start=1):
        holder = child(target, "DimensionSpec", dimensionNumber=str(number))
        copied(bounds, child(holder, "IndexRange"), **same("lower", "upper"))
    for bounds in each(kind, "range"):
        copied(bounds, child(target, "Range"), **same("lower", "upper"))
    for value in (v for holder in each(kind, "values") for v in each(holder, "value")):
        made = child(target, "Enumerator", name=value.get("name"))
        said(value, made)
        if value.get("value"):
            name = "EnumTypeWithNamedValueSpec"
            child(made, "Value").text = value.get("value")
    if word == "struct":
        for member in each(kind, "variable"):
            variable(member, child(target, "Member"))
        said(kind, target)
    target.set(f"{{{XSI}}}type", name)
    done(kind, "@length", "baseType", "dimension", "range", "values", "variable", "documentation", "addData")


def valued(source: Element, target: Element) -> None:
    """``initialValue``, if there is one."""
    for holder in each(source, "initialValue"):
        _value(holder, child(target, "InitialValue"))


def _value(holder: Element, target: Element) -> None:
    for shape in each(holder):
        made = child(
            target, {"simpleValue": "SimpleValue", "arrayValue": "ArrayValue"}.get(local(shape), "StructValue")
        )
        copied(shape, made, **same("value"))
        for value in each(shape, "value"):
            inner = child(made, "Value")
            copied(value, inner, **same("member", "repetitionValue"))
            _value(value, inner)
        done(shape, "@value", "value")


def data_type(source: Element, parent: Element) -> None:
    made = child(parent, "DataTypeDecl", name=source.get("name"))
    kind = each(first(source, "baseType"))[0]
    target = child(made, "UserDefinedTypeSpec")
    plain = local(kind) == "derived" or not (len(kind) or kind.attrib)
    if plain and local(kind) not in ("enum", "struct"):
        target.set(f"{{{XSI}}}type", "DirectlyDerivedTypeSpec")
        typed(first(source, "baseType"), child(target, "BaseType"))
    else:
        spelled(kind, target)
    valued(source, made)
    said(source, made)
    done(source, "@name", "baseType", "initialValue", "documentation", "addData")


# --- variables --------------------------------------------------------------------------------------------------


def variable(source: Element, target: Element) -> None:
    copied(source, target, **same("name", "alias", "instancePathAndName", "direction", "globalId"))
    if first(source, "type") is not None:
        typed(first(source, "type"), child(target, "Type"))
    valued(source, target)
    if source.get("address"):
        child(target, "Address", address=source.get("address"))
    said(source, target)
    names = ("name", "alias", "instancePathAndName", "direction", "globalId", "address")
    done(source, *(f"@{n}" for n in names), "type", "initialValue", "documentation", "addData")


def variables(source: Element, parent: Element, number: int = 0) -> None:
    """A list of variables; parameters are numbered from ``number``."""
    made = child(parent, SECTIONS[local(source)])
    words = ("name", "constant", "retain", "nonretain", "persistent", "nonpersistent")
    copied(source, made, **same(*words))
    for one in each(source, "variable", "accessVariable", "configVariable"):
        target = child(made, local(one)[0].upper() + local(one)[1:])
        if local(source) in PARAMETERS:
            target.set("orderWithinParamSet", str(number))
            number += 1
        variable(one, target)
    said(source, made)
    kinds = ("variable", "accessVariable", "configVariable", "documentation", "addData")
    done(source, *kinds, *(f"@{word}" for word in words))


def interface(source: Element, target: Element) -> None:
    """Result type, parameters (inputs, outputs, in-outs, numbered as they stand in the source) and other variables."""
    result = first(source, "returnType")
    if result is not None:
        typed(result, child(target, "ResultType"))
    numbers, number = {}, 1
    for one in each(source, *PARAMETERS):
        numbers[one], number = number, number + len(each(one, "variable"))
    listed = [one for name in PARAMETERS for one in each(source, name)]
    if listed:
        holder = child(target, "Parameters")
        for one in listed:
            variables(one, holder, numbers[one])
    for one in each(source, *(name for name in SECTIONS if name not in PARAMETERS)):
        variables(one, target)
    done(source, "returnType", *SECTIONS)
