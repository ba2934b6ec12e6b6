"""Take the pictures of the README anew: ``python tests/picture.py``, with a headless Chromium on the path."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from lxml import etree, html

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / ".readme"
WIDTH = 1250
RUNG = "PumpControl / rung 25"
"""The change that is shown whole."""


def write(target: Path, browser: str) -> None:
    """The report of the demonstration, as somebody sees it who opens it: its first screen, and one rung."""
    with tempfile.TemporaryDirectory() as folder:
        asfound = [sys.executable, "-m", "asfound"]
        subprocess.run([*asfound, "demo", "--to", "d", "--quiet"], cwd=folder, check=True)
        sides = ["plant.git:booster-1@1", "plant.git:booster-1@2"]
        words = [*asfound, "compare", *sides, "--html", "r.html", "--quiet"]
        done = subprocess.run(words, cwd=Path(folder) / "d", check=False, capture_output=True)
        if done.returncode != 1:
            raise SystemExit(f"the report was not written: {done.stderr.decode()}")
        page = Path(folder) / "d" / "r.html"
        rung = page.with_name("rung.html")
        rung.write_bytes(alone(page.read_bytes()))
        for name, height, shown in (("report.png", 1140, page), ("rung.png", 870, rung)):
            options = ["--headless", "--no-sandbox", "--hide-scrollbars", f"--window-size={WIDTH},{height}"]
            shot = f"--screenshot={target / name}"
            subprocess.run([browser, *options, shot, shown.as_uri()], check=True, capture_output=True)


def alone(page: bytes) -> bytes:
    """The page with one change only."""
    tree = html.document_fromstring(page)
    (article,) = (each for each in tree.iter("article") if each.xpath("contains(header, $rung)", rung=RUNG))
    (main,) = tree.iter("main")
    for each in list(main):
        main.remove(each)
    main.append(article)
    return b"<!DOCTYPE html>" + etree.tostring(tree, encoding="utf-8", method="html")


if __name__ == "__main__":
    found = shutil.which("chromium") or shutil.which("google-chrome") or shutil.which("chrome")
    if found is None:
        raise SystemExit("no Chromium found")
    write(FOLDER, found)
