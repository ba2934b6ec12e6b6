"""A large document is read with its POUs packed; the outcome, or the refusal, is that of the whole document."""

from __future__ import annotations

import random
import re
import subprocess
import sys
from pathlib import Path

import pytest
from conversion import to_1_01, to_61131_10
from lxml import etree
from test_conversion import FILES, named

from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.readers.exchange import packing
from asfound.readers.reading import read

BENCHMARKS = Path(__file__).parents[1] / "benchmarks"
STRAY = '<pou name="Stray" pouType="program"><body><ST><xhtml xmlns="http://www.w3.org/1999/xhtml">A := B;</xhtml></ST></body></pou>'


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Per document read packed: how many POUs were put aside, how many are left at the end."""
    counts: list[int] = []

    class Counted(packing._Packed):
        def put(self, element: etree._Element) -> None:
            super().put(element)
            counts.append(len(self.waiting))

    monkeypatch.setattr(packing, "_Packed", Counted)
    return counts


def packed(data: bytes, monkeypatch: pytest.MonkeyPatch) -> Copy | str:
    return _outcome(data, 0, monkeypatch)


def whole(data: bytes, monkeypatch: pytest.MonkeyPatch) -> Copy | str:
    return _outcome(data, sys.maxsize, monkeypatch)


def _outcome(data: bytes, large: int, monkeypatch: pytest.MonkeyPatch) -> Copy | str:
    monkeypatch.setattr(packing, "LARGE", large)
    try:
        return read(data, "x.xml")
    except Problem as problem:
        return str(problem)


@pytest.mark.parametrize("convert", [bytes, to_61131_10, to_1_01], ids=["as-it-is", "to_61131_10", "to_1_01"])
@pytest.mark.parametrize("path", FILES, ids=named)
def test_the_program_is_the_same(path: Path, convert, opened: list[int], monkeypatch: pytest.MonkeyPatch) -> None:
    data = convert(path.read_bytes())
    found = packed(data, monkeypatch)
    assert opened and isinstance(found, Copy)
    assert found == whole(data, monkeypatch)


@pytest.mark.parametrize("encoding", ["utf-16", "iso-8859-1", "utf-8-sig"])
def test_the_encoding_does_not_matter(encoding: str, opened: list[int], monkeypatch: pytest.MonkeyPatch) -> None:
    text = FILES[0].read_text(encoding="utf-8").replace("utf-8", encoding.removesuffix("-sig"))
    data = text.encode(encoding, "xmlcharrefreplace")
    assert packed(data, monkeypatch) == whole(data, monkeypatch)
    assert opened


def test_a_pou_where_none_is_read_is_kept_as_unknown_data(monkeypatch: pytest.MonkeyPatch) -> None:
    """Put below every element in turn: wherever it stands, nothing of it is lost."""
    root = etree.fromstring(FILES[0].read_bytes())
    places = random.Random(5).sample(range(len(list(root.iter("*")))), 60)
    for at in places:
        tree = etree.fromstring(FILES[0].read_bytes())
        holder = list(tree.iter("*"))[at]
        holder.append(etree.fromstring(STRAY.replace("<pou ", f'<pou xmlns="{etree.QName(tree).namespace}" ', 1)))
        data = etree.tostring(tree)
        assert packed(data, monkeypatch) == whole(data, monkeypatch), etree.QName(holder).localname


def damages() -> dict[str, bytes]:
    data = FILES[0].read_bytes()
    middle = data.index(b"</pou>")
    deep = b"<a>" * 220 + b"</a>" * 220
    return {
        "cut short": data[: len(data) // 2],
        "not closed": data.replace(b"</pou>", b"", 1),
        "too deep inside a POU": data[:middle] + deep + data[middle:],
        "too deep outside": data.replace(b"</project>", deep + b"</project>"),
        "too deep for the parser": data[:middle] + deep * 1 + b"<b>" * 3000 + b"</b>" * 3000 + data[middle:],
        "document type": re.sub(rb"<project", b"<!DOCTYPE project><project", data, count=1),
        "unknown entity": data.replace(b"</pou>", b"&what;</pou>", 1),
        "a NUL": data[:middle] + b"\x00" + data[middle:],
        "two roots": data + b"<more/>",
        "other bytes than declared": data[:middle] + b"\xff\xfe" + data[middle:],
    }


@pytest.mark.parametrize("what", damages())
def test_a_damaged_document_is_refused_alike(what: str, monkeypatch: pytest.MonkeyPatch) -> None:
    data = damages()[what]
    said = packed(data, monkeypatch)
    assert isinstance(said, str) and said == whole(data, monkeypatch)


def test_memory_stays_far_below_that_of_the_tree() -> None:
    """Peak of a process that reads 12 MB: the tree alone would take about 18 times that (216 MB)."""
    script = (
        f"import sys, resource; sys.path.insert(0, {str(BENCHMARKS)!r}); import projects, asfound;"
        "data = projects.project(12_000_000); before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss;"
        "asfound.read(data, 'x.xml'); print(before, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    )
    if sys.platform == "win32":
        pytest.skip("resource is not there on Windows")
    said = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True).stdout
    unit = 1 if sys.platform == "darwin" else 1024
    before, peak = (int(word) * unit for word in said.split())
    assert peak - before < 8 * 12_000_000
