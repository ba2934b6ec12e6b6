"""The elements of an LD or FBD drawing, read into items (see readers.drawing).

Wires are stored at the sink only: ``connectionPointIn/connection@refLocalId`` with the name of the source's pin.
"""

from __future__ import annotations

from asfound.model.program import Extension
from asfound.readers.drawing.drawn_items import (
    EDGES,
    LATCHING,
    MODIFIED,
    STORAGES,
    Diagram,
    Item,
    Pin,
    Wire,
    connected,
)
from asfound.readers.exchange.positions import position
from asfound.readers.extra.code import is_frame, own_code
from asfound.readers.residue import choice, flag, flat, hollow, whole, words
from asfound.readers.tc6.residue import documentation, rest
from asfound.readers.xml import Element, attribute, children, local, take, take_all

KINDS = (
    "leftPowerRail",
    "rightPowerRail",
    "contact",
    "coil",
    "block",
    "inVariable",
    "outVariable",
    "inOutVariable",
    "connector",
    "continuation",
    "label",
    "jump",
    "return",
    "comment",
)


def diagram(element: Element) -> Diagram:
    """Items of an ``LD`` or ``FBD`` element (or of the network elements inside an ``SFC``), taken out of the tree."""
    return connected(item(each, index) for index, each in enumerate(take_all(element, *KINDS)))


def item(element: Element, index: int) -> Item:
    """One drawn element, consumed."""
    kind = local(element)
    x, y = position(element, "position")
    comment, unrecognised = documentation(element)
    inputs, outputs = _pins(element, kind)
    text, unrecognised_text = _text(element, kind)
    code = own_code(element) if kind == "block" and is_frame(element, (*inputs, *outputs)) else ()
    read = Item(
        id=attribute(element, "localId"),
        kind=kind,
        text=text,
        type=attribute(element, "typeName").strip(),
        instance=attribute(element, "instanceName").strip(),
        inputs=inputs,
        outputs=outputs,
        negated=_negated(element, kind),
        edge=choice(element, "edge", EDGES if kind in MODIFIED else ()),
        storage=choice(element, "storage", STORAGES if kind in LATCHING else ()),
        x=x,
        y=y,
        order=whole(element, "executionOrderId"),
        index=index,
        comment=comment,
        code=code,
    )
    left = flat((unrecognised, unrecognised_text, rest(element)))
    return Item(**{**read.__dict__, "extensions": tuple(_named(read, e) for e in left)})


def _negated(element: Element, kind: str) -> bool:
    """Is it drawn negated? Where that has no meaning only a written default is taken, anything else stays."""
    if kind in MODIFIED:
        return flag(element, "negated")
    choice(element, "negated", ("false", "0"))
    return False


def _named(read: Item, extension: Extension) -> Extension:
    """The path of an extension begins with the element and its operand, so that a person finds it."""
    what = read.instance or read.type or read.text
    head, slash, tail = extension.path.partition("/")
    return Extension(path=f"{head} {what}".strip() + slash + tail, text=extension.text, name=extension.name)


def _text(element: Element, kind: str) -> tuple[str, tuple[Extension, ...]]:
    if kind in ("contact", "coil"):
        holder = take(element, "variable")
    elif kind in ("inVariable", "outVariable", "inOutVariable"):
        holder = take(element, "expression")
    elif kind == "comment":
        holder = take(element, "content")
        return words(holder), hollow(holder) if holder is not None else ()
    else:
        name = "label" if kind in ("label", "jump") else "name"
        return attribute(element, name).strip() if kind != "block" else "", ()
    if holder is None:
        return "", ()
    text = (holder.text or "").strip()
    holder.text = None
    return text, rest(holder)


def _pins(element: Element, kind: str) -> tuple[tuple[Pin, ...], tuple[Pin, ...]]:
    if kind == "block":
        inputs = [p for group in children(element, "inputVariables") for p in _block_pins(group)]
        shared = [p for group in children(element, "inOutVariables") for p in _block_pins(group)]
        outputs = [p for group in children(element, "outputVariables") for p in _block_pins(group)]
        return (*inputs, *shared), (*outputs, *shared)
    both = kind == "inOutVariable"
    negated = flag(element, "negatedIn") if both else False
    points = [Pin(wires=wires(point), negated=negated) for point in children(element, "connectionPointIn")]
    inverted = flag(element, "negatedOut") if both else False
    return tuple(points), (Pin(negated=inverted),) if inverted else ()


def _block_pins(group: Element) -> list[Pin]:
    pins = []
    for variable in children(group, "variable"):
        name = variable.get("formalParameter", "")
        if local(group) != "outputVariables":
            attribute(variable, "formalParameter")
        pins.append(
            Pin(
                name=name.strip() or "_",
                wires=tuple(wire for point in children(variable, "connectionPointIn") for wire in wires(point)),
                negated=flag(variable, "negated"),
                edge=choice(variable, "edge", EDGES),
                storage=choice(variable, "storage", STORAGES),
            )
        )
    return pins


def wires(point: Element) -> tuple[Wire, ...]:
    """Wires of a ``connectionPointIn`` in document order, read in place: see ``WRAPPERS`` in residue.py."""
    return tuple(
        Wire(attribute(each, "refLocalId").strip(), attribute(each, "formalParameter").strip())
        for each in children(point, "connection")
    )
