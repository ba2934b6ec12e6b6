"""Pairs of exports, each named after its difficulty: the smallest case of something that was once told wrongly.

``old`` and ``new`` are files of any suffix or folders. ``expected.txt``: the verdict, then words that must stand in the changes, one phrase a line.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound

PAIRS = sorted(p.parent for p in Path(__file__).parent.glob("*/expected.txt"))


@pytest.mark.parametrize("folder", PAIRS, ids=lambda p: p.name)
def test_pair(folder: Path) -> None:
    old, new = (asfound.read(next(folder.glob(f"{side}*"))) for side in ("old", "new"))
    verdict, *phrases = (folder / "expected.txt").read_text(encoding="utf-8").splitlines()
    found = asfound.compare(old, new)
    said = "\n".join("\n".join((c.where, c.summary, *c.details)) for c in found.changes)
    assert found.verdict == verdict, said
    assert [p for p in phrases if p not in said] == [], said
