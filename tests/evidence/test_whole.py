"""Statements, keys and hand-overs: whole or not there, and after a kill the next command needs no person."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from typer.testing import Result

from asfound.archive import whole
from asfound.archive.archive import Archive
from asfound.evidence import keys, placing, statement_files
from asfound.evidence.public import from_line

from .kit import keygen, needs_openssh, run

posix = pytest.mark.skipif(sys.platform == "win32", reason="modes and links of POSIX")
NAME = "booster-1-2"


def attest(*more: str | Path) -> Result:
    return run("attest", "plant.git:booster-1", "--by", "Ada Lind", *more)


def hidden(folder: Path) -> list[str]:
    return [path.name for path in folder.iterdir() if path.name.startswith(".asfound")]


def after(monkeypatch: pytest.MonkeyPatch, count: int) -> None:
    """As if the power went when this many files had their names: nothing more happens, nothing is tidied."""
    left = [count]
    real = whole.Beside.put

    def put(self: whole.Beside, inner: str, name: str, *, replace: bool = False, sync: bool = True) -> None:
        if not left[0]:
            os._exit(9)
        left[0] -= 1
        real(self, inner, name, replace=replace, sync=sync)

    monkeypatch.setattr(whole.Beside, "put", put)


def cut_off(monkeypatch: pytest.MonkeyPatch, count: int, *words: str) -> None:
    child = os.fork()
    if not child:
        after(monkeypatch, count)
        run(*words, input="\n\n")
        os._exit(1)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 9


# --- statements -------------------------------------------------------------------------------------------------------


@posix
@pytest.mark.parametrize("cut", [0, 1, 2, 3])
@pytest.mark.parametrize("first", [(), ("--key", "id")], ids=["unsigned", "signed"])
@pytest.mark.parametrize("then", [(), ("--key", "id")], ids=["unsigned", "signed"])
def test_a_statement_that_was_cut_off_is_written_by_the_next_attest(
    plant: Path, monkeypatch: pytest.MonkeyPatch, cut: int, first: tuple[str, ...], then: tuple[str, ...]
) -> None:
    if not first and cut > 1:
        pytest.skip("that is all of an unsigned one")
    words = ("attest", "plant.git:booster-1", "--by", "Ada Lind")
    cut_off(monkeypatch, cut, *words, *first)
    assert len(list(plant.glob(f"{NAME}.*"))) == cut
    assert len(hidden(plant)) == 1
    done = attest(*then)
    assert done.exit_code == 0, done.output
    expected = {NAME + suffix for suffix in (statement_files.SUFFIXES if then else (".json", ".txt"))}
    assert {path.name for path in plant.glob(f"{NAME}.*")} == expected
    assert hidden(plant) == []
    assert run("verify", f"{NAME}.json", *(("--signers", "signers") if then else ("--unsigned",))).exit_code == 0
    again = attest(*then)
    assert (again.exit_code, again.stderr) == (2, f"{NAME}.json: exists; choose another folder with --to.\n")


@pytest.mark.parametrize("suffix", statement_files.SUFFIXES)
@pytest.mark.parametrize("kind", ["other words", "another record", "cut short", "folder", "link"])
def test_what_somebody_else_calls_so_is_never_touched(plant: Path, suffix: str, kind: str) -> None:
    attest("--key", "id", "--to", "done")
    run("attest", "plant.git:booster-1@1", "--by", "Ada", "--key", "id", "--to", "done")
    place = plant / (NAME + suffix)
    if kind == "folder":
        place.mkdir()
    elif kind == "link":
        place.symlink_to(plant / "done" / (NAME + suffix))
    elif kind == "another record" and suffix != ".txt.sig":
        place.write_bytes((plant / "done" / f"booster-1-1{suffix}").read_bytes())
    else:
        data = (plant / "done" / (NAME + suffix)).read_bytes()
        place.write_bytes(data[: len(data) // 2] if kind == "cut short" else b"mine")
    before = place.read_bytes() if place.is_file() else None
    for more in ((), ("--key", "id")):
        done = attest(*more)
        assert (done.exit_code, done.stderr) == (2, f"{place.name}: exists; choose another folder with --to.\n")
    assert (place.read_bytes() if place.is_file() else None) == before
    assert [path.name for path in plant.glob(f"{NAME}*")] == [place.name]


def test_a_text_without_its_json_is_never_replaced(plant: Path) -> None:
    attest()
    before = (plant / f"{NAME}.txt").read_bytes()
    (plant / f"{NAME}.json").unlink()
    assert attest().stderr == f"{NAME}.txt: exists; choose another folder with --to.\n"
    assert (plant / f"{NAME}.txt").read_bytes() == before


def test_an_error_between_two_files_leaves_none(plant: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, left = whole.Beside.put, [2]

    def put(self: whole.Beside, inner: str, name: str, *, replace: bool = False, sync: bool = True) -> None:
        if not left[0]:
            raise OSError(28, "No space left on device")
        left[0] -= 1
        real(self, inner, name, replace=replace, sync=sync)

    monkeypatch.setattr(whole.Beside, "put", put)
    done = attest("--key", "id", "--to", "out")
    assert (done.exit_code, done.stderr) == (2, "out: the disk is full; make room on it and try again.\n")
    assert list(Path("out").iterdir()) == []


def test_the_text_comes_last() -> None:
    assert placing.ORDER[-1] == statement_files.TEXT and set(placing.ORDER) == set(statement_files.SUFFIXES)


# --- keys -------------------------------------------------------------------------------------------------------------


@posix
def test_a_private_key_is_private_from_its_first_byte(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[int] = []
    real = os.open

    def watched(path: str, flags: int, mode: int = 0o777, **more: int) -> int:
        handle = real(path, flags, mode, **more)
        if flags & os.O_CREAT:
            seen.append(stat.S_IMODE(os.fstat(handle).st_mode))
        return handle

    monkeypatch.setattr(os, "open", watched)
    before = os.umask(0)
    try:
        keys.generate(tmp_path / "id", "", "")
    finally:
        os.umask(before)
    assert seen == [0o600, 0o600, 0o644]  # the lock, then the two halves
    assert stat.S_IMODE((tmp_path / "id").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "id.pub").stat().st_mode) == 0o644


@posix
@pytest.mark.parametrize("cut", [0, 1])
def test_a_key_that_was_cut_off_is_completed_by_the_next_key_new(
    plant: Path, monkeypatch: pytest.MonkeyPatch, cut: int
) -> None:
    cut_off(monkeypatch, cut, "key", "new", "mine", "--by", "Ada Lind")
    assert (Path("mine").exists(), Path("mine.pub").exists(), len(hidden(plant))) == (bool(cut), False, 1)
    before = Path("mine").read_bytes() if cut else None
    done = run("key", "new", "mine", "--by", "Ada Lind", **({} if cut else {"input": "\n\n"}))
    assert done.exit_code == 0, done.output
    assert hidden(plant) == []
    if cut:
        assert Path("mine").read_bytes() == before
        assert done.stdout.splitlines()[:2] == [
            "mine was there already, made earlier with its own passphrase, and mine.pub was missing.",
            "Made mine.pub (give it to anybody) from it; mine is as it was (keep it to yourself).",
        ]
    assert keys.load(Path("mine"), lambda: "").public == from_line(Path("mine.pub").read_text())
    assert Path("mine.pub").read_text().split()[2] == "Ada-Lind"
    again = run("key", "new", "mine", "--by", "Ada Lind", input="\n\n")
    assert (again.exit_code, again.stderr) == (2, "mine: exists; choose another name; a key is never replaced.\n")


@needs_openssh
@pytest.mark.parametrize("words", ["", "long and odd"])
def test_the_public_half_is_read_without_the_passphrase(plant: Path, words: str) -> None:
    keygen("-q", "-t", "ed25519", "-N", words, "-f", "theirs")
    public = from_line(Path("theirs.pub").read_text())
    Path("theirs.pub").unlink()
    done = run("key", "show", "theirs", "--by", "Ada")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[0] == f"Fingerprint: {public.fingerprint}"
    keygen("-q", "-t", "ecdsa", "-N", "", "-f", "other")
    Path("other.pub").unlink()
    said = run("key", "show", "other", "--by", "Ada").stderr
    assert said == "other: is no Ed25519 key of OpenSSH; `asfound key new FILE` makes a key.\n"


@posix
@pytest.mark.parametrize("kind", ["readable by others", "link", "no key", "cut short"])
def test_a_private_key_that_somebody_else_could_have_put_there_is_not_taken_for_ones_own(
    plant: Path, kind: str
) -> None:
    keys.generate(plant / "theirs", "", "")
    data = (plant / "theirs").read_bytes()
    mine = plant / "mine"
    if kind == "link":
        mine.symlink_to("theirs")
    else:
        mine.write_bytes({"no key": b"my diary", "cut short": data[:100]}.get(kind, data))
        mine.chmod(0o644 if kind == "readable by others" else 0o600)
    done = run("key", "new", "mine", "--by", "Ada")
    assert (done.exit_code, done.stderr) == (2, "mine: exists; choose another name; a key is never replaced.\n")
    assert not (plant / "mine.pub").exists()


def test_a_lone_public_half_is_never_replaced_and_nothing_is_asked_first(plant: Path) -> None:
    Path("mine.pub").write_text("theirs")
    done = run("key", "new", "mine", "--by", "Ada")
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr == "mine.pub: exists; choose another name; a key is never replaced.\n"
    assert not Path("mine").exists()


# --- hand-overs -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("more", [(), ("--zip",)], ids=["folder", "zip"])
@pytest.mark.parametrize("signed", [(), ("--key", "id")], ids=["unsigned", "signed"])
def test_a_hand_over_that_would_not_verify_gets_no_name(
    plant: Path, monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...], signed: tuple[str, ...]
) -> None:
    """One byte of what the archive gives out changed, as a damaged disk or memory would."""
    real = Archive.tree

    def tree(self: Archive, record: object) -> object:
        for path, parts in real(self, record):  # type: ignore[arg-type]
            data = b"".join(parts)
            yield path, (data.replace(b"NOT", b"not") if path.startswith("originals/") else data,)

    monkeypatch.setattr(Archive, "tree", tree)
    before = sorted(path.name for path in plant.iterdir())
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind", *more, *signed)
    said = "originals/running/main program.st is not the file that was stated"
    start = f"{plant / 'plant.git'}: a hand-over of record 2 of booster-1 would not verify: {said}"
    assert done.exit_code == 2 and done.stderr.startswith(start), done.output
    assert done.stderr.endswith(f"; `asfound check {plant / 'plant.git'}` tells what is damaged.\n")
    assert done.stdout == ""
    assert sorted(path.name for path in plant.iterdir()) == before


@posix
@pytest.mark.parametrize("more", [(), ("--zip",)], ids=["folder", "zip"])
def test_what_a_killed_hand_over_left_is_removed_by_the_next(plant: Path, more: tuple[str, ...]) -> None:
    script = """
