"""Laws that hold for every real export: nothing changed means nothing is reported, in either direction."""

from __future__ import annotations

import random
import re
import uuid
from itertools import pairwise
from pathlib import Path

import pytest
from lxml import etree

import asfound

ROOT = Path(__file__).parents[1]
CORPUS = ROOT.parent / "shared" / "corpus"
FILES = [
    *sorted((ROOT / "sample_exports").glob("*/2-as-found-2026/*/program.xml")),
    *(sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []),
]


def exported_again(data: bytes, seed: int = 7) -> bytes:
    """The same program as another export would write it: other indentation, times, numbers and object ids."""
    chance = random.Random(seed)
    parser = etree.XMLParser(remove_blank_text=True)
    root = etree.fromstring(data, parser)
    for body in root.iter("{*}LD", "{*}FBD", "{*}SFC"):
        numbers = sorted({e.get("localId") for e in body.iter("{*}*") if e.get("localId")})
        fresh = dict(zip(numbers, chance.sample(range(1_000_000, 2_000_000), len(numbers)), strict=True))
        for element in body.iter("{*}*"):
            for name in ("localId", "refLocalId"):
                if element.get(name) in fresh:
                    element.set(name, str(fresh[element.get(name)]))
    for element in root.iter("{*}*"):
        for name in ("creationDateTime", "modificationDateTime"):
            if element.get(name):
                element.set(name, "2031-02-03T04:05:06")
        if element.tag.endswith("ObjectId") and element.text:
            element.text = str(uuid.UUID(int=chance.getrandbits(128)))
        if element.get("ObjectId"):
            element.set("ObjectId", str(uuid.UUID(int=chance.getrandbits(128))))
    etree.indent(root, space="\t")
    return etree.tostring(root, xml_declaration=True, encoding="utf-8")


def named(path: Path) -> str:
    return "-".join(path.relative_to(ROOT if ROOT in path.parents else CORPUS).with_suffix("").parts)


@pytest.mark.parametrize("path", FILES, ids=named)
def test_a_file_compared_with_itself_is_identical(path: Path) -> None:
    copy = asfound.read(path)
    assert asfound.compare(copy, copy).verdict == "identical"


@pytest.mark.parametrize("path", FILES, ids=named)
def test_another_export_of_the_same_program_is_noise(path: Path) -> None:
    data = path.read_bytes()
    again = exported_again(data)
    assert again != data
    result = asfound.compare(asfound.read(path), asfound.read(again, path.name))
    assert [c.summary for c in result.changes] == []
    assert result.verdict == "noise"


PAIRS = [(a, b) for a, b in pairwise(FILES) if a.parent == b.parent]


@pytest.mark.parametrize(("old", "new"), PAIRS, ids=named)
def test_there_and_back_are_mirror_images(old: Path, new: Path) -> None:
    one, two = asfound.read(old), asfound.read(new)
    there, back = asfound.compare(one, two), asfound.compare(two, one)
    mirror = {"added": "removed", "removed": "added"}
    assert sorted((c.area, mirror.get(c.kind, c.kind), c.after or "", c.before or "") for c in there.changes) == sorted(
        (c.area, c.kind, c.before or "", c.after or "") for c in back.changes
    )


@pytest.mark.skipif(not CORPUS.is_dir(), reason="../shared is not here")
def test_one_stage_of_a_published_plant_against_the_next() -> None:
    """The real edits by their names, and nothing about ids, positions or times.

    Source: the published stages of a laboratory plant (see ../shared/corpus/README.md).
    """
    folder = CORPUS / "evolution"
    result = asfound.compare(asfound.read(folder / "scenario-09.xml"), asfound.read(folder / "scenario-10.xml"))
    assert 20 < len(result.changes) < 100
    text = "\n".join(f"{c.where}: {c.summary} {' '.join(c.details)}" for c in result.changes)
    for name in ("LargeSortingConveyor", "ACT_ChangeTarget", "ACT_CheckWPType", "Pusher1_Retracting_ES"):
        assert name in text
    assert not re.search(r"localId|ObjectId|DateTime|[0-9a-f]{8}-[0-9a-f]{4}-", text)


@pytest.mark.parametrize("station", ["booster-1", "screens-1"])
def test_what_two_tools_write_of_one_program_differs_only_in_documentation(station: str) -> None:
    """An upload and the office project of the same program; what only one of them holds cannot be decided."""
    folder = ROOT / "sample_exports" / station / "1-as-left-2025"
    result = asfound.compare(asfound.read(folder / "running"), asfound.read(folder / "office"))
    told = [f"{c.effect}: {c.where}: {c.summary}" for c in result.changes if c.area not in ("value", "force")]
    assert [line for line in told if not line.startswith("documentation")] == []
