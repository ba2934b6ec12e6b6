"""The cache makes reading faster and changes nothing: it can be deleted, damaged, moved or forged by mistake."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

import asfound
from asfound.model.copy import Copy
from asfound.readers import cache as kept
from asfound.readers import single_files as making
from asfound.readers.cache import Cache
from asfound.readers.reading import read_files
from asfound.readers.single_files import Means, Parts

SAMPLES = sorted((Path(__file__).parents[2] / "sample_exports").glob("*/*/*/program.xml"))
OLD, NEW = (next(path for path in SAMPLES if year in str(path)).read_bytes() for year in ("2025", "2026"))


@pytest.fixture
def readings(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Names of the files that a reader has really read."""
    done: list[str] = []
    original = making.read_part

    def counted(name: str, *rest):
        done.append(name)
        return original(name, *rest)

    monkeypatch.setattr(making, "read_part", counted)
    return done


def read(folder: Path, data: bytes, name: str = "program.xml") -> Copy:
    return read_files([(name, data)], parts=Parts(Means(folder)))


def entries(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())


def test_the_second_reading_is_from_the_cache_and_the_same(tmp_path: Path, readings: list[str]) -> None:
    plain = asfound.read(OLD, "program.xml")
    readings.clear()
    assert read(tmp_path / "kept", OLD) == read(tmp_path / "kept", OLD) == plain
    assert readings == ["program.xml"]


def test_every_sample_comes_back_as_it_was_read(tmp_path: Path) -> None:
    for path in SAMPLES:
        first = read(tmp_path, path.read_bytes())
        assert read(tmp_path, path.read_bytes()) == first == asfound.read(path)
    assert entries(tmp_path)


@pytest.mark.parametrize("name, data", [("other.xml", OLD), ("program.xml", NEW), ("program.xml", OLD + b"\n")])
def test_another_name_or_other_bytes_are_read(tmp_path: Path, readings: list[str], name: str, data: bytes) -> None:
    read(tmp_path, OLD)
    assert read(tmp_path, data, name) == asfound.read(data, name)
    assert readings[:2] == ["program.xml", name]


