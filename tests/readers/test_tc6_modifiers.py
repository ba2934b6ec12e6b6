"""A modifier on an element where it has no meaning for us is kept and compared, never dropped."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import asfound
from asfound.language.normal import normal_sha256

PROGRAM = Path(__file__).parents[2] / "sample_exports/booster-1/3-as-left-2026/running/program.xml"


@pytest.mark.parametrize("added", ['storage="set"', 'storage="reset"', 'edge="rising"', 'negated="true"'])
@pytest.mark.parametrize("kind", ["inVariable", "contact", "outVariable", "coil"])
def test_an_added_modifier_is_seen(kind: str, added: str) -> None:
    data = PROGRAM.read_bytes().decode("utf-8")
    name = added.partition("=")[0]
    found = next(m for m in re.finditer(rf"<(?:\w+:)?{kind} [^>]*>", data) if added not in m[0])
    element = re.sub(rf' {name}="[^"]*"', "", found[0])[:-1] + f" {added}>"
    changed = data[: found.start()] + element + data[found.end() :]
    assert normal_sha256(asfound.read(changed.encode(), "p.xml")) != normal_sha256(asfound.read(PROGRAM))


@pytest.mark.parametrize("default", ['storage="none"', 'edge="none"', 'negated="false"', 'executionOrderId="0"'])
@pytest.mark.parametrize("kind", ["inVariable", "contact", "outVariable", "coil", "block", "leftPowerRail"])
def test_a_default_written_or_left_out_is_the_same(kind: str, default: str) -> None:
    data = PROGRAM.read_text(encoding="utf-8")
    name = default.partition("=")[0]

    def with_all(attribute: str) -> bytes:
        def change(match: re.Match[str]) -> str:
            found = re.search(rf' {name}="([^"]*)"', match[0])
            if found and f'{name}="{found[1]}"' != default:
                return match[0]
            return re.sub(rf' {name}="[^"]*"', "", match[0])[:-1] + attribute + ">"

        return re.sub(rf"<(?:\w+:)?{kind} [^>]*>", change, data).encode()

    written, left_out = with_all(f" {default}"), with_all("")
    assert written != left_out
    assert normal_sha256(asfound.read(written, "p.xml")) == normal_sha256(asfound.read(left_out, "p.xml"))


CHART = (PROGRAM.parents[3] / "screens-1/3-as-left-2026/running/program.xml").read_text(encoding="utf-8")


def unknown(value: str) -> str:
    """Extension data that nobody knows."""
    return f'<addData><data name="urn:x" handleUnknown="discard"><Own v="{value}"/></data></addData>'


def with_data(action: str, block: str, *, wired: bool, actions: bool = True) -> bytes:
    """A sample's chart with one more action block, unknown data in its action and in the block itself."""
    end = re.search(r"</(\w+:)?SFC>", CHART)
    step = re.search(r'<(?:\w+:)?step [^>]*localId="(\d+)"', CHART)
    assert end and step
    inside = f'<action localId="0" qualifier="N"><reference name="Horn"/>{action}</action>' if actions else ""
    wire = f'<connection refLocalId="{step[1]}"/>' if wired else ""
    more = f'<actionBlock localId="99001"><connectionPointIn>{wire}</connectionPointIn>{inside}{block}</actionBlock>'
    if end[1]:
        more = re.sub(r"<(/?)(?=\w)", rf"<\1{end[1]}", more)
    return (CHART[: end.start()] + more + CHART[end.start() :]).encode()


@pytest.mark.parametrize("wired", [True, False], ids=["of a step", "of no step"])
@pytest.mark.parametrize("actions", [True, False], ids=["with an action", "without actions"])
def test_unknown_data_of_an_action_block_is_seen(actions: bool, wired: bool) -> None:
    one, two = (asfound.read(with_data("", unknown(v), actions=actions, wired=wired), "p.xml") for v in "12")
    assert normal_sha256(one) != normal_sha256(two)


@pytest.mark.parametrize("wired", [True, False], ids=["of a step", "of no step"])
def test_unknown_data_of_an_action_is_seen_beside_that_of_its_block(wired: bool) -> None:
    one, two = (asfound.read(with_data(unknown(v), unknown("block"), wired=wired), "p.xml") for v in "12")
    assert normal_sha256(one) != normal_sha256(two)
