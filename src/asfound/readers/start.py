"""Initial values that exporters write as one text, and the quotes that they leave out around strings."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from asfound.language.elementary import QUOTES
from asfound.language.literals import canonical
from asfound.language.tokens import is_identifier, tokens
from asfound.language.types import initial
from asfound.language.walk import every_pou
from asfound.model.program import DataType, GlobalList, Pou, Program, VariableDeclaration


def start_value(text: str, type_name: str) -> str:
    """A value written as one text. A string may be written without its quotes: they are put around it.

    A name stays as it is, for it may be a constant (see :func:`with_quotes`); so does text with a ``$``, which could be
    the sign itself or an escape.

    >>> start_value("two words", "STRING[20]"), start_value("'quoted'", "STRING"), start_value("1", "BOOL")
    ("'two words'", "'quoted'", 'TRUE')
    """
    quote = QUOTES.get(type_name.partition("[")[0].upper())
    if quote is None:
        spoken = any(token.kind == "COMMENT" for token in tokens(text))
        return text.strip() if spoken else initial(text, type_name)
    if not text or is_identifier(text) or any(sign in text for sign in "'\"$"):
        return canonical(text, type_name)
    return f"{quote}{text}{quote}"


def with_quotes(program: Program) -> Program:
    """Quotes around the initial values of strings that look like a name but name nothing that the export declares."""
    known = {v.name.lower() for v in _variables(program)}
    known |= {value.name.lower() for kind in program.types for value in kind.values}

    def quoted(variable: VariableDeclaration) -> VariableDeclaration:
        quote = QUOTES.get(variable.type.partition("[")[0].upper(), "")
        text = variable.initial
        if not quote or not is_identifier(text) or text.lower() in known:
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
    for pou in every_pou(program.pous):
        yield from pou.variables
    for block in program.globals:
        yield from block.variables
