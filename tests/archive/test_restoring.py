"""A restore stays below the folder that was named, whatever stands there and whatever a record says."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from functools import partial
from pathlib import Path

import pytest
from stand_ins import TIME

from asfound.archive import restoring
from asfound.archive.archive import Archive
from asfound.model.copy import Source
from asfound.model.problem import Problem
from asfound.model.record import Record

posix = pytest.mark.skipif(sys.platform == "win32", reason="links need a right of their own there")
FILES = [("a.pou", b"POU A"), ("sub/b.pou", b"POU B")]


@pytest.fixture
def record(archive: Archive) -> Record:
    return archive.store("booster-1", "routine", {"running": FILES}, person="Ada", time=TIME)


def refused(archive: Archive, record: Record, to: Path) -> str:
    with pytest.raises(Problem) as caught:
        archive.restore(record, to)
    return str(caught.value)


@posix
@pytest.mark.parametrize("link", ["running", "running/sub", "running/a.pou", "running/sub/b.pou"])
@pytest.mark.parametrize("leads", ["elsewhere", "nowhere", "out"])
def test_a_link_on_the_way_is_refused_and_nothing_is_written(
    archive: Archive, record: Record, tmp_path: Path, link: str, leads: str
) -> None:
    elsewhere, to = tmp_path / "elsewhere", tmp_path / "out"
    elsewhere.mkdir()
    (to / link).parent.mkdir(parents=True)
    (to / link).symlink_to(tmp_path / leads)
    before = sorted(tmp_path.joinpath("out").rglob("*"))
    advice = "remove the link, or restore to an empty folder"
    assert refused(archive, record, to) == f"{to / link}: is a link that leads elsewhere; {advice}."
    assert (sorted(to.rglob("*")), list(elsewhere.iterdir())) == (before, [])


@posix
def test_a_link_to_the_very_same_file_is_refused_too(archive: Archive, record: Record, tmp_path: Path) -> None:
    (tmp_path / "same").write_bytes(b"POU A")
    (tmp_path / "out" / "running").mkdir(parents=True)
    (tmp_path / "out" / "running" / "a.pou").symlink_to(tmp_path / "same")
    assert "is a link that leads elsewhere" in refused(archive, record, tmp_path / "out")


@posix
@pytest.mark.parametrize("swapped", ["running", "running/sub"])
def test_a_link_put_there_between_the_look_and_the_write_leads_nowhere(
    archive: Archive, record: Record, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, swapped: str
) -> None:
    elsewhere, to, real = tmp_path / "elsewhere", tmp_path / "out", restoring.refuse_replacing
    elsewhere.mkdir()
    (to / "running" / "sub").mkdir(parents=True)

    def look_then_swap(*words: object) -> None:
        real(*words)  # type: ignore[arg-type]
        (to / swapped).rename(tmp_path / "moved")
        (to / swapped).symlink_to(elsewhere)

    monkeypatch.setattr(restoring, "refuse_replacing", look_then_swap)
    assert refused(archive, record, to).startswith(f"{to / swapped}: is a link that leads elsewhere; ")
    assert list(elsewhere.iterdir()) == []


@posix
def test_the_folder_that_a_person_names_may_be_a_link(archive: Archive, record: Record, tmp_path: Path) -> None:
    (tmp_path / "disk").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "disk")
    assert len(archive.restore(record, tmp_path / "out")) == 2
    assert (tmp_path / "disk" / "running" / "sub" / "b.pou").read_bytes() == b"POU B"


def test_a_file_where_a_folder_is_needed_is_one_sentence(archive: Archive, record: Record, tmp_path: Path) -> None:
    (tmp_path / "out" / "running").mkdir(parents=True)
    place = tmp_path / "out" / "running" / "sub"
    place.write_text("mine")
    said = refused(archive, record, tmp_path / "out")
    assert said == f"{place}: is a file where a folder is needed; restore to an empty folder."
    assert sorted(path.name for path in place.parent.iterdir()) == ["sub"]


@posix
def test_a_pipe_in_the_place_of_a_file_is_one_sentence(archive: Archive, record: Record, tmp_path: Path) -> None:
    place = tmp_path / "out" / "running" / "a.pou"
    place.parent.mkdir(parents=True)
    os.mkfifo(place)
    said = refused(archive, record, tmp_path / "out")
    assert said == f"{place}: exists with another content; restore to an empty folder."


@pytest.mark.parametrize("copy", ["../../x", "/etc", "..", ".", "", "a\\b", "C:", "C:x", "CON", "Running", "other"])
def test_a_copy_of_any_other_name_is_refused_before_anything_is_looked_at(
    archive: Archive, record: Record, tmp_path: Path, copy: str
) -> None:
    out, data = tmp_path / "out", b"x"
    source = Source("x", hashlib.sha256(data).hexdigest(), 1, "")
    for action in (restoring.write, restoring.refuse_replacing):
        with pytest.raises(Problem, match=r"a record names a copy '.*', and none is called so; `asfound check` tells"):
            action([("x", partial(iter, (data,)))], [source], out, copy)
    with pytest.raises(Problem, match="and none is called so"):
        archive.restore(record, out, [copy or " "])
    assert not out.exists()


HOSTILE = [
    "../x",
    "/etc/x",
    "a/../../x",
    "..",
    "./x",
    "a//x",
    "x/",
    "CON/x",
    ".git/x",
    "c:/x",
    "..\\x",
    "\\\\s\\x",
    "n\0x",
]


@pytest.mark.parametrize("name", [*HOSTILE, ".asfound-new-0123456789abcdef/lock"])
def test_a_file_of_any_name_lands_below_the_copy(tmp_path: Path, name: str) -> None:
    out, data = tmp_path / "deep" / "er" / "out", b"x"
    source = Source(name, hashlib.sha256(data).hexdigest(), 1, "")
    (done,) = restoring.write([(name, partial(iter, (data,)))], [source], out, "running")
    assert (done.name, done.path.read_bytes()) == (name, data)
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert files == [done.path]
    assert done.path.resolve().is_relative_to((out / "running").resolve())


@posix
def test_what_a_killed_restore_left_is_removed_by_the_next(archive: Archive, record: Record, tmp_path: Path) -> None:
    left = tmp_path / "out" / "running" / "sub" / ".asfound-new-0123456789abcdef"
    left.mkdir(parents=True)
    (left / "new0").write_bytes(b"PO")
    archive.restore(record, tmp_path / "out")
    assert sorted(path.name for path in (tmp_path / "out").rglob("*")) == ["a.pou", "b.pou", "running", "sub"]


def test_a_full_disk_is_one_sentence_and_what_was_written_is_whole(archive: Archive, tmp_path: Path) -> None:
    big = [(f"{at}.bin", bytes([at]) * 400_000) for at in range(4)]
    record = archive.store("booster-1", "routine", {"running": [*FILES, *big]}, person="Ada", time=TIME)
    stick = tmp_path / "stick"
    stick.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(stick)]
    if sys.platform != "linux" or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a file system of its own may not be mounted here")
    try:
        said = refused(archive, record, stick / "out")
        assert said == f"{stick / 'out' / 'running' / '2.bin'}: the disk is full; make room on it and try again."
        there = {p.name: p.read_bytes() for p in (stick / "out").rglob("*") if p.is_file()}
        assert there == dict(big[:2])
    finally:
        subprocess.run(["umount", "-l", str(stick)], check=False)
