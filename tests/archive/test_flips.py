"""A wrong byte anywhere in an archive: a few of those that ``flips.py`` tries by hundreds."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from flips import changed, holds, look, packed, plant


@pytest.fixture(autouse=True)
def small_readers() -> None:
    """The real readers: what is stored is checked again."""


@pytest.mark.parametrize("tidied", [False, True])
def test_a_wrong_byte_is_named_and_mended_from_a_copy(tmp_path: Path, tidied: bool) -> None:
    source = plant(tmp_path / "source.git")
    if tidied:
        packed(source)
    expected, chance, said = holds(source), random.Random(f"flips {tidied}"), set()
    for number in range(15):
        path = tmp_path / f"{number}.git"
        shutil.copytree(source, path)
        what = changed(path, chance)
        try:
            said.add(look(path, source, expected))
        except AssertionError as error:
            raise AssertionError(f"{what}: {error}") from None
    assert "mended" in said


FILES = ["HEAD", "config", "refs/heads/stations/booster-1", "logs/refs/heads/stations/booster-1", "packed-refs"]
DERIVED = ["objects/info/commit-graph", "objects/pack/multi-pack-index"]


@pytest.mark.parametrize("how", ["emptied", "zeros", "half", "gone"])
def test_what_stands_beside_the_records_can_be_lost(tmp_path: Path, how: str) -> None:
    source = plant(tmp_path / "source.git")
    tidied = packed(plant(tmp_path / "tidied.git"))
    indexes = [str(path.relative_to(tidied)) for path in (tidied / "objects" / "pack").glob("*.idx")]
    for at, name in enumerate([*FILES, *DERIVED, *indexes]):
        whole = source if (source / name).exists() else tidied
        path = tmp_path / f"{at}.git"
        shutil.copytree(whole, path)
        file = path / name
        data = file.read_bytes()
        file.chmod(0o644)
        if how == "gone":
            file.unlink()
        else:
            file.write_bytes({"emptied": b"", "zeros": bytes(len(data)), "half": data[: len(data) // 2]}[how])
        try:
            look(path, whole, holds(whole))
        except AssertionError as error:
            raise AssertionError(f"{name}: {error}") from None


def test_a_damaged_graph_of_commits_hides_no_record(tmp_path: Path) -> None:
    """git believes it without noticing, and left out records; asfound does not ask it."""
    path = packed(plant(tmp_path / "plant.git"))
    graph, expected = path / "objects" / "info" / "commit-graph", holds(path)
    data = graph.read_bytes()
    graph.chmod(0o644)
    for at in range(20, len(data), len(data) // 25):
        graph.write_bytes(data[:at] + bytes([data[at] ^ 0x55]) + data[at + 1 :])
        assert holds(path) == expected, at
