"""Whatever differs is told in words: no edit of an export that is read reaches the guard behind all comparisons.

Every reader's samples and a part of every larger file, edited one node at a time, or two neighbours exchanged, both ways.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import islice
from pathlib import Path

import pytest
from exhaustive import pieces
from lxml import etree
from mutations import Mutation, mutations, named
from reader_samples import SAMPLES, Sample
from test_nothing_missed import CASES, OLD

from asfound.compare.comparison import compare
from asfound.compare.result import Edit
from asfound.model.copy import Copy
from asfound.model.problem import Problem
from asfound.readers.reading import read

EDITS, PIECES = 10, 1
"""How many edits of a sample or piece, and how many pieces of a file, are tried."""


def unsaid(old: Copy, new: Copy) -> bool:
    """Is something told that has no words?"""
    return any(holds(c.edits) for pair in ((old, new), (new, old)) for c in compare(*pair).changes)


def holds(edits: Iterable[Edit]) -> bool:
    return any(e.field == "not in words" for e in edits)


def wordless(data: bytes, name: str, tried: Iterable[Mutation], sample: Sample | None = None) -> list[str]:
    reading = sample.read if sample else read
    before, found = reading(data, name), []
    for mutation in tried:
        try:
            after = reading(mutation.apply(), name)
        except Problem:
            continue
        if unsaid(before, after):
            found.append(f"{mutation.path}: {mutation.what}")
    return found


def exchanged(data: bytes) -> Iterator[Mutation]:
    """Two neighbours of an XML document in each other's place."""
    try:
        root = etree.fromstring(data)
    except etree.XMLSyntaxError:
        return
    for number, node in enumerate(root.iter(etree.Element)):
        for place in range(len(node) - 1):
            yield Mutation("exchanged", f"{node.tag} {place}", False, partial(_exchange, data, number, place))


def _exchange(data: bytes, number: int, place: int) -> bytes:
    root = etree.fromstring(data)
    node = next(islice(root.iter(etree.Element), number, None))
    node.insert(place, node[place + 1])
    return etree.tostring(root)


def some(found: Iterable[Mutation], seed: str) -> list[Mutation]:
    every = list(found)
    return random.Random(seed).sample(every, min(EDITS, len(every)))


@pytest.mark.parametrize(
    "sample", [pytest.param(s, id=f"{reader} {s.name}") for reader, samples in SAMPLES.items() for s in samples]
)
def test_every_edit_of_a_sample_is_told_in_words(sample: Sample) -> None:
    tried = some(sample.mutations(sample.data), sample.name)
    tried += some(exchanged(sample.data), sample.name)
    assert tried and wordless(sample.data, sample.name, tried, sample) == []


@pytest.mark.parametrize("path", [*OLD, *CASES], ids=named)
def test_every_edit_of_a_larger_file_is_told_in_words(path: Path) -> None:
    every = list(pieces(path.read_bytes()))
    for what, piece in random.Random(path.name).sample(every, min(PIECES, len(every))):
        tried = [*some(mutations(piece), what), *some(exchanged(piece), what)]
        assert wordless(piece, "piece.xml", tried) == [], what
