"""Both pages of a hand-over in a real browser: nothing leaves the file, and everybody can read and reach all of it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from asfound.reports import html
from reports.sample import NEW, OLD, comparison
from reports.test_browser import BROWSER, run

pytestmark = pytest.mark.skipif(BROWSER is None, reason="no browser")
PROBE = """<script>addEventListener('load', () => {
  const parse = c => (c.match(/[\\d.]+/g) || [0, 0, 0, 0]).map(Number);
  const light = c => parse(c).slice(0, 3).map(v => v / 255).map(v => v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4)
    .reduce((sum, v, at) => sum + v * [.2126, .7152, .0722][at], 0);
  const ground = e => { for (; e; e = e.parentElement) {
    const c = getComputedStyle(e).backgroundColor, p = parse(c); if (p.length < 4 || p[3] > 0) return c; } return 'rgb(255,255,255)'; };
  let worst = 21, where = '';
  for (const e of document.querySelectorAll('body *')) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!own || e.closest('script, title, desc, .hidden, .skip')) continue;
    const style = getComputedStyle(e), ink = e.ownerSVGElement ? style.fill : style.color;
    const [a, b] = [light(ink), light(ground(e))].sort((x, y) => y - x), ratio = (a + .05) / (b + .05);
    if (ratio < worst) { worst = ratio; where = e.textContent.slice(0, 40); }
  }
  const reachable = [...document.querySelectorAll('a[href], summary, [tabindex]')];
  const scrolling = [...document.querySelectorAll('*')].filter(e => e.scrollWidth > e.clientWidth + 1
    && ['auto', 'scroll'].includes(getComputedStyle(e).overflowX) && e.tabIndex < 0);
  const dead = [...document.querySelectorAll('a[href^="#"]')].filter(a => !document.getElementById(a.hash.slice(1)));
  document.title = JSON.stringify({ worst, where, reachable: reachable.length,
    first: document.querySelector('a').className, unreachable: scrolling.length, dead: dead.map(a => a.hash),
    requests: performance.getEntriesByType('resource').length,
    overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth });
});</script>"""


def probed(folder: Path, text: str, *flags: str) -> dict[str, Any]:
    """What a script sees; the page's own policy forbids scripts and is taken out for this."""
    opened = re.sub(r"<meta http-equiv[^>]*>", "", text).replace("</body>", f"{PROBE}</body>")
    dom = run(folder, opened, "--dump-dom", *flags)
    title = re.findall(r"<title>(\{.*?\})</title>", dom)[0]
    found: dict[str, Any] = json.loads(title.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">"))
    return found


@pytest.fixture(scope="module")
def pages(handed: Path) -> dict[str, str]:
    """The first page and the report of a hand-over, and a report with every kind of change."""
    found = {name: (handed / "ho" / f"{name}.html").read_text(encoding="utf-8") for name in ("index", "report")}
    return {**found, "kinds": html.write(comparison(), OLD, NEW)}


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("name", ["index", "report", "kinds"])
def test_text_stands_out_from_its_ground(pages: dict[str, str], name: str, dark: bool, tmp_path: Path) -> None:
    text = pages[name].replace("@media (prefers-color-scheme: dark)", "@media all") if dark else pages[name]
    found = probed(tmp_path, text)
    assert found["worst"] >= 4.5, found["where"]  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("name", ["index", "report"])
def test_nothing_is_requested_and_all_can_be_reached_by_keyboard(
    pages: dict[str, str], name: str, tmp_path: Path
) -> None:
    found = probed(tmp_path, pages[name])
    assert found["requests"] == 0
    assert found["first"] == "skip"
    assert found["reachable"] >= 7
    assert (found["unreachable"], found["dead"], found["overflow"]) == (0, [], 0)
    assert not re.search(r"(?:src|href|action|data)=[\"'](?:https?:|//|data:)", pages[name])


def test_the_first_page_fits_a_phone(pages: dict[str, str], tmp_path: Path) -> None:
    narrow = pages["index"].replace("<main>", '<main style="width:380px">')
    assert probed(tmp_path, narrow, "--window-size=500,900")["overflow"] <= 0


def test_the_links_of_the_first_page_lead_into_the_folder(pages: dict[str, str]) -> None:
    targets = set(re.findall(r'href="([^"#]+)"', pages["index"]))
    assert {"report.html", "report.pdf", "statement.txt", "originals/", "VERIFY.txt"} <= targets
    assert not any(target.startswith(("/", "..")) or ":" in target for target in targets)
