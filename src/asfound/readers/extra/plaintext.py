"""``interfaceasplaintext``: the declaration once more, as text.

The structured interface counts. From the text come only the comments and pragmas that stand nowhere else; if the text
declares anything else than the structure does (a name, a type, an address, a start value), it is kept as an extension,
so that the difference shows and is compared.
"""

from __future__ import annotations

import msgspec

from asfound.language.parser import parse_program
from asfound.model.problem import Problem
from asfound.model.program import Extension, Program, VariableDeclaration
from asfound.readers.extra.attributes import data_items, drop
from asfound.readers.plate import code, hollow
from asfound.readers.xml import Element, children, cut

Declared = tuple[VariableDeclaration, ...]
_ENDS = {
    "PROGRAM": "END_PROGRAM",
    "FUNCTION_BLOCK": "END_FUNCTION_BLOCK",
    "FUNCTION": "END_FUNCTION",
}


def declaration_text(element: Element, variables: Declared) -> tuple[Declared, tuple[str, ...], tuple[Extension, ...]]:
    """Variables with comments and pragmas added, pragmas of the owner, and the text where it disagrees."""
    for data in data_items(element, "interfaceasplaintext"):
        for holder in children(data, "InterfaceAsPlainText"):
            text, odd = _written(data, holder)
            parsed = _parse(text)
            if parsed is None or not _agrees(parsed, variables):
                return variables, (), (Extension(path="interfaceasplaintext", text=text.strip()), *odd)
            owner_pragmas = tuple(p for pou in parsed.pous for p in pou.pragmas)
            owner_pragmas += tuple(p for block in parsed.globals for p in block.pragmas)
            return _enriched(variables, parsed), owner_pragmas, odd
    return variables, (), ()


def declared_text(element: Element) -> tuple[Extension, ...]:
    """The same text for an owner whose structure it is not held against: kept whole, taken."""
    found: list[Extension] = []
    for data in data_items(element, "interfaceasplaintext"):
        for holder in children(data, "InterfaceAsPlainText"):
            text, odd = _written(data, holder)
            found += [Extension(path="interfaceasplaintext", text=text.strip()), *odd]
    return tuple(found)


def _written(data: Element, holder: Element) -> tuple[str, tuple[Extension, ...]]:
    """Text of one entry and what its wrappers carry besides, taken."""
    text = code(holder)
    odd = hollow(holder)
    cut(holder)
    drop(data)
    return text, odd


def _parse(text: str) -> Program | None:
    """The text as a program with an empty body; a bare global list or type is a program by itself."""
    for ending in ("", *(f"\n{end}" for end in _ENDS.values())):
        try:
            parsed = parse_program(text + ending, "interface")
        except Problem:
            continue
        told = parsed.extensions or any(p.bodies or p.extensions or p.members or p.actions for p in parsed.pous)
        if (parsed.pous or parsed.globals) and not told:
            return parsed
    return None


def _declared(parsed: Program) -> Declared:
    return tuple(v for pou in parsed.pous for v in pou.variables) + tuple(
        v for block in parsed.globals for v in block.variables
    )


def _agrees(parsed: Program, variables: Declared) -> bool:
    """Every declaration of the text is in the structure, alike; the structure may have more (implicit ones)."""
    known = {v.name.casefold(): v for v in variables}
    return all(
        (other := known.get(v.name.casefold())) is not None and _key(v) == _key(other) for v in _declared(parsed)
    )


def _key(variable: VariableDeclaration) -> tuple[object, ...]:
    return (
        variable.name,
        variable.section,
        "".join(variable.type.split()).casefold(),
        variable.address,
        variable.initial.casefold(),
        variable.constant,
        variable.retain,
        variable.persistent,
    )


def _enriched(variables: Declared, parsed: Program) -> Declared:
    """Comments where the structure has none, and pragmas, both from the text."""
    written = {v.name.casefold(): v for v in _declared(parsed)}
    out = []
    for variable in variables:
        text = written.get(variable.name.casefold())
        if text is not None:
            comment = variable.comment
            if text.comment and "".join(text.comment.split()) not in "".join(comment.split()):
                comment = f"{comment} {text.comment}".strip() if comment else text.comment
            pragmas = tuple(sorted({*variable.pragmas, *text.pragmas}))
            variable = msgspec.structs.replace(variable, comment=comment, pragmas=pragmas)
        out.append(variable)
    return tuple(out)
