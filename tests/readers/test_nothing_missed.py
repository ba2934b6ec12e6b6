"""Nothing of an export can change without the normal form changing, unless the noise table says so; and then nothing.

One law for all readers, over the samples of ``reader_samples.py``; then for the exchange formats over a part of every larger
file. ``python tests/readers/exhaustive.py FILE ...`` tries every node.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from pathlib import Path

import pytest
from conversion import to_61131_10
from exhaustive import digest, pieces
from mutations import Mutation, mutations, named
from reader_samples import SAMPLES, Sample

from asfound.language.normal import normal_sha256
from asfound.model.problem import Problem
from asfound.readers.noise_paths import matches
from asfound.readers.reader import Reader
from asfound.readers.registry import readers

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


LAW = pytest.mark.parametrize(
    "sample", [pytest.param(s, id=f"{reader} {s.name}") for reader, samples in SAMPLES.items() for s in samples]
)
MANY = 120
"""How many mutations of one sample are tried."""


def outcome(sample: Sample, data: bytes) -> str:
    """The digest of what was read, or the refusal; anything else is the reader's own error."""
    try:
        return normal_sha256(sample.read(data, sample.name))
    except Problem as problem:
        return f"refused: {problem}"


def told(sample: Sample, data: bytes) -> list[str]:
    """What a reader says of what it understood all the same: a colon that was left out is read, and not passed over."""
    return [finding.text for finding in sample.read(data, sample.name).findings]


def some(mutations: Iterable[Mutation], sample: Sample) -> list[Mutation]:
    found = list(mutations)
    return random.Random(sample.name).sample(found, min(MANY, len(found)))


def test_every_reader_has_a_sample_that_it_reads() -> None:
    assert sorted(SAMPLES) == sorted(reader.name for reader in readers())
    for reader, samples in SAMPLES.items():
        for sample in samples:
            assert reader in {s.format for s in sample.read(sample.data, sample.name).sources}, sample.name
            assert list(sample.mutations(sample.data)), sample.name


@LAW
def test_nothing_is_silent(sample: Sample) -> None:
    before = outcome(sample, sample.data)
    assert not before.startswith("refused"), before
    tried = some((m for m in sample.mutations(sample.data) if not m.noise), sample)
    same = [m for m in tried if outcome(sample, m.apply()) == before]
    missed = [f"{m.path}: {m.what}" for m in same if told(sample, m.apply()) == told(sample, sample.data)]
    assert tried
    assert not missed, "\n".join(missed)


@LAW
def test_noise_stays_noise(sample: Sample) -> None:
    before = outcome(sample, sample.data)
    tried = some((m for m in sample.mutations(sample.data) if m.still), sample)
    seen = [f"{m.path}: {m.what}" for m in tried if outcome(sample, m.apply()) != before]
    for row, (one, other) in sample.noise.items():
        assert one != other, row
        seen += [row] if outcome(sample, one) != outcome(sample, other) or "refused" in outcome(sample, one) else []
    assert tried or sample.noise
    assert not seen, "\n".join(seen)


@pytest.mark.parametrize(
    "reader", [r for r in readers() if any(s.noise for s in SAMPLES.get(r.name, ()))], ids=lambda r: r.name
)
def test_every_row_of_a_noise_table_is_tried(reader: Reader) -> None:
    rows = {row for sample in SAMPLES[reader.name] for row in sample.noise}
    paths = {path for s in SAMPLES[reader.name] for m in s.mutations(s.data) if m.still for path in (m.path, *m.rows)}
    assert [n.path for n in reader.noise if n.path not in rows and not any(matches(n.path, p) for p in paths)] == []


@LAW
def test_a_damaged_sample_is_read_or_refused(sample: Sample) -> None:
    chance = random.Random(sample.name)
    for _ in range(40):
        at = chance.randrange(len(sample.data))
        piece = sample.data[at : at + chance.randint(1, 40)]
        for changed in (
            sample.data[:at],
            sample.data[:at] + sample.data[at + len(piece) :],
            sample.data[:at] + piece + sample.data[at:],
        ):
            outcome(sample, changed)


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
