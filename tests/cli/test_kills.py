"""Killed commands: ``kills.py`` beside this file, for a short while."""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

import kills
import pytest

QUICK = ("compare --html", "attest --key", "restore", "key new", "init")
MOST = 12
"""Rounds over these commands at most, of which two or three are enough on most machines."""


@pytest.mark.skipif(sys.platform == "win32", reason="kills process groups")
def test_whatever_is_killed_nothing_is_half_and_the_next_command_needs_nobody(tmp_path: Path) -> None:
    chance, left = random.Random(14), Counter[str]()
    cases = [one for one in kills.CASES if one.name in QUICK]
    assert len(cases) == len(QUICK)
    kills.plant(tmp_path)
    for at in range(MOST):
        for one in cases:
            kills.survive(one, tmp_path, chance.uniform(0, 0.03), left, writing=True)
        if at > 0 and left["with something hidden"] > 2:  # how many hit the middle depends on the machine
            return
    raise AssertionError(f"too few of the kills hit a command at its work: {left}")
