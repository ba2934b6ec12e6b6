"""LD and FBD drawings: rungs and networks with their objects, read into items (see readers.drawing).

Every output has a ``connectionPointOutId`` of its own and a wire names the output it comes from, so the number of an
item is made up here and a wire is turned into (item, pin). A rung or network is a group of the diagram: the format says
which objects belong together and, with ``evaluationOrder``, what runs first.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from asfound.model.program import Extension
from asfound.readers.drawing.drawn_items import (
    EDGES,
    LATCHING,
    MODIFIED,
    STORAGES,
    Diagram,
    Group,
    Item,
    Pin,
    Wire,
    connected,
)
from asfound.readers.exchange.positions import position
from asfound.readers.extra.code import is_frame, own_code
from asfound.readers.iec61131_10.residue import documentation, numbered, rest, take_kind
from asfound.readers.residue import choice, flag, flat, kind_of, words
from asfound.readers.xml import Element, attribute, children, cut, local, take, take_all

KINDS = {
    "LeftPowerRail": "leftPowerRail",
    "RightPowerRail": "rightPowerRail",
    "Contact": "contact",
    "CompareContact": "contact",
    "Coil": "coil",
    "Block": "block",
    "DataSource": "inVariable",
    "DataSink": "outVariable",
    "Connector": "connector",
    "Continuation": "continuation",
    "Label": "label",
    "Jump": "jump",
    "Return": "return",
    "Comment": "comment",
}
"""Type of an object, and the kind of item it is."""
GROUPS = ("Rung", "Network")
LANGUAGES = ("ST", "IL", "LD", "FBD", "SFC")
OPERAND = {"contact": "operand", "coil": "operand", "inVariable": "identifier", "outVariable": "identifier"}
SYMBOLS = {"EQ": "=", "NE": "<>", "LT": "<", "LE": "<=", "GT": ">", "GE": ">="}
Outputs = dict[str, list[tuple[str, str]]]
"""``connectionPointOutId`` -> (number of the item, pin); more than one when a number is used twice."""


@dataclass(frozen=True)
class Drawn:
    """An object of a drawing, its type, and the rank of the rung it stands in (0: none)."""

    element: Element
    kind: str
    group: int


def object_kind(element: Element) -> str:
    """``Contact`` for ``<LdObject xsi:type="Contact">``; empty for what is no object of a drawing."""
    return kind_of(element) if local(element).endswith("Object") else ""


def take_objects(element: Element, kinds: Sequence[str], group: int = 0) -> list[Drawn]:
    """The objects of these types among the children of a body, rung or network, cut out of the tree."""
    found = []
    for each in [child for child in children(element) if object_kind(child) in kinds]:
        kind = object_kind(each)
        take_kind(each)
        cut(each)
        found.append(Drawn(each, kind, group))
    return found


def outputs(objects: Sequence[Drawn]) -> Outputs:
    """Where each wire number comes from; the numbers are taken. Objects are numbered in order, from 0."""
    found: Outputs = {}
    for number, drawn in enumerate(objects):
        for point in _own_outputs(drawn.element):
            owner = point.getparent()
            pin = "" if owner is None or owner is drawn.element else str(owner.get("parameterName", "")).strip()
            id = attribute(point, "connectionPointOutId").strip()
            if id:
                found.setdefault(id, []).append((str(number), pin))
    return found


def _own_outputs(element: Element) -> Iterator[Element]:
    """The output points of an object, not those of a drawing inside it (a condition or action written in place)."""
    for each in children(element):
        if local(each) in ("ConnectionPointOut", "ConnectionPointOutAction"):
            yield each
        elif local(each) not in ("BodyContent", "Inline", "Body", "MainBody", *LANGUAGES):
            yield from _own_outputs(each)


def diagram(element: Element) -> Diagram:
    """Everything drawn in an ``LD`` or ``FBD`` body, taken out of the tree."""
    groups, objects = grouped(element, tuple(KINDS))
    known = outputs(objects)
    items = tuple(item(drawn, number, known) for number, drawn in enumerate(objects))
    return replace(connected(items), groups=groups, extensions=doubled(known))


def grouped(element: Element, kinds: Sequence[str]) -> tuple[tuple[Group, ...], list[Drawn]]:
    """Rungs in order of evaluation and all objects in document order, those outside any rung last.

    Rungs that name their place come first; the others keep the order of the file.
    """
    found = take_all(element, *GROUPS)
    places, unrecognised = numbered(found, "evaluationOrder")
    keyed = sorted(zip(places, found, strict=True), key=lambda pair: (pair[0] is None, pair[0] or 0))
    groups, objects = [], []
    for rank, (_, holder) in enumerate(keyed, start=1):
        objects += take_objects(holder, kinds, rank)
        groups.append(_group(holder, rank, unrecognised if rank == 1 else ()))
    return tuple(groups), [*objects, *take_objects(element, kinds)]


def _group(holder: Element, rank: int, unrecognised: tuple[Extension, ...]) -> Group:
    comment, unrecognised_comment = documentation(holder)
    label = take(holder, "Label")
    text = attribute(holder, "label").strip()
    if label is not None:
        inside = (attribute(label, "label") or attribute(label, "name") or words(label)).strip()
        unrecognised = flat((unrecognised, rest(label)))
        if text and inside and inside.lower() != text.lower():
            unrecognised = (*unrecognised, Extension(path="Label", text=inside))
        text = text or inside
    return Group(rank, text, comment, flat((unrecognised, unrecognised_comment, rest(holder))))


def doubled(known: Outputs) -> tuple[Extension, ...]:
    """Two outputs with one number: a wire to it cannot be told apart, so it is never passed over."""
    return tuple(
        Extension(path="outputs with one number", text=f"{len(places)} outputs are numbered {id}")
        for id, places in sorted(known.items())
        if len(places) > 1
    )


def item(drawn: Drawn, number: int, known: Outputs) -> Item:
    """One drawn object, consumed."""
    element, kind = drawn.element, KINDS[drawn.kind]
    x, y = position(element, "RelPosition")
    comment, unrecognised = documentation(element)
    text, unrecognised_text = _text(drawn, kind)
    inputs, out = _pins(element, kind, known)
    code = own_code(element) if kind == "block" and is_frame(element, (*inputs, *out)) else ()
    read = Item(
        id=str(number),
        kind=kind,
        text=text,
        type=attribute(element, "typeName").strip(),
        instance=attribute(element, "instanceName").strip(),
        inputs=inputs,
        outputs=out,
        negated=_negated(element, kind),
        edge=choice(element, "edge", EDGES if kind in MODIFIED else ()),
        storage=choice(element, "latch", STORAGES if kind in LATCHING else ()),
        x=x,
        y=y,
        index=number,
        comment=comment,
        code=code,
        group=drawn.group,
    )
    left = flat((unrecognised, unrecognised_text, rest(element)))
    what = read.instance or read.type or read.text
    return replace(read, extensions=tuple(_named(e, f"{kind} {what}".strip()) for e in left))


def _negated(element: Element, kind: str) -> bool:
    """Is it drawn negated? Where that has no meaning only a written default is taken, anything else stays."""
    if kind in MODIFIED:
        return flag(element, "negated")
    choice(element, "negated", ("false", "0"))
    return False


def _named(extension: Extension, owner: str) -> Extension:
    """The path of an extension begins with the type of the object and its operand, so that a person finds it."""
    _, slash, tail = extension.path.partition("/")
    return Extension(path=owner + slash + tail, text=extension.text, name=extension.name)


def _text(drawn: Drawn, kind: str) -> tuple[str, tuple[Extension, ...]]:
    element = drawn.element
    if drawn.kind == "CompareContact":
        return _comparison(element), ()
    if kind == "comment":
        return documentation(element, "content")
    if kind in OPERAND:
        return attribute(element, OPERAND[kind]).strip(), ()
    if kind in ("connector", "continuation", "label", "jump"):
        return (attribute(element, "label") or attribute(element, "targetLabel")).strip(), ()
    return "", ()


def _comparison(element: Element) -> str:
    """A comparison drawn as a contact, as an expression.

    The page of facts does not tell how its operands are written. Two operands and an operator are understood under
    their plain names; anything else is kept word for word as the operand, so that every change of it is seen.
    """
    names = ("operand1", "operand2", "operator")
    left, right, word = (str(element.get(name, "")).strip() for name in names)
    symbol = SYMBOLS.get(word.upper(), word if word in SYMBOLS.values() else "")
    if left and right and symbol:
        for name in names:
            del element.attrib[name]
        return f"({left}) {symbol} ({right})"
    modifiers = ("negated", "edge", "latch", "globalId")
    said = [f"{name}={attribute(element, name)}" for name in sorted(map(str, element.attrib)) if name not in modifiers]
    return " ".join(["CompareContact", *said])


def _pins(element: Element, kind: str, known: Outputs) -> tuple[tuple[Pin, ...], tuple[Pin, ...]]:
    if kind == "block":
        into = _block_pins(element, "InputVariable", known)
        shared = _block_pins(element, "InoutVariable", known)
        return (*into, *shared), (*_block_pins(element, "OutputVariable", known), *shared)
    points = (Pin(wires=wires(point, known)) for point in _inputs(element))
    return tuple(points), ()


def _inputs(element: Element) -> list[Element]:
    """The input points of an element; one that holds more than wires goes back into the tree after reading."""
    return list(children(element, "ConnectionPointIn"))


def _block_pins(element: Element, name: str, known: Outputs) -> list[Pin]:
    found = []
    for group in children(element, f"{name}s"):
        for variable in children(group, name):
            points = _inputs(variable)
            found.append(
                Pin(
                    name=attribute(variable, "parameterName").strip() or "_",
                    wires=tuple(w for point in points for w in wires(point, known)),
                    negated=flag(variable, "negated"),
                    edge=choice(variable, "edge", EDGES),
                    storage=choice(variable, "latch", STORAGES if name != "OutputVariable" else ()),
                )
            )
    return found


def wires(point: Element, known: Outputs) -> tuple[Wire, ...]:
    """Wires of a ``ConnectionPointIn`` in document order, read in place (see ``WRAPPERS`` in residue.py)."""
    found = ends(point, known)
    for each in children(point, "Connection"):
        attribute(each, "refConnectionPointOutId")
    return found


def ends(point: Element, known: Outputs) -> tuple[Wire, ...]:
    """As :func:`wires`, with the tree left as it is. One that leads nowhere keeps a source nobody has."""
    ids = (str(each.get("refConnectionPointOutId", "")).strip() for each in children(point, "Connection"))
    return tuple(Wire(*known.get(id, [("?", "")])[0]) for id in ids)
