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
