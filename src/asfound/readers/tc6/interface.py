"""Declarations: variables, types, initial values, data types, lists of globals."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.language.addresses import canonical as canonical_address
from asfound.language.literals import canonical
from asfound.language.types import canonical_type
from asfound.model.program import DataType, EnumValue, Extension, GlobalList, VariableDeclaration
from asfound.readers.extra.attributes import pragmas_of
from asfound.readers.extra.plaintext import declaration_text, declared_text
from asfound.readers.start import start_value
from asfound.readers.tc6.plate import documentation, flag, flat, rest
from asfound.readers.xml import Element, attribute, children, local, take, take_all
from asfound.readers.xml import canonical as canonical_xml

SECTIONS = {
    "inputVars": "input",
    "outputVars": "output",
    "inOutVars": "in_out",
    "localVars": "local",
    "tempVars": "temp",
    "externalVars": "external",
    "globalVars": "global",
    "accessVars": "access",
    "configVars": "config",
}


def variables(element: Element, section: str) -> tuple[tuple[VariableDeclaration, ...], tuple[Extension, ...]]:
    """All variables of one list (``inputVars`` ...) and what else the list holds."""
    found = _listed(element, section)
    comment, odd = documentation(element)
    if comment:
        odd = (*odd, Extension(path=f"{local(element)}/documentation", text=comment))
    return found, flat((odd, rest(element)))


def _listed(element: Element, section: str) -> tuple[VariableDeclaration, ...]:
    """The variables of a list, taken; the attributes of the list count for each of them."""
    constant = flag(element, "constant")
    retain = "retain" if flag(element, "retain") else "non_retain" if flag(element, "nonretain") else ""
    persistent = flag(element, "persistent")
    flag(element, "nonpersistent")
    return tuple(
        variable(each, section, constant=constant, retain=retain, persistent=persistent)
        for each in take_all(element, "variable", "accessVariable", "configVariable")
    )


def variable(
    element: Element, section: str, *, constant: bool = False, retain: str = "", persistent: bool = False
) -> VariableDeclaration:
    """One ``variable`` of an interface, a global list or a structure.

    Access and configuration variables name what they stand for in ``instancePathAndName``: it becomes the address.
    """
    name = attribute(element, "name") or attribute(element, "alias")
    type_text, initial, odd = _typed(element)
    comment, odd_comment = documentation(element)
    address = canonical_address(attribute(element, "address").strip()) or attribute(element, "instancePathAndName")
    access = {"readOnly": "READ_ONLY", "readWrite": "READ_WRITE"}.get(direction := attribute(element, "direction"))
    pragmas = pragmas_of(element)
    return VariableDeclaration(
        name=name,
        type=type_text,
        section=section,  # type: ignore[arg-type]
        address=address,
        initial=initial,
        constant=constant,
        retain=retain,  # type: ignore[arg-type]
        persistent=persistent,
        comment=comment,
        access=access or direction,
        pragmas=pragmas,
        extensions=flat((odd, odd_comment, rest(element))),
    )


def _typed(element: Element) -> tuple[str, str, tuple[Extension, ...]]:
    """Type and initial value of a declaration, both as IEC text, and what was odd about the type."""
    holder = take(element, "type")
    if holder is None:
        return "", initial_value(element, ""), ()
    text, odd = type_text(holder)
    return text, initial_value(element, text), odd


def initial_value(element: Element, type_name: str) -> str:
    """Canonical text of ``initialValue``, read in place; empty when there is none."""
    holder = next(children(element, "initialValue"), None)
    return "" if holder is None else _value(holder, type_name)


def _value(holder: Element, type_name: str) -> str:
    for child in children(holder, "simpleValue", "arrayValue", "structValue"):
        kind = local(child)
        if kind == "simpleValue":
            return start_value(attribute(child, "value"), type_name)
        if kind == "arrayValue":
            element_type = type_name.partition("] OF ")[2]
            return "[" + ", ".join(_repeated(value, element_type) for value in children(child, "value")) + "]"
        if kind == "structValue":
            fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "value"))
            return "(" + ", ".join(fields) + ")"
    return ""


def _repeated(value: Element, type_name: str) -> str:
    times = attribute(value, "repetitionValue").strip()
    text = _value(value, type_name)
    return f"{times}({text})" if times and times != "1" else text


def type_text(holder: Element) -> tuple[str, tuple[Extension, ...]]:
    """IEC text of the type inside ``type``, ``baseType``, ``returnType``; the type element is taken."""
    found = take_all(holder)
    if not found:
        return "", rest(holder)
    text, odd = _type(found[0])
    more = tuple(Extension(path=f"{local(holder)}/{local(extra)}", text=canonical_xml(extra)) for extra in found[1:])
    return text, flat((odd, more, rest(holder)))


def _type(element: Element) -> tuple[str, tuple[Extension, ...]]:
    kind = local(element)
    odd: tuple[Extension, ...] = ()
    if kind == "derived":
        text = attribute(element, "name").strip()
    elif kind in ("string", "wstring"):
        length = attribute(element, "length").strip()
        text = kind.upper() + (f"[{length}]" if length else "")
    elif kind == "array":
        ranges = ", ".join(_range(dimension) for dimension in children(element, "dimension"))
        of, odd = _base(element)
        text = f"ARRAY[{ranges}] OF {of}"
    elif kind == "pointer":
        of, odd = _base(element)
        text = f"POINTER TO {of}"
    elif kind in ("subrangeSigned", "subrangeUnsigned"):
        bounds = next(children(element, "range"), None)
        of, odd = _base(element)
        text = f"{of} ({_range(bounds) if bounds is not None else '..'})"
    elif kind == "enum":
        values, base, odd = enum_values(element)
        listed = ", ".join(f"{v.name} := {v.value}" if v.value else v.name for v in values)
        text = f"{base}({listed})" if not base else f"({listed}) {base}"
    elif kind == "struct":
        members = (variable(each, "member") for each in take_all(element, "variable"))
        text = "STRUCT " + " ".join(_member(m) for m in members) + " END_STRUCT"
    else:
        text = canonical_type(kind)
    return text, flat((odd, rest(element)))


def _member(member: VariableDeclaration) -> str:
    return f"{member.name} : {member.type}{' := ' + member.initial if member.initial else ''};"


def _range(dimension: Element) -> str:
    lower, upper = attribute(dimension, "lower").strip(), attribute(dimension, "upper").strip()
    return f"{lower}..{upper}"


def _base(element: Element) -> tuple[str, tuple[Extension, ...]]:
    base = take(element, "baseType")
    return ("", ()) if base is None else type_text(base)


def enum_values(element: Element) -> tuple[tuple[EnumValue, ...], str, tuple[Extension, ...]]:
    """Values of an ``enum`` in order, the type it is based on (empty when it does not say), and what was odd."""
    base, odd = _base(element)
    named: list[EnumValue] = []
    for value in (v for holder in children(element, "values") for v in children(holder, "value")):
        comment, more = documentation(value)
        odd = (*odd, *more)
        named.append(
            EnumValue(
                name=attribute(value, "name"),
                value=canonical(attribute(value, "value").strip()),
                comment=comment,
            )
        )
    return tuple(named), base, odd


def data_type(element: Element) -> DataType:
    """A ``dataType`` declaration."""
    name = attribute(element, "name")
    holder = take(element, "baseType")
    kind, base = "alias", ""
    odd: tuple[Extension, ...] = ()
    members: tuple[VariableDeclaration, ...] = ()
    values: tuple[EnumValue, ...] = ()
    inner = take_all(holder) if holder is not None else []
    for each in inner[:1]:
        word = local(each)
        if word == "enum":
            kind, (values, base, odd) = "enum", enum_values(each)
            odd = (*odd, *rest(each))
        elif word in ("struct", "union"):
            kind, members, odd = word, tuple(variable(v, "member") for v in take_all(each, "variable")), rest(each)
        else:
            base, odd = _type(each)
            kind = {"array": "array", "subrangeSigned": "subrange", "subrangeUnsigned": "subrange"}.get(word, "alias")
    more = tuple(Extension(path=f"baseType/{local(extra)}", text=canonical_xml(extra)) for extra in inner[1:])
    plain = declared_text(element)
    comment, odd_comment = documentation(element)
    return DataType(
        name=name,
        kind=kind,  # type: ignore[arg-type]
        base=base,
        members=members,
        values=values,
        initial=initial_value(element, base),
        comment=comment,
        pragmas=pragmas_of(element),
        extensions=flat((odd, more, plain, odd_comment, rest(holder) if holder is not None else (), rest(element))),
    )


def global_list(element: Element, scope: str, section: str = "global") -> GlobalList:
    """A ``globalVars``, ``accessVars`` or ``configVars`` block."""
    name = attribute(element, "name")
    pragmas = pragmas_of(element)
    comment, odd = documentation(element)
    found, more, plain = declaration_text(element, _listed(element, section))
    return GlobalList(
        name=name,
        scope=scope,
        variables=found,
        comment=comment,
        pragmas=tuple(sorted({*pragmas, *more})),
        extensions=flat((odd, plain, rest(element))),
    )


def interface(element: Element | None) -> tuple[str, tuple[VariableDeclaration, ...], tuple[Extension, ...]]:
    """Result type, variables in order of declaration, and leftovers of an ``interface``.

    Several blocks of one section are put together in order: where a block is split says nothing, but its attributes
    (constant, retain, persistent) do and are copied to each variable.
    """
    if element is None:
        return "", (), ()
    holder = take(element, "returnType")
    result, odd = type_text(holder) if holder is not None else ("", ())
    lists = [(SECTIONS[local(each)], each) for each in _sections(element)]
    read = [(section, *variables(each, section)) for section, each in lists]
    found = [v for section in SECTIONS.values() for name, group, _ in read if name == section for v in group]
    return result, tuple(found), flat((odd, *(left for _, _, left in read), rest(element)))


def _sections(element: Element) -> Iterator[Element]:
    return iter(take_all(element, *SECTIONS))
