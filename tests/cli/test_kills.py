"""Killed commands: ``kills.py`` beside this file, for a short while."""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

import kills
import pytest

QUICK = ("compare --html", "attest --key", "restore", "key new", "init")


@pytest.mark.skipif(sys.platform == "win32", reason="kills process groups")
def test_whatever_is_killed_nothing_is_half_and_the_next_command_needs_nobody(tmp_path: Path) -> None:
    chance, left = random.Random(14), Counter[str]()
    cases = [one for one in kills.CASES if one.name in QUICK]
    assert len(cases) == len(QUICK)
    kills.plant(tmp_path)
    for one in cases * 2:
        kills.survive(one, tmp_path, chance.uniform(0, 0.03), left, writing=True)
    assert left["with something hidden"] > 2, left
