"""One edit of a real export is one cause that is told, at its place and with its effect, and nothing else is told.

The files: ../shared/corpus, and what the demo exports.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from random import Random

import pytest

import asfound
from asfound.model.copy import Copy

from .real import MAKERS, Maker

ROOT = Path(__file__).parents[3]
CORPUS = ROOT.parent / "shared" / "corpus"
FILES = [
    ROOT / "sample_exports" / "booster-1" / "2-as-found-2026" / "running" / "program.xml",
    *(sorted(CORPUS.rglob("*.xml")) if CORPUS.is_dir() else []),
]
SEEDS = (0, 1, 2)


@cache
def copy_of(file: Path) -> Copy:
    return asfound.read(file)


@pytest.mark.parametrize("file", FILES, ids=lambda f: f.stem)
@pytest.mark.parametrize("make", MAKERS, ids=lambda m: m.__name__)
def test_one_edit_is_told_and_nothing_else(make: Maker, file: Path) -> None:
    for seed in SEEDS:
        made = make(copy_of(file), Random(seed))
        if made is None:  # nothing of this kind stands in the file
            continue
        changes = asfound.compare(copy_of(file), made.copy).changes
        causes = [c for c in changes if c.follows_from is None]
        assert len(causes) == 1, [f"{c.effect} {c.kind} {c.where}: {c.summary}" for c in causes]
        (found,) = causes
        assert found.effect in made.effects, found
        assert not made.kind or found.kind == made.kind, found
        assert [p.lower() for p in found.path[: len(made.path)]] == [p.lower() for p in made.path], found


@pytest.mark.parametrize("make", MAKERS, ids=lambda m: m.__name__)
def test_every_kind_of_edit_is_made_somewhere(make: Maker) -> None:
    if len(FILES) == 1:
        pytest.skip("../shared is not here")
    assert any(make(copy_of(file), Random(0)) is not None for file in FILES)
