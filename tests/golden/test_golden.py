"""Archives that earlier versions made: every record, byte and name must still be there, and the next record go on top."""

from __future__ import annotations

import subprocess
import zipfile
from datetime import datetime
from pathlib import Path

import pytest
from make_golden import told

import asfound
from asfound.archive.archive import Archive
from asfound.model.record import Join

HERE = Path(__file__).parent
GOLDEN = sorted(path.stem for path in HERE.glob("archive-*.zip"))


@pytest.fixture(params=GOLDEN)
def golden(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    with zipfile.ZipFile(HERE / f"{request.param}.zip") as packed:
        packed.extractall(tmp_path / request.param)
    return tmp_path / str(request.param)


def test_there_is_one_of_this_version() -> None:
    assert f"archive-{asfound.__version__}" in GOLDEN


def test_every_record_and_byte_is_there(golden: Path, tmp_path: Path) -> None:
    with Archive.open(golden) as archive:
        assert told(archive) == (HERE / f"{golden.name}.txt").read_text(encoding="utf-8")
        for record in archive.records("rechen süd"):
            done = archive.restore(record, tmp_path / f"out {record.number} {record.person[:2]}")
            assert len(done) == 9 + len(record.attachments)
            assert archive.copy(record, "running").program.pous[0].name == "Main"
            assert archive.normal(record, "running")


def test_a_check_finds_nothing_but_what_readers_have_learnt_since(golden: Path) -> None:
    with Archive.open(golden) as archive:
        found = archive.check()
    assert (found.stations, found.records) == (1, 5)
    assert all("makes another normal form of the originals" in fault.what for fault in (*found.faults, *found.remarks))


def test_it_can_be_carried_on(golden: Path, tmp_path: Path) -> None:
    time = datetime.fromisoformat("2027-01-01T12:00:00+01:00")
    with Archive.open(golden) as archive, Archive.create(tmp_path / "new.git") as new:
        number = archive.record("rechen süd").number
        copies = {"running": archive.files(archive.record("rechen süd"), "running")}
        assert archive.store("RECHEN SÜD", "routine", copies, person="Ada", time=time).number == number + 1
        assert archive.sync(str(new.path))[0].sent == 6
        assert sum(isinstance(record, Join) for _, record in new.history("rechen süd")) == 1
    fsck = ["git", "-C", str(tmp_path / "new.git"), "fsck", "--full", "--strict"]
    assert subprocess.run(fsck, capture_output=True, check=False).returncode == 0
