"""Commands that only show something use the cache; those that store, sign or decide read the bytes."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from typer.testing import CliRunner

from asfound.cli.main import app
from asfound.readers.cache import Cache

SAMPLES = Path(__file__).parents[2] / "sample_exports" / "booster-1"
OLD, NEW = SAMPLES / "1-as-left-2025" / "running", SAMPLES / "2-as-found-2026" / "running"


def run(*words: object) -> str:
    result = CliRunner().invoke(app, [str(word) for word in words])
    assert result.exit_code in (0, 1), result.output
    return result.stdout


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASFOUND_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def plant(tmp_path: Path, kept: Path) -> Path:
    archive = tmp_path / "plant.git"
    run("init", archive)
    run("store", archive, "booster-1", "--moment", "as-left", "--running", OLD, "--by", "Ada")
    run("store", archive, "booster-1", "--moment", "as-found", "--running", NEW, "--card", NEW, "--by", "Ada")
    return archive


@pytest.mark.parametrize(
    "words",
    [
        ("compare", "{a}:booster-1@1", "{a}:booster-1@2:running", "--json", "-"),
        ("compare", str(OLD), str(NEW), "--json", "-"),
        ("compare", "--three", "{a}:booster-1@2", "--json", "-"),
        ("show", "{a}:booster-1@1", "--json", "-"),
        ("where", "%IX0.3", "{a}:booster-1@1"),
        ("inspect", str(NEW)),
    ],
    ids=lambda words: " ".join(words[:2])[:16],
)
def test_the_answer_is_the_same_without_with_empty_and_with_full_cache(
    words: tuple[str, ...], plant: Path, kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = tuple(word.format(a=plant) for word in words)
    first, second = run(*words), run(*words)
    assert any(kept.rglob("*/*"))
    monkeypatch.setenv("ASFOUND_CACHE", "off")
    assert run(*words) == first == second
    if "--json" in words:
        assert json.loads(first)


def test_off_keeps_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("HOME", "XDG_CACHE_HOME", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    monkeypatch.setenv("ASFOUND_CACHE", "off")
    run("show", OLD)
    assert not (tmp_path / "home").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("store", "{a}", "booster-2", "--moment", "routine", "--running", str(NEW), "--by", "Ada"),
        ("attest", "{a}:booster-1", "--to", "{t}/statement"),
        ("handover", "{a}:booster-1", "--to", "{t}/handover"),
        ("ready", "{a}", "booster-1", "--for", "download", "--new", str(NEW)),
        ("check", "{a}"),
        ("restore", "{a}:booster-1", "--to", "{t}/out"),
    ],
    ids=lambda words: words[0],
)
def test_what_is_stored_signed_or_decided_is_never_taken_from_it(
    words: tuple[str, ...], plant: Path, kept: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("show", f"{plant}:booster-1@2:running")
    assert any(kept.rglob("*/*"))
    monkeypatch.setattr(Cache, "find", lambda *_: pytest.fail("looked into the cache"))
    run(*(word.format(a=plant, t=tmp_path) for word in words))


def test_a_named_folder_that_is_not_used_is_said_once_and_why(
    tmp_path: Path, kept: Path, plant: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept.mkdir(exist_ok=True)
    kept.chmod(0o777)
    words = ("compare", OLD, NEW, "--json", "-")
    if os.name == "posix":
        done = CliRunner().invoke(app, [str(word) for word in words])
        assert done.stderr == (
            f"ASFOUND_CACHE: {kept} is not used, others can write to it; "
            "name a folder of your own that nobody else can write to, or a new one.\n"
        )
        assert done.exit_code == 1 and list(kept.iterdir()) == []
    (tmp_path / "file").write_text("no folder")
    monkeypatch.setenv("ASFOUND_CACHE", str(tmp_path / "file"))
    done = CliRunner().invoke(app, [str(word) for word in words])
    assert done.stderr.startswith(f"ASFOUND_CACHE: {tmp_path / 'file'} is not used, it is no folder; name a folder")
    monkeypatch.setenv("ASFOUND_CACHE", str(tmp_path / "new"))
    done = CliRunner().invoke(app, [str(word) for word in words])
    assert done.stderr == "" and any((tmp_path / "new").rglob("*"))
