"""A body in any of the five languages: ``BodyContent`` with the language as its type."""

from __future__ import annotations

import msgspec

from asfound.language import printer
from asfound.language.il import parse_il
from asfound.language.parser import parse_statements
from asfound.model.program import Body, Extension
from asfound.readers.drawing import networks
from asfound.readers.iec61131_10.diagram import diagram
from asfound.readers.iec61131_10.residue import documentation, rest, take_kind
from asfound.readers.residue import code, flat, hollow, kind_of
from asfound.readers.xml import Element, canonical, local, take, take_all

LANGUAGES = ("ST", "IL", "LD", "FBD", "SFC")


def bodies(holder: Element) -> tuple[Body, ...]:
    """The bodies in a ``MainBody``, ``Body`` or ``Inline``, consumed; without content there is one in no language."""
    comment, unrecognised = documentation(holder)
    found = [content(each) for each in take_all(holder, "BodyContent") or _bare(holder)]
    first, *more = found or [Body(language="")]
    comments = (*first.comments, comment) if comment else first.comments
    extensions = flat((first.extensions, unrecognised, rest(holder)))
    return (msgspec.structs.replace(first, comments=comments, extensions=extensions), *more)


def _bare(holder: Element) -> list[Element]:
    """``ST`` or ``IL`` without ``BodyContent`` around it."""
    return take_all(holder, *LANGUAGES)


def content(element: Element) -> Body:
    """One ``BodyContent``, consumed."""
    word = take_kind(element, *LANGUAGES) or _said_by(element)
    match word:
        case "ST" | "IL":
            return _text(element, word)
        case "LD" | "FBD":
            drawn = diagram(element)
            return networks.body(drawn, word, rest(element))
        case "SFC":
            from asfound.readers.iec61131_10.chart import body

            return body(element)
    return Body(language="", extensions=(Extension(path=f"BodyContent/{kind_of(element)}", text=canonical(element)),))


def _said_by(element: Element) -> str:
    """The language of a content without a type: its own name, or that of the only thing in it."""
    inside = [local(child) for child in element]
    return local(element) if local(element) in LANGUAGES or len(inside) != 1 else inside[0]


def _text(element: Element, language: str) -> Body:
    inner = take(element, language)
    text = code(inner if inner is not None else element)
    unrecognised = flat((hollow(inner) if inner is not None else (), rest(element)))
    statements = parse_statements(text) if language == "ST" else parse_il(text)
    return Body(language=language, statements=statements, extensions=unrecognised)  # type: ignore[arg-type]


def one_body(holder: Element) -> tuple[Body, tuple[Extension, ...]]:
    """The body of an action or step; further ones are kept word for word."""
    first, *more = bodies(holder)
    return first, tuple(Extension(path="body", text=printer.body(body).strip()) for body in more)
