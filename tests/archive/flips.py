"""Change one byte of an archive, look, mend it from a copy: ``python tests/archive/flips.py 500``.

Half of the archives are as stored (each object a file), half as ``git gc`` leaves them, with a graph of commits and an
index over several packs. After each change no command may hang, crash or give a byte that was not stored; the check
names the damage or nothing was damaged; and mending from a sound copy leaves an archive that holds all of it.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import subprocess
import tempfile
import time
from collections import Counter
from datetime import datetime, timedelta
from pathlib import Path

from asfound.archive.archive import Archive
from asfound.archive.faults import told
from asfound.model.problem import Problem

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
SLOW = 60
"""Seconds that looking and mending together may take."""


def program(number: int, station: str) -> bytes:
    text = f"PROGRAM Main VAR a, b : BOOL; n : INT; END_VAR a := b; n := {number}; END_PROGRAM (* {station} *)"
    return text.encode()


def plant(path: Path) -> Path:
    """Two stations with three records each."""
    with Archive.create(path) as archive:
        for number in range(3):
            for station in ("booster-1", "screens-1"):
                files = [("main.st", program(number, station)), ("notes.bin", bytes(range(256)) * 4)]
                time = TIME + timedelta(days=number)
                archive.store(station, "as-left", {"running": files}, person="Ada", time=time)
    return path


def packed(path: Path) -> Path:
    """As git leaves it after tidying up twice, with records stored in between."""
    run = ["git", "-C", str(path)]
    subprocess.run([*run, "gc", "-q"], check=True)
    with Archive.open(path) as archive:
        for station in ("booster-1", "screens-1"):
            files = {"running": [("main.st", program(9, station))]}
            archive.store(station, "as-found", files, person="Bo", time=TIME + timedelta(days=9))
    for words in ("repack -d -q", "pack-refs --all", "commit-graph write --reachable", "multi-pack-index write"):
        subprocess.run([*run, *words.split()], check=True, capture_output=True)
    return path


def holds(path: Path) -> dict[str, list[tuple[str, bytes]]]:
    """Everything that can be read, by station and record; a :class:`Problem` when something cannot."""
    with Archive.open(path) as archive:
        return {
            f"{station}@{record.number}.{archive.commit_of(record)}": archive.files(record, "running")
            for station in archive.stations()
            for record in archive.records(station)
        }


def changed(path: Path, chance: random.Random, only: str = "") -> str:
    """Change one byte of one file; which."""
    files = sorted(p for p in path.rglob("*") if p.is_file() and p.stat().st_size and (not only or only in str(p)))
    groups = sorted({p.relative_to(path).parts[0] + p.suffix for p in files})
    group = chance.choice(groups)  # each kind of file as often as the others, however many there are
    file = chance.choice([p for p in files if p.relative_to(path).parts[0] + p.suffix == group])
    data, at = bytearray(file.read_bytes()), chance.randrange(file.stat().st_size)
    data[at] ^= chance.choice([1 << chance.randrange(8), chance.randrange(1, 256)])
    file.chmod(0o644)
    file.write_bytes(bytes(data))
    return f"{file.relative_to(path)} at {at}"


def look(path: Path, copy: Path, expected: dict[str, list[tuple[str, bytes]]]) -> str:
    """What became of one change; an AssertionError when it is not as promised."""
    before = time.monotonic()
    try:
        found = holds(path)
    except Problem:
        found = {}
    for name, files in found.items():
        assert files == expected[name], f"wrong bytes in {name}"
    with Archive.open(path, damaged=True) as archive:
        faults = archive.check().faults
    assert faults or found == expected, f"a damage that no check names: {sorted(set(expected) - set(found))}"
    with Archive.open(path, damaged=True) as archive, Archive.open(copy) as other:
        left, mended = archive.repair(other)
    assert not left.faults, f"not mended: {told(left.faults)} after {told(faults)}"
    assert holds(path) == expected
    with Archive.open(path) as archive:
        files = {"running": [("main.st", program(11, "x"))]}
        archive.store("booster-1", "as-left", files, person="Ada", time=TIME + timedelta(days=30))
    assert time.monotonic() - before < SLOW, "too slow"
    return "mended" if faults and mended else "named" if faults else "harmless"


def main() -> None:
    """Print what became of all changes, and each that broke a promise."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=None)
    parser.add_argument("--only", default="")
    given = parser.parse_args()
    chance, tally = random.Random(given.seed), Counter[str]()
    with tempfile.TemporaryDirectory() as folder:
        loose = plant(Path(folder) / "loose.git")
        gone = packed(plant(Path(folder) / "packed.git"))
        for number in range(given.count):
            source = (loose, gone)[number % 2]
            if given.only and not any(given.only in str(file) for file in source.rglob("*")):
                source = (gone, loose)[number % 2]
            path = Path(folder) / "plant.git"
            shutil.copytree(source, path)
            what = changed(path, chance, given.only)
            try:
                tally[look(path, source, holds(source))] += 1
            except Exception as error:
                tally["BROKEN"] += 1
                print(f"{source.name}: {what}: {type(error).__name__}: {error}", flush=True)
            shutil.rmtree(path)
            if os.environ.get("EACH"):
                print(number, what, flush=True)
    print(", ".join(f"{count} {word}" for word, count in sorted(tally.items())))


if __name__ == "__main__":
    main()
