"""A sample of random breaks at every run of the tests: the tests beside a module notice them.

``PYTHONPATH=tests python -m mutation 60 --seed 1`` tries more, over all modules.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from mutation.__main__ import copied, killer
from mutation.breaks import chosen
from mutation.covering import SOURCE, TESTS, Reached, _called, nearest

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


def test_the_files_that_are_most_about_a_module_are_run_first() -> None:
    module, far = "analysis/signs.py", {"compare/comparison.py": list(range(100))}
    line = min(_called(module))
    found: Reached = {f"tests/test_{n}.py::test": (0.1, {module: [line]}) for n in range(3)}
    found |= {f"tests/test_far_{n}.py::test": (0.1, {module: [line], **far}) for n in range(5)}
    found["tests/test_elsewhere.py::test"] = 0.1, far
    chosen_tests = nearest(found, module, line, 60)
    assert set(chosen_tests[:3]) == {f"tests/test_{n}.py::test" for n in range(3)}
    assert len(chosen_tests) == 8
