"""In data that nobody knows, a name that is noise in a drawing may mean anything."""

from __future__ import annotations

import pytest
from tc6_documents import added, pou, text, verdict

PLACES = {
    "a POU": lambda d: {"pous": pou(body=text("") + d)},
    "the project": lambda d: {"data": d.removeprefix("<addData>").removesuffix("</addData>")},
    "a resource": lambda d: {"configuration": f'<resource name="R">{d}</resource>'},
    "a rail": lambda d: {
        "pous": pou(
            body=f'<body><LD><leftPowerRail localId="1" width="1" height="2"><position x="1" y="2"/>{d}</leftPowerRail>'
            "</LD></body>"
        )
    },
}
DATA = {
    "width": '<bus width="{}"/>',
    "height": '<tank height="{}"/>',
    "localId": '<node localId="{}"/>',
    "position": '<axis><position x="{}"/></axis>',
    "relPosition": "<axis><relPosition>{}</relPosition></axis>",
    "executionOrderId": '<call executionOrderId="{}"/>',
    "rightPowerRail": '<rightPowerRail own="{}"/>',
    "connectionPointOut": '<connectionPointOut formalParameter="{}"/>',
    "coordinateInfo": "<contentHeader><coordinateInfo>{}</coordinateInfo></contentHeader>",
    "inline": '<inline name="{}"/>',
}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("what", DATA)
def test_a_value_in_unknown_data_is_seen_whatever_it_is_called(what: str, place: str) -> None:
    old, new = (PLACES[place](added("own", DATA[what].format(n))) for n in (1, 2))
    assert verdict(old, new) == "undecided"


@pytest.mark.parametrize("name", ["value", "variable", "range", "p"])
def test_an_empty_element_in_unknown_data_is_seen(name: str) -> None:
    old, new = ({"pous": pou(body=text("") + added("own", d))} for d in ("<own/>", f"<own><{name}/></own>"))
    assert verdict(old, new) == "undecided"


def test_the_identity_of_an_object_is_noise_wherever_it_stands() -> None:
    old, new = ({"pous": pou(body=text("") + added("objectid", f"<ObjectId>{n}</ObjectId>"))} for n in "12")
    assert verdict(old, new) == "noise"
