"""Wires whose number no output has, and outputs without a name: told, for an entry of a list may have been removed.

A wire of this format names the number of an output, so an output that its block does not list is one that nothing has.
"""

from __future__ import annotations

from collections.abc import Iterator

from asfound.readers.drawing.unlisted import block_words
from asfound.readers.xml import Element, children, local

_BODIES = ("{*}BodyContent",)
_OUT = ("{*}ConnectionPointOut", "{*}ConnectionPointOutAction")
_ENDS = ("Object", "BodyContent")


def unlisted_pins(pou: Element) -> Iterator[str]:
    """A sentence for each element of a POU that such a wire leads to or comes from, in document order."""
    for body in pou.iter(*_BODIES):
        points = {str(p.get("connectionPointOutId", "")).strip(): p for p in body.iter(*_OUT)}
        wires = [wire for wire in body.iter("{*}Connection") if next(wire.iterancestors(*_BODIES)) is body]
        numbers = [str(wire.get("refConnectionPointOutId", "")).strip() for wire in wires]
        yield from _from_nowhere(wires, numbers, points)
        yield from _without_name([points[number] for number in dict.fromkeys(numbers) if number in points])


def _from_nowhere(wires: list[Element], numbers: list[str], points: dict[str, Element]) -> Iterator[str]:
    told: dict[Element, list[str]] = {}
    for wire, number in zip(wires, numbers, strict=True):
        if number and number not in points:
            told.setdefault(_owner(wire), []).append(number)
    for owner, lost in told.items():
        which = f"output number {lost[0]}" if len(lost) == 1 else f"the outputs number {', '.join(lost)}"
        yield f"a wire into {_words(owner)} comes from {which}, which no element lists; read as if it were not there"


def _without_name(points: list[Element]) -> Iterator[str]:
    told: dict[Element, None] = {}
    for point in points:
        pin, owner = point.getparent(), _owner(point)
        bare = pin is not None and local(pin) == "OutputVariable" and not str(pin.get("parameterName", "")).strip()
        if bare and (owner.get("instanceName") or len(_outputs(owner)) > 1):
            told[owner] = None
    for owner in told:
        first = next((name for name in _outputs(owner) if name), "")
        reading = f"read as its output {first}" if first else "read as an output that no declaration has"
        yield f"{_words(owner)} does not say which output a wire comes from; {reading}"


def _outputs(block: Element) -> list[str]:
    """Names of the outputs but ENO, in order."""
    groups = children(block, "OutputVariables")
    names = [str(each.get("parameterName", "")).strip() for group in groups for each in group]
    return [name for name in names if name.lower() != "eno"]


def _owner(node: Element) -> Element:
    """The object of the drawing that a point or wire belongs to."""
    return next((each for each in node.iterancestors() if local(each).endswith(_ENDS)), node)


def _words(owner: Element) -> str:
    instance, type = (str(owner.get(key, "")) for key in ("instanceName", "typeName"))
    if instance or type:
        return block_words(instance, type)
    named = (str(owner.get(key, "")).strip() for key in ("operand", "identifier", "label", "name"))
    return f"'{name}'" if (name := next(filter(None, named), "")) else "an element"
