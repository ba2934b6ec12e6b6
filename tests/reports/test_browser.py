"""The page in a real browser, without network."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from asfound.reports import html

from .sample import BRIDGED, CHANGES, INTERLOCK, NEW, OLD, comparison

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = pytest.mark.skipif(BROWSER is None, reason="no browser")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--hide-scrollbars"]
FLAGS += ["--disable-background-networking", "--disable-component-update", "--disable-sync", "--window-size=1280,2200"]
PROBE = """<script>addEventListener('load', () => {
  const boxes = [...document.querySelectorAll('svg.ladder')].map(e => e.getBoundingClientRect());
  const hit = [...document.querySelectorAll('svg.ladder text')].filter(t => {
    const box = t.getBBox(), view = t.ownerSVGElement.viewBox.baseVal;
    return box.x < view.x || box.x + box.width > view.x + view.width || box.y < view.y - 1;
  });
  document.title = JSON.stringify({
    changes: document.querySelectorAll('article.change').length,
    drawings: boxes.length,
    smallest: Math.min(...boxes.map(b => Math.min(b.width, b.height))),
    cut: hit.map(t => t.textContent),
    requests: performance.getEntriesByType('resource').length,
    overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    milliseconds: Math.round(performance.now()),
  });
});</script>"""


def run(folder: Path, text: str, *flags: str) -> str:
    page = folder / "page.html"
    page.write_text(text, encoding="utf-8", newline="\n")
    command = [str(BROWSER), *FLAGS, f"--user-data-dir={folder / 'profile'}", *flags, page.as_uri()]
    done = subprocess.run(command, capture_output=True, timeout=120, check=True)
    return done.stdout.decode("utf-8")


def probed(folder: Path, text: str, *flags: str) -> dict[str, Any]:
    """What a script sees in the page; the page's own policy forbids scripts and is taken out for this."""
    open_page = re.sub(r"<meta http-equiv[^>]*>", "", text).replace("</body>", f"{PROBE}</body>")
    dom = run(folder, open_page, "--dump-dom", *flags)
    found: dict[str, Any] = json.loads(re.findall(r"<title>(\{.*?\})</title>", dom)[0].replace("&amp;", "&"))
    return found


@pytest.fixture(scope="module")
def page() -> str:
    return html.write(comparison(), OLD, NEW, title="Booster station 1")


def test_page_loads_as_written(tmp_path: Path, page: str) -> None:
    dom = run(tmp_path, page, "--dump-dom")
    assert dom.count("<article") == len(CHANGES)
    assert "<title>Booster station 1</title>" in dom


def test_drawings_have_a_size_nothing_is_cut_and_nothing_is_requested(tmp_path: Path, page: str) -> None:
    found = probed(tmp_path, page)
    assert found["changes"] == len(CHANGES)
    assert found["drawings"] == 12
    assert found["smallest"] > 20
    assert found["cut"] == []
    assert found["requests"] == 0
    assert found["overflow"] <= 0


def test_page_fits_a_phone(tmp_path: Path, page: str) -> None:
    found = probed(tmp_path, page.replace("<main>", '<main style="width:420px">'), "--window-size=500,900")
    assert found["overflow"] <= 0


def test_two_hundred_changed_rungs(tmp_path: Path) -> None:
    changes = tuple(
        {**CHANGES[0], "where": f"PumpControl / rung {n}", "path": ("PumpControl", f"network:{n}"),
         "before": INTERLOCK, "after": BRIDGED}
        for n in range(1, 201)
    )  # fmt: skip
    text = html.write(comparison(changes), OLD, NEW)
    assert len(text) < 3_000_000
    found = probed(tmp_path, text)
    assert (found["changes"], found["drawings"]) == (200, 400)
    assert found["milliseconds"] < 15_000


def test_print_makes_a_pdf(tmp_path: Path, page: str) -> None:
    run(tmp_path, page, f"--print-to-pdf={tmp_path / 'page.pdf'}")
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF-")
