"""What is tied to a step: action blocks."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from asfound.language.literals import canonical
from asfound.model.program import Association, Body, Extension
from asfound.readers.extra.elements import NAME, QUALIFIER, element_facts, same_qualifier, same_words
from asfound.readers.plate import flat
from asfound.readers.tc6.plate import PLATE, documentation, rest
from asfound.readers.xml import Element, attribute, children, take, take_all


def associations(blocks: list[Element]) -> dict[str, tuple[Association, ...]]:
    """Associations of all ``actionBlock`` elements by the number of the step they are wired to.

    In version 1.x a block may be wired to another block, which passes on the step.
    """
    wired = [_sources(block) for block in blocks]
    by_block = {str(block.get("localId", "")): sources for block, sources in zip(blocks, wired, strict=True)}
    found: dict[str, tuple[Association, ...]] = {}
    for block, sources in zip(blocks, wired, strict=True):
        steps = _steps(sources, by_block, ())
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


def _sources(block: Element) -> tuple[str, ...]:
    """Numbers of what a block is wired to, read in place: see ``WRAPPERS`` in plate.py."""
    points = children(block, "connectionPointIn")
    return tuple(attribute(c, "refLocalId") for point in points for c in children(point, "connection"))


def _steps(sources: tuple[str, ...], blocks: Mapping[str, tuple[str, ...]], seen: tuple[str, ...]) -> list[str]:
    """Numbers of the steps that sources lead back to, through other blocks."""
    steps: list[str] = []
    for source in sources:
        if source not in blocks:
            steps.append(source)
        elif source not in seen:
            steps += _steps(blocks[source], blocks, (*seen, source))
    return steps


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
