"""Initial values of every shape, as IEC text."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from asfound.language.literals import canonical
from asfound.language.tokens import is_identifier
from asfound.language.types import initial
from asfound.model.program import DataType, GlobalList, Pou, Program, VariableDeclaration
from asfound.readers.xml import Element, attribute, children, local

QUOTES = {"STRING": "'", "WSTRING": '"'}


def initial_value(element: Element, type_name: str) -> str:
    """Canonical text of ``initialValue``, read in place; empty when there is none."""
    holder = next(children(element, "initialValue"), None)
    return "" if holder is None else _value(holder, type_name)


def _value(holder: Element, type_name: str) -> str:
    for child in children(holder, "simpleValue", "arrayValue", "structValue"):
        kind = local(child)
        if kind == "simpleValue":
            return simple(attribute(child, "value"), type_name)
        if kind == "arrayValue":
            element_type = type_name.partition("] OF ")[2]
            return "[" + ", ".join(_repeated(value, element_type) for value in children(child, "value")) + "]"
        fields = (f"{attribute(value, 'member')} := {_value(value, '')}" for value in children(child, "value"))
        return "(" + ", ".join(fields) + ")"
    return ""


def _repeated(value: Element, type_name: str) -> str:
    times = canonical(attribute(value, "repetitionValue"))
    text = _value(value, type_name)
    return f"{times}({text})" if times and times != "1" else text


def simple(text: str, type_name: str) -> str:
    """A value written as one text. A string may be written without its quotes: they are put around it.

    A name stays as it is, for it may be a constant (see :func:`with_quotes`); so does text with a ``$``, which could be
    the sign itself or an escape.

    >>> simple("two words", "STRING[20]"), simple("'quoted'", "STRING"), simple("1", "BOOL")
    ("'two words'", "'quoted'", 'TRUE')
    """
    quote = QUOTES.get(type_name.partition("[")[0].upper())
    stripped = text.strip()
    if quote is None:
        return initial(text, type_name)
    if not stripped or is_identifier(stripped) or any(sign in text for sign in "'\"$"):
        return canonical(text, type_name)
    return f"{quote}{text}{quote}"


def with_quotes(program: Program) -> Program:
    """Quotes around the initial values of strings that look like a name but name nothing that the export declares."""
    known = {v.name.casefold() for v in _variables(program)}
    known |= {value.name.casefold() for kind in program.types for value in kind.values}

    def quoted(variable: VariableDeclaration) -> VariableDeclaration:
        quote = QUOTES.get(variable.type.partition("[")[0].upper(), "")
        text = variable.initial
        if not quote or not is_identifier(text) or text.casefold() in known:
            return variable
        return msgspec.structs.replace(variable, initial=f"{quote}{text}{quote}")

    def pou(found: Pou) -> Pou:
        members = tuple(map(pou, found.members))
        return msgspec.structs.replace(found, variables=tuple(map(quoted, found.variables)), members=members)

    def listed(found: GlobalList) -> GlobalList:
        return msgspec.structs.replace(found, variables=tuple(map(quoted, found.variables)))

    def kind(found: DataType) -> DataType:
        return msgspec.structs.replace(found, members=tuple(map(quoted, found.members)))

    return msgspec.structs.replace(
        program,
        pous=tuple(map(pou, program.pous)),
        types=tuple(map(kind, program.types)),
        globals=tuple(map(listed, program.globals)),
    )


def _variables(program: Program) -> Iterable[VariableDeclaration]:
    stack = list(program.pous)
    while stack:
        found = stack.pop()
        stack += found.members
        yield from found.variables
    for block in program.globals:
        yield from block.variables