import os
from asfound.cli import main
from asfound.evidence import handover
handover._verify = lambda *words: os.kill(os.getpid(), 9)
main.run()
"""
    words = ("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind", *more)
    killed = subprocess.run([sys.executable, "-c", script, *words], capture_output=True, check=False)
    assert killed.returncode == -9
    assert len(hidden(plant)) == 1 and not list(plant.glob("ho*"))
    done = run(*words)
    assert done.exit_code == 0, done.output
    assert hidden(plant) == []


def test_a_zip_that_is_there_is_said_before_the_work(plant: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Path("ho.zip").write_bytes(b"mine")
    monkeypatch.setattr("asfound.cli.signing.stated", None)
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind", "--zip")
    assert (done.exit_code, done.stderr) == (2, "ho.zip: exists; choose a new name.\n")
    assert Path("ho.zip").read_bytes() == b"mine"


def test_the_zip_is_the_folder_and_the_same_each_time(plant: Path) -> None:
    assert run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind", "--zip").exit_code == 0
    with zipfile.ZipFile("ho.zip") as packed:
        assert packed.testzip() is None
        names = packed.namelist()
    assert names == sorted(names) and all(name.startswith("ho/") for name in names)


@pytest.mark.parametrize("name", [".", ".."])
@pytest.mark.parametrize("more", [(), ("--zip",)])
def test_a_folder_without_a_name_is_one_sentence(plant: Path, name: str, more: tuple[str, ...]) -> None:
    done = run("handover", "plant.git:booster-1", "--to", name, "--by", "Ada Lind", *more)
    assert (done.exit_code, done.stderr) == (2, f"{name}: is no name for a hand-over; choose a new name.\n")


def test_a_full_disk_leaves_no_hand_over(plant: Path) -> None:
    stick = plant / "stick"
    stick.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=60k", "tmpfs", str(stick)]
    if sys.platform != "linux" or subprocess.run(mount, capture_output=True, check=False).returncode:
        pytest.skip("a file system of its own may not be mounted here")
    try:
        for more, name in (((), "ho"), (("--zip",), "ho.zip")):
            done = run("handover", "plant.git:booster-1", "--to", stick / "ho", "--by", "Ada Lind", *more)
            said = f"{stick / name}: the disk is full; make room on it and try again.\n"
            assert (done.exit_code, done.stderr) == (2, said)
            assert list(stick.iterdir()) == []
    finally:
        subprocess.run(["umount", "-l", str(stick)], check=False)
