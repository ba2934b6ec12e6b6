"""The printed report: what PDF/A-3b asks for as far as pikepdf shows it, what is attached, and what is printed.

No PDF/A validator can be had from the package registries (the usual one is a Java program); typst refuses to write
what it knows to violate the standard, and the checks here are those of ISO 19005-3 that can be read from the file.
"""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pikepdf
import pytest

from asfound.compare.result import Comparison
from asfound.model.problem import Problem
from asfound.reports import json, pdf
from asfound.reports.words import CAUTIONS

from .sample import BRIDGED, CHANGES, INTERLOCK, NEW, OLD, comparison, reaching

WHEN = datetime(2026, 11, 17, 16, 5, tzinfo=UTC)


def report(made: Comparison | None = None, **more: Any) -> pdf.Report:
    return pdf.Report(made or comparison(), OLD, NEW, WHEN, "Booster station 1", **more)


@pytest.fixture(scope="module")
def made() -> Iterator[pikepdf.Pdf]:
    attached = {"comparison.json": json.write(comparison()).encode("utf-8"), "statement.txt": b"said\n"}
    with pikepdf.open(io.BytesIO(pdf.write(report(attached=attached)))) as opened:
        yield opened


def test_it_says_that_it_is_pdf_a_3b(made: pikepdf.Pdf) -> None:
    with made.open_metadata() as metadata:
        assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "B")  # ISO 19005-3, 6.6.4
        assert metadata["dc:title"] == "Booster station 1"
    intents = made.Root.OutputIntents
    assert [str(intent.S) for intent in intents] == ["/GTS_PDFA1"]
    assert "/DestOutputProfile" in intents[0]
    assert not made.is_encrypted and len(made.trailer.ID) == 2
    assert "/JavaScript" not in made.Root.get("/Names", {}) and "/OpenAction" not in made.Root


def test_every_font_is_inside(made: pikepdf.Pdf) -> None:
    fonts = [o for o in made.objects if isinstance(o, pikepdf.Dictionary) and o.get("/Type") == "/FontDescriptor"]
    assert fonts
    assert all(any(f"/FontFile{kind}" in font for kind in ("", "2", "3")) for font in fonts)


def test_the_documents_are_attached(made: pikepdf.Pdf) -> None:
    assert sorted(made.attachments) == ["comparison.json", "statement.txt"]
    assert made.attachments["comparison.json"].get_file().read_bytes().decode("utf-8") == json.write(comparison())
    files = list(made.Root.AF)  # ISO 19005-3, 6.8: associated files, each with its relationship
    assert [str(file.AFRelationship) for file in files] == ["/Data", "/Data"]
    assert all("/Subtype" in file.EF.F for file in files)


def test_the_same_report_is_the_same_file() -> None:
    assert pdf.write(report()) == pdf.write(report())


def test_both_papers() -> None:
    sizes = {}
    for paper in pdf.PAPERS:
        with pikepdf.open(io.BytesIO(pdf.write(report(), paper))) as opened:
            box = [float(number) for number in opened.pages[0].mediabox]
            sizes[paper] = (round(box[2]), round(box[3]))
    assert sizes == {"a4": (595, 842), "letter": (612, 792)}  # ISO 216 and ANSI A, in points
    with pytest.raises(Problem, match="'a5' is no paper"):
        pdf.write(report(), "a5")


def printed(data: bytes, folder: Path) -> str:
    """The text of all pages."""
    (folder / "x.pdf").write_bytes(data)
    done = subprocess.run(["pdftotext", "-layout", str(folder / "x.pdf"), "-"], capture_output=True, check=True)
    return " ".join(done.stdout.decode("utf-8").split())


def test_what_it_prints_is_what_the_page_shows() -> None:
    found = pdf.content(report())
    listed = [change["id"] for group in found["groups"] for change in _all(group["changes"])]
    assert sorted(listed) == [change.id for change in comparison().changes]
    assert found["cautions"] == list(CAUTIONS)
    assert sum(len(change["drawings"]) for group in found["groups"] for change in _all(group["changes"])) == 12


def _all(changes: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    for change in changes:
        yield change
        yield from _all(change["followers"])


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext")
def test_its_pages_hold_the_verdict_the_cautions_and_page_numbers(tmp_path: Path) -> None:
    text = printed(pdf.write(report()), tmp_path)
    assert "The machine may act differently" in text
    assert all(caution in text for caution in CAUTIONS)
    assert "Contents" in text
    assert re.search(r"page 1 of \d", text)


def test_texts_of_an_export_are_never_markup() -> None:
    odd = '#panic("x") $ * _ ` @x <a> \\ // /* "] [#eval("1")'
    change = {**CHANGES[0], "where": odd, "summary": odd, "details": (odd,), **reaching(odd)}
    pdf.write(report(comparison((change,))))


def test_characters_that_no_font_has_do_not_stop_it(tmp_path: Path) -> None:
    change = {**CHANGES[0], "summary": "Förderband ≥ 3 \U0010fffd 泵 насос", "where": "泵"}
    assert pdf.write(report(comparison((change,)))).startswith(b"%PDF-1.7")


def test_two_hundred_changed_rungs() -> None:
    changes = tuple(
        {**CHANGES[0], "where": f"PumpControl / rung {n}", "path": ("PumpControl", f"network:{n}"),
         "before": INTERLOCK, "after": BRIDGED}
        for n in range(1, 201)
    )  # fmt: skip
    start = time.process_time()
    data = pdf.write(report(comparison(changes)))
    assert len(data) < 6_000_000
    assert time.process_time() - start < 30
