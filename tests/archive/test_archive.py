"""What the archive promises: one test, named alike, for each promise in the docstring of asfound.archive.archive."""

from __future__ import annotations

import os
import subprocess
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from stand_ins import TIME, snapshot

from asfound.archive.archive import Archive
from asfound.archive.creating import looks_like_archive
from asfound.model.problem import Problem

MAIN = [("main.pou", b"POU Main")]


def store(archive: Archive, station: str = "booster-1", moment: str = "as-found", **more):
    more = {"person": "Ada Lind", "time": TIME, **more}
    return archive.store(station, moment, more.pop("copies", {"running": MAIN}), **more)


def git(archive: Archive, *arguments: str) -> str:
    done = subprocess.run(["git", "-C", str(archive.path), *arguments], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.decode("utf-8")


def problem(call) -> str:
    with pytest.raises(Problem) as caught:
        call()
    return str(caught.value)


# --- promises -------------------------------------------------------------------------------------------------------


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(st.text(st.characters(exclude_categories=["Cs"]), max_size=12), st.binary(max_size=60), max_size=5)
)
def test_bytes_come_back(tmp_path_factory: pytest.TempPathFactory, files: dict[str, bytes]) -> None:
    folder = tmp_path_factory.mktemp("bytes")
    given_files = sorted([*((f"in/{name}", data) for name, data in files.items()), *MAIN])
    with Archive.create(folder / "plant.git") as archive:
        record = store(archive, copies={"card": given_files})
        assert archive.files(record, "card") == given_files
        done = archive.restore(record, folder / "out")
        assert sorted((r.name, r.path.read_bytes()) for r in done) == given_files
        assert all(r.path.resolve().is_relative_to(folder / "out" / "card") for r in done)
        exact = [r for r in done if not r.renamed]
        assert all(r.path == folder / "out" / "card" / r.name for r in exact)


def test_bytes_come_back_or_a_message_does(archive: Archive) -> None:
    record = store(archive)
    store(archive, note="another")
    blob = git(archive, "rev-parse", "stations/booster-1:originals/running/main.pou").strip()
    damaged = archive.path / "objects" / blob[:2] / blob[2:]
    damaged.chmod(0o644)
    damaged.write_bytes(b"not an object")
    assert "originals/running/main.pou is missing or damaged" in problem(lambda: archive.files(record, "running"))
    damaged.unlink()
    assert "originals/running/main.pou is missing or damaged" in problem(lambda: archive.restore(record, "out"))
    assert archive.records("booster-1")[0] == record  # what is not damaged can still be read


def test_nothing_is_rewritten(archive: Archive, tmp_path: Path) -> None:
    first = store(archive)
    tip = git(archive, "rev-parse", "stations/booster-1").strip()
    store(archive, note="second")
    assert git(archive, "rev-parse", "stations/booster-1^").strip() == tip
    assert archive.records("booster-1")[0] == first
    clone = tmp_path / "clone.git"
    subprocess.run(["git", "clone", "-q", "--bare", str(archive.path), str(clone)], check=True)
    for refspec in (f"+{tip}:refs/heads/stations/booster-1", ":refs/heads/stations/booster-1"):
        push = ["git", "-C", str(clone), "push", "-q", str(archive.path), refspec]
        assert subprocess.run(push, capture_output=True, check=False).returncode != 0
    assert len(archive.records("booster-1")) == 2


@pytest.mark.parametrize(
    "bad",
    [
        {"station": "a/b"},
        {"moment": "as-is"},
        {"copies": {}},
        {"copies": {"running": []}},
        {"copies": {"spare": MAIN}},
        {"copies": {"running": MAIN, "card": [("half.pou", b"POU half")]}},
        {"copies": {"running": [("notes.txt", b"?")]}},
        {"copies": {"running": [*MAIN, *MAIN]}},
        {"person": "<>"},
        {"note": "\0"},
        {"time": datetime.fromisoformat("1960-01-01T00:00:00+00:00")},
    ],
    ids=str,
)
def test_bad_input_leaves_the_archive_untouched(archive: Archive, bad: dict) -> None:
    store(archive)
    before = snapshot(archive.path)
    problem(lambda: store(archive, **bad))
    assert snapshot(archive.path) == before


