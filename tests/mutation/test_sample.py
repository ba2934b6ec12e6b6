"""A sample of random breaks at every run of the tests: the tests beside a module notice them.

``PYTHONPATH=tests python -m mutation 60 --seed 1`` tries more, over all modules.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from mutation.__main__ import copied, killer
from mutation.breaks import chosen
from mutation.covering import SOURCE, TESTS

NEAREST = {
    "analysis/canonical.py": ("analysis/test_keys.py", "analysis/test_guards.py", "compare/test_wording.py"),
    "compare/pairing/alignment.py": ("compare/test_alignment.py",),
}


@pytest.fixture(scope="module")
def package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copied(str(tmp_path_factory.mktemp("broken") / "src"))


@pytest.mark.parametrize("module", NEAREST)
def test_random_breaks_are_noticed(module: str, package: Path) -> None:
    tests = [str(TESTS / name) for name in NEAREST[module]]
    survived = [each for each in chosen(SOURCE, [module], "2", 3) if not killer(package, each, tests, 60)]
    assert survived == []


def test_a_break_changes_its_line_and_hangs_on_the_seed() -> None:
    one, other = (chosen(SOURCE, ["analysis/signs.py"], seed, 5) for seed in "12")
    assert one == chosen(SOURCE, ["analysis/signs.py"], "1", 5) != other
    source = (SOURCE / "analysis/signs.py").read_text(encoding="utf-8")
    assert all(each.broken(source) != source for each in one)
