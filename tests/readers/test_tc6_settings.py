"""Named values in extension data keep the link between name and value."""

from __future__ import annotations

import pytest

import asfound

URI = "http://example.org/plcopenxml/libraries"
SHAPES = {
    "attributes": '<Parameter Name="{}" Value="{}"/>',
    "elements": "<Parameter><Name>{}</Name><Value>{}</Value></Parameter>",
    "text": '<Parameter Name="{}">{}</Parameter>',
    "no name of its own": "<Entry><Key>{}</Key><Is>{}</Is></Entry>",
}


def library(shape: str, *pairs: tuple[str, str]) -> asfound.Copy:
    parameters = "".join(SHAPES[shape].format(*pair) for pair in pairs)
    text = (
        '<project xmlns="http://www.plcopen.org/xml/tc6_0200"><types><dataTypes/><pous/></types>'
        f'<addData><data name="{URI}" handleUnknown="implementation"><Libraries><Library Name="L" '
        f'DefaultResolution="1"><Parameters>{parameters}</Parameters></Library></Libraries></data></addData></project>'
    )
    return asfound.read(text.encode(), "p.xml")


@pytest.mark.parametrize("shape", SHAPES)
def test_two_library_parameters_that_swap_their_values_are_no_other_way_of_writing(shape: str) -> None:
    old, new = library(shape, ("MaxA", "1"), ("MaxB", "2")), library(shape, ("MaxA", "2"), ("MaxB", "1"))
    result = asfound.compare(old, new)
    assert result.verdict == "undecided"
    assert "library L" in result.changes[0].summary


@pytest.mark.parametrize("shape", ["attributes", "elements", "text"])
def test_the_order_of_named_parameters_says_nothing(shape: str) -> None:
    old, new = library(shape, ("MaxA", "1"), ("MaxB", "2")), library(shape, ("MaxB", "2"), ("MaxA", "1"))
    assert asfound.compare(old, new).verdict in ("noise", "documentation")
