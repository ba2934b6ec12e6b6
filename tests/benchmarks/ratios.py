"""What every step costs, as ratios: ``python tests/benchmarks/ratios.py [--sizes 1 10 50 100] [--export FILE FILE]``.

Each step is a whole process of its own; its processor time (user and system) and peak memory are what the operating
system counted for it (``wait4``: Linux and macOS); what is measured is made in processes of their own, for a peak
never counts as less than that of the process that starts another. Beside each stands the same work by others, in the same run: bare
lxml parsing of both files, deepdiff on the parsed trees, xmldiff (``pip install -e '.[benchmark]'``) and ``git diff
--no-index``. The slow two are left out above ``--slow`` MB. Sizes are MB of made-up projects (see projects.py);
``--export`` measures two real exports as well; without it the two largest of ``../shared/corpus``, if it is there.

No pytest-benchmark here: it times calls inside one process, and what a person waits for is the process with its imports.
"""

from __future__ import annotations

import argparse
import importlib.util
import os
import subprocess
import sys
import tempfile
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from projects import EDITIONS

ASFOUND = [sys.executable, "-m", "asfound"]
CORPUS = Path(__file__).parents[3] / "shared" / "corpus"
PLAIN = """
def plain(e):
    return {"tag": str(e.tag), "attributes": dict(e.attrib), "text": (e.text or "").strip(), "children": list(map(plain, e))}
"""
LOAD = "import sys; from lxml import etree; trees = [etree.parse(p, etree.XMLParser(huge_tree=True)).getroot() for p in sys.argv[1:]]\n"
STEPS = {
    "lxml": LOAD,
    "deepdiff": f"{LOAD}{PLAIN}from deepdiff import DeepDiff; DeepDiff(*map(plain, trees))",
    "xmldiff": "import sys; from xmldiff import main; main.diff_files(*sys.argv[1:])",
    "reading": "import sys, asfound; asfound.read(sys.argv[1])",
    "normal form": "import sys, asfound; from asfound.language.normal import normal_form; normal_form(asfound.read(sys.argv[1]))",
}


class Cost(NamedTuple):
    """Processor seconds and peak MB of one process (of its largest child, if that is larger)."""

    seconds: float
    peak: float


def run(command: list[str], limit: float, good: tuple[int, ...] = (0, 1)) -> Cost | None:
    """Run a process to its end; None when it takes longer than ``limit`` seconds of the clock. Raises on failure."""
    with tempfile.TemporaryFile() as said:
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=said)
        timer = threading.Timer(limit, process.kill)
        timer.start()
        _, status, used = os.wait4(process.pid, 0)
        timer.cancel()
        code = process.returncode = os.waitstatus_to_exitcode(status)
        said.seek(0)
        if code not in good and code >= 0:
            raise SystemExit(f"{' '.join(command[:4])} ... ended with {code}: {said.read(500)!r}")
    unit = 1 if sys.platform == "darwin" else 1024
    return Cost(used.ru_utime + used.ru_stime, used.ru_maxrss * unit / 1e6) if code >= 0 else None


def pair(old: Path, new: Path, names: list[str], limit: float) -> Iterator[tuple[str, Cost | None]]:
    """What two exports cost: the yardsticks named, and the comparison with and without a page."""
    files = [str(old), str(new)]
    for name in names:
        if name != "xmldiff" or importlib.util.find_spec(name):
            yield name, run([sys.executable, "-c", STEPS[name], *files], limit)
    yield "git diff", run(["git", "diff", "--no-index", *files], limit)
    yield "compare", run([*ASFOUND, "compare", "-q", *files], limit)
    yield "report", run([*ASFOUND, "compare", "-q", *files, "--html", str(old.parent / "page.html")], limit)


