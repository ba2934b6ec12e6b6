"""What is tied to a step: action blocks."""

from __future__ import annotations

from collections.abc import Mapping

from asfound.model.program import Association, Body
from asfound.readers.exchange.chart import Inside, actions, association
from asfound.readers.tc6.residue import RESIDUE
from asfound.readers.xml import Element, attribute, children, take


def associations(blocks: list[Element]) -> dict[str, tuple[Association, ...]]:
    """Associations of all ``actionBlock`` elements by the number of the step they are wired to.

    In version 1.x a block may be wired to another block, which passes on the step.
    """
    wired = [_sources(block) for block in blocks]
    by_block = {str(block.get("localId", "")): sources for block, sources in zip(blocks, wired, strict=True)}
    found: dict[str, tuple[Association, ...]] = {}
    for block, sources in zip(blocks, wired, strict=True):
        steps = _steps(sources, by_block, ())
        read = actions(block, _association, RESIDUE)
        for step in steps or [""]:
            found[step] = (*found.get(step, ()), *read)
    return found


def _sources(block: Element) -> tuple[str, ...]:
    """Numbers of what a block is wired to, read in place: see ``WRAPPERS`` in residue.py."""
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
    wired = take(element, "connectionPointOut")
    if wired is not None and (len(wired) or wired.attrib):
        element.append(wired)
    return association(element, inside(element, "inline"), RESIDUE)


def inside(element: Element, name: str) -> Inside:
    """The body in the child of that name, taken."""
    holder = take(element, name)
    return (inline_body(holder) if holder is not None else None, ())


def inline_body(element: Element) -> Body:
    """A body written in place (``inline``, or the ``body`` of a macro step)."""
    from asfound.readers.tc6.bodies import body

    return body(element)
