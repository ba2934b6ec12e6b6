"""No node of an export can change without the normal form changing, unless the noise table says so.

A sample here; ``python tests/readers/exhaustive.py FILE ...`` tries every node.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from exhaustive import digest, pieces
from mutations import mutations

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
PIECES, MUTATIONS = 4, 12
"""How many pieces of each file (document, POU, action) and how many mutations of each piece are tried."""

FILES = [
    *sorted((ROOT / "sample_exports").glob("*/3-as-left-2026/running/program.xml")),
    *(sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []),
]


@pytest.mark.parametrize("path", FILES, ids=lambda p: "-".join(p.parts[-4:]).removesuffix(".xml"))
def test_every_changed_node_is_seen(path: Path) -> None:
    chance = random.Random(path.name)
    every = list(pieces(path.read_bytes()))
    tried, missed = 0, []
    for what, data in chance.sample(every, min(PIECES, len(every))):
        before = digest(data)
        seen = [m for m in mutations(data) if not m.noise]
        for mutation in chance.sample(seen, min(MUTATIONS, len(seen))):
            tried += 1
            if digest(mutation.apply()) == before:
                missed.append(f"{what}: {mutation.path}: {mutation.what}")
    assert tried
    assert not missed, "\n".join(missed)
