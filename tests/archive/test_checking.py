"""Damages of every kind, each named by station, record and file; and what a second archive mends."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from stand_ins import TIME, install

import asfound
from asfound.archive.archive import Archive
from asfound.archive.faults import Fault, told

NOISE = bytes(range(256)) * 8


def git(path: Path, *arguments: str, data: bytes = b"", **environment: str) -> str:
    done = subprocess.run(
        ["git", "-C", str(path), *arguments],
        input=data,
        capture_output=True,
        check=True,
        env={**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, **environment},
    )
    return done.stdout.decode("utf-8").strip()


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three records of booster-1 and one of mixer."""
    path = tmp_path_factory.mktemp("stored") / "plant.git"
    with pytest.MonkeyPatch.context() as patch, Archive.create(path) as archive:
        install(patch)
        for number in (1, 2, 3):
            files = [("main.pou", b"POU Main"), ("n.bin", NOISE), (f"{number}.bin", NOISE[number:])]
            time = TIME + timedelta(days=number)
            archive.store("booster-1", "routine", {"running": files}, person="Ada Lind", time=time)
        archive.store("mixer", "as-left", {"card": [("main.pou", b"POU Mixer")]}, person="Bo Ek", time=TIME)
    return path


@pytest.fixture
def plant(stored: Path, tmp_path: Path) -> Path:
    """The archive to damage; ``backup.git`` beside it is a copy."""
    shutil.copytree(stored, tmp_path / "backup.git")
    return Path(shutil.copytree(stored, tmp_path / "plant.git"))


def checked(path: Path) -> list[str]:
    with Archive.open(path, damaged=True) as archive:
        found = archive.check()
        return told(found.faults)


def mended(path: Path) -> tuple[list[str], int]:
    with Archive.open(path, damaged=True) as archive, Archive.open(path.with_name("backup.git")) as other:
        found, count = archive.repair(other)
        return told(found.faults), count


def same_as_backup(path: Path) -> bool:
    heads = ("for-each-ref", "--format=%(refname) %(objectname)")
    git(path, "fsck", "--full", "--strict")
    return git(path, *heads) == git(path.with_name("backup.git"), *heads)


def loose(path: Path, name: str) -> Path:
    found = git(path, "rev-parse", name)
    return path / "objects" / found[:2] / found[2:]


def flip(file: Path, at: int) -> None:
    data = bytearray(file.read_bytes())
    data[at] ^= 0x10
    file.chmod(0o644)
    file.write_bytes(data)


def test_a_sound_archive(plant: Path) -> None:
    with Archive.open(plant) as archive:
        assert archive.check()._replace(size=0, files=0) == (2, 4, 0, 0, (), (), 0, 0, True)
        assert archive.check().files == 14
    before = sorted((p, p.stat().st_mtime_ns) for p in plant.rglob("*"))
    checked(plant)
    assert sorted((p, p.stat().st_mtime_ns) for p in plant.rglob("*")) == before, "a check writes nothing"


# --- objects --------------------------------------------------------------------------------------------------------

OBJECTS = {
    "an original": (
        "stations/booster-1~1:originals/running/2.bin",
        "booster-1@2: originals/running/2.bin: is missing or cannot be read",
    ),
    "an original in every record": (
        "stations/booster-1:originals/running/n.bin",
        "booster-1@1 to 3: originals/running/n.bin: is missing or cannot be read",
    ),
    "a normal form": (
        "stations/mixer:normal/card/program/Mixer.txt",
        "mixer@1: normal/card/program/Mixer.txt: is missing or cannot be read",
    ),
    "a record": (
        "stations/booster-1~1:record.json",
        "booster-1@2: record.json: is missing or cannot be read",
    ),
    "a folder": (
        "stations/booster-1~2:originals",
        "booster-1@1: originals: the folder is missing or cannot be read",
    ),
    "a commit": (
        "stations/booster-1~1",
        "booster-1@2: its commit {id} is missing or cannot be read; what was stored before cannot be seen",
    ),
}


