"""Laptops that store the same stations apart and meet: over folders, over file:// and over git:// on this computer."""

from __future__ import annotations

import itertools
import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from stand_ins import TIME, snapshot

from asfound.archive import syncing
from asfound.archive.archive import Archive
from asfound.archive.remotes import Remote
from asfound.archive.syncing import Exchanged
from asfound.model.problem import Problem
from asfound.model.record import Join

CLOCK = itertools.count(1)


def store(path: Path, person: str, station: str = "booster-1", *, minutes: int | None = None) -> None:
    at = TIME + timedelta(minutes=next(CLOCK) if minutes is None else minutes)
    files = [("main.pou", b"POU Main"), ("who.txt", f"{person} {at}".encode())]
    with Archive.open(path) as archive:
        archive.store(station, "routine", {"running": files}, person=person, time=at)


def sync(path: Path, other: object, **more: bool) -> tuple[Exchanged, ...]:
    with Archive.open(path) as archive:
        return archive.sync(str(other), **more)


def git(path: Path, *words: str) -> str:
    done = subprocess.run(["git", "-C", str(path), *words], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def tips(path: Path) -> str:
    return git(path, "for-each-ref", "--format=%(refname) %(objectname)")


def named(path: Path, station: str = "booster-1") -> list[str]:
    """What history shows: the name of each record and who stored it."""
    with Archive.open(path) as archive:
        shown = archive.history(station)
        return [f"{name} {record.person}" if not isinstance(record, Join) else "joined" for name, record in shown]


def is_whole(path: Path) -> None:
    git(path, "fsck", "--full", "--strict")
    with Archive.open(path) as archive:
        assert archive.check().faults == ()


@pytest.fixture
def laptops(tmp_path: Path) -> list[Path]:
    """a.git, b.git and c.git, which share two records of booster-1."""
    first = tmp_path / "a.git"
    Archive.create(first).close()
    for _ in range(2):
        store(first, "Ada")
    return [first, *(Path(shutil.copytree(first, tmp_path / f"{name}.git")) for name in "bc")]


# --- promises -------------------------------------------------------------------------------------------------------


def test_two_laptops_lose_nothing(laptops: list[Path]) -> None:
    a, b, _ = laptops
    store(a, "Ada")
    store(b, "Bo")
    store(b, "Bo", "mixer")
    assert sync(a, b) == (Exchanged("booster-1", 1, 1, True), Exchanged("mixer", 1, 0, False))
    assert tips(a) == tips(b)
    ids = [git(a, "rev-parse", f"stations/booster-1^{parent}")[:6] for parent in (1, 2)]
    assert named(a) == named(b) == ["1 Ada", "2 Ada", f"3.{ids[0]} Ada", f"3.{ids[1]} Bo", "joined"]
    assert sync(b, a) == ()
    store(b, "Bo")
    assert named(b)[-1] == "4 Bo"
    assert sync(a, b) == (Exchanged("booster-1", 1, 0, False),)
    for path in (a, b):
        is_whole(path)


def test_a_number_never_silently_means_another_record(laptops: list[Path]) -> None:
    a, b, _ = laptops
    store(a, "Ada", minutes=500)
    store(b, "Bo", minutes=600)
    with Archive.open(a) as archive:
        mine = archive.record("booster-1", "3")
        long = f"3.{git(a, 'rev-parse', 'stations/booster-1')[:8]}"
        assert archive.record("booster-1", long) == mine
    sync(a, b)
    for path in (a, b):
        with Archive.open(path) as archive:
            assert archive.record("booster-1", long) == mine
            assert archive.record("booster-1").person == "Bo", "the latest by time, and no join"
            assert archive.record("booster-1", "2").person == "Ada"
            with pytest.raises(Problem) as caught:
                archive.record("booster-1", "3")
            assert re.fullmatch(
                r"station booster-1: there are 2 records '3'; write "
                r"@3\.[0-9a-f]{6} \(Ada, 2026-03-31T17:50\) and @3\.[0-9a-f]{6} \(Bo, 2026-03-31T19:30\)\.",
                str(caught.value),
            )


@pytest.mark.parametrize("seed", range(4))
def test_any_order_of_pairwise_syncs_ends_the_same(laptops: list[Path], seed: int) -> None:
    """Three laptops store and meet at random; then each pair meets twice: all hold the same, under the same names."""
    chance, seen = random.Random(seed), dict[str, str]()
    for _ in range(7):
        if chance.random() < 0.55:
            path = chance.choice(laptops)
            store(path, path.stem, minutes=chance.randrange(1000))
            tip = git(path, "rev-parse", "stations/booster-1").strip()
            seen[tip] = git(path, "show", "stations/booster-1:record.json")
        else:
            sync(*chance.sample(laptops, 2))
    for pair in list(itertools.combinations(laptops, 2)) * 2:
        sync(*pair)
    assert len({tips(path) for path in laptops}) == 1
    with Archive.open(laptops[0]) as archive:
        records = archive.history("booster-1")
        assert sum(not isinstance(record, Join) for _, record in records) == 2 + len(seen)
    for commit, record in seen.items():
        assert git(laptops[2], "show", f"{commit}:record.json") == record
        git(laptops[2], "merge-base", "--is-ancestor", commit, "stations/booster-1")
    assert named(laptops[0]) == named(laptops[1]) == named(laptops[2])
    names = [name.split(" ")[0] for name in named(laptops[0]) if name != "joined"]
    assert len(set(names)) == len(names)
    with Archive.open(laptops[1]) as archive:
        assert all(archive.record("booster-1", name).number == int(name.split(".")[0]) for name in names)
    is_whole(laptops[0])


def test_both_laptops_make_the_same_join(laptops: list[Path], tmp_path: Path) -> None:
    a, b, _ = laptops
    store(a, "Ada")
    store(b, "Bo")
    others = [Path(shutil.copytree(path, tmp_path / f"{path.stem}2.git")) for path in (a, b)]
    sync(a, b)
    sync(others[1], others[0])
    assert len({tips(path) for path in (a, b, *others)}) == 1


def test_a_station_that_two_laptops_began_apart(tmp_path: Path) -> None:
    for name in "ab":
        Archive.create(tmp_path / f"{name}.git").close()
        store(tmp_path / f"{name}.git", name, "Screens-1" if name == "a" else "screens-1")
    assert sync(tmp_path / "b.git", tmp_path / "a.git") == (Exchanged("Screens-1", 1, 1, True),)
    assert [re.sub(r"\..*? ", ". ", name) for name in named(tmp_path / "a.git", "screens-1")] == [
        "1. a",
        "1. b",
        "joined",
    ]
    is_whole(tmp_path / "a.git")


# --- ways -----------------------------------------------------------------------------------------------------------


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """An address served by git over a socket, and the plain bare repository behind it."""
    folder = tmp_path / "served"
    subprocess.run(["git", "init", "-q", "--bare", str(folder / "plant.git")], check=True)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = ["git", "daemon", "--reuseaddr", "--listen=127.0.0.1", f"--port={port}", "--export-all"]
    command += ["--enable=receive-pack", f"--base-path={folder}", str(folder)]
    daemon = subprocess.Popen(command, stderr=subprocess.DEVNULL, start_new_session=True)
    for _ in range(100):
        with socket.socket() as probe:
            if not probe.connect_ex(("127.0.0.1", port)):
                break
        time.sleep(0.05)
    yield f"git://127.0.0.1:{port}/plant.git", folder / "plant.git"
    os.killpg(daemon.pid, signal.SIGTERM)
    daemon.wait()


@pytest.mark.skipif(sys.platform == "win32", reason="the daemon is ended by its process group")
def test_over_a_socket(laptops: list[Path], served: tuple[str, Path]) -> None:
    meet(laptops, *served)


def test_over_a_plain_bare_repository(laptops: list[Path], tmp_path: Path) -> None:
    subprocess.run(["git", "init", "-q", "--bare", str(tmp_path / "hub.git")], check=True)
    meet(laptops, (tmp_path / "hub.git").as_uri(), tmp_path / "hub.git")


@pytest.mark.skipif(sys.platform == "win32", reason="a shell script stands in for ssh")
def test_over_ssh(laptops: list[Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The program that git calls for ssh is replaced by one that runs the command here."""
    script = tmp_path / "ssh"
    script.write_text('#!/bin/sh\nfor last; do :; done\nexec sh -c "$last"\n')
    script.chmod(0o755)
    monkeypatch.setenv("GIT_SSH", str(script))
    monkeypatch.setenv("GIT_SSH_VARIANT", "ssh")
    subprocess.run(["git", "init", "-q", "--bare", str(tmp_path / "hub.git")], check=True)
    meet(laptops, f"ssh://nobody@host.invalid{tmp_path / 'hub.git'}", tmp_path / "hub.git")


def meet(laptops: list[Path], address: str, place: Path) -> None:
    """Two laptops through a third place."""
    a, b, _ = laptops
    store(a, "Ada")
    store(b, "Bo")
    assert sync(a, address) == (Exchanged("booster-1", 0, 3, False),)
    assert sync(b, address) == (Exchanged("booster-1", 1, 1, True),)
    assert sync(a, address) == (Exchanged("booster-1", 1, 0, False),)
    assert tips(a) == tips(b) == tips(place)
    git(place, "fsck", "--full", "--strict")


def test_a_stick_stands_for_the_archive_of_the_same_name_on_it(laptops: list[Path], tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    stick.mkdir()
    with pytest.raises(Problem) as caught:
        sync(laptops[0], stick)
    assert str(caught.value) == f"{stick}: holds no archive; `asfound init {stick / 'a.git'}` makes one there."
    Archive.create(stick / "a.git").close()
    assert sync(laptops[0], stick) == (Exchanged("booster-1", 0, 2, False),)
    assert tips(laptops[0]) == tips(stick / "a.git")


# --- care -----------------------------------------------------------------------------------------------------------


def test_a_dry_run_says_what_would_move_and_changes_nothing(laptops: list[Path]) -> None:
    a, b, _ = laptops
    store(a, "Ada")
    store(b, "Bo")
    store(b, "Bo", "mixer")
    before = snapshot(a), snapshot(b)
    said = sync(a, b, dry_run=True)
    assert (snapshot(a), snapshot(b)) == before
    assert said == sync(a, b)
    assert sync(a, b, dry_run=True) == ()


def test_records_that_come_in_between_are_joined_too(laptops: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    """The other side stores after its branches were listed: it refuses what does not contain that."""
    a, b, _ = laptops
    store(a, "Ada")
    real, late = Remote.tips, [True]

    def listed(self: Remote) -> dict[str, str]:
        found = real(self)
        if late.pop() if late else False:
            store(b, "Bo")
        return found

    monkeypatch.setattr(Remote, "tips", listed)
    assert sync(a, b) == (Exchanged("booster-1", 1, 1, True),)
    assert tips(a) == tips(b)


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork and SIGKILL")
def test_an_interrupted_sync_goes_on(laptops: list[Path], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(syncing, "BATCH", 2)
    a, b, _ = laptops
    for number in range(6):
        store(a, "Ada", f"line-{number}")
        store(b, "Bo", f"tank-{number}")
    store(a, "Ada")
    store(b, "Bo")
    for delay in (0.05, 0.15, 0.3, 0.5, 0.8):
        child = os.fork()
        if not child:
            os.setsid()
            try:
                sync(a, b)
            finally:
                os._exit(0)
        time.sleep(delay)
        os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
        for path in (a, b):
            git(path, "fsck", "--full", "--strict")
    monkeypatch.setattr("asfound.archive.disk.STALE", 0.3)
    (b / "refs/heads/stations/booster-1.lock").touch()  # what a stick pulled out may hold
    sync(a, b)
    assert tips(a) == tips(b)
    assert len(tips(a).splitlines()) == 13
    is_whole(a)
    is_whole(b)


def test_what_is_no_record_is_not_taken(laptops: list[Path]) -> None:
    a, b, _ = laptops
    git(b, "update-ref", "refs/heads/stations/mixer", "refs/heads/stations/booster-1")
    (refused,) = [found for found in sync(a, b) if found.refused]
    assert refused.station == "mixer"
    assert refused.refused.endswith(
        "record.json: it belongs to another station than its branch refs/heads/stations/mixer"
    )
    assert "mixer" not in tips(a)


@pytest.mark.parametrize(
    ("other", "message"),
    [
        ("nowhere", "nowhere: does not exist; connect the disk, or make an archive with `asfound init`."),
        ("-x", "-x: does not exist; connect the disk, or make an archive with `asfound init`."),
        ("{a}", "{a}: is the archive itself; name the other one."),
    ],
)
def test_a_mistake_is_one_sentence(laptops: list[Path], other: str, message: str) -> None:
    before = snapshot(laptops[0])
    with pytest.raises(Problem) as caught:
        sync(laptops[0], other.replace("{a}", str(laptops[0])))
    assert str(caught.value) == message.replace("{a}", str(laptops[0]))
    assert snapshot(laptops[0]) == before


def test_an_address_that_does_not_answer_is_one_sentence(laptops: list[Path]) -> None:
    with pytest.raises(Problem) as caught:
        sync(laptops[0], "git://127.0.0.1:9/plant.git")
    assert str(caught.value).startswith("git://127.0.0.1:9/plant.git: could not be reached (")
    assert str(caught.value).endswith("; run the same command again; what has arrived is kept.")


# --- settings given apart --------------------------------------------------------------------------------------------


def give(path: Path, person: str, switch: str, minutes: int) -> str:
    """Give the station settings; the id of the commit."""
    text = f'schema = "asfound/station/1"\nname = "booster-1"\n[ready.reset]\nswitch = "{switch}"\n'
    with Archive.open(path) as archive:
        at = TIME + timedelta(minutes=minutes)
        archive.store("booster-1", "routine", {}, settings=text.encode(), person=person, time=at)
    return git(path, "rev-parse", "stations/booster-1").strip()


def lost(moved: tuple[Exchanged, ...]) -> list[tuple[str, str]]:
    return [tuple(each) for found in moved for each in found.not_kept]


def lost_in_history(path: Path) -> list[tuple[str, str]]:
    with Archive.open(path) as archive:
        joins = [record for _, record in archive.history("booster-1") if isinstance(record, Join)]
        return [tuple(found) for join in joins if (found := archive.not_kept(join))]


def test_settings_given_apart_are_not_dropped_without_a_word(laptops: list[Path]) -> None:
    a, b, c = laptops
    commit = give(a, "Ada", "off", 500)
    store(a, "Ada", minutes=510)
    give(b, "Bo", "mandatory", 600)
    gone = [(f"3.{commit[:6]}", commit)]
    assert lost(sync(a, b, dry_run=True)) == lost(sync(a, b)) == gone
    for path in (a, b):
        assert lost_in_history(path) == gone
        with Archive.open(path) as archive:
            assert b"mandatory" in archive.settings("booster-1")
            assert b"off" in archive.settings("booster-1", archive.record("booster-1", gone[0][0]))
        is_whole(path)
    assert lost(sync(c, b)) == gone, "whoever gets the join from another laptop is told too"
    assert sync(c, a) == ()


def test_settings_that_the_other_line_only_inherited_take_the_place_of_new_ones_with_a_word(
    laptops: list[Path],
) -> None:
    a, b, _ = laptops
    give(a, "Ada", "advised", 400)
    sync(a, b)
    commit = give(a, "Ada", "off", 500)
    store(b, "Bo", minutes=600)
    assert lost(sync(b, a)) == [(f"4.{commit[:6]}", commit)]
    with Archive.open(a) as archive:
        assert b"advised" in archive.settings("booster-1")


@pytest.mark.parametrize("case", ["both the same", "only the later", "only the earlier", "none"])
def test_nothing_is_told_where_no_settings_are_lost(laptops: list[Path], case: str) -> None:
    a, b, _ = laptops
    if case != "only the earlier":
        store(a, "Ada", minutes=490)
    if case in ("both the same", "only the earlier"):
        give(a, "Ada", "off", 500)
    if case in ("both the same", "only the later"):
        give(b, "Bo", "off", 600)
    store(b, "Bo", minutes=610)
    assert lost(sync(a, b)) == lost_in_history(a) == []
    with Archive.open(a) as archive:
        assert (b"off" in archive.settings("booster-1")) == (case != "none")


@pytest.mark.parametrize("time", ["2026-03-31T09:30:00", "yesterday"])
def test_a_record_whose_time_cannot_be_compared_is_not_taken(laptops: list[Path], time: str) -> None:
    """It would stop every later store of its station."""
    a, b, _ = laptops
    text = git(b, "show", "stations/booster-1:record.json")
    bad = re.sub(r'"time": "[^"]*"', f'"time": "{time}"', text)
    assert bad != text

    def made(command: str, given: str) -> str:
        words = ["git", "-C", str(b), *command.split()]
        done = subprocess.run(words, input=given.encode(), capture_output=True, check=True)
        return done.stdout.decode().strip()

    blob = made("hash-object -w --stdin", bad)
    listing = git(b, "ls-tree", "stations/booster-1")
    listing = re.sub(r"blob [0-9a-f]+\trecord\.json", f"blob {blob}\trecord.json", listing)
    tree = made("mktree", listing)
    who = ("-c", "user.name=x", "-c", "user.email=x@y")
    commit = git(b, *who, "commit-tree", tree, "-p", "stations/booster-1", "-m", "x").strip()
    git(b, "update-ref", "refs/heads/stations/booster-1", commit)
    before = tips(a)
    (refused,) = sync(a, b)
    assert refused.refused == "record.json: is missing or cannot be understood"
    assert tips(a) == before
    with Archive.open(b) as archive:
        assert archive.check().faults
