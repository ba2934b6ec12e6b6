"""A POU whose text was read before is not read again, and nothing else becomes of it than if it were."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
import tc6_documents as tc6
from conversion import to_61131_10

from asfound.model.copy import Copy
from asfound.readers.exchange import known
from asfound.readers.reading import read

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
SAMPLES = sorted((ROOT / "sample_exports").glob("*/*/*/program.xml"))
REAL = sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []
PAIRS = [*list(pairwise(SAMPLES))[:3], *pairwise(REAL)]
CASES = [*((pair, bytes) for pair in PAIRS), *((pair, to_61131_10) for pair in PAIRS[2::4])]


@pytest.fixture(autouse=True)
def nothing_known() -> None:
    known._KNOWN.clear()


def alone(data: bytes) -> Copy:
    known._KNOWN.clear()
    return read(data, "x.xml")


def after(first: bytes, data: bytes) -> Copy:
    alone(first)
    return read(data, "x.xml")


@pytest.mark.parametrize(("pair", "convert"), CASES)
def test_what_was_read_before_changes_nothing(pair: tuple[Path, Path], convert) -> None:
    old, new = (convert(path.read_bytes()) for path in pair)
    assert after(old, new) == alone(new)
    assert after(new, old) == alone(old)


def test_it_is_read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.readers.tc6 import project

    names: list[str] = []
    original = project.pou
    monkeypatch.setattr(project, "pou", lambda element: names.append(element.get("name")) or original(element))
    one = tc6.document(pous=tc6.pou(name="A") + tc6.pou(name="B"))
    two = tc6.document(pous=tc6.pou(name="A") + tc6.pou(name="C"))
    found = [[pou.name for pou in read(data, "x.xml").program.pous] for data in (one, two)]
    assert found == [["A", "B"], ["A", "C"]]
    assert names == ["A", "B", "C"]


def test_one_that_brings_a_type_of_the_program_is_read_each_time() -> None:
    inside = tc6.added("urn:x:datatype", '<dataType name="Level"><baseType><INT/></baseType></dataType>')
    pou = tc6.pou(name="A").replace("</pou>", f"{inside}</pou>")
    data = tc6.document(pous=pou)
    for _ in range(2):
        program = read(data, "x.xml").program
        assert [each.name for each in program.types] == ["Level"] and [each.name for each in program.pous] == ["A"]
    assert not known._KNOWN


def test_the_same_text_in_two_namespaces_is_two_pous() -> None:
    uri = "www.iec.ch/public/TC65SC65BWG7TF10"
    pou = '<Program name="P"><MainBody/></Program>'
    spaces = "".join(f'<NamespaceDecl name="{name}">{pou}</NamespaceDecl>' for name in "AB")
    data = f'<Project xmlns="{uri}"><Types><GlobalNamespace>{spaces}{pou}</GlobalNamespace></Types></Project>'.encode()
    assert sorted((each.namespace, each.name) for each in read(data, "x.xml").program.pous) == [
        ("", "P"),
        ("A", "P"),
        ("B", "P"),
    ]


def test_there_is_an_end_to_what_is_remembered(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(known, "MOST", 3)
    for number in range(20):
        read(tc6.document(pous=tc6.pou(name=f"P{number}")), "x.xml")
        assert 1 <= len(known._KNOWN) <= 3
