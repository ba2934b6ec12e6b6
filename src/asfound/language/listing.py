"""The whole model as JSON, with diagrams listed as text: what ``asfound show --json`` prints.

Everywhere but in networks the document is the model itself (see asfound.model). The statements of a ladder or block
network, in execution order, are written for programs that do not want to walk expression trees: expressions are IEC
61131-3 ST text, so nothing is lost. Cost: linear.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

import msgspec

from asfound.language.doubts import said
from asfound.language.readable import expression, statements
from asfound.model import logic
from asfound.model.copy import Copy
from asfound.model.program import Body, Network

SCHEMA = "asfound/copy/1"


def as_json(copy: Copy) -> dict[str, Any]:
    """The document as plain dicts and lists; fields with their default value are left out."""
    document: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(copy))
    for body, plain in list(_bodies(copy, document)):  # all found before the first is changed
        if body.order.doubts:
            plain["order"]["doubts"] = [said(doubt, body.networks) for doubt in body.order.doubts]
        for network, target in zip(body.networks, plain.get("networks", []), strict=True):
            target["statements"] = listing(network)
            if body.order.doubts:
                target["doubts"] = plain["order"]["doubts"]
    return {"schema": SCHEMA, **document}


def _bodies(value: Any, plain: Any) -> Iterator[tuple[Body, dict[str, Any]]]:
    """Every body below ``value``, beside its place in the plain document."""
    if isinstance(value, tuple):
        for item, below in zip(value, plain, strict=True):
            yield from _bodies(item, below)
    elif isinstance(value, msgspec.Struct):
        if isinstance(value, Body):
            yield value, plain
        for field in value.__struct_fields__:
            if field in plain and isinstance(plain[field], dict | list) and field not in ("statements", "networks"):
                yield from _bodies(getattr(value, field), plain[field])


def listing(network: Network) -> list[dict[str, Any]]:
    """The statements of a network in execution order."""
    return [_entry(statement) for statement in network.statements]


def _entry(statement: logic.Statement) -> dict[str, Any]:
    match statement:
        case logic.Assign():
            entry: dict[str, Any] = {
                "kind": statement.kind,
                "target": expression(statement.target),
                "expression": expression(statement.value),
            }
        case logic.Call():
            entry = {"kind": "call", "target": expression(statement.instance)}
            if statement.type:
                entry["type"] = statement.type
            entry |= {"inputs": _arguments(statement.inputs), "outputs": _arguments(statement.outputs)}
        case logic.Jump(label=label):
            entry = {"kind": "jump", "target": label}
        case logic.Label(name=name):
            entry = {"kind": "label", "target": name}
        case logic.Return():
            entry = {"kind": "return"}
        case _:
            kind = str(statement.__struct_config__.tag)
            return {"kind": kind, "text": statements((statement,)).rstrip("\n")}
    condition = getattr(statement, "condition", None)
    return entry | ({"condition": expression(condition)} if condition is not None else {})


def _arguments(arguments: Iterable[logic.Argument]) -> dict[str, str]:
    """``{pin: text}``; a pin without a name is called by its place from 1, several wires of one pin are joined."""
    found: dict[str, str] = {}
    for place, argument in enumerate(arguments, 1):
        text = expression(argument.value)
        text = f"NOT {text}" if argument.negated else text
        pin = argument.name or str(place)
        found[pin] = f"{found[pin]}, {text}" if pin in found else text
    return found
