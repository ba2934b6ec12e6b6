"""An archive, and small readers for it."""

from __future__ import annotations

from pathlib import Path

import pytest
from stand_ins import install

from asfound.archive.archive import Archive


@pytest.fixture(autouse=True)
def small_readers(monkeypatch: pytest.MonkeyPatch) -> None:
    install(monkeypatch)


@pytest.fixture
def archive(tmp_path: Path):
    with Archive.create(tmp_path / "plant.git") as opened:
        yield opened
