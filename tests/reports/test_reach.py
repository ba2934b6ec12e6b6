"""What changes can reach: the nearest with the way there, what several share once, in every report."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from asfound.compare.result import Comparison, Reached
from asfound.reports import html, markdown, pdf
from asfound.reports.reach import Reaches
from asfound.reports.terminal import lines

from .sample import CHANGES, NEW, OLD, comparison

LAMPS = tuple(
    Reached("physical", f"LAMP_{n}", f"%QX1.{n}", ("Hall.first.go", "Hall.first.on", f"LAMP_{n}")) for n in range(5)
)
BLOCKS = tuple(f"Hall.drive_{n}.run" for n in range(8))


def _reaching(outputs: tuple[Reached, ...], blocks: tuple[str, ...] = (), **more: object) -> dict[str, object]:
    return {**CHANGES[1], "reached": outputs, "reach": (*(f"{o.name} ({o.at})" for o in outputs), *blocks), **more}


def shared() -> Comparison:
    """Two changes that reach the same, a third that reaches one of it, a fourth that follows from the first."""
    nearer = tuple(Reached(o.kind, o.name, o.at, ("here", o.name)) for o in reversed(LAMPS))
    first = _reaching(LAMPS, BLOCKS, where="Hall / rung 1", path=("Hall", "network:1"))
    second = _reaching(nearer, BLOCKS, where="Hall / rung 2", path=("Hall", "network:2"))
    third = _reaching(LAMPS[:1], where="Hall / rung 3", path=("Hall", "network:3"))
    fourth = _reaching(LAMPS[:2], where="Hall / rung 4", path=("Hall", "network:4"), follows_from=1)
    return comparison((first, second, third, fourth))


def test_once_with_the_way_then_by_reference() -> None:
    found = shared()
    reaches = Reaches(found.changes)
    first, second, third, fourth = (reaches.told(change) for change in found.changes)
    assert first is not None and (first.sentence(), first.items) == (
        "Can reach 5 outputs:",
        (
            "first.go -> on -> LAMP_0 (%QX1.0)",
            "first.go -> on -> LAMP_1 (%QX1.1)",
            "first.go -> on -> LAMP_2 (%QX1.2)",
            "and LAMP_3 (%QX1.3), LAMP_4 (%QX1.4)",
            "outputs of blocks: Hall.drive_0.run, Hall.drive_1.run, Hall.drive_2.run, Hall.drive_3.run, "
            "Hall.drive_4.run, Hall.drive_5.run and 2 more",
        ),
    )
    assert second is not None and (second.sentence(), second.sentence(numbered=False), second.items) == (
        "Can reach the same 5 outputs as change 1 (Hall / rung 1), the nearest:",
        "Can reach the same 5 outputs as Hall / rung 1, the nearest:",
        ("here -> LAMP_4 (%QX1.4)", "here -> LAMP_3 (%QX1.3)", "here -> LAMP_2 (%QX1.2)"),
    )
    assert third is not None and (third.sentence(), third.items) == (
        "Can reach first.go -> on -> LAMP_0 (%QX1.0)", ()
    )  # fmt: skip
    assert fourth is None, "it follows from a change that reaches all of it"


def test_a_report_that_leaves_the_list_out_does_not_refer_to_it() -> None:
    found = shared()
    told = Reaches(found.changes, found.changes[1:]).told(found.changes[1])
    assert told is not None and told.sentence() == "Can reach 5 outputs:"


@pytest.mark.parametrize("report", ["terminal", "page", "markdown", "pdf"])
def test_a_shared_list_stands_once_in(report: str) -> None:
    found = shared()
    if report == "terminal":
        text = "\n".join(line for line, _ in lines(found, 300))
    elif report == "page":
        text = html.write(found, OLD, NEW).replace("&gt;", ">")
        assert '<a href="#change-1">change 1 (Hall / rung 1)</a>' in text
    elif report == "markdown":
        text = markdown.write(found)
    else:
        content = pdf.content(pdf.Report(found, OLD, NEW, datetime(2026, 1, 1, tzinfo=UTC)))
        text = str(content["groups"]).replace("\\u200b", "")
        assert "'same': 1" in text
    assert text.count("and LAMP_3 (%QX1.3), LAMP_4 (%QX1.4)") == text.count("Hall.drive_0.run") == 1
    assert text.count("Can reach the same 5 outputs as") == 1
    assert "here -> LAMP_4 (%QX1.4)" in text


def test_a_pdf_with_references_can_be_set() -> None:
    assert pdf.write(pdf.Report(shared(), OLD, NEW, datetime(2026, 1, 1, tzinfo=UTC))).startswith(b"%PDF")
