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
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path

import coverage
import pytest

TESTS = Path(__file__).parents[1]
SOURCE = TESTS.parent / "src" / "asfound"
NEAR = ("analysis", "prove", "compare")
FAR = (
    "test_soundness",
    "test_large_rungs",
    "test_published_evolution",
    "test_ladders",
    "test_shared_pairs",
    "test_pairs_of_one_cycle",
)
"""Left out: slow, or only where the exports of ../shared are."""
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
    """The tests that reach a line, for some seconds: in turns from every file of tests, its most special first.

    Tests of one file notice much the same. Of a line that runs at import, in whatever test comes first, the quickest
    tests that reach its module.
    """
    lines = {t: set(f[file]) for t, (_, f) in found.items() if file in f}
    tests = [t for t, reached in lines.items() if line in reached] if line in _called(file) else []
    if tests:
        weight = {t: found[t][0] * 200 + sum(map(len, found[t][1].values())) for t in tests}
        by_file: dict[str, list[str]] = {}
        for test in sorted(tests, key=lambda t: (weight[t], t)):
            by_file.setdefault(test.partition("::")[0], []).append(test)
        turns = {test: turn for those in by_file.values() for turn, test in enumerate(those)}
        tests.sort(key=lambda t: (turns[t], weight[t], t))
    else:
        tests = sorted(lines, key=lambda t: (found[t][0], t))
    spent: float = 0
    few: list[str] = []
    for test in tests:
        spent += found[test][0]
        if spent > seconds and few:
            break
        few.append(test)
    return few


@cache
def _called(file: str) -> frozenset[int]:
    """The lines of a module inside of its functions; the others run at import."""
    tree = ast.parse((SOURCE / file).read_text(encoding="utf-8"))
    bodies = [node.body for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)]
    return frozenset(line for each in bodies for line in range(each[0].lineno, (each[-1].end_lineno or 0) + 1))
