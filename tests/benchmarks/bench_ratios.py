"""What every step costs, as ratios: ``python -m pytest tests/benchmarks/bench_ratios.py [--sizes 1,10,50,100]``.

Each step is a whole process of its own, for what a person waits for is the process with its imports. Beside each
stands the same work by others, in the same run: bare lxml parsing of the files, deepdiff on the parsed trees, xmldiff,
and ``git diff --no-index``. pytest-benchmark times the clock and keeps what it measured (``--benchmark-json FILE``);
processor time and peak memory are what the operating system counted, and the ratios in the tables at the end
(conftest.py) are of processor time, which other work on the machine disturbs least. Linux and macOS only.

The slow yardsticks are left out above ``--slow`` MB. Sizes are MB of made-up projects (see projects.py); the two real
exports are the largest of ``../shared/corpus``, or those of ``--export OLD,NEW``.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest
from processes import Cost, run
from projects import EDITIONS, project

pytest.importorskip("pytest_benchmark", reason="pip install -e '.[dev,benchmark]'")

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
SLOW = ("deepdiff", "xmldiff")
OF_PAIRS = ("lxml", *SLOW, "git diff", "compare", "report")
OF_ONE = ("lxml", "reading", "normal form", "store", "history")


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """One test for each size and step, in the order of the tables."""
    sizes = [int(word) for word in metafunc.config.getoption("--sizes").split(",") if word]
    slow = metafunc.config.getoption("--slow")
    if "edition" in metafunc.fixturenames:
        cases = [
            (size, edition, step)
            for size in sizes
            for edition in EDITIONS
            for step in OF_PAIRS
            if step not in SLOW or (size <= slow and edition != "old" and known(step))
        ]
        metafunc.parametrize(("size", "edition", "step"), cases)
    elif "size" in metafunc.fixturenames:
        metafunc.parametrize(("size", "step"), [(size, step) for size in sizes for step in OF_ONE])
    elif "step" in metafunc.fixturenames:
        metafunc.parametrize("step", [step for step in OF_PAIRS if known(step)])


def known(step: str) -> bool:
    """xmldiff is asked for only where it is installed."""
    return step != "xmldiff" or importlib.util.find_spec("xmldiff") is not None


@pytest.fixture(scope="module")
def exports(tmp_path_factory: pytest.TempPathFactory):
    """Made-up projects, each written once, by a process of its own (see Cost.peak)."""
    folder = tmp_path_factory.mktemp("projects")

    def made(size: int, edition: str) -> Path:
        path = folder / f"{size}-{edition}.xml"
        if not path.exists():
            script = str(Path(__file__).with_name("projects.py"))
            run([sys.executable, script, str(size), edition, str(path)], 900, (0,))
        return path

    return made


def command(step: str, files: list[Path], folder: Path) -> list[str]:
    """The process that does a step."""
    paths = [str(file) for file in files]
    if step in STEPS:
        return [sys.executable, "-c", STEPS[step], *paths]
    return {
        "git diff": ["git", "diff", "--no-index", *paths],
        "compare": [*ASFOUND, "compare", "-q", *paths],
        "report": [*ASFOUND, "compare", "-q", *paths, "--html", str(folder / "page.html")],
        "store": [*ASFOUND, "store", str(folder / "a.git"), "b", "--moment=routine", "--running", paths[0], "--by=A"],
        "history": [*ASFOUND, "history", f"{folder / 'a.git'}:b"],
    }[step]


@pytest.fixture
def measure(benchmark, request: pytest.FixtureRequest):
    """Run a step once, as pytest-benchmark does it; its cost goes into the table of that title."""

    def measured(title: str, step: str, files: list[Path], folder: Path) -> Cost | None:
        limit = request.config.getoption("--limit")
        if step in ("store", "history"):
            run([*ASFOUND, "init", str(folder / "a.git")], limit, (0,))
        if step == "history":
            run(command("store", files, folder), limit, (0,))
        benchmark.group = title
        cost = benchmark.pedantic(run, (command(step, files, folder), limit), rounds=1)
        size = sum(file.stat().st_size for file in files) / 1e6
        benchmark.extra_info.update(step=step, megabytes=size, cost=cost and cost._asdict())
        request.config.tables.setdefault((title, size), {})[step] = cost
        return cost

    return measured


def test_start(benchmark, request: pytest.FixtureRequest) -> None:
    """``asfound --version`` beside an empty Python, taking turns, for both are short."""
    pairs = [(run([sys.executable, "-c", "pass"], 60), run([*ASFOUND, "--version"], 60)) for _ in range(9)]
    benchmark.pedantic(run, ([*ASFOUND, "--version"], 60), rounds=1)
    ratios = sorted(ours.seconds / empty.seconds for empty, ours in pairs[2:] if ours and empty)
    request.config.starts = ratios[len(ratios) // 2]
    assert ratios


def test_real_exports(measure, step: str, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    """Two real exports, the older first."""
    named = request.config.getoption("--export")
    sizes = sorted(CORPUS.rglob("*.xml"), key=lambda p: (p.stat().st_size, p.name)) if CORPUS.is_dir() else []
    files = [Path(word) for word in named.split(",")] if named else sizes[-2:]
    if len(files) != 2:
        pytest.skip("no real exports here; name two with --export OLD,NEW")
    assert measure("two real exports", step, files, tmp_path)


def test_one_export(measure, exports, size: int, step: str, tmp_path: Path) -> None:
    """Reading, normal form, store, history."""
    assert measure(f"{size} MB, one export", step, [exports(size, "old")], tmp_path)


def test_two_exports(measure, exports, size: int, edition: str, step: str, tmp_path: Path) -> None:
    """Comparison and report of identical exports, of one changed contact, and of many changes."""
    words = {"old": "identical", "small": "small change", "large": "large change"}
    files = [exports(size, "old"), exports(size, edition)]
    cost = measure(f"{size} MB, {words[edition]}", step, files, tmp_path)
    assert cost or step in SLOW


def test_the_made_up_projects_are_what_they_say() -> None:
    """The editions differ, and the size is about right; else every number above would mean nothing."""
    made = [project(1_000_000, edition) for edition in EDITIONS]
    assert len(set(made)) == len(EDITIONS) and all(0.8e6 < len(data) < 1.2e6 for data in made)
