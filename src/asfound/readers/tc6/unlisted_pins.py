"""Wires that name an output which their block does not list: told, for the block may have been another one once."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.readers.drawing.unlisted import from_unlisted
from asfound.readers.xml import Element, children, local

_BODIES = ("{*}LD", "{*}FBD", "{*}SFC")
_LISTS = ("outputVariables", "inOutVariables")


def unlisted_pins(pou: Element) -> Iterator[str]:
    """A sentence for each such block of a POU that has not been read yet, in document order."""
    for body in pou.iter(*_BODIES):
        blocks: dict[str, Element] = {}
        for block in children(body, "block"):
            blocks.setdefault(str(block.get("localId", "")).strip(), block)
        for source, names in _missed(body, blocks).items():
            block = blocks[source]
            yield from_unlisted(str(block.get("instanceName", "")), str(block.get("typeName", "")), names)


def _missed(body: Element, blocks: dict[str, Element]) -> dict[str, list[str]]:
    listed = {source: _outputs(block) for source, block in blocks.items()}
    found: dict[str, list[str]] = {}
    for wire in body.iter("{*}connection") if blocks else ():
        source, name = (str(wire.get(key, "")).strip() for key in ("refLocalId", "formalParameter"))
        unlisted = name and source in listed and name.lower() not in listed[source]
        if unlisted and next(wire.iterancestors(*_BODIES)) is body:  # a drawing inside it has numbers of its own
            found.setdefault(source, []).append(name)
    return {source: found[source] for source in blocks if source in found}


def _outputs(block: Element) -> set[str]:
    groups = (group for group in block if local(group) in _LISTS)
    return {str(pin.get("formalParameter", "")).strip().lower() for group in groups for pin in group}
