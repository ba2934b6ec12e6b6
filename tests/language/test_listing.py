"""The model as JSON: networks are listed as text in execution order."""

from __future__ import annotations

import json

import msgspec

from asfound.language.listing import as_json, listing
from asfound.model import logic as m
from asfound.model.copy import Copy
from asfound.model.program import (
    Action,
    Association,
    Body,
    Chart,
    Doubt,
    Network,
    Order,
    Pou,
    Program,
    Step,
)

a, b, q, t1 = (m.Variable(name) for name in ("a", "b", "q", "t1"))
NETWORK = Network(
    statements=(
        m.Call(t1, "TON", (m.Argument("IN", a), m.Argument("", b)), (m.Argument("Q", q), m.Argument("Q", b, True))),
        m.Assign(q, m.Operation("AND", (a, m.Operation("NOT", (b,))))),
        m.Assign(q, a, "set", condition=b),
        m.Jump("end", b),
        m.Label("end"),
        m.Return(),
        m.Verbatim("??"),
    ),
    title="start",
)
LISTED = [
    {"kind": "call", "target": "t1", "type": "TON", "inputs": {"IN": "a", "2": "b"}, "outputs": {"Q": "q, NOT b"}},
    {"kind": "assign", "target": "q", "expression": "a AND NOT b"},
    {"kind": "set", "target": "q", "expression": "a", "condition": "b"},
    {"kind": "jump", "target": "end", "condition": "b"},
    {"kind": "label", "target": "end"},
    {"kind": "return"},
]


def test_statements_of_a_network_as_text() -> None:
    assert listing(NETWORK)[:-1] == LISTED
    last = listing(NETWORK)[-1]
    assert last["kind"] == "verbatim" and "??" in last["text"]


DOUBTS = Doubt("file order", "before", ((0, 1), (0, 0))), Doubt("", "said", (), "1 and 2 may swap")


def test_networks_are_listed_wherever_a_body_is() -> None:
    ladder = Body("LD", networks=(NETWORK,), order=Order(doubts=DOUBTS))
    chart = Chart((Step("s", actions=(Association("x", body=ladder),), body=ladder),), ())
    inner = Pou("M", "method", bodies=(ladder,))
    pou = Pou(
        "P", "program", bodies=(ladder, Body("SFC", chart=chart)), actions=(Action("A", ladder),), members=(inner,)
    )
    document = as_json(Copy(program=Program(pous=(pou,))))
    found = [item for item in _dicts(document) if item.get("title") == "start"]
    assert len(found) == 5
    assert all(item["statements"][: len(LISTED)] == LISTED for item in found)
    assert all(item["doubts"] == ["by file order q (1) runs before t1", "1 and 2 may swap"] for item in found)
    assert json.loads(msgspec.json.encode(document)) == document


def test_statements_outside_of_networks_stay_the_model() -> None:
    body = Body("ST", statements=(m.Assign(q, a),))
    copy = Copy(program=Program(pous=(Pou("P", "program", bodies=(body,)),)))
    document = as_json(copy)
    assert document.pop("schema") == "asfound/copy/1"
    assert msgspec.convert(document, Copy) == copy


def _dicts(value: object):
    if isinstance(value, dict):
        yield value
    for item in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from _dicts(item)
