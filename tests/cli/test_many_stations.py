"""A check of many stations runs on all cores; what it says does not depend on how many there are."""

from __future__ import annotations

import os
import subprocess
from datetime import datetime
from pathlib import Path

from asfound.archive.archive import Archive

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")


def git(path: Path, *words: str) -> str:
    environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull}
    done = subprocess.run(["git", "-C", str(path), *words], capture_output=True, check=True, text=True, env=environment)
    return done.stdout.strip()


def test_damage_is_told_in_the_order_of_the_stations(tmp_path: Path) -> None:
    with Archive.create(tmp_path / "plant.git") as archive:
        for number in range(1, 10):
            for record in range(2):
                data = b"PROGRAM Main VAR a : INT; END_VAR a := %d; END_PROGRAM" % (10 * number + record)
                archive.store(f"pump-{number}", "routine", {"running": [("a.st", data)]}, person="Ada", time=TIME)
        for number in (2, 5, 9):
            blob = git(archive.path, "rev-parse", f"stations/pump-{number}:originals/running/a.st")
            (archive.path / "objects" / blob[:2] / blob[2:]).unlink()
    answers = []
    for processes in (1, 2, 16):
        told: list[str] = []
        with Archive.open(archive.path, damaged=True, processes=processes) as opened:
            answers.append(opened.check(told.append))
        assert told == [f"pump-{number}" for number in range(1, 10)]
    assert answers[0] == answers[1] == answers[2]
    faulty = [fault.station for fault in answers[0].faults if fault.file == "originals/running/a.st"]
    assert faulty == ["pump-2", "pump-5", "pump-9"]
    assert (answers[0].stations, answers[0].records) == (9, 18)