def test_the_same_input_gives_the_same_tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = [("b.pou", b"POU B\r\n"), ("a.pou", b"POU A")]
    commits = []
    for at in (0, 1):
        config = tmp_path / f"config{at}"
        config.write_text(
            f"[user]\n\tname = Nobody {at}\n[core]\n\tautocrlf = true\n[i18n]\n\tcommitEncoding = latin1\n"
        )
        monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(config))
        monkeypatch.setenv("GIT_AUTHOR_NAME", f"Somebody {at}")
        monkeypatch.setenv("TZ", ("Asia/Tokyo", "America/Lima")[at])
        with Archive.create(tmp_path / f"{at}.git") as archive:
            copies = {"card": MAIN, "running": files} if at else {"running": files[::-1], "card": MAIN}
            store(archive, copies=copies, note="Lärm")
            commits.append(git(archive, "rev-parse", "stations/booster-1"))
    assert commits[0] == commits[1]


def test_plain_git_can_read_it(archive: Archive) -> None:
    store(archive, "Rechen Süd", note="First visit.", copies={"running": [("a b.pou", b"POU Main")], "card": MAIN})
    assert git(archive, "log", "-1", "--format=%an|%cn|%aI|%cI", "stations/rechen%20süd") == (
        "Ada Lind|Ada Lind|2026-03-31T09:30:00+02:00|2026-03-31T09:30:00+02:00\n"
    )
    assert git(archive, "log", "-1", "--format=%B", "stations/rechen%20süd").strip() == (
        "Rechen Süd 1: as-found 2026-03-31\n\nFirst visit.\n\nStation: Rechen Süd\nRecord: 1\nMoment: as-found\n"
        "Time: 2026-03-31T09:30:00+02:00\nPerson: Ada Lind\n\n"
        "running:\n  a b.pou (8 bytes)\ncard:\n  main.pou (8 bytes)"
    )
    assert git(archive, "ls-tree", "-r", "--name-only", "stations/rechen%20süd").splitlines() == [
        "normal/card/program/Main.txt",
        "normal/running/program/Main.txt",
        "originals/card/main.pou",
        "originals/running/a b.pou",
        "record.json",
        "station.toml",
    ]
    assert git(archive, "show", "stations/rechen%20süd:station.toml") == (
        'schema = "asfound/station/1"\nname = "Rechen Süd"\n'
    )
    git(archive, "fsck", "--full", "--strict")


# --- the user's git does not interfere ------------------------------------------------------------------------------


def test_hooks_and_settings_of_the_user_are_not_run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    hooks = tmp_path / "hooks"
    hooks.mkdir()
    hook = hooks / "reference-transaction"
    hook.write_text("#!/bin/sh\nexit 1\n")
    hook.chmod(0o755)
    config = tmp_path / "config"
    config.write_text(
        f"[core]\n\thooksPath = {hooks}\n[commit]\n\tgpgSign = true\n[init]\n\tdefaultObjectFormat = sha256\n"
    )
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(config))
    monkeypatch.setenv("GIT_OBJECT_DIRECTORY", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "other"))
    with Archive.create(tmp_path / "plant.git") as archive:
        assert store(archive).number == 1
    assert not (tmp_path / "elsewhere").exists() and not (tmp_path / "other").exists()


def test_no_identity_is_needed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("HOME", str(tmp_path))
    with Archive.create(tmp_path / "plant.git") as archive:
        assert store(archive, person="Ada Lind <ada@example.org>").person == "Ada Lind <ada@example.org>"
        assert git(archive, "log", "--format=%an <%ae>", "stations/booster-1") == "Ada Lind <ada@example.org>\n"


# --- creating and opening -------------------------------------------------------------------------------------------


