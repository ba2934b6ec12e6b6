"""References: what a person writes, and what it names."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.cli import reference
from asfound.cli.reference import Stored, parse, station, station_or_all
from asfound.model.problem import Problem


@pytest.fixture(autouse=True)
def archives(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A few paths count as archives without being made."""
    known = {Path("plant.git"), Path("C:\\x\\plant.git"), Path("odd:name.git"), Path("dir/plant.git")}
    monkeypatch.setattr(reference, "is_archive", lambda path: path in known)
    monkeypatch.chdir(tmp_path)
    (tmp_path / "upload").mkdir()
    (tmp_path / "booster-1").touch()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("plant.git:pump", Stored(Path("plant.git"), "pump")),
        ("plant.git:pump@2", Stored(Path("plant.git"), "pump", "2")),
        ("plant.git:pump@2026-03-31:card", Stored(Path("plant.git"), "pump", "2026-03-31", "card")),
        ("plant.git:pump:office", Stored(Path("plant.git"), "pump", "", "office")),
        ("plant.git:Pumpe süd@as-left", Stored(Path("plant.git"), "Pumpe süd", "as-left")),
        ("C:\\x\\plant.git:pump@2:card", Stored(Path("C:\\x\\plant.git"), "pump", "2", "card")),
        ("D:\\none.git:pump:card", Stored(Path("D:\\none.git"), "pump", "", "card")),
        ("odd:name.git:pump", Stored(Path("odd:name.git"), "pump")),
        ("missing.git:pump@1:card", Stored(Path("missing.git"), "pump", "1", "card")),
        ("pump", Stored(Path("default.git"), "pump")),
        ("pump@as-found:card", Stored(Path("default.git"), "pump", "as-found", "card")),
        ("upload", Path("upload")),
        ("booster-1", Path("booster-1")),
    ],
)
def test_what_a_reference_names(text: str, expected: object) -> None:
    assert parse(text, Path("default.git")) == expected


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "pump",
            "pump: is no file or folder, and no archive is named; check the name; for a record write ARCHIVE:STATION, "
            "or name the archive with --archive or ASFOUND_ARCHIVE.",
        ),
        ("plant.git:pump:crad", "plant.git:pump:crad: 'crad' is no copy; a copy is one of running, card, office."),
        ("C:\\y\\zzzz", "C:\\y\\zzzz: does not exist; check the name."),
        ("plant.git:pump@", "plant.git:pump@: nothing follows the @; write a number, a day or a moment."),
    ],
)
def test_what_is_wrong_with_a_reference(text: str, message: str) -> None:
    with pytest.raises(Problem) as caught:
        parse(text)
    assert str(caught.value) == message


def test_an_archive_alone_is_no_reference(tmp_path: Path) -> None:
    (tmp_path / "plant.git").mkdir()
    with pytest.raises(Problem) as caught:
        parse("plant.git")
    assert str(caught.value) == (
        "plant.git: is an archive; add a station, plant.git:STATION; `asfound history plant.git` lists them."
    )


@pytest.mark.parametrize(
    ("words", "default", "expected"),
    [
        (["plant.git", "pump"], None, ("plant.git", "pump")),
        (["plant.git:pump"], None, ("plant.git", "pump")),
        (["pump"], "default.git", ("default.git", "pump")),
        (["plant.git"], None, ("plant.git", "")),
        ([], "default.git", ("default.git", "")),
        (["missing.git"], None, ("missing.git", "")),
    ],
)
def test_archive_and_station_as_words(words: list[str], default: str | None, expected: tuple[str, str]) -> None:
    found = station_or_all(words, Path(default) if default else None)
    assert (str(found[0]), found[1]) == expected


def test_a_station_is_needed_where_one_is_written() -> None:
    with pytest.raises(
        Problem, match=r"no station is named; write plant.git STATION; `asfound history plant.git` lists them.$"
    ):
        station(["plant.git"], None)
    with pytest.raises(
        Problem, match=r"^booster-9: no archive is named; write ARCHIVE STATION, or set ASFOUND_ARCHIVE.$"
    ):
        station(["booster-9"], None)
    with pytest.raises(Problem, match=r"^no archive is named; name it, or set ASFOUND_ARCHIVE; `asfound init` with"):
        station([], None)