@pytest.mark.parametrize("kind", OBJECTS)
@pytest.mark.parametrize("how", ["deleted", "a bit flipped", "emptied"])
def test_a_damaged_object_is_named_and_mended(plant: Path, kind: str, how: str) -> None:
    name, line = OBJECTS[kind]
    file = loose(plant, name)
    line = line.replace("{id}", (file.parent.name + file.name)[:12])
    if how == "deleted":
        file.unlink()
    elif how == "emptied":
        file.chmod(0o644)
        file.write_bytes(b"")
    else:
        flip(file, file.stat().st_size // 2)
    found = [text.replace("is damaged", "is missing or cannot be read") for text in checked(plant)]
    assert line in found, found
    assert all(text.startswith(line.split("@")[0]) for text in found), found
    assert mended(plant) == ([], 1)
    assert same_as_backup(plant)


@pytest.mark.parametrize("at", [30, 0.3, 0.6, -30])
def test_a_bit_flipped_in_a_pack_is_named_and_mended(plant: Path, at: float) -> None:
    git(plant, "gc", "-q")
    (pack,) = (plant / "objects" / "pack").glob("*.pack")
    flip(pack, int(pack.stat().st_size * at) if 0 < at < 1 else int(at))
    assert checked(plant)
    faults, count = mended(plant)
    assert faults == [] and count >= 1
    assert same_as_backup(plant)
    assert [path.suffix for path in sorted((plant / "damaged").iterdir())] != [], "the damaged pack is kept"


def test_a_pack_index_that_is_damaged_is_noticed(plant: Path) -> None:
    git(plant, "gc", "-q")
    (index,) = (plant / "objects" / "pack").glob("*.idx")
    flip(index, index.stat().st_size - 30)
    assert any("git fsck says" in line for line in checked(plant)), checked(plant)


def test_what_the_second_archive_does_not_have_stays_named(plant: Path) -> None:
    file = loose(plant, "stations/booster-1~1:originals/running/2.bin")
    file.unlink()
    loose(plant.with_name("backup.git"), "stations/booster-1~1:originals/running/2.bin").unlink()
    line = "booster-1@2: originals/running/2.bin: is missing or cannot be read"
    assert mended(plant) == ([line], 0)


# --- branches -------------------------------------------------------------------------------------------------------


def set_back(path: Path) -> None:
    (path / "refs/heads/stations/booster-1").write_text(git(path, "rev-parse", "stations/booster-1~1") + "\n")


def set_far_back(path: Path) -> None:
    git(path, "update-ref", "refs/heads/stations/booster-1", "stations/booster-1~2")


BRANCHES: dict[str, tuple[Callable[[Path], object], str]] = {
    "garbage": (
        lambda path: (path / "refs/heads/stations/booster-1").write_bytes(b"\0" * 41),
        "booster-1: refs/heads/stations/booster-1: the branch is damaged or gone",
    ),
    "emptied": (
        lambda path: (path / "refs/heads/stations/booster-1").write_bytes(b""),
        "booster-1: refs/heads/stations/booster-1: the branch is damaged or gone",
    ),
    "deleted": (
        lambda path: (path / "refs/heads/stations/booster-1").unlink(),
        "booster-1: refs/heads/stations/booster-1: the branch is damaged or gone",
    ),
    "another id": (
        lambda path: (path / "refs/heads/stations/booster-1").write_text("12" * 20 + "\n"),
        "booster-1: its commit 121212121212 is missing or cannot be read; what was stored before cannot be seen",
    ),
    "set back": (
        set_back,
        "booster-1@3: stored as {tip}, but the branch ends before it (set back, or stopped in that instant)",
    ),
}


@pytest.mark.parametrize("kind", BRANCHES)
def test_a_damaged_branch_is_named_and_mended(plant: Path, kind: str) -> None:
    damage, line = BRANCHES[kind]
    tip = git(plant, "rev-parse", "stations/booster-1")[:12]
    damage(plant)
    assert line.replace("{tip}", tip) in checked(plant), checked(plant)
    assert mended(plant) == ([], 1)
    assert same_as_backup(plant)


def test_a_branch_set_back_with_git_is_named_and_never_moved_by_force(plant: Path) -> None:
    tips = [git(plant, "rev-parse", f"stations/booster-1{back}")[:12] for back in ("", "~1")]
    set_far_back(plant)
    line = "but no longer in the history; the branch was set back or rewritten"
    assert checked(plant) == [f"booster-1@2: stored as {tips[1]}, {line}", f"booster-1@3: stored as {tips[0]}, {line}"]
    assert mended(plant) == (checked(plant), 0)


def test_a_foreign_reference_is_named(plant: Path) -> None:
    git(plant, "update-ref", "refs/heads/main", "stations/mixer")
    git(plant, "tag", "v1", "stations/mixer")
    what = "is no branch of a station and does not belong here"
    assert checked(plant) == [f"refs/heads/main: {what}", f"refs/tags/v1: {what}"]


# --- history --------------------------------------------------------------------------------------------------------


def committed(path: Path, tree: str, *parents: str, message: str) -> str:
    who = {f"GIT_{r}_{k}": v for r in ("AUTHOR", "COMMITTER") for k, v in (("NAME", "Ada Lind"), ("EMAIL", ""))}
    date = git(path, "log", "-1", "--format=%ad", "--date=raw", "stations/booster-1")
    dates = {"GIT_AUTHOR_DATE": date, "GIT_COMMITTER_DATE": date}
    options = [word for parent in parents for word in ("-p", git(path, "rev-parse", parent))]
    return git(path, "commit-tree", *options, tree, data=message.encode(), **who, **dates)


def with_file(path: Path, commit: str, name: str, data: bytes) -> str:
    """The tree of a commit with one file replaced."""
    index = {"GIT_INDEX_FILE": str(path / "index")}
    git(path, "read-tree", commit, **index)
    blob = git(path, "hash-object", "-w", "--stdin", data=data)
    git(path, "update-index", "--add", "--cacheinfo", f"100644,{blob},{name}", **index)
    tree = git(path, "write-tree", **index)
    (path / "index").unlink()
    return tree


def rewritten(path: Path, name: str, data: bytes) -> list[str]:
    """What a check says when the last record of booster-1 is made anew with another file, log and all."""
    message = git(path, "log", "-1", "--format=%B", "stations/booster-1")
    new = committed(path, with_file(path, "stations/booster-1", name, data), "stations/booster-1~1", message=message)
    git(path, "update-ref", "refs/heads/stations/booster-1", new)
    (path / "logs/refs/heads/stations/booster-1").unlink()
    return checked(path)


def test_a_rewritten_record_is_named_by_the_log(plant: Path) -> None:
    old = git(plant, "rev-parse", "stations/booster-1")
    record = git(plant, "show", "stations/booster-1:record.json").encode() + b"\n"
    tree = with_file(plant, "stations/booster-1", "record.json", record.replace(b'"routine"', b'"as-left"'))
    message = git(plant, "log", "-1", "--format=%B", "stations/booster-1")
    git(plant, "update-ref", "refs/heads/stations/booster-1", committed(plant, tree, f"{old}~1", message=message))
    line = f"booster-1@3: stored as {old[:12]}, but no longer in the history; the branch was set back or rewritten"
    said = "booster-1@3: record.json: the message of its commit says something else than the record"
    assert checked(plant) == [said, line]


@pytest.mark.parametrize(
    ("name", "old", "new", "line"),
    [
        ("record.json", b"Ada Lind", b"Eve", "booster-1@3: record.json: it names Eve, its commit Ada Lind"),
        (
            "record.json",
            b"2026-04-03T09",
            b"2026-04-03T10",
            "booster-1@3: record.json: it has the time 2026-04-03T10:30:00+02:00, its commit 1775201400 +0200",
        ),
        (
            "record.json",
            b'"number": 3',
            b'"number": 4',
            "booster-1@4: record.json: it has the number 4 after record 2",
        ),
        (
            "record.json",
            b'"station": "booster-1"',
            b'"station": "booster-2"',
            "booster-2@3: record.json: it belongs to another station than its branch refs/heads/stations/booster-1",
        ),
        ("record.json", b"{", b"[", "booster-1@3: record.json: is missing or cannot be understood"),
        (
            "originals/running/3.bin",
            NOISE[3:],
            NOISE[3:] + b"!",
            "booster-1@3: originals/running/3.bin: is not what was stored (its digest is not that of the record)",
        ),
        ("originals/running/4.bin", b"", b"more", "booster-1@3: originals/running/4.bin: is not named in record.json"),
        (
            "normal/running/program/Main.txt",
            b"PROGRAM Main",
            b"PROGRAM Other",
            "booster-1@3: normal/running: is not the normal form that was stored (its digest differs)",
        ),
    ],
)  # fmt: skip
def test_a_record_made_anew_is_named(plant: Path, name: str, old: bytes, new: bytes, line: str) -> None:
    shown = subprocess.run(
        ["git", "-C", str(plant), "cat-file", "blob", f"stations/booster-1:{name}"], capture_output=True, check=False
    ).stdout
    assert line in rewritten(plant, name, shown.replace(old, new) if shown else new)


def test_a_second_parent_of_an_ordinary_record_is_named(plant: Path) -> None:
    message = git(plant, "log", "-1", "--format=%B", "stations/booster-1")
    tree = git(plant, "rev-parse", "stations/booster-1^{tree}")
    new = committed(plant, tree, "stations/booster-1~1", "stations/booster-1~2", message=message)
    git(plant, "update-ref", "refs/heads/stations/booster-1", new)
    (plant / "logs/refs/heads/stations/booster-1").unlink()
    line = "booster-1@3: record.json: an ordinary record with 2 parents; it can have only one"
    assert line in checked(plant)


# --- normal form ----------------------------------------------------------------------------------------------------


def learn(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if a later version wrote the normal form of a POU otherwise."""
    import sys

    module = sys.modules["asfound.language.normal"]
    monkeypatch.setattr(
        module, "normal_form", lambda copy: {f"program/{p.name}.txt": f"program {p.name}\n" for p in copy.program.pous}
    )


def test_a_normal_form_that_this_version_cannot_reproduce_is_a_fault(
    plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    learn(monkeypatch)
    version = asfound.__version__
    assert checked(plant) == [
        f"booster-1@1 to 3: normal/running: asfound {version} makes another normal form of the originals: "
        "program/Main.txt",
        f"mixer@1: normal/card: asfound {version} makes another normal form of the originals: program/Mixer.txt",
    ]


def test_one_of_an_earlier_version_is_explained(plant: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stored = asfound.__version__
    learn(monkeypatch)
    monkeypatch.setattr(asfound, "__version__", "9.0")
    with Archive.open(plant) as archive:
        found = archive.check()
    assert found.faults == ()
    what = f"stored by asfound {stored}; asfound 9.0 makes another normal form of the originals: program/Main.txt"
    assert found.remarks[0] == Fault("booster-1", "1", "normal/running", what)
