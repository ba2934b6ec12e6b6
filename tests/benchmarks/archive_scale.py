"""How an archive grows: ``python tests/benchmarks/archive_scale.py [--stations 300] [--records 40] [--long 1000]``.

Small made-up exports (a program of forty networks of structured text, three of which change per record, and a tag
table). Times of single commands in an archive with one station and in one with all, their ratio; a station with a
thousand records; and the size against a plain git repository of the same exports, both after ``git gc``.
"""

from __future__ import annotations

import argparse
import random
import shutil
import subprocess
import tempfile
import time
import tomllib
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from asfound.archive.archive import Archive
from asfound.readers.reading import gather

START = datetime.fromisoformat("2020-01-01T08:00:00+01:00")
LINES, TAGS = 400, 120
SAMPLES = Path(__file__).parents[2] / "sample_exports"


def exports(station: int, record: int) -> list[tuple[str, bytes]]:
    """A program and a tag table; each record differs from the one before in three statements."""
    state = [0] * LINES
    for step in range(record):
        chance = random.Random(station * 100_003 + step)
        for _ in range(3):
            state[chance.randrange(LINES)] += 1
    names = [f"S{station}_V{at}" for at in range(LINES)]
    declared = "".join(f"  {name} : INT;\n" for name in names)
    body = "".join(f"{name} := {names[at - 1]} + {state[at] * 7 + at};\n" for at, name in enumerate(names))
    tags = "".join(f"T{station}_{at},%IX{at}.{at % 8},BOOL,input {at}\n" for at in range(TAGS))
    program = f"PROGRAM Main\nVAR\n{declared}END_VAR\n{body}END_PROGRAM\n"
    return [("main.st", program.encode()), ("tags.csv", f"name,address,type,comment\n{tags}".encode())]


def store(archive: Archive, station: int, record: int) -> None:
    """One record."""
    when = START + timedelta(days=record, minutes=station)
    archive.store(f"station-{station:03}", "routine", {"running": exports(station, record)}, person="Ada", time=when)


def timed(action: Callable[[], object], times: int = 5) -> float:
    """The best of several runs, in seconds."""
    best = float("inf")
    for _ in range(times):
        start = time.perf_counter()
        action()
        best = min(best, time.perf_counter() - start)
    return best


def gc_size(path: Path) -> int:
    """Bytes of all packs after git gc."""
    subprocess.run(["git", "-C", str(path), "gc", "-q", "--prune=now"], check=True)
    return sum(file.stat().st_size for file in path.rglob("*.pack"))


def plain(path: Path, station: int, records: int) -> int:
    """Bytes of the same exports, committed one after the other with plain git, after gc."""
    subprocess.run(["git", "init", "-q", str(path)], check=True)
    git = ["git", "-C", str(path), "-c", "user.name=A", "-c", "user.email=a@example.org"]
    for record in range(records):
        for name, data in exports(station, record):
            (path / name).write_bytes(data)
        subprocess.run([*git, "add", "-A"], check=True)
        subprocess.run([*git, "commit", "-q", "--allow-empty", "-m", str(record)], check=True)
    return gc_size(path / ".git")


def samples(folder: Path) -> float:
    """Size of the sample exports (up to half a megabyte each) in an archive, against plain git; after gc."""
    plan = tomllib.loads((SAMPLES / "demo.toml").read_text(encoding="utf-8"))["record"]
    other = folder / "samples"
    subprocess.run(["git", "init", "-q", str(other)], check=True)
    git = ["git", "-C", str(other), "-c", "user.name=A", "-c", "user.email=a@example.org"]
    with Archive.create(folder / "samples.git") as archive:
        for entry in plan:
            exported = SAMPLES / entry["folder"]
            copies = {copy.name: gather(copy) for copy in sorted(exported.iterdir()) if copy.is_dir()}
            archive.store(entry["station"], entry["moment"], copies, person="Ada", time=entry["time"])
            shutil.copytree(exported, other / entry["station"], dirs_exist_ok=True)
            subprocess.run([*git, "add", "-A"], check=True)
            subprocess.run([*git, "commit", "-q", "-m", entry["folder"]], check=True)
    return gc_size(folder / "samples.git") / gc_size(other / ".git")


def commands(path: Path, station: int, records: int) -> dict[str, float]:
    """Seconds of what a person does with one station."""

    def opened(action: Callable[[Archive], object]) -> Callable[[], None]:
        def run() -> None:
            with Archive.open(path) as archive:
                action(archive)

        return run

    name, numbers = f"station-{station:03}", iter(range(records, records + 100))
    return {
        "store": timed(opened(lambda a: store(a, station, next(numbers)))),
        "history": timed(opened(lambda a: a.history(name))),
        "read a record": timed(opened(lambda a: a.copy(a.record(name, "2"), "running"))),
    }


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--stations", type=int, default=300)
    parser.add_argument("--records", type=int, default=40)
    parser.add_argument("--long", type=int, default=1000)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        one, many, long = (Path(folder) / f"{name}.git" for name in ("one", "many", "long"))
        for path, stations, records in ((one, 1, given.records), (many, given.stations, given.records)):
            grow(path, stations, records)
        grow(long, 1, given.long)
        print(f"{given.stations} stations x {given.records} records against 1 station x {given.records} records:")
        alone, among = commands(one, 0, given.records), commands(many, given.stations // 2, given.records)
        for what, seconds in alone.items():
            print(f"  {what}: {among[what] * 1000:.0f} ms, {among[what] / seconds:.2f} times")
        print(f"1 station x {given.long} records against 1 station x {given.records} records:")
        for what, seconds in commands(long, 0, given.long).items():
            print(f"  {what}: {seconds * 1000:.0f} ms, {seconds / alone[what]:.2f} times")
        whole(many, Path(folder))
        print(f"size after gc, sample exports: {samples(Path(folder)):.2f} times plain git")
        print(
            f"size after gc, {given.long} records: {gc_size(long) / plain(Path(folder) / 'plain', 0, given.long):.2f}"
        )


def grow(path: Path, stations: int, records: int) -> None:
    """Fill a new archive, station after station."""
    start = time.perf_counter()
    with Archive.create(path) as archive:
        for station in range(stations):
            for record in range(records):
                store(archive, station, record)
    spent = time.perf_counter() - start
    print(f"stored {stations * records} records, {spent / (stations * records) * 1000:.0f} ms each", flush=True)


def whole(path: Path, folder: Path) -> None:
    """Check and sync of everything."""
    with Archive.open(path) as archive:
        start = time.perf_counter()
        checked = archive.check()
        print(
            f"check: {(time.perf_counter() - start) / checked.records * 1000:.1f} ms per record, {len(checked.faults)} faults"
        )
        Archive.create(folder / "other.git").close()
        start = time.perf_counter()
        archive.sync(str(folder / "other.git"))
        print(f"first sync: {(time.perf_counter() - start) / checked.records * 1000:.1f} ms per record")
        print(f"sync with nothing to do: {timed(lambda: archive.sync(str(folder / 'other.git'))) * 1000:.0f} ms")


if __name__ == "__main__":
    main()
