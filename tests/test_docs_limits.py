"""The table of limits in DEVELOPERS.md holds every limit, and its value."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ROWS = re.findall(r"^\| .* \| ([\d,]+) \| `([\w.]+)\.(MAX_\w+)` \|$", (ROOT / "DEVELOPERS.md").read_text("utf-8"), re.M)


@pytest.mark.parametrize(("value", "module", "constant"), ROWS, ids=[row[2] for row in ROWS])
def test_a_limit_has_the_value_it_is_said_to_have(value: str, module: str, constant: str) -> None:
    assert getattr(importlib.import_module(f"asfound.{module}"), constant) == int(value.replace(",", ""))


def test_no_limit_of_a_reader_is_missing() -> None:
    defined = {
        (".".join(path.relative_to(ROOT / "src/asfound").with_suffix("").parts), name)
        for path in (ROOT / "src/asfound/readers").rglob("*.py")
        for name in re.findall(r"^(MAX_\w+) = ", path.read_text("utf-8"), re.M)
    }
    assert defined <= {(module, constant) for _, module, constant in ROWS}
