"""No node of an export can change without the normal form changing, unless the noise table says so."""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest
from mutations import mutations

from asfound.language.normal import normal_sha256
from asfound.model.problem import Problem
from asfound.readers.reading import read

ROOT = Path(__file__).parents[2]
CORPUS = ROOT.parent / "shared" / "corpus"
SAMPLE = int(os.environ.get("ASFOUND_MUTATIONS", "120"))
"""How many mutations of each file are tried; 0 means every one (see DEVELOPERS.md)."""

FILES = sorted((ROOT / "tests" / "cases").rglob("*.xml")) + (sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else [])


def digest(data: bytes, name: str) -> str:
    try:
        return normal_sha256(read(data, name))
    except Problem as problem:
        return f"refused: {problem}"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_every_changed_node_is_seen(path: Path) -> None:
    data = path.read_bytes()
    before = digest(data, path.name)
    every = list(mutations(data))
    if SAMPLE:
        size = max(4, SAMPLE * 40_000 // (40_000 + len(data)))
        every = random.Random(path.name).sample(every, min(size, len(every)))
    missed = [f"{m.path}: {m.what}" for m in every if not m.noise and digest(m.apply(), path.name) == before]
    assert not missed, f"{len(missed)} of {len(every)}:\n" + "\n".join(missed[:40])
