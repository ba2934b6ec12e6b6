"""A record of many files costs reads, not processes: a hand-over and its check take no longer than a restore."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from .kit import FIRST, run


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """What was started since the list was emptied."""
    found: list[object] = []
    begin: Callable[..., None] = subprocess.Popen.__init__

    def counted(self: object, command: object, *more: object, **options: object) -> None:
        found.append(command)
        begin(self, command, *more, **options)

    monkeypatch.setattr(subprocess.Popen, "__init__", counted)
    return found


def test_more_files_start_no_more_processes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, started: list[object]
) -> None:
    monkeypatch.chdir(tmp_path)
    run("init", "plant.git")
    counts = []
    for count in (2, 200):
        upload = Path(f"upload-{count}")
        upload.mkdir()
        upload.joinpath("main.st").write_bytes(FIRST)
        for number in range(count):
            upload.joinpath(f"{number}.bin").write_bytes(b"\0%d" % number)
        words = ("--moment", "as-left", "--running", upload, "--by", "Ada")
        assert run("store", "plant.git", f"s{count}", *words).exit_code == 0
        started.clear()
        assert run("handover", f"plant.git:s{count}", "--to", f"ho-{count}", "--by", "Ada").exit_code == 0
        made = len(started)
        started.clear()
        done = run("verify", f"ho-{count}", "--unsigned")
        assert done.exit_code == 0, done.output
        counts.append((made, len(started)))
    assert counts[0] == counts[1]
    assert min(counts[0]) > 0


def test_a_file_beyond_the_limit_is_never_held_whole(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from asfound.archive import plumbing
    from asfound.archive.archive import Archive

    monkeypatch.chdir(tmp_path)
    Path("main.st").write_bytes(FIRST)
    Path("big").write_bytes(bytes(3 * plumbing.WHOLE + 1))
    run("init", "plant.git")
    words = ("--moment", "as-left", "--running", "main.st", "--attach", "big", "--by", "Ada")
    assert run("store", "plant.git", "s", *words).exit_code == 0
    with Archive.open("plant.git") as archive:
        sizes = {path: [len(part) for part in parts] for path, parts in archive.tree(archive.record("s"))}
    assert sizes["originals/running/main.st"] == [len(FIRST)]
    assert len(sizes["attachments/big"]) > 1
    assert sum(sizes["attachments/big"]) == 3 * plumbing.WHOLE + 1
