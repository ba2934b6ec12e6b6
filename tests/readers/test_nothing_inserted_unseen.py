"""What nobody expected is seen, wherever it stands: an unknown attribute, child or text at every kind of place.

The mutations change, remove and swap what is there; this adds what is not.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conversion import to_61131_10
from exhaustive import digest, pieces
from lxml import etree
from mutations import tree

from asfound.language.normal import normal_sha256
from asfound.readers.automationml import READER as HARDWARE
from asfound.readers.noise_paths import is_noise
from asfound.readers.reading import read

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
PROGRAMS = [
    *sorted((ROOT / "sample_exports").glob("*/3-as-left-2026/office/program.xml")),
    *sorted((ROOT / "tests" / "cases" / "conversion").glob("*.xml")),
    *(sorted(CORPUS.glob("*/*.xml")) if CORPUS.is_dir() else []),
]
CASES = sorted((ROOT / "tests" / "cases" / "iec61131_10").glob("*.xml"))
HARDWARES = sorted((ROOT / "sample_exports").glob("*/3-as-left-2026/office/hardware.aml"))
PLACES = 60
"""How many kinds of place are tried in each file, drawn anew for each."""


def attribute(node: etree._Element) -> None:
    node.set("own", "1")


def child(node: etree._Element) -> None:
    namespace = node.tag.rpartition("}")[0]
    etree.SubElement(node, f"{namespace}}}own" if namespace else "own").text = "1"


def text(node: etree._Element) -> None:
    if len(node):
        node[-1].tail = "own"
    else:
        node.text = f"{(node.text or '').strip()} own"


def named(path: Path) -> str:
    return "-".join(path.parts[-4:]).removesuffix(path.suffix)


def places(root: etree._Element, name: Callable, noise: Callable[[str], bool]) -> Iterator[tuple[tuple[str, ...], int]]:
    """(last steps of the path, number of the element) of every element that is no noise."""
    paths: dict[etree._Element, str] = {}
    for at, node in enumerate(root.iter(etree.Element)):
        parent = node.getparent()
        paths[node] = name(node) if parent is None else f"{paths[parent]}/{name(node)}"
        if not noise(paths[node]):
            yield tuple(paths[node].split("/")[-3:]), at


def spots(data: bytes) -> Iterator[tuple[tuple[str, ...], int]]:
    """The same for a program in an exchange format."""
    known = tree(data)
    for at, path in enumerate(known.paths.values()):
        if not known.noisy(path):
            yield tuple(path.split("/")[-3:]), at


def unseen(data: bytes, at: int, insert: Callable, digest: Callable[[bytes], str], before: str) -> bool:
    root = etree.fromstring(data)
    insert(list(root.iter(etree.Element))[at])
    return digest(etree.tostring(root)) == before


INSERTS = pytest.mark.parametrize("insert", [attribute, child, text], ids=lambda f: f.__name__)


def not_seen(data: bytes, insert: Callable, seed: str, most: int = PLACES) -> list[str]:
    """Kinds of place of a sample at which an insertion changes nothing."""
    chance = random.Random(f"{seed} {insert.__name__}")
    kinds: dict[tuple[str, ...], tuple[bytes, int]] = {}
    for _, piece in chance.sample(every := list(pieces(data)), min(12, len(every))):
        for kind, at in spots(piece):
            kinds.setdefault(kind, (piece, at))
    assert kinds
    return [
        "/".join(kind)
        for kind in chance.sample(sorted(kinds), min(most, len(kinds)))
        if unseen(*kinds[kind], insert, digest, digest(kinds[kind][0]))
    ]


@INSERTS
@pytest.mark.parametrize("path", PROGRAMS, ids=named)
def test_nothing_inserted_into_a_program_is_unseen(path: Path, insert: Callable) -> None:
    assert not not_seen(path.read_bytes(), insert, path.name)


@INSERTS
@pytest.mark.parametrize("path", [p for p in PROGRAMS if p.stat().st_size < 50_000], ids=named)
def test_nothing_inserted_into_a_converted_program_is_unseen(path: Path, insert: Callable) -> None:
    assert not not_seen(to_61131_10(path.read_bytes()), insert, path.name, 20)


@INSERTS
@pytest.mark.parametrize("path", CASES, ids=named)
def test_nothing_inserted_into_an_iec_61131_10_program_is_unseen(path: Path, insert: Callable) -> None:
    assert not not_seen(path.read_bytes(), insert, path.name)


@INSERTS
@pytest.mark.parametrize("path", HARDWARES, ids=named)
def test_nothing_inserted_into_a_hardware_export_is_unseen(path: Path, insert: Callable) -> None:
    data = path.read_bytes()

    def hardware_digest(changed: bytes) -> str:
        return normal_sha256(read(changed, path.name))

    def local(node: etree._Element) -> str:
        return node.tag.rpartition("}")[2]

    kinds: dict[tuple[str, ...], int] = {}
    for kind, at in places(etree.fromstring(data), local, lambda p: is_noise(HARDWARE, p)):
        kinds.setdefault(kind, at)
    before = hardware_digest(data)
    missed = ["/".join(kind) for kind, at in sorted(kinds.items()) if unseen(data, at, insert, hardware_digest, before)]
    assert not missed