def test_an_archive_is_made_in_a_new_or_an_empty_folder_only(tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    for name in ("empty", "new/deep.git"):
        Archive.create(tmp_path / name).close()
        assert looks_like_archive(tmp_path / name)
    (tmp_path / "full").mkdir()
    (tmp_path / "full" / "x").touch()
    assert problem(lambda: Archive.create(tmp_path / "full")) == (
        f"{tmp_path / 'full'}: exists and is not empty; choose a new name for the archive."
    )
    assert sorted(path.name for path in tmp_path.iterdir()) == ["empty", "full", "new"]


def test_what_is_no_archive_is_refused(tmp_path: Path) -> None:
    assert problem(lambda: Archive.open(tmp_path / "no")) == (
        f"{tmp_path / 'no'}: does not exist; check the name; `asfound init {tmp_path / 'no'}` makes an archive."
    )
    assert problem(lambda: Archive.open(tmp_path)).endswith(
        "is not an archive; check the name; `asfound init` with a new name makes one."
    )
    subprocess.run(["git", "init", "-q", "--bare", str(tmp_path / "bare.git")], check=True)
    assert "is a git repository but not an archive" in problem(lambda: Archive.open(tmp_path / "bare.git"))
    assert not looks_like_archive(tmp_path / "bare.git")
    subprocess.run(["git", "init", "-q", str(tmp_path / "work")], check=True)
    assert "with a work tree" in problem(lambda: Archive.open(tmp_path / "work"))


def test_a_newer_format_is_refused(archive: Archive) -> None:
    git(archive, "config", "asfound.format", "2")
    (archive.path / "description").write_text("Records (asfound archive, format 2).\n")
    for damaged in (False, True):
        message = problem(lambda damaged=damaged: Archive.open(archive.path, damaged=damaged))
        assert "is an archive of format 2, newer than this asfound" in message


def test_a_damaged_format_is_no_newer_one(archive: Archive) -> None:
    git(archive, "config", "asfound.format", "3")
    message = problem(lambda: Archive.open(archive.path))
    assert "its file config names another format than the description, which says 1" in message
    with Archive.open(archive.path, damaged=True) as damaged:
        damaged.repair()
    Archive.open(archive.path).close()


def test_a_bare_clone_is_an_archive_and_gets_the_settings_on_its_first_store(archive: Archive, tmp_path: Path) -> None:
    store(archive)
    clone = tmp_path / "clone.git"
    subprocess.run(["git", "clone", "-q", "--bare", str(archive.path), str(clone)], check=True)
    assert looks_like_archive(clone)
    with Archive.open(clone) as copy:
        assert copy.records("booster-1") == archive.records("booster-1")
        assert store(copy).number == 2
        assert git(copy, "config", "receive.denyDeletes").strip() == "true"


# --- looking up -----------------------------------------------------------------------------------------------------


def test_records_are_selected_by_number_day_and_moment(archive: Archive) -> None:
    for day, moment in (
        ("2025-03-30T23:30", "as-left"),
        ("2026-03-31T08:00", "as-found"),
        ("2026-03-31T17:00", "as-left"),
    ):
        store(archive, moment=moment, time=datetime.fromisoformat(f"{day}:00+02:00"))

    def number(selector: str) -> int:
        return archive.record("BOOSTER-1", selector).number

    assert [number(s) for s in ("", "2", "2026-03-31", "2025-03-30", "as-left", "as-found")] == [3, 2, 3, 1, 3, 2]
    listing = f"`asfound history {archive.path} BOOSTER-1` lists them."
    assert problem(lambda: number("9")) == (
        f"station BOOSTER-1: there is no record '9'; the archive has records 1 to 3; {listing}"
    )
    assert problem(lambda: number("routine")) == (
        "station BOOSTER-1: there is no record 'routine'; the archive has records of the moments as-left, as-found; "
        + listing
    )
    assert problem(lambda: number("2020-01-01")) == (
        "station BOOSTER-1: there is no record '2020-01-01'; the archive has records of 2025-03-30, 2026-03-31; "
        + listing
    )
    assert problem(lambda: number("last")).startswith("station BOOSTER-1: 'last' selects no record; write a number")


def test_stations_keep_their_first_spelling(archive: Archive) -> None:
    store(archive, "Screens-1")
    store(archive, "booster-1")
    assert store(archive, "SCREENS-1").station == "Screens-1"
    assert archive.stations() == ("booster-1", "Screens-1")
    assert problem(lambda: archive.records("mixer")) == (
        f"{archive.path}: station mixer not found; the archive has booster-1, Screens-1."
    )


def test_a_station_that_is_not_there_is_looked_for_among_those_that_are(archive: Archive) -> None:
    store_command = f"`asfound store {archive.path} mixer` ... makes its first record"
    assert problem(lambda: archive.records("mixer")) == (
        f"{archive.path}: station mixer not found; the archive is still empty; {store_command}."
    )
    for number in range(1, 10):
        store(archive, f"pump-{number}")
    assert problem(lambda: archive.records("mixer")) == (
        f"{archive.path}: station mixer not found; `asfound history {archive.path}` lists all 9."
    )
    assert problem(lambda: archive.records("pumpe-4")) == (
        f"{archive.path}: station pumpe-4 not found; did you mean pump-4? `asfound history {archive.path}` lists all 9."
    )


def test_a_copy_that_was_not_stored(archive: Archive) -> None:
    record = store(archive)
    assert problem(lambda: archive.files(record, "card")) == (
        "record 1 of station booster-1: there is no copy 'card'; it holds running."
    )


def test_copy_and_normal_form_of_a_record(archive: Archive) -> None:
    record = store(archive)
    copy = archive.copy(record, "running")
    assert [pou.name for pou in copy.program.pous] == ["Main"]
    assert copy.sources == record.copies[0].sources
    assert archive.normal(record, "running") == {"program/Main.txt": "PROGRAM Main\n"}


# --- restoring ------------------------------------------------------------------------------------------------------


def test_restore_refuses_to_replace_a_different_file_and_then_writes_nothing(archive: Archive, tmp_path: Path) -> None:
    record = store(archive, copies={"running": [("a.pou", b"POU A"), ("b.pou", b"POU B")]})
    out = tmp_path / "out"
    (out / "running").mkdir(parents=True)
    (out / "running" / "b.pou").write_bytes(b"mine")
    assert problem(lambda: archive.restore(record, out)) == (
        f"{out / 'running' / 'b.pou'}: exists with another content; restore to an empty folder."
    )
    assert [path.name for path in (out / "running").iterdir()] == ["b.pou"]
    (out / "running" / "b.pou").write_bytes(b"POU B")
    assert len(archive.restore(record, out)) == len(archive.restore(record, out)) == 2


def test_restore_never_leaves_its_folder(archive: Archive, tmp_path: Path) -> None:
    names = ["../../evil.pou", "/etc/evil.pou", "a/../../../evil.pou", "a/./b.pou"]
    record = store(archive, copies={"running": [(name, b"POU A") for name in names]})
    done = archive.restore(record, tmp_path / "out")
    assert [str(r.path.relative_to(tmp_path / "out" / "running")) for r in done] == [
        "%2E%2E/%2E%2E/evil.pou",
        "%_/etc/evil.pou",
        "a/%2E%2E/%2E%2E/%2E%2E/evil.pou",
        "a/%2E/b.pou",
    ]
    assert all(r.renamed for r in done)
    (tmp_path / "out2").mkdir()
    (tmp_path / "out2" / "running").symlink_to(tmp_path)
    plain = store(archive, copies={"running": [("sub/a.pou", b"POU A")]})
    (tmp_path / "out3" / "running").mkdir(parents=True)
    (tmp_path / "out3" / "running" / "sub").symlink_to(tmp_path)
    assert "leads elsewhere" in problem(lambda: archive.restore(plain, tmp_path / "out3"))


# --- times and words that would harm what is stored later ------------------------------------------------------------


@pytest.mark.parametrize(
    ("time", "message"),
    [
        ("2026-03-31T09:30:00", "the time 2026-03-31T09:30:00 has no time zone; give it one."),
        (
            "2100-01-01T00:00:00+00:00",
            "the time 2100-01-01T00:00:00+00:00 is after 2099; set the clock of this computer.",
        ),
        (
            "1969-12-31T23:59:59+00:00",
            "the time 1969-12-31T23:59:59+00:00 is before 1970; set the clock of this computer.",
        ),
    ],
)
def test_a_time_that_no_later_record_could_follow_is_refused(archive: Archive, time: str, message: str) -> None:
    with pytest.raises(Problem) as caught:
        archive.store("s", "routine", {"running": MAIN}, person="Ada", time=datetime.fromisoformat(time))
    assert str(caught.value) == message
    assert archive.stations() == ()


def test_the_last_second_before_2100_can_be_stored_and_the_next_record_says_that_its_clock_is_behind(
    archive: Archive,
) -> None:
    last = datetime.fromisoformat("2100-01-01T05:29:59+05:30")
    archive.store("s", "routine", {"running": MAIN}, person="Ada", time=last)
    found = archive.store("s", "routine", {"running": MAIN}, person="Ada", time=TIME)
    assert found.clock == "the clock was behind: an earlier record has the time 2100-01-01T05:29:59+05:30"
    assert archive.check().faults == ()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ({"note": "caf\udce9"}, "the note holds bytes that are no UTF-8; write it again."),
        ({"note": "a\0b"}, "the note holds a NUL character; remove it."),
        (
            {"person": "Andr\udce9"},
            r"'Andr\udce9' is no name of a person; write --by NAME or --by 'NAME <ADDRESS>'.",
        ),
    ],
)
def test_words_that_no_file_can_hold_are_one_sentence(archive: Archive, words: dict[str, str], message: str) -> None:
    with pytest.raises(Problem) as caught:
        archive.store("s", "routine", {"running": MAIN}, time=TIME, **{"person": "Ada", **words})
    assert str(caught.value) == message