def single(path: Path, folder: Path, limit: float) -> Iterator[tuple[str, Cost | None]]:
    """What one export costs: reading, normal form, store and history."""
    for name in ("reading", "normal form"):
        yield name, run([sys.executable, "-c", STEPS[name], str(path)], limit, (0,))
    archive = folder / f"{path.stem}.git"
    run([*ASFOUND, "init", str(archive)], limit, (0,))
    stored = ["--moment", "routine", "--running", str(path), "--by", "A"]
    yield "store", run([*ASFOUND, "store", str(archive), "b", *stored], limit, (0,))
    yield "history", run([*ASFOUND, "history", f"{archive}:b"], limit, (0,))


def told(title: str, costs: list[tuple[str, Cost | None]], size: float) -> None:
    """Rows of one table; ``size`` is MB of input; ratios are to the yardsticks among the rows."""
    known = dict(costs)
    yards = [n for n in ("lxml", "git diff", "deepdiff", "xmldiff") if known.get(n)]
    print(f"\n{title} ({size:.2f} MB of input)")
    print(f"{'':12} {'s':>8} {'MB':>7} {'(MB-80)/input':>14}" + "".join(f" {'/ ' + n:>11}" for n in yards))
    for name, cost in costs:
        if cost is None:
            print(f"{name:12} longer than the limit")
            continue
        ratios = "".join(f" {cost.seconds / max(known[n].seconds, 0.001):11.3f}" for n in yards)  # type: ignore[union-attr]
        print(f"{name:12} {cost.seconds:8.2f} {cost.peak:7.0f} {(cost.peak - 80) / size:14.1f}{ratios}", flush=True)


def exports(given: list[Path] | None) -> list[Path]:
    """The two real exports to measure, the older first; none when there are none."""
    if given:
        return given
    return sorted(CORPUS.rglob("*.xml"), key=lambda p: (p.stat().st_size, p.name))[-2:] if CORPUS.is_dir() else []


def measure(sizes: list[int], slow: int, limit: float, folder: Path) -> None:
    """Tables of the made-up projects."""
    for size in sizes:
        files = {edition: folder / f"{size}-{edition}.xml" for edition in EDITIONS}
        for edition, path in files.items():
            run(
                [sys.executable, str(Path(__file__).with_name("projects.py")), str(size), edition, str(path)],
                limit,
                (0,),
            )
        real = files["old"].stat().st_size / 1e6
        told(f"{size} MB, one export", list(single(files["old"], folder, limit)), real)
        for word, new in (
            ("identical", files["old"]),
            ("small change", files["small"]),
            ("large change", files["large"]),
        ):
            names = ["lxml", "deepdiff", "xmldiff"] if size <= slow and word != "identical" else ["lxml"]
            told(f"{size} MB, {word}", list(pair(files["old"], new, names, limit)), 2 * real)
        for path in files.values():
            path.unlink()


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sizes", type=int, nargs="*", default=[1, 10, 50, 100])
    parser.add_argument("--export", type=Path, nargs=2)
    parser.add_argument("--slow", type=int, default=1, help="MB up to which deepdiff and xmldiff run")
    parser.add_argument("--limit", type=float, default=900, help="seconds of one step")
    given = parser.parse_args()
    print(
        "load of the machine when it begins:", *(f"{each:.1f}" for each in os.getloadavg()), f"{os.cpu_count()} cores"
    )
    starts = [(run([sys.executable, "-c", "pass"], 60), run([*ASFOUND, "--version"], 60)) for _ in range(7)]
    ratios = sorted(ours.seconds / empty.seconds for empty, ours in starts[1:] if ours and empty)
    print(f"start-up: {ratios[len(ratios) // 2]:.1f} times an empty Python")
    with tempfile.TemporaryDirectory() as folder:
        if real := exports(given.export):
            copies = [Path(folder) / f"{n}-real.xml" for n in range(2)]
            for copy, path in zip(copies, real, strict=True):
                copy.write_bytes(path.read_bytes())
            size = sum(path.stat().st_size for path in real) / 1e6
            told("two real exports", list(pair(*copies, ["lxml", "deepdiff", "xmldiff"], given.limit)), size)
        measure(given.sizes, given.slow, given.limit, Path(folder))


if __name__ == "__main__":
    main()
