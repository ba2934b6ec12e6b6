"""What is tied to a step: action blocks."""

from __future__ import annotations

import msgspec

from asfound.language.literals import canonical
from asfound.model.program import Association, Body, Extension
from asfound.readers.extra.elements import NAME, QUALIFIER, element_facts, same_qualifier, same_words
from asfound.readers.tc6.plate import PLATE, documentation, flat, rest
from asfound.readers.xml import Element, attribute, children, take, take_all


def associations(blocks: list[Element]) -> dict[str, tuple[Association, ...]]:
    """Associations of all ``actionBlock`` elements by the number of the step they are wired to."""
    found: dict[str, tuple[Association, ...]] = {}
    for block in blocks:
        steps = [
            attribute(connection, "refLocalId")
            for point in children(block, "connectionPointIn")
            for connection in children(point, "connection")
        ]
        read = [_association(each) for each in take_all(block, "action")]
        comment, odd = documentation(block)
        if comment:
            odd = (*odd, Extension(path="actionBlock/documentation", text=comment))
        left = flat((odd, rest(block)))
        if left:
            last = read.pop() if read else Association(action="")
            read.append(msgspec.structs.replace(last, extensions=flat((last.extensions, left))))
        for step in steps or [""]:
            found[step] = (*found.get(step, ()), *read)
    return found


def _association(element: Element) -> Association:
    qualifier = attribute(element, "qualifier").strip() or "N"
    duration = canonical(attribute(element, "duration").strip(), "TIME")
    indicator = attribute(element, "indicator").strip()
    reference, inline = take(element, "reference"), take(element, "inline")
    name = attribute(reference, "name").strip() if reference is not None else ""
    body = inline_body(inline) if inline is not None else None
    comment, odd = documentation(element)
    facts = element_facts(element, {NAME: same_words(name), QUALIFIER: same_qualifier(qualifier, duration)}, PLATE)
    wired = take(element, "connectionPointOut")
    if wired is not None and (len(wired) or wired.attrib):
        element.append(wired)
    return Association(
        action=name,
        qualifier=qualifier,
        duration=duration,
        indicator=indicator,
        comment=comment,
        body=body,
        extensions=flat((odd, facts.odd, rest(reference) if reference is not None else (), rest(element))),
    )


def inline_body(element: Element) -> Body:
    """A body written in place (``inline``, or the ``body`` of a macro step)."""
    from asfound.readers.tc6.bodies import body

    return body(element)
