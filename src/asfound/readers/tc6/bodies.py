"""A body in any of the five languages."""

from __future__ import annotations

import msgspec

from asfound.language.il import parse_il
from asfound.language.parser import parse_statements
from asfound.model.program import Body
from asfound.readers.drawing import networks
from asfound.readers.residue import code, flat, hollow
from asfound.readers.tc6 import chart
from asfound.readers.tc6.diagram import diagram
from asfound.readers.tc6.residue import documentation, rest
from asfound.readers.xml import Element, children, local, take


def body(element: Element) -> Body:
    """The body inside a ``body`` or ``inline`` element, consumed; an empty one has no language."""
    comment, unrecognised = documentation(element)
    inner = next(children(element, "ST", "IL", "LD", "FBD", "SFC"), None)
    if inner is None:
        read = Body(language="")
    else:
        inner = take(element, local(inner))
        assert inner is not None
        read = _read(inner)
    comments = (*read.comments, comment) if comment else read.comments
    return msgspec.structs.replace(
        read, comments=comments, extensions=flat((read.extensions, unrecognised, rest(element)))
    )


def _read(element: Element) -> Body:
    language = local(element)
    if language == "ST":
        text = code(element)
        return Body(language="ST", statements=parse_statements(text), extensions=hollow(element))
    if language == "IL":
        text = code(element)
        return Body(language="IL", statements=parse_il(text), extensions=hollow(element))
    if language == "SFC":
        return chart.body(element)
    drawn = diagram(element)
    return networks.body(drawn, language, rest(element))
