"""Which tests reach which line: a plugin of pytest that writes it down, and what is made of it.

``pytest -p mutation.covering`` writes ``{test: [seconds, {file: [lines]}]}`` to the file that COVERING names.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from heapq import heappop, heappush
from pathlib import Path

import coverage
import pytest

TESTS = Path(__file__).parents[1]
SOURCE = TESTS.parent / "src" / "asfound"
NEAR = ("analysis", "prove", "compare", "answers")
FAR = (
    "test_soundness",
    "test_large_rungs",
    "test_published_evolution",
    "test_ladders",
    "test_shared_pairs",
    "test_pairs_of_one_cycle",
)
"""Left out: slow, or only where the exports of ../shared are."""
CLOSEST = 3
"""Files of tests that are run first, for being about the module."""
Reached = dict[str, tuple[float, dict[str, list[int]]]]


class Covering:
    def __init__(self) -> None:
        self.coverage = coverage.Coverage(data_file=None, source=[str(SOURCE)], config_file=False)
        self.coverage.start()
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item):
        self.coverage.switch_context(item.nodeid)
        began = time.monotonic()
        result = yield
        self.seconds[item.nodeid] = time.monotonic() - began
        self.coverage.switch_context("")
        return result

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if not report.passed:
            self.seconds[report.nodeid] = -1

    def pytest_sessionfinish(self) -> None:
        self.coverage.stop()
        data = self.coverage.get_data()
        found: Reached = {n: (s, {}) for n, s in self.seconds.items() if s >= 0}
        for file in data.measured_files():
            name = Path(file).relative_to(SOURCE).as_posix()
            if not name.startswith(("analysis/", "prove/", "compare/")):
                continue
            for line, contexts in data.contexts_by_lineno(file).items():
                for test in contexts:
                    if test in found:
                        found[test][1].setdefault(name, []).append(line)
        Path(os.environ["COVERING"]).write_text(json.dumps(found), encoding="utf-8")


def pytest_configure(config: pytest.Config) -> None:
    if "COVERING" in os.environ:
        config.pluginmanager.register(Covering())


def environment(**more: str) -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": str(TESTS), "HYPOTHESIS_STORAGE_DIRECTORY": tempfile.gettempdir(), **more}


def reached(jobs: int) -> Reached:
    """For each near test what it reaches; kept in the folder for temporary files as long as nothing changes."""
    source = hashlib.sha256(b"".join(p.read_bytes() for p in sorted(SOURCE.rglob("*.py"))))
    files = [p for folder in NEAR for p in sorted((TESTS / folder).rglob("test_*.py")) if p.stem not in FAR]
    kept = {}
    for file in files:
        digest = source.copy()
        digest.update(str(file).encode() + file.read_bytes())
        kept[file] = Path(tempfile.gettempdir()) / f"asfound-covering-{digest.hexdigest()[:24]}.json"

    def measure(file: Path) -> None:
        command = [sys.executable, "-m", "pytest", "-p", "mutation.covering", "-p", "no:cacheprovider", "-q"]
        done = subprocess.run(
            [*command, "--hypothesis-seed=0", str(file)],
            env=environment(COVERING=str(kept[file])), capture_output=True, text=True, cwd=TESTS.parent, check=False,
        )  # fmt: skip
        assert done.returncode in (0, 5), done.stdout

    missing = [f for f in files if not kept[f].exists()]
    with ThreadPoolExecutor(jobs) as pool:
        list(pool.map(measure, missing))
    found: Reached = {}
    for file in files:
        found |= json.loads(kept[file].read_text(encoding="utf-8"))
    return found


def nearest(found: Reached, file: str, line: int, seconds: float) -> list[str]:
    """The tests that reach a line, for some seconds: those of the files most about its module, the quick ones, then all.

    Of a line that runs at import, in whatever test comes first, the tests that reach anything of its package.
    """
    tests = [t for t, (_, f) in found.items() if line in f.get(file, ())] if line in _called(file) else []
    seconds *= 1 if tests else 2  # few of them look at one row of a table
    package = f"{file.partition('/')[0]}/"
    tests = tests or [t for t, (_, f) in found.items() if any(name.startswith(package) for name in f)]
    about = _about(found, file)
    closest = sorted({_file(t) for t in tests}, key=lambda name: (-about[name], name))[:CLOSEST]
    own = [t for t in tests if _file(t) in closest or _file(t).endswith(f"/test_{Path(file).stem}.py")]
    spent, few = 0.0, dict[str, None]()
    quick = sorted(tests, key=lambda test: (found[test][0], test))
    for share, those in ((1, _different(found, own)), (2, quick), (3, _different(found, tests))):
        for test in those:
            if few and spent + found[test][0] > seconds * share / 3:
                break
            if test not in few:
                spent += found[test][0]
                few[test] = None
    return list(few)


def _different(found: Reached, tests: Iterable[str]) -> Iterator[str]:
    """Each time the test that adds most lines to those before, for its time; then more of a kind."""
    left = set(tests)
    _, known = _masks(found)

    def gain(test: str) -> tuple[float, str]:
        return -(known[test] & ~seen).bit_count() / (found[test][0] + 0.05), test

    while left:
        seen = 0
        waiting = sorted(map(gain, left))
        while waiting:
            worth, test = gain(heappop(waiting)[1])
            if waiting and (worth, test) > waiting[0]:
                heappush(waiting, (worth, test))  # what it adds has become less since it was looked at
                continue
            if not worth:
                break
            seen |= known[test]
            left.discard(test)
            yield test


def _file(test: str) -> str:
    return test.partition("::")[0]


def _about(found: Reached, file: str) -> dict[str, float]:
    """How much of what the tests of a file reach belongs to one module; direct tests reach little else."""
    bits, known = _masks(found)
    module = sum(bit for (name, _), bit in bits.items() if name == file)
    reached: dict[str, int] = {}
    for test, mask in known.items():
        reached[_file(test)] = reached.get(_file(test), 0) | mask
    return {test: (mask & module).bit_count() / (mask.bit_count() or 1) for test, mask in reached.items()}


Masks = tuple[dict[tuple[str, int], int], dict[str, int]]
_MASKS: dict[int, Masks] = {}


def _masks(found: Reached) -> Masks:
    """A bit for each line, and those of the lines that each test reaches."""
    if id(found) not in _MASKS:
        bits: dict[tuple[str, int], int] = {}
        masks: dict[str, int] = {}
        for test, (_, files) in found.items():
            masks[test] = 0
            for pair in ((file, line) for file, reached in files.items() for line in reached):
                masks[test] |= bits.setdefault(pair, 1 << len(bits))
        _MASKS[id(found)] = bits, masks
    return _MASKS[id(found)]


@cache
def _called(file: str) -> frozenset[int]:
    """The lines of a module inside of its functions; the others run at import."""
    tree = ast.parse((SOURCE / file).read_text(encoding="utf-8"))
    bodies = [node.body for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    return frozenset(line for each in bodies for line in range(each[0].lineno, (each[-1].end_lineno or 0) + 1))