def test_another_program_reads_again(tmp_path: Path, readings: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    read(tmp_path, OLD)
    monkeypatch.setattr(kept, "made_by", lambda: b"another version")
    read(tmp_path, OLD)
    assert len(readings) == 2


def test_a_program_that_cannot_be_told_apart_remembers_nothing(
    tmp_path: Path, readings: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    read(tmp_path / "kept", OLD)
    monkeypatch.setattr(kept, "made_by", lambda: b"")
    read(tmp_path / "kept", OLD)
    read(tmp_path / "other", OLD)
    assert len(readings) == 3 and not (tmp_path / "other").exists()


def test_what_reading_depends_on_is_all_of_the_program_that_reads(tmp_path: Path) -> None:
    """A copy of the program in which one file of any of these packages differs has another stamp."""
    home = tmp_path / "asfound"
    shutil.copytree(Path(asfound.__file__).parent, home, ignore=shutil.ignore_patterns("__pycache__"))
    before = _stamp(tmp_path)
    for part in ("readers/tables/columns.py", "language/tokens.py", "model/tags.py"):
        with (home / part).open("a") as file:
            file.write("# changed\n")
        after = _stamp(tmp_path)
        assert after != before, part
        before = after
    assert _stamp(tmp_path) == before


def _stamp(path: Path) -> str:
    import subprocess

    script = "from asfound.readers.cache import made_by; print(made_by().hex())"
    environment = {**os.environ, "PYTHONPATH": str(path), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(
        [sys.executable, "-c", script], env=environment, capture_output=True, text=True, check=True
    ).stdout


def test_another_version_of_a_library_is_another_program(monkeypatch: pytest.MonkeyPatch) -> None:
    from importlib import metadata

    stamps = {kept.made_by.__wrapped__()}
    original = metadata.version
    for library in kept._LIBRARIES:
        monkeypatch.setattr(metadata, "version", lambda name, one=library: original(name) + "+1" * (name == one))
        stamps.add(kept.made_by.__wrapped__())
    assert len(stamps) == 1 + len(kept._LIBRARIES) and b"" not in stamps


def test_a_damaged_entry_is_as_good_as_none(tmp_path: Path, readings: list[str]) -> None:
    plain = read(tmp_path, OLD)
    (path,) = entries(tmp_path)
    whole = path.read_bytes()
    damaged = [b"", whole[:31], whole[:-1], whole + b"x", *(flipped(whole, at) for at in (0, 31, 32, len(whole) // 2))]
    for count, bad in enumerate(damaged, 2):
        path.write_bytes(bad)
        assert read(tmp_path, OLD) == plain
        assert len(readings) == count
    assert path.read_bytes() == whole


def flipped(data: bytes, at: int) -> bytes:
    return data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :]


def test_the_entry_of_another_file_is_not_taken(tmp_path: Path) -> None:
    read(tmp_path, OLD)
    (first,) = entries(tmp_path)
    wrong = first.read_bytes()
    read(tmp_path, NEW)
    (second,) = set(entries(tmp_path)) - {first}
    second.write_bytes(wrong)
    assert read(tmp_path, NEW) == asfound.read(NEW, "program.xml")


def test_it_may_be_deleted_at_any_time(tmp_path: Path) -> None:
    plain = read(tmp_path / "kept", OLD)
    shutil.rmtree(tmp_path / "kept")
    assert read(tmp_path / "kept", OLD) == plain


def test_a_folder_that_cannot_be_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    assert read(tmp_path / "file", OLD) == asfound.read(OLD, "program.xml")
    assert read(tmp_path / "file" / "below", OLD) == asfound.read(OLD, "program.xml")


def test_small_files_are_not_kept(tmp_path: Path) -> None:
    small = b"name,address\nPump,%QX0.0\n"
    read(tmp_path, small, "tags.csv")
    assert entries(tmp_path) == []


def test_a_file_that_cannot_be_read_is_not_kept(tmp_path: Path) -> None:
    for _ in range(2):
        with pytest.raises(asfound.Problem, match="not complete"):
            read(tmp_path, OLD[: len(OLD) // 2])
    assert entries(tmp_path) == []


def test_those_not_used_for_longest_go_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    variants = [OLD + b" " * at for at in range(4)]
    for data in variants[:3]:
        read(tmp_path, data)
    for age, path in enumerate(entries(tmp_path)):
        os.utime(path, (1_000_000 + age, 1_000_000 + age))
    oldest, second, third = entries(tmp_path)
    found = Cache(tmp_path)
    used = next(data for data in variants[:3] if found._path("program.xml", data) == oldest)
    read(tmp_path, used)
    monkeypatch.setattr(kept, "ROOM", sum(path.stat().st_size for path in (oldest, third)) + 100)
    read(tmp_path, variants[3])
    left = entries(tmp_path)
    assert oldest in left and second not in left and third not in left
    assert len(left) == 2


@pytest.mark.skipif(
    sys.platform == "win32", reason="Windows has no such modes; the folder is in the user's own profile"
)
def test_only_its_owner_can_look_into_it(tmp_path: Path) -> None:
    read(tmp_path / "kept", OLD)
    for path in (tmp_path / "kept", *(tmp_path / "kept").rglob("*")):
        assert path.stat().st_mode & 0o777 == (0o700 if path.is_dir() else 0o600)


# --- a folder that holds other things, or belongs to others -----------------------------------------------------


def test_nothing_of_others_is_deleted_when_the_folder_is_full(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files that lie beside, in folders like ours, or are named nearly as entries are."""
    read(tmp_path, OLD)
    (entry,) = entries(tmp_path)
    shelf, name = entry.parent, entry.name
    theirs = [tmp_path / "taxes.ods", tmp_path / "ab" / ("a" * 64), shelf / f"{name}x", shelf / name.upper()]
    theirs += [tmp_path / kept.SUBFOLDER / "photo.jpg", tmp_path / kept.SUBFOLDER / "notes" / ("a" * 64)]
    theirs += [shelf / f"{name}.1234", shelf / ".hidden"]
    for path in theirs:
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"x" * 1000)
        os.utime(path, (1, 1))
    (shelf / ("b" * 64)).mkdir()
    monkeypatch.setattr(kept, "ROOM", 10)
    read(tmp_path, NEW)
    assert [path for path in theirs if not path.exists()] == []
    assert not entry.exists()


def test_what_killed_runs_left_is_removed_and_what_is_being_written_is_not(tmp_path: Path) -> None:
    read(tmp_path, OLD)
    (entry,) = entries(tmp_path)
    left, busy = entry.with_suffix(".00112233445566aa"), entry.with_suffix(".00112233445566bb")
    for path in (left, busy):
        path.write_bytes(b"half")
    os.utime(left, (time.time() - 2 * kept.ABANDONED,) * 2)
    read(tmp_path, NEW)
    assert (left.exists(), busy.exists()) == (False, True)


if sys.platform != "win32":

    def planted(folder: Path) -> Copy:
        """Let an entry say that the old program is the new one, as somebody may who can write to the folder."""
        truth = asfound.read(OLD, "program.xml")
        lie = making.read_part("program.xml", NEW, making.registered())
        lie = lie._replace(source=truth.sources[0])
        Cache(folder).keep("program.xml", OLD, lie)
        return truth

    def test_an_entry_in_a_folder_of_our_own_is_believed(tmp_path: Path) -> None:
        """Without this the tests below would show nothing."""
        truth = planted(tmp_path / "kept")
        assert read(tmp_path / "kept", OLD) != truth

    @pytest.mark.parametrize("below", ["", kept.SUBFOLDER])
    @pytest.mark.parametrize("mode", [0o777, 0o775, 0o757, 0o1777])
    def test_a_planted_entry_where_others_can_write_is_not_believed(tmp_path: Path, below: str, mode: int) -> None:
        folder = tmp_path / "kept"
        truth = planted(folder)
        (folder / below).chmod(mode)
        assert read(folder, OLD) == truth
        assert kept.refusal(folder).endswith("others can write to it")
        before = entries(folder)
        read(folder, NEW)
        assert entries(folder) == before

    @pytest.mark.skipif(sys.platform == "win32" or os.geteuid() != 0, reason="only root can give a file away")
    @pytest.mark.parametrize("what", ["folder", "subfolder", "entry"])
    def test_a_planted_entry_of_somebody_else_is_not_believed(tmp_path: Path, what: str) -> None:
        folder = tmp_path / "kept"
        truth = planted(folder)
        (entry,) = entries(folder)
        os.chown({"folder": folder, "subfolder": folder / kept.SUBFOLDER, "entry": entry}[what], 54321, 54321)
        assert read(folder, OLD) == truth
        assert kept.refusal(folder).endswith("it belongs to somebody else") is (what != "entry")

    @pytest.mark.parametrize("below", ["", kept.SUBFOLDER])
    def test_a_link_to_a_folder_is_not_followed(tmp_path: Path, below: str) -> None:
        elsewhere, folder = tmp_path / "elsewhere", tmp_path / "kept"
        truth = planted(elsewhere)
        if below:
            folder.mkdir(0o700)
        (folder / below).symlink_to(elsewhere / below)
        assert read(folder, OLD) == truth
        assert kept.refusal(folder).endswith("it is a link")

    @pytest.mark.parametrize("what", ["pipe", "folder", "link", "link to a pipe", "huge", "writable by others"])
    def test_an_entry_that_is_no_file_of_ours_is_neither_waited_for_nor_followed(tmp_path: Path, what: str) -> None:
        folder = tmp_path / "kept"
        truth = planted(folder)
        (entry,) = entries(folder)
        whole = entry.rename(tmp_path / "whole")
        if what == "pipe":
            os.mkfifo(entry)
        elif what == "folder":
            entry.mkdir()
        elif what == "link":
            entry.symlink_to(whole)
        elif what == "link to a pipe":
            os.mkfifo(tmp_path / "pipe")
            entry.symlink_to(tmp_path / "pipe")
        else:
            whole.rename(entry)
            if what == "huge":
                os.truncate(entry, 2_000_000_000)
            else:
                entry.chmod(0o666)
        script = (
            "import re, sys; from pathlib import Path; from asfound.readers.single_files import Means, Parts\n"
            "from asfound.readers.reading import read_files; data = Path(sys.argv[2]).read_bytes()\n"
            "read_files([('program.xml', data)], parts=Parts(Means(Path(sys.argv[1]))))\n"
            "about = Path('/proc/self/status')  # getrusage counts what the parent had before\n"
            "print(re.search(r'VmHWM:\\s+(\\d+)', about.read_text())[1] if about.exists() else 0)"
        )
        (tmp_path / "old.xml").write_bytes(OLD)
        words = [sys.executable, "-c", script, str(folder), str(tmp_path / "old.xml")]
        done = subprocess.run(words, capture_output=True, text=True, timeout=60, check=True)
        assert int(done.stdout) < 500_000, "kilobytes"
        assert read(folder, OLD) == truth
