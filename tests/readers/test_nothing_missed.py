"""No node of an export can change without the normal form changing, unless the noise table says so.

A sample here, of every exchange format; ``python tests/readers/exhaustive.py FILE ...`` tries every node.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from conversion import to_61131_10
from exhaustive import digest, pieces
from mutations import mutations, named

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
PIECES, MUTATIONS = 4, 12
"""How many pieces of each file (document, POU, action) and how many mutations of each piece are tried."""

OLD = [
    *sorted((ROOT / "sample_exports").glob("*/3-as-left-2026/running/program.xml")),
    *sorted((ROOT / "tests" / "cases" / "conversion").glob("*.xml")),
    *(sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []),
]
CASES = sorted((ROOT / "tests" / "cases" / "iec61131_10").glob("*.xml"))


def sampled(data: bytes, seed: str, most: int = MUTATIONS) -> tuple[int, list[str]]:
    """How many mutations of a document were tried that must be seen, and those that were not."""
    chance = random.Random(seed)
    every = list(pieces(data))
    tried, missed = 0, []
    for what, piece in chance.sample(every, min(PIECES, len(every))):
        before = digest(piece)
        assert not before.startswith("refused"), before
        seen = [m for m in mutations(piece) if not m.noise]
        for mutation in chance.sample(seen, min(most, len(seen))):
            tried += 1
            if digest(mutation.apply()) == before:
                missed.append(f"{what}: {mutation.path}: {mutation.what}")
    return tried, missed


@pytest.mark.parametrize("path", OLD, ids=named)
def test_every_changed_node_of_a_tc6_file_is_seen(path: Path) -> None:
    tried, missed = sampled(path.read_bytes(), path.name)
    assert tried
    assert not missed, "\n".join(missed)


@pytest.mark.parametrize("path", [p for p in OLD if p.stat().st_size < 100_000], ids=named)
def test_every_changed_node_of_a_converted_file_is_seen(path: Path) -> None:
    tried, missed = sampled(to_61131_10(path.read_bytes()), path.name)
    assert tried
    assert not missed, "\n".join(missed)


@pytest.mark.parametrize("path", CASES, ids=named)
def test_every_changed_node_of_an_iec_61131_10_file_is_seen(path: Path) -> None:
    tried, missed = sampled(path.read_bytes(), path.name, 250)
    assert tried
    assert not missed, "\n".join(missed)
