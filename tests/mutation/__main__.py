"""``PYTHONPATH=tests python -m mutation COUNT [--seed N] [--in FOLDER ...]``: killed or survived, for each break."""

from __future__ import annotations

import argparse
import difflib
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue

from mutation.breaks import Break, chosen
from mutation.covering import SOURCE, TESTS, environment, nearest, reached

FOLDERS = ("analysis", "prove", "compare")
SECONDS, TIMEOUT = 120, 300
"""Of tests for one break, and until it counts as a loop without end."""


def copied(folder: str) -> Path:
    """A copy of the package with what Python compiled of it; the checkout is never touched."""
    package = Path(folder) / "asfound"
    shutil.copytree(SOURCE, package)
    return package


def killer(package: Path, each: Break, tests: Sequence[str], timeout: int = TIMEOUT) -> str:
    """What notices the break; nothing when all these tests pass."""
    original, target = SOURCE / each.file, package / each.file
    target.write_text(each.broken(original.read_text(encoding="utf-8")), encoding="utf-8")
    named = package.parent / "tests.txt"
    named.write_text("\n".join(tests), encoding="utf-8")
    path = {"PYTHONPATH": f"{package.parent}:{TESTS}", "PYTHONDONTWRITEBYTECODE": "1"}
    command = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0", "--tb=no"]
    try:
        done = subprocess.run(
            [*command, f"@{named}"], env=environment(**path), capture_output=True, text=True, cwd=TESTS.parent,
            timeout=timeout, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        return "time"
    finally:
        shutil.copy2(original, target)
    failed = [line for line in done.stdout.splitlines() if line.startswith(("FAILED", "ERROR tests"))]
    if done.returncode not in (0, 1, 2) and not failed:  # a module that fails at import leaves no test to run
        raise RuntimeError(done.stdout + done.stderr)
    return "" if not done.returncode else (failed or ["?"])[0]


def difference(each: Break) -> str:
    """The lines of a break, before and after."""
    source = (SOURCE / each.file).read_text(encoding="utf-8")
    lines = difflib.unified_diff(source.splitlines(), each.broken(source).splitlines(), n=0, lineterm="")
    return "\n".join(f"    {line}" for line in lines if not line.startswith(("---", "+++", "@@")))


def main(arguments: Sequence[str]) -> int:
    parser = argparse.ArgumentParser(prog="mutation", description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", default="1")
    parser.add_argument(
        "--in", dest="folders", nargs="+", default=FOLDERS, help="folders or files, as analysis/signs.py"
    )
    parser.add_argument("--jobs", type=int, default=2)
    asked = parser.parse_args(arguments)
    breaks = chosen(SOURCE, asked.folders, asked.seed, asked.count)
    found = reached(asked.jobs)
    packages: SimpleQueue[Path] = SimpleQueue()
    survived = 0
    with tempfile.TemporaryDirectory(prefix="asfound-mutation-") as folder, ThreadPoolExecutor(asked.jobs) as pool:
        for n in range(asked.jobs):
            packages.put(copied(f"{folder}/{n}/src"))

        def judged(each: Break) -> tuple[Break, int, str]:
            tests = nearest(found, each.file, each.line, SECONDS)
            if not tests:
                return each, 0, ""
            package = packages.get()
            try:
                return each, len(tests), killer(package, each, tests)
            finally:
                packages.put(package)

        for at, (each, tests, by) in enumerate(pool.map(judged, breaks), 1):
            survived += not by
            print(
                f"{at} {'killed' if by else 'SURVIVED'} {each.file}:{each.line} {each.what} [{by[:90] or f'{tests} tests'}]"
            )
            if not by:
                print(difference(each))
            sys.stdout.flush()
    print(f"{len(breaks)} breaks, seed {asked.seed}: {len(breaks) - survived} killed, {survived} survived")
    return 1 if survived else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
