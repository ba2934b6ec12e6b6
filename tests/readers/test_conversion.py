"""One program in every exchange format gives one normal form.

``conversion`` writes TC6 2.01 as IEC 61131-10 and as TC6 1.01, independently of the readers. Nothing but the format
differs then, so the normal forms are equal to the letter and a comparison of the pair reports nothing. The one thing
IEC 61131-10 cannot say, that statements of two rungs take turns, is tested apart.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from conversion import to_1_01, to_61131_10
from lxml import etree
from mutations import named

import asfound
from asfound.language.normal import normal_form
from asfound.language.statement_printer import statements as printed
from asfound.readers.reading import read

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
CASES = sorted((ROOT / "tests" / "cases" / "conversion").glob("*.xml"))
SAMPLES = sorted((ROOT / "sample_exports").glob("*/*/*/program.xml"))
REAL = sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []
MODES = [to_61131_10, to_1_01]


def drawn(files: list[Path], count: int) -> list[Path]:
    """A sample that is the same each time."""
    return sorted(random.Random("conversion").sample(files, min(count, len(files))))


FILES = [*CASES, *drawn(SAMPLES, 4), *drawn(REAL, 12)]


@pytest.mark.parametrize("convert", MODES, ids=lambda f: f.__name__)
@pytest.mark.parametrize("path", FILES, ids=named)
def test_the_converted_program_has_the_same_normal_form(path: Path, convert: Callable[[bytes], bytes]) -> None:
    data = path.read_bytes()
    old, new = read(data, path.name), read(convert(data), path.name)
    assert normal_form(new) == normal_form(old)
    result = asfound.compare(old, new)
    assert [change.summary for change in result.changes] == []
    assert result.verdict in ("identical", "noise")


def test_the_converted_program_is_in_the_other_format() -> None:
    data = CASES[0].read_bytes()
    assert etree.QName(etree.fromstring(to_61131_10(data))).namespace == "www.iec.ch/public/TC65SC65BWG7TF10"
    assert etree.QName(etree.fromstring(to_1_01(data))).namespace == "http://www.plcopen.org/xml/tc6.xsd"


def rungs(data: bytes, pou: str) -> list[tuple[str | None, int]]:
    """(evaluation order, number of objects) of each rung of a converted POU."""
    root = etree.fromstring(to_61131_10(data))
    holder = next(p for p in root.iter("{*}Program", "{*}FunctionBlock") if p.get("name") == pou)
    return [(r.get("evaluationOrder"), len(r)) for r in holder.iter("{*}Rung", "{*}Network")]


def test_a_sheet_is_cut_into_rungs_where_its_order_is_beyond_doubt() -> None:
    data = (ROOT / "tests/cases/conversion/ladder.xml").read_bytes()
    assert len(rungs(data, "Rungs")) == 10
    assert rungs(data, "Doubt") == []


@pytest.mark.parametrize("path", [*CASES, *drawn(REAL, 6)], ids=named)
def test_one_rung_around_a_whole_sheet_runs_the_same_statements_in_the_same_order(path: Path) -> None:
    """What differs then, and only that: which statements are shown together, and doubts about the order of rungs."""
    data = path.read_bytes()
    converted = etree.fromstring(to_61131_10(data))
    for content in converted.iter("{*}BodyContent"):
        kind = content.get("{http://www.w3.org/2001/XMLSchema-instance}type")
        if kind in ("LD", "FBD") and not list(content.iter("{*}Rung", "{*}Network")):
            rung = etree.Element(content.tag.replace("BodyContent", "Rung"), evaluationOrder="1")
            rung.extend(list(content))
            content.append(rung)
    assert executed(etree.tostring(converted)) == executed(data)


def executed(data: bytes) -> list[list[str]]:
    """The statements of each drawn body in order of execution, without the numbers of temporaries."""
    found = []
    for pou in sorted(read(data, "file.xml").program.pous, key=lambda p: p.name):
        for body in (*pou.bodies, *(a.body for a in pou.actions)):
            plain = [(n, s) for n, network in enumerate(body.networks) for s in range(len(network.statements))]
            order = body.order.sequence or plain
            found.append([printed([body.networks[n].statements[s]]) for n, s in order])
    return found
