"""``interfaceasplaintext``: the declaration once more, as text.

The structured interface counts. From the text come only what stands nowhere else: comments, pragmas, edges of inputs,
what a POU extends and implements, and its modifiers. If the text declares anything else than the structure does (a
name, a type, an address, a start value, another order), it is kept as an extension, so that the difference shows and
is compared.
"""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from asfound.language.documents import parse_program
from asfound.model.problem import Problem
from asfound.model.program import Extension, Pou, Program, VariableDeclaration
from asfound.readers.extra.attribute_pragmas import data_items, drop
from asfound.readers.residue import code, hollow
from asfound.readers.xml import Element, children, cut

Declared = tuple[VariableDeclaration, ...]
_ENDS = ("PROGRAM", "FUNCTION_BLOCK", "FUNCTION", "METHOD", "PROPERTY", "INTERFACE", "CLASS")
PARAMETERS = ("input", "output", "in_out")


@dataclass(frozen=True)
class Written:
    """What the text adds to a structure; ``order`` are the parameters as written, empty when there is no text."""

    variables: Declared
    pragmas: tuple[str, ...] = ()
    extensions: tuple[Extension, ...] = ()
    extends: str = ""
    implements: tuple[str, ...] = ()
    modifiers: tuple[str, ...] = ()
    order: tuple[str, ...] = ()
    comment: str = ""


def written(element: Element, variables: Declared, name: str = "", result: str | None = None) -> Written:
    """What the text of an owner adds to its variables; ``result`` is the type it returns, where that is known."""
    for data in data_items(element, "interfaceasplaintext"):
        for holder in children(data, "InterfaceAsPlainText"):
            text, unrecognised = _taken(data, holder)
            parsed = _parse(text)
            if parsed is None or not (_agrees(parsed, variables) and _headed(parsed, name, result)):
                return Written(
                    variables, extensions=(Extension(path="interfaceasplaintext", text=text.strip()), *unrecognised)
                )
            pou = parsed.pous[0] if parsed.pous else Pou("", "program")
            return Written(
                variables=_enriched(variables, parsed),
                pragmas=tuple(p for group in (parsed.pous, parsed.globals) for owner in group for p in owner.pragmas),
                extensions=unrecognised,
                extends=pou.extends,
                implements=pou.implements,
                modifiers=pou.modifiers,
                order=tuple(v.name for v in _declared(parsed) if v.section in PARAMETERS),
                comment=_comment(parsed),
            )
    return Written(variables)


def declaration_text(element: Element, variables: Declared) -> tuple[Declared, tuple[str, ...], tuple[Extension, ...]]:
    """As :func:`written` for an owner that says by itself what it extends: the heading of the text is kept apart."""
    found = written(element, variables)
    heading = " ".join((*found.modifiers, found.extends, *found.implements))
    unrecognised = (Extension(path="interfaceasplaintext/heading", text=heading),) if heading.strip() else ()
    if found.comment:
        unrecognised = (*unrecognised, Extension(path="interfaceasplaintext/comment", text=found.comment))
    return found.variables, found.pragmas, (*found.extensions, *unrecognised)


def declared_text(element: Element) -> tuple[Extension, ...]:
    """The same text for an owner whose structure it is not held against: kept whole, taken."""
    found: list[Extension] = []
    for data in data_items(element, "interfaceasplaintext"):
        for holder in children(data, "InterfaceAsPlainText"):
            text, unrecognised = _taken(data, holder)
            found += [Extension(path="interfaceasplaintext", text=text.strip()), *unrecognised]
    return tuple(found)


def _taken(data: Element, holder: Element) -> tuple[str, tuple[Extension, ...]]:
    """Text of one entry and what its wrappers carry besides, taken."""
    text = code(holder)
    unrecognised = hollow(holder)
    cut(holder)
    drop(data)
    return text, unrecognised


def _parse(text: str) -> Program | None:
    """The text as a program with an empty body; a bare global list is a program by itself."""
    for ending in ("", *(f"\nEND_{word}" for word in _ENDS)):
        try:
            parsed = parse_program(text + ending, "interface")
        except Problem:
            continue
        told = bool(parsed.extensions or parsed.types or parsed.resources)
        told = told or any(p.bodies or p.extensions or p.members or p.actions or p.transitions for p in parsed.pous)
        if len(parsed.pous) + bool(parsed.globals) == 1 and not told:
            return parsed
    return None


def _comment(parsed: Program) -> str:
    """Comments that stand at no variable."""
    found = [*(p.comment for p in parsed.pous), *(g.comment for g in parsed.globals), parsed.heading.comment]
    return " ".join(text for text in found if text)


def with_comment(comment: str, more: str) -> str:
    """A comment and what the text says besides."""
    if "".join(more.split()) in "".join(comment.split()):
        return comment
    return f"{comment} {more}".strip()


def _declared(parsed: Program) -> Declared:
    return tuple(v for pou in parsed.pous for v in pou.variables) + tuple(
        v for block in parsed.globals for v in block.variables
    )


def _headed(parsed: Program, name: str, result: str | None) -> bool:
    """The heading of the text names the POU and its result as the structure does."""
    return all(
        (not name or pou.name.lower() == name.lower()) and (result is None or _folded(pou.result) == _folded(result))
        for pou in parsed.pous
    )


def _agrees(parsed: Program, variables: Declared) -> bool:
    """Every declaration of the text is in the structure, alike and in the same order in each section.

    The structure may have more (implicit ones).
    """
    known = {v.name.lower(): v for v in variables}
    declared = _declared(parsed)
    if not all((other := known.get(v.name.lower())) is not None and _key(v) == _key(other) for v in declared):
        return False
    names = {v.name.lower() for v in declared}
    ours, theirs = ([(v.section, v.name.lower()) for v in each] for each in (declared, variables))
    order = [pair for pair in theirs if pair[1] in names]
    return sorted(ours, key=lambda p: p[0]) == sorted(order, key=lambda p: p[0])


def _folded(text: str) -> str:
    return "".join(text.split()).lower()


def _key(variable: VariableDeclaration) -> tuple[object, ...]:
    start = variable.initial
    return (
        variable.name,
        variable.section,
        _folded(variable.type),
        variable.address,
        start if start[:1] in ("'", '"') or "'" in start else start.lower(),
        variable.constant,
        variable.retain,
        variable.persistent,
    )


def _enriched(variables: Declared, parsed: Program) -> Declared:
    """Comments where the structure has none, pragmas and edges, from the text."""
    texts = {v.name.lower(): v for v in _declared(parsed)}
    out = []
    for variable in variables:
        text = texts.get(variable.name.lower())
        if text is not None:
            variable = msgspec.structs.replace(
                variable,
                comment=with_comment(variable.comment, text.comment),
                pragmas=tuple(sorted({*variable.pragmas, *text.pragmas})),
                edge=text.edge,
                access=variable.access or text.access,
            )
        out.append(variable)
    return tuple(out)
