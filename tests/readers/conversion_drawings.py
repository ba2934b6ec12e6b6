"""Drawings of TC6 written as IEC 61131-10: rungs, networks, charts.

A TC6 drawing is one flat sheet; IEC 61131-10 has rungs that run in the order they name. A sheet is cut into its
connected pieces, one ``Rung`` or ``Network`` each, where their order is beyond doubt: the outputs of each piece stand
together, both by position and in the order of the file, and both put the pieces in the same order. Any other sheet
stays whole, without rungs (a single rung around it would not say what its pieces are).
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Sequence
from functools import cmp_to_key

from conversion_declarations import Element, child, copied, done, each, extra, first, local, said, same, written

RAILS = ("leftPowerRail", "rightPowerRail")
LOOSE = (*RAILS, "comment", "label")
SINKS = ("coil", "outVariable", "inOutVariable", "jump", "return")
OWNER = {
    **dict.fromkeys(("contact", "coil", *RAILS), "LdObject"),
    **dict.fromkeys(("block", "inVariable", "outVariable", "inOutVariable", "jump", "return", "label"), "FbdObject"),
    **dict.fromkeys(("connector", "continuation", "comment"), "CommonObject"),
}
KINDS = {
    "leftPowerRail": "LeftPowerRail",
    "rightPowerRail": "RightPowerRail",
    "contact": "Contact",
    "coil": "Coil",
    "block": "Block",
    "inVariable": "DataSource",
    "outVariable": "DataSink",
    "connector": "Connector",
    "continuation": "Continuation",
    "comment": "Comment",
    "label": "Label",
    "jump": "Jump",
    "return": "Return",
}
GEOMETRY = ("@localId", "@height", "@width", "@globalId", "@executionOrderId", "position")
Body = Callable[[Element, Element], None]


class Wires:
    """Numbers of outputs: one for each (element, pin) of a sheet."""

    def __init__(self, drawn: Sequence[Element]) -> None:
        self.numbers: dict[tuple[str, str], str] = {}
        self.by_id = {node.get("localId"): node for node in reversed(drawn)}
        self.used = {(wire.get("refLocalId"), self.pin(wire)) for node in drawn for wire in node.iter("{*}connection")}

    def of(self, id: str, pin: str) -> str:
        return self.numbers.setdefault((id, pin), str(len(self.numbers) + 1))

    def pin(self, wire: Element) -> str:
        """Name of the output a wire comes from; only blocks have more than one."""
        source = self.by_id.get(wire.get("refLocalId"))
        if source is None or local(source) != "block":
            return ""
        named = wire.get("formalParameter", "")
        return named or next((p for p in _outputs(source) if p.upper() != "ENO"), "")

    def into(self, point: Element, target: Element) -> None:
        made = child(target, "ConnectionPointIn")
        for wire in each(point, "connection"):
            child(made, "Connection", refConnectionPointOutId=self.of(wire.get("refLocalId"), self.pin(wire)))
        done(point, "connection", "relPosition")

    def out(self, id: str, pin: str, target: Element) -> None:
        child(target, "ConnectionPointOut", connectionPointOutId=self.of(id, pin))


def _outputs(block: Element) -> list[str]:
    return [v.get("formalParameter", "") for group in each(block, "outputVariables") for v in each(group, "variable")]


def place(node: Element) -> tuple[float, float]:
    at = first(node, "position")
    return (0.0, 0.0) if at is None else (float(at.get("x", "0")), float(at.get("y", "0")))


# --- sheets -----------------------------------------------------------------------------------------------------


def diagram(source: Element, target: Element) -> None:
    """An ``LD`` or ``FBD`` sheet."""
    drawn = each(source)
    wires = Wires(drawn)
    pieces = _pieces(drawn, wires)
    order = _order(drawn, pieces, wires)
    if order is None:
        for node in drawn:
            objects(node, target, wires)
        return
    name = "Rung" if local(source) == "LD" else "Network"
    loose = _beside(drawn, pieces)
    for number, piece in enumerate(order, start=1):
        rung = child(target, name, evaluationOrder=str(number))
        for label in [n for n in loose.get(piece, ()) if local(n) == "label"]:
            child(rung, "Label", label=label.get("label"))
        members = [n for n in drawn if pieces.get(n) == piece]
        for node in [n for n in drawn if local(n) in RAILS] if piece == order[0] else _rails(members, wires):
            objects(node, rung, wires)
        for node in [n for n in loose.get(piece, ()) if local(n) != "label"] + members:
            objects(node, rung, wires)
    if not order:
        for node in drawn:
            objects(node, target, wires)


def _rails(members: Sequence[Element], wires: Wires) -> list[Element]:
    """A left rail of its own for each rung that is wired to one."""
    ids = dict.fromkeys(w.get("refLocalId") for node in members for w in node.iter("{*}connection"))
    found = [wires.by_id[i] for i in ids if i in wires.by_id and local(wires.by_id[i]) == "leftPowerRail"]
    made = []
    for rail in found:
        own = copy.deepcopy(rail)
        own.set("localId", f"{rail.get('localId')} of {members[0].get('localId')}")
        for node in members:
            for wire in node.iter("{*}connection"):
                if wire.get("refLocalId") == rail.get("localId"):
                    wire.set("refLocalId", own.get("localId"))
        wires.by_id[own.get("localId")] = own
        made.append(own)
    return made


def _pieces(drawn: Sequence[Element], wires: Wires) -> dict[Element, int]:
    """Which connected piece an element belongs to, rails, comments and labels left out; numbered in file order."""
    solid = [n for n in drawn if local(n) not in LOOSE]
    piece = {node: at for at, node in enumerate(solid)}
    named: dict[str, Element] = {}
    pairs = []
    for node in solid:
        if local(node) in ("connector", "continuation"):
            pairs.append((node, named.setdefault(node.get("name", "").casefold(), node)))
        sources = (wires.by_id.get(w.get("refLocalId")) for w in node.iter("{*}connection"))
        pairs += [(node, s) for s in sources if s in piece]
    for one, other in pairs:
        low, high = sorted((piece[one], piece[other]))
        piece = {node: low if at == high else at for node, at in piece.items()}
    return piece


def _order(drawn: Sequence[Element], pieces: dict[Element, int], wires: Wires) -> list[int] | None:
    """The pieces in order of execution, None when it is in doubt; pieces that do nothing come last, by position."""

    def by_place(one: Element, other: Element) -> int:
        (x, y), (u, v) = place(one), place(other)
        return (x > u) - (x < u) if abs(y - v) < 10 else (y > v) - (y < v)

    sequences = []
    for key in (cmp_to_key(by_place), drawn.index):
        sinks = sorted((n for n in drawn if local(n) in SINKS and list(n.iter("{*}connection"))), key=key)
        needed = _needed(sinks, wires)
        blocks = sorted((n for n in drawn if local(n) == "block" and n not in needed), key=key)
        sequences.append([pieces[n] for n in (*sinks, *blocks)])
    first_seen = [list(dict.fromkeys(s)) for s in sequences]
    runs = [[p for at, p in enumerate(s) if at == 0 or s[at - 1] != p] for s in sequences]
    if first_seen[0] != first_seen[1] or runs != first_seen or _numbered(drawn):
        return None
    idle = sorted((n for n in drawn if n in pieces and pieces[n] not in first_seen[0]),
                  key=lambda n: (*reversed(place(n)), drawn.index(n)))  # fmt: skip
    return [*first_seen[0], *dict.fromkeys(pieces[n] for n in idle)]


def _numbered(drawn: Sequence[Element]) -> bool:
    return any(node.get("executionOrderId", "0") != "0" for node in drawn)


def _needed(sinks: Sequence[Element], wires: Wires) -> set[Element]:
    """Everything upstream of the outputs."""
    found: set[Element] = set()
    named = {n.get("name", "").casefold(): n for n in wires.by_id.values() if local(n) == "connector"}
    queue = list(sinks)
    while queue:
        node = queue.pop()
        if node in found:
            continue
        found.add(node)
        queue += [s for w in node.iter("{*}connection") if (s := wires.by_id.get(w.get("refLocalId"))) is not None]
        if local(node) == "continuation" and node.get("name", "").casefold() in named:
            queue.append(named[node.get("name", "").casefold()])
    return found


def _beside(drawn: Sequence[Element], pieces: dict[Element, int]) -> dict[int, list[Element]]:
    """Comments and labels by the piece they stand beside: the lowest one at their height, else the next below."""
    spans: dict[int, tuple[float, float, int]] = {}
    for at, node in enumerate(drawn):
        if node in pieces:
            y = place(node)[1]
            top, bottom, index = spans.get(pieces[node], (y, y, at))
            spans[pieces[node]] = (min(top, y), max(bottom, y), min(index, at))
    placed = any(top or bottom for top, bottom, _ in spans.values())
    starts = sorted(((top if placed else 0.0, index), piece) for piece, (top, _, index) in spans.items())
    found: dict[int, list[Element]] = {}
    for at, node in enumerate(drawn):
        if local(node) not in ("comment", "label") or not starts:
            continue
        y = place(node)[1] if placed else 0.0
        here = [p for (top, _), p in starts if placed and top <= y <= spans[p][1]]
        below = [p for start, p in starts if start >= (y, at)]
        chosen = here[-1] if here else below[0] if below else starts[-1][1]
        found.setdefault(chosen, []).append(node)
    return {p: sorted(nodes, key=lambda n: (*reversed(place(n)), drawn.index(n))) for p, nodes in found.items()}


# --- objects ----------------------------------------------------------------------------------------------------


def objects(node: Element, target: Element, wires: Wires) -> None:
    """One drawn element; a variable that is both read and written becomes a source and a sink."""
    kind = local(node)
    if kind != "inOutVariable":
        _object(node, target, wires, KINDS[kind])
        return
    if each(node, "connectionPointIn"):
        _object(node, target, wires, "DataSink")
    if (node.get("localId"), "") in wires.used:
        _object(node, target, wires, "DataSource")


def _object(node: Element, target: Element, wires: Wires, kind: str) -> None:
    made = child(target, OWNER[local(node)], kind)
    copied(node, made, **same("globalId", "typeName", "instanceName", "negated", "edge", "label"), storage="latch")
    copied(node, made, **({"name": "label"} if kind in ("Connector", "Continuation") else {}))
    if node.get("negatedIn" if kind == "DataSink" else "negatedOut") == "true":
        made.set("negated", "true")
    _geometry(node, made)
    for text in (*each(node, "variable"), *each(node, "expression")):
        made.set("operand" if local(text) == "variable" else "identifier", "".join(text.itertext()).strip())
    for text in each(node, "content"):
        written(text, child(made, "Content", "SimpleText"))
    if kind == "Block":
        _pins(node, made, wires)
    for point in [] if kind == "DataSource" else each(node, "connectionPointIn"):
        wires.into(point, made)
    if kind not in ("Block", "DataSink", "RightPowerRail") and (node.get("localId"), "") in wires.used | {
        (node.get("localId"), "") for _ in each(node, "connectionPointOut")
    }:
        wires.out(node.get("localId"), "", made)
    said(node, made)
    done(node, *GEOMETRY, "variable", "expression", "content", "inputVariables", "outputVariables", "inOutVariables",
         "connectionPointIn", "connectionPointOut", "documentation", "addData", "@typeName", "@instanceName",
         "@negated", "@edge", "@storage", "@label", "@name", "@negatedIn", "@negatedOut")  # fmt: skip


def _geometry(node: Element, made: Element) -> None:
    at = first(node, "position")
    if at is not None:
        copied(at, child(made, "RelPosition"), **same("x", "y"))
    if node.get("width") and node.get("height"):
        child(made, "Size", x=node.get("width"), y=node.get("height"))


def _pins(node: Element, made: Element, wires: Wires) -> None:
    id = node.get("localId")
    for group, name in (("inputVariables", "InputVariable"), ("inOutVariables", "InoutVariable")):
        holder = child(made, f"{name}s")
        for pin in (p for g in each(node, group) for p in each(g, "variable")):
            one = _pin(pin, holder, name)
            for point in each(pin, "connectionPointIn"):
                wires.into(point, one)
            if name == "InoutVariable":
                wires.out(id, pin.get("formalParameter"), one)
    holder = child(made, "OutputVariables")
    drawn = [p for g in each(node, "outputVariables") for p in each(g, "variable")]
    for pin in drawn:
        wires.out(id, pin.get("formalParameter", ""), _pin(pin, holder, "OutputVariable"))
    names = {p.get("formalParameter", "") for g in each(node, "outputVariables", "inOutVariables") for p in g}
    for missing in sorted(pin for at, pin in wires.used if at == id and pin not in names):
        wires.out(id, missing, child(holder, "OutputVariable", parameterName=missing))


def _pin(pin: Element, holder: Element, name: str) -> Element:
    made = child(holder, name)
    copied(pin, made, formalParameter="parameterName", negated="negated", edge="edge", storage="latch")
    done(pin, "@formalParameter", "@negated", "@edge", "@storage", "connectionPointIn", "connectionPointOut")
    return made


# --- charts -----------------------------------------------------------------------------------------------------


def chart(source: Element, target: Element, body: Body) -> None:
    """An ``SFC`` sheet; ``body`` writes the bodies inside it."""
    drawn = each(source)
    wires = Wires(drawn)
    for node in drawn:
        if local(node) in OWNER:
            objects(node, target, wires)
        elif local(node) == "actionBlock":
            _action_block(node, target, wires, body)
        else:
            _chart_object(node, target, wires, body)


def _chart_object(node: Element, target: Element, wires: Wires, body: Body) -> None:
    kind = local(node)
    made = child(target, "SfcObject", kind[0].upper() + kind[1:])
    copied(node, made, **same("name", "initialStep", "targetName", "priority", "globalId"))
    _geometry(node, made)
    for point in each(node, "connectionPointIn"):
        wires.into(point, made)
    wires.out(node.get("localId"), "", made)
    for condition in each(node, "condition"):
        _condition(condition, child(made, "Condition"), wires, body)
    for inner in each(node, "body"):
        body(inner, child(made, "MainBody"))
    said(node, made)
    done(node, *GEOMETRY, "@name", "@initialStep", "@targetName", "@priority", "connectionPointIn", "condition", "body",
         "connectionPointOut", "connectionPointOutAction", "documentation", "addData", "@negated")  # fmt: skip


def _condition(source: Element, made: Element, wires: Wires, body: Body) -> None:
    copied(source, made, **same("negated"))
    for inner in each(source):
        if local(inner) == "reference":
            child(made, "Reference", name=inner.get("name"))
        elif local(inner) == "inline":
            target = child(made, "Inline")
            copied(inner, target, **same("name"))
            plain = copy.deepcopy(inner)
            plain.attrib.pop("name", None)
            body(plain, target)
        else:
            wires.into(inner, made)


def _action_block(node: Element, target: Element, wires: Wires, body: Body) -> None:
    made = child(target, "CommonObject", "ActionBlock")
    _geometry(node, made)
    for point in each(node, "connectionPointIn"):
        wires.into(point, made)
    for action in each(node, "action"):
        one = child(made, "Action")
        copied(action, one, **same("qualifier", "duration", "indicator", "globalId"))
        for reference in each(action, "reference"):
            child(one, "Reference", name=reference.get("name"))
        for inline in each(action, "inline"):
            plain = copy.deepcopy(inline)
            plain.attrib.pop("name", None)
            body(plain, child(one, "Inline"))
        said(action, one)
        done(action, *GEOMETRY, "relPosition", "reference", "inline", "connectionPointOut", "documentation", "addData",
             "@qualifier", "@duration", "@indicator")  # fmt: skip
    said(node, made)
    done(node, *GEOMETRY, "connectionPointIn", "connectionPointOut", "action", "documentation", "addData", "@negated")


__all__ = ["chart", "diagram", "extra"]
