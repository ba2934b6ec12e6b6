"""An archive, or the other side of an exchange, that somebody else prepared: nothing of it decides what runs.

Every configuration here would write a file when git obeyed it; each is tried with the real commands, as typed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from typer.testing import CliRunner

from asfound.archive import premises
from asfound.archive.archive import Archive
from asfound.cli.main import app

TIME = datetime.fromisoformat("2026-03-31T09:30:00+02:00")
FILES = [("main.st", b"PROGRAM Main VAR a, b : BOOL; END_VAR a := b; END_PROGRAM")]


@pytest.fixture(autouse=True)
def small_readers() -> Iterator[None]:
    """The real readers: the commands run as they are typed."""
    return iter([None])


def git(folder: Path, *words: str) -> str:
    done = subprocess.run(["git", "-C", str(folder), *words], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def asfound(*words: object, **variables: str) -> subprocess.CompletedProcess[str]:
    words = ("-m", "asfound", *map(str, words))
    known = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    surroundings = {**known, "ASFOUND_CACHE": "off", **variables}
    return subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, check=False, env=surroundings, timeout=60
    )


def typed(*words: object) -> subprocess.CompletedProcess[str]:
    """The same command in this process, which saves its start; every git is a process of its own."""
    done = CliRunner().invoke(app, [str(word) for word in words], prog_name="asfound")
    return subprocess.CompletedProcess(words, done.exit_code, done.stdout, done.stderr)


def plant(path: Path, name: str = "plant.git") -> Path:
    with Archive.create(path / name) as archive:
        for _ in range(2):
            archive.store("booster-1", "as-left", {"running": FILES}, person="Ada", time=TIME)
    return path / name


@pytest.fixture
def canary(tmp_path: Path) -> Path:
    """A file that comes into being when a program of the stranger runs."""
    return tmp_path / "it-ran"


@pytest.fixture
def program(canary: Path, tmp_path: Path) -> Path:
    """A program that leaves a trace, whatever words and input it gets."""
    path = tmp_path / "stranger.sh"
    path.write_text(f"#!/bin/sh\necho \"$@\" >> '{canary}'\n")
    path.chmod(0o755)
    return path


def hooks(folder: Path, program: Path) -> Path:
    """A folder of hooks, each of which is the program."""
    folder.mkdir(parents=True, exist_ok=True)
    names = "pre-receive update post-receive post-update reference-transaction pre-push post-rewrite pre-auto-gc"
    for name in [*names.split(), "proc-receive", "push-to-checkout", "post-checkout", "post-index-change"]:
        shutil.copy(program, folder / name)
    return folder


def settings(program: Path, other: Path, folder: Path) -> dict[str, list[tuple[str, str]]]:
    """What the stranger sets, by what it is."""
    lazy = [("extensions.partialClone", "origin"), ("remote.origin.promisor", "true")]
    own = str(folder / "own-hooks")
    return {
        "partial clone, upload pack": [*lazy, ("remote.origin.url", str(other)), ("remote.origin.uploadpack", own)],
        "partial clone, ext": [*lazy, ("remote.origin.url", f"ext::{program} %S"), ("protocol.ext.allow", "always")],
        "partial clone, ssh": [*lazy, ("remote.origin.url", "ssh://x/y"), ("core.sshCommand", str(program))],
        "a promisor without the extension": [("remote.origin.promisor", "true"), ("remote.origin.url", str(other))],
        "file system monitor": [("core.fsmonitor", str(program))],
        "hooks": [("core.hooksPath", own)],
        "relative hooks": [("core.hooksPath", "own-hooks")],
        "alternate references": [("core.alternateRefsCommand", str(program))],
        "address redirected": [("url.ext::true.insteadOf", str(other)), ("protocol.ext.allow", "always")],
        "ssh command": [("core.sshCommand", str(program))],
        "an address as the name of a remote": [(f"remote.{other}.uploadpack", str(program))],
        "recent objects": [("gc.recentObjectsHook", str(program))],
        "pack objects": [("uploadpack.packObjectsHook", str(program))],
        "pager": [("core.pager", str(program))],
        "signing program": [("gpg.ssh.program", str(program)), ("gpg.program", str(program))],
        "credentials": [("credential.helper", f"!{program}")],
    }


KINDS = sorted(settings(Path("p"), Path("o"), Path("a")))


def configured(archive: Path, pairs: list[tuple[str, str]]) -> None:
    for key, value in pairs:
        git(archive, "config", "--file", str(archive / "config"), key, value)


def without_an_object(archive: Path) -> None:
    """What a partial clone would fetch: the file of the record is gone."""
    blob = git(archive, "rev-parse", "stations/booster-1:originals/running/main.st")
    (archive / "objects" / blob[:2] / blob[2:]).unlink()


def commands(archive: Path, other: Path, to: Path) -> list[list[object]]:
    export = to / "main.st"
    export.write_bytes(FILES[0][1])
    record = f"{archive}:booster-1"
    return [
        ["history", archive],
        ["show", record],
        ["compare", f"{record}@1", f"{record}@2"],
        ["where", "a", record],
        ["inspect", record],
        ["check", archive],
        ["store", archive, "booster-1", "--moment", "routine", "--running", export],
        ["note", archive, "booster-1", "--switch", "run"],
        ["ready", archive, "booster-1", "--for", "reset"],
        ["checklist", archive, "booster-1", "--for", "reset"],
        ["restore", record, "--to", to / "out"],
        ["attest", record, "--to", to],
        ["handover", record, "--to", to / "handover"],
        ["sync", archive, other],
        ["sync", archive, other, "--dry-run"],
        ["sync", other, archive],
        ["sync", other, f"file://{archive}"],
        ["check", other, "--from", archive],
    ]


@pytest.mark.parametrize("kind", KINDS)
def test_no_setting_of_an_archive_decides_what_runs(kind: str, tmp_path: Path, program: Path, canary: Path) -> None:
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    hooks(archive / "own-hooks", program)
    configured(archive, settings(program, other, archive)[kind])
    without_an_object(archive)
    before = (archive / "config").read_bytes()
    for words in commands(archive, other, tmp_path):
        done = typed(*words)
        said = done.stdout + done.stderr
        assert not canary.exists(), (words, said)
        assert "has a bug" not in said and "Traceback" not in said, (words, said)
        reading = words[0] == "check"
        assert done.returncode == (1 if words[:2] == ["check", archive] else 2), (words, said)
        assert f"{'' if reading else archive}" in said and "config" in said, (words, said)
    assert (archive / "config").read_bytes() == before


def test_such_an_archive_is_adopted_with_one_command(tmp_path: Path, program: Path, canary: Path) -> None:
    archive = plant(tmp_path)
    configured(archive, settings(program, tmp_path, archive)["file system monitor"])
    hostile = (archive / "config").read_bytes()
    refused = typed("history", archive)
    assert refused.returncode == 2
    assert refused.stderr == (
        f"{archive}: its file config sets core.fsmonitor, which asfound never writes and git would obey; "
        f"`asfound check {archive} --mend` sets it aside and writes what asfound needs.\n"
    )
    adopted = typed("check", archive, "--mend")
    assert adopted.returncode == 0, adopted.stdout + adopted.stderr
    assert typed("history", archive).returncode == 0
    assert [path.read_bytes() for path in (archive / "damaged").iterdir()] == [hostile], "nothing is thrown away"
    assert not canary.exists()


@pytest.mark.parametrize("key", ["include.path", "includeIf.onbranch:main.path"])
def test_no_other_file_is_brought_in(tmp_path: Path, program: Path, canary: Path, key: str) -> None:
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    more = tmp_path / "more"
    configured(more, []) if more.exists() else more.write_text(f"[core]\n\tfsmonitor = {program}\n")
    configured(archive, [(key, str(more))])
    for words in commands(archive, other, tmp_path):
        assert typed(*words).returncode in (1, 2), words
    assert not canary.exists()


def test_hooks_in_their_usual_place_do_not_run(tmp_path: Path, program: Path, canary: Path) -> None:
    """No setting names them; git looks there by itself."""
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    hooks(archive / "hooks", program), hooks(other / "hooks", program)
    for words in commands(archive, other, tmp_path):
        typed(*words)
        assert not canary.exists(), words
    assert "booster-1" in typed("sync", archive, other).stdout + typed("history", other).stdout


FOREIGN = ("commondir", "config.worktree", "shallow", "info/grafts", "objects/info/alternates")


@pytest.mark.parametrize("name", FOREIGN)
def test_a_file_that_would_show_a_false_history_is_refused_and_named(tmp_path: Path, name: str) -> None:
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    tip = git(archive, "rev-parse", "stations/booster-1")
    texts = {"commondir": str(other), "shallow": tip, "info/grafts": tip, "objects/info/alternates": f"{other}/objects"}
    place = archive / name
    place.parent.mkdir(exist_ok=True)
    place.write_text(texts.get(name, "[core]\n") + "\n")
    for words in commands(archive, other, tmp_path):
        done = typed(*words)
        assert name in done.stdout + done.stderr, words
        assert done.returncode == (1 if words[:2] == ["check", archive] else 2), (words, done)
    mended = typed("check", archive, "--mend")
    assert mended.returncode == 0, mended.stdout + mended.stderr
    assert typed("check", archive).returncode == 0
    assert typed("history", archive).stdout.count("as-left") == 2


VARIABLES = {
    "GIT_GRAFT_FILE": "grafts",
    "GIT_SHALLOW_FILE": "shallow",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES": "elsewhere",
    "GIT_OBJECT_DIRECTORY": "elsewhere",
    "GIT_COMMON_DIR": "elsewhere",
    "GIT_DIR": "elsewhere",
    "GIT_WORK_TREE": "elsewhere",
    "GIT_INDEX_FILE": "shallow",
    "GIT_NAMESPACE": "space",
    "GIT_CONFIG": "config",
    "GIT_CONFIG_GLOBAL": "config",
    "GIT_CONFIG_SYSTEM": "config",
    "GIT_CONFIG_PARAMETERS": "'core.bare'='perhaps'",
    "GIT_REPLACE_REF_BASE": "refs/other/",
    "GIT_INTERNAL_SUPER_PREFIX": "x/",
    "GIT_QUARANTINE_PATH": "elsewhere",
    "GIT_PREFIX": "x/",
    "GIT_LITERAL_PATHSPECS": "perhaps",
    "GIT_TEMPLATE_DIR": "elsewhere",
    "GIT_ALLOW_PROTOCOL": "ext",
    "GIT_PROTOCOL": "version=9",
}


@pytest.mark.parametrize("name", sorted(VARIABLES))
def test_no_variable_of_git_hides_a_record(tmp_path: Path, name: str) -> None:
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    tip = git(archive, "rev-parse", "stations/booster-1")
    (tmp_path / "grafts").write_text(f"{tip}\n")
    (tmp_path / "shallow").write_text(f"{tip}\n")
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "config").write_text("[core]\n\tbare = perhaps\n")
    value = VARIABLES[name]
    given = {name: str(tmp_path / value) if (tmp_path / value).exists() else value}
    assert asfound("show", f"{archive}:booster-1@1", **given).stdout.startswith("(* ")
    assert "2 records" in asfound("check", archive, **given).stdout
    assert asfound(*commands(archive, other, tmp_path)[6], **given).returncode == 0
    assert asfound("history", archive, **given).stdout.count("@") == 3
    assert asfound("sync", archive, other, **given).returncode == 0


@pytest.mark.parametrize("kind", KINDS)
def test_even_a_configuration_changed_after_the_look_starts_nothing(
    kind: str, tmp_path: Path, program: Path, canary: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The look is switched off: what is said again in each command of git has to hold alone."""
    monkeypatch.setattr(premises, "odd", lambda folder: [])
    archive, other = plant(tmp_path), plant(tmp_path, "other.git")
    for side in (archive, other):
        hooks(side / "own-hooks", program), hooks(side / "hooks", program)
        configured(side, settings(program, other if side == archive else archive, side)[kind])
    without_an_object(archive)
    with Archive.open(other) as there:
        there.store("screens-1", "as-left", {"running": FILES}, person="Ada", time=TIME)
    for words in commands(archive, other, tmp_path):
        typed(*words)
        assert not canary.exists(), words
