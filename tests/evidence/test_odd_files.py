"""What is no plain file, or cannot be read, where a file of evidence is expected: one sentence, and never a hang."""

from __future__ import annotations

import os
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from asfound.evidence import files as opened
from asfound.evidence.folder import Checking
from asfound.reports.statement import text

from .kit import run, sentence

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no pipes as files")
NO_FILE = "is a pipe, a device or a socket, not a file"


def pipe(path: Path) -> None:
    os.mkfifo(path)


def socket_(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as one, one:
        here = Path.cwd()
        os.chdir(path.parent)  # the whole path may be too long for one
        one.bind(path.name)
        os.chdir(here)


def device(path: Path) -> None:
    path.symlink_to("/dev/zero")


KINDS: list[tuple[Callable[[Path], None], str]] = [
    (pipe, NO_FILE),
    (socket_, NO_FILE),
    (device, "is a link, not a file"),
]
kinds = pytest.mark.parametrize(("make", "what"), KINDS, ids=["pipe", "socket", "device"])


def faults(folder: Path) -> list[str]:
    return list(Checking(folder, None, text).run().faults)


@kinds
@pytest.mark.parametrize(
    "name",
    [
        "SHA256SUMS",
        "SHA256SUMS.sig",
        "statement.txt",
        "statement.json",
        "signers",
        "history.bundle",
        "normal/x",
        "VERIFY.txt",
    ],
)
def test_in_a_hand_over(folder: Path, name: str, make: Callable[[Path], None], what: str) -> None:
    (folder / name).unlink(missing_ok=True)
    make(folder / name)
    assert f"{name} {what}" in faults(folder)
    done = run("verify", folder)
    assert done.exit_code == 1
    assert sentence(done) == "Nothing is proved: what is marked with ! does not hold."


@pytest.mark.parametrize("make", [pipe, socket_, device], ids=["pipe", "socket", "device"])
def test_as_a_key_or_a_file_of_signers(plant: Path, make: Callable[[Path], None]) -> None:
    make(plant / "odd")
    for command in (
        ("attest", "plant.git:booster-1", "--by", "Ada"),
        ("handover", "plant.git:booster-1", "--by", "Ada", "--to", "ho"),
        ("store", "plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--by", "Ada"),
    ):
        done = run(*command, "--key", "odd")
        assert (done.exit_code, done.stderr) == (2, f"odd: the key {NO_FILE}; `asfound key new FILE` makes a key.\n")
    assert not Path("ho").exists()
    run("attest", "plant.git:booster-1", "--by", "Ada")
    done = run("verify", "booster-1-2.txt", "--signers", "odd")
    assert (done.exit_code, done.stderr) == (2, f"odd: {NO_FILE}; name a file of signers.\n")


@pytest.mark.parametrize("make", [pipe, socket_, device], ids=["pipe", "socket", "device"])
@pytest.mark.parametrize(
    "name", ["booster-1-2.txt", "booster-1-2.json", "booster-1-2.dsse.json", "booster-1-2.txt.sig"]
)
def test_as_a_file_of_a_statement(plant: Path, name: str, make: Callable[[Path], None]) -> None:
    run("attest", "plant.git:booster-1", "--by", "Ada", "--key", "id")
    Path(name).unlink()
    make(plant / name)
    for asked in ("booster-1-2.txt", name):
        done = run("verify", asked)
        assert (done.exit_code, done.stderr) == (2, f"{name}: {NO_FILE}; check the name.\n")


def test_a_link_to_a_key_is_the_key(plant: Path) -> None:
    Path("linked").symlink_to("id")
    assert run("attest", "plant.git:booster-1", "--by", "Ada", "--key", "linked").exit_code == 0


def test_an_added_empty_folder_is_told(folder: Path) -> None:
    (folder / "normal" / "more" / "inside").mkdir(parents=True)
    (folder / "empty").mkdir()
    assert faults(folder) == [
        "empty is an empty folder, which does not belong here",
        "normal/more/inside is an empty folder, which does not belong here",
    ]
    assert run("verify", folder).exit_code == 1


def test_a_path_of_5000_bytes_is_told(folder: Path) -> None:
    here = Path.cwd()
    os.chdir(folder)
    for _ in range(20):
        os.mkdir("x" * 250)  # noqa: PTH102 - a step at a time, for the whole is beyond what the system takes
        os.chdir("x" * 250)
    Path("file").write_text("x")
    os.chdir(here)
    (fault,) = faults(folder)
    assert fault.startswith("xxx")
    assert fault.endswith(" cannot be read (File name too long)")
    done = run("verify", folder)
    assert done.exit_code == 1


@pytest.mark.parametrize(
    "words", [("verify",), ("verify", "x.txt", "--signers"), ("attest", "plant.git:booster-1", "--key")]
)
def test_a_path_of_5000_bytes_in_a_command_is_one_sentence(plant: Path, words: tuple[str, ...]) -> None:
    done = run(*words, "x" * 250 + "/" + "y/" * 2400)
    assert done.exit_code == 2
    assert "cannot be read (File name too long)" in done.stderr
    assert done.stderr.count("\n") == 1


@pytest.mark.skipif(sys.platform != "linux", reason="file systems that take names of any bytes")
def test_names_that_are_no_utf8_are_told(folder: Path) -> None:
    with open(os.fsencode(folder) + b"/normal/\xff\xfe", "wb") as file:  # noqa: PTH123 - bytes
        file.write(b"x")
    os.mkdir(os.fsencode(folder) + b"/\xff")  # noqa: PTH102 - bytes
    done = run("verify", folder)
    assert done.exit_code == 1
    assert "! normal/\\u{dcff}\\u{dcfe} does not belong here: SHA256SUMS does not name it\n" in done.stdout
    assert "! \\u{dcff} is an empty folder, which does not belong here\n" in done.stdout
    named = run("verify", os.fsdecode(b"\xff.txt"))
    assert (named.exit_code, named.stderr) == (
        2,
        "\\u{dcff}.txt: cannot be read (No such file or directory); check the name.\n",
    )


def test_a_list_that_is_no_utf8_is_told(folder: Path) -> None:
    (folder / "SHA256SUMS").write_bytes(b"0" * 64 + b"  \xff\n" + (folder / "SHA256SUMS").read_bytes())
    assert "SHA256SUMS: is no list of sums; it was altered." in faults(folder)


def test_what_may_not_be_read_is_told(folder: Path) -> None:
    (folder / "index.html").chmod(0)
    if os.access(folder / "index.html", os.R_OK):
        pytest.skip("who runs this may read everything")
    (folder / "normal").chmod(0)
    found = faults(folder)
    (folder / "normal").chmod(0o755)
    assert "index.html cannot be read (Permission denied)" in found
    assert "normal cannot be read (Permission denied)" in found


@pytest.mark.parametrize("name", ["index.html", "statement.json"])
def test_an_error_while_reading_is_told(folder: Path, name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.open

    def failing(path: object, *more: int, **where: int) -> int:
        if str(path).endswith(name):
            raise PermissionError(13, "Permission denied")
        return real(path, *more, **where)  # type: ignore[call-overload, no-any-return]

    monkeypatch.setattr(os, "open", failing)
    done = run("verify", folder)
    assert done.exit_code == 1
    assert f"! {name} cannot be read (Permission denied)\n" in done.stdout


@pytest.mark.parametrize("name", ["SHA256SUMS", "statement.json", "statement.txt", "signers", "SHA256SUMS.sig"])
def test_a_gigabyte_where_a_few_lines_are_expected_is_told_and_not_held(folder: Path, name: str) -> None:
    with (folder / name).open("r+b") as file:
        file.truncate(1_000_000_000)  # a hole: no disk is filled
    limit = {"signers": "10 MB", "SHA256SUMS.sig": "100 kB"}.get(name, "64 MB")
    assert f"{name} is larger than {limit}" in faults(folder)
    assert run("verify", folder).exit_code == 1


def test_a_gigabyte_of_a_statement_alone(plant: Path) -> None:
    run("attest", "plant.git:booster-1", "--by", "Ada")
    with Path("booster-1-2.json").open("r+b") as file:
        file.truncate(1_000_000_000)
    done = run("verify", "booster-1-2.txt")
    assert (done.exit_code, done.stderr) == (2, "booster-1-2.json: is larger than 64 MB; check the name.\n")


def test_each_file_is_opened_once(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, seen = os.open, list[str]()

    def counted(path: object, *more: int, **where: int) -> int:
        seen.append(str(path))
        return real(path, *more, **where)  # type: ignore[call-overload, no-any-return]

    monkeypatch.setattr(os, "open", counted)
    assert faults(folder) == []
    there = [str(path) for path in folder.rglob("*") if path.is_file()]
    assert sorted(path for path in seen if path in there) == sorted(there)
    assert opened.MAX_SMALL < opened.MAX_SIGNERS < opened.MAX_STATEMENT
