"""Umlauts in the names below ``normal/`` are escaped once; records in which they are escaped twice are as good."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.archive import adding as storing
from asfound.archive.archive import Archive
from asfound.archive.content import Content, bodies_of
from asfound.archive.safe_names import stored_paths
from asfound.language.normal import normal_form
from asfound.readers.reading import read_files

TIME = datetime(2026, 11, 17, 8, 30, tzinfo=UTC)
POU = "FUNCTION_BLOCK {0}\nVAR\n  a : BOOL;\nEND_VAR\na := NOT a;\nEND_FUNCTION_BLOCK\n"
FILES = [
    ("süd.st", "".join(map(POU.format, ("Förderband", "förderband2", "Con", "A_1"))).encode()),
    ("Tür%41 ü.csv", b"name;address\nLampe;%QX0.1\n"),
]
ONCE = {
    "normal/running/program/pous/F%C3%B6rderband.st",
    "normal/running/program/pous/f%C3%B6rderband2.st",
    "normal/running/program/pous/%43on.st",
    "normal/running/program/pous/A_1.st",
    "normal/running/tags/T%C3%BCr%2541%20%C3%BC.csv",
}


def twice(contents: Sequence[Content]) -> dict[str, bytes]:
    """How records were written before: the names of the normal form escaped as names of files are."""
    files = {path: data for path, data in bodies_of(contents).items() if not path.startswith("normal/")}
    for content in contents:
        for name, path in stored_paths(content.normal).items():
            files[f"normal/{content.name}/{path}"] = content.normal[name].encode()
    return files


def stored(folder: Path) -> Archive:
    archive = Archive.create(folder)
    archive.store("pump", "routine", {"running": FILES}, person="Ada", time=TIME)
    return archive


@pytest.fixture(params=["now", "before"])
def either(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An archive with one record, written now or as it was written before."""
    with monkeypatch.context() as patched:
        if request.param == "before":
            patched.setattr(storing, "bodies_of", twice)
        stored(tmp_path / "plant.git").close()
    return tmp_path / "plant.git"


def listed(folder: Path) -> set[str]:
    words = ["git", "-C", str(folder), "ls-tree", "-r", "--name-only", "stations/pump", "normal/"]
    return set(subprocess.run(words, capture_output=True, check=True, encoding="utf-8").stdout.split("\n")) - {""}


def test_git_lists_them_escaped_once(tmp_path: Path) -> None:
    stored(tmp_path / "plant.git").close()
    assert listed(tmp_path / "plant.git") == ONCE


def test_the_record_of_before_is_another_one(either: Path) -> None:
    """Without this the tests below would show nothing."""
    odd = {name for name in listed(either) if "%25C3" in name or "%2543" in name}
    assert bool(odd) is (listed(either) != ONCE)


def test_it_is_checked_read_and_restored(either: Path, tmp_path: Path) -> None:
    with Archive.open(either) as archive:
        found = archive.check()
        assert (found.faults, found.remarks) == ((), ())
        record = archive.record("pump")
        assert archive.normal(record, "running") == normal_form(read_files(FILES))
        archive.restore(record, tmp_path / "out")
    assert sorted((p.name, p.read_bytes()) for p in (tmp_path / "out").rglob("*.*")) == sorted(FILES)


def test_a_changed_text_is_found_in_either(either: Path) -> None:
    """One letter of a normal form, put into a record that still states the old digest."""
    git = ["git", "-C", str(either), "-c", "user.name=x", "-c", "user.email=x@example.org"]

    def run(*words: str, data: bytes = b"") -> str:
        return subprocess.run([*git, *words], input=data, capture_output=True, check=True).stdout.decode().strip()

    name = next(name for name in sorted(listed(either)) if "rderband.st" in name)
    blob = run("hash-object", "-w", "--stdin", data=b"nothing")
    run("read-tree", "stations/pump")
    run("update-index", "--add", "--cacheinfo", f"100644,{blob},{name}")
    commit = run("commit-tree", "-m", "x", run("write-tree"))
    run("update-ref", "refs/heads/stations/pump", commit)
    with Archive.open(either) as archive:
        assert any("is not the normal form that was stored" in fault.what for fault in archive.check().faults)
