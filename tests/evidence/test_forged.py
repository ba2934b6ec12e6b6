"""The commands of VERIFY.txt and README, typed in a folder of somebody who wants them to do something else."""

from __future__ import annotations

import os
import re
import subprocess
from pathlib import Path

import pytest

from asfound.archive import disk
from asfound.evidence import history, signers, statement_fields, sums

from .kit import BASH, keygen, needs_openssh, run, signer, typed

pytestmark = [needs_openssh, pytest.mark.skipif(BASH is None, reason="no bash")]
HEX = "0123456789abcdef0123456789abcdef01234567"


def commands(folder: Path) -> list[str]:
    """What VERIFY.txt tells to type."""
    lines = (folder / "VERIFY.txt").read_text(encoding="utf-8").splitlines()
    return [line[2:] for line in lines if line.startswith("$ ")]


def each(folder: Path, script: list[str]) -> subprocess.CompletedProcess[str]:
    """What happens when a person types on although a command has failed."""
    words = [str(BASH), "-c", "\n".join(script)]
    return subprocess.run(words, cwd=folder, capture_output=True, text=True, check=False, timeout=60)


def summed(folder: Path) -> None:
    """New sums, by somebody who has no key."""
    names = [name for name in sums.files(folder) if not name.startswith(sums.NAME)]
    digests = {name: disk.digest(folder / name) for name in names if not (folder / name).is_symlink()}
    (folder / sums.NAME).write_text(sums.text(digests), newline="\n")


@pytest.fixture
def unsigned(plant: Path) -> Path:
    """A hand-over that nobody signed, and beside it a file that must stay as it is."""
    assert run("handover", "plant.git:booster-1", "--to", "ho", "--by", "Ada Lind").exit_code == 0
    (plant / "mine").write_text("keep me")
    return plant / "ho"


def write_commit(folder: Path, lines: str) -> None:
    """A statement that says another commit."""
    text = (folder / "statement.txt").read_text(encoding="utf-8")
    forged = re.sub(r"(?m)^Commit .*\n", lambda found: lines, text)
    assert forged != text
    (folder / "statement.txt").write_text(forged, encoding="utf-8", newline="\n")
    summed(folder)


@pytest.mark.parametrize(
    "lines",
    [
        "Commit    --output={mine}\n",
        "Commit    --output={mine}\nCommit    {commit}\n",
        "Commit    --output={mine} {commit}\n",
        "Commit    {commit} --output={mine}\n",
        "Commit    --remote={mine}\n",
        "Commit    --exec=touch {mine}.new\n",
        "Commit    $(touch {mine}.new)\n",
        "Commit    `touch {mine}.new`\n",
        "Commit    ;touch {mine}.new\n",
        "Commit    {short}\n",
        "Commit    {commit}0\n",
        "Commit    HEAD\n",
        "Commit    {commit}^{{tree}}\n",
        "Commit\t{commit}\n",
        "",
    ],
)
def test_a_forged_commit_runs_nothing_and_writes_nowhere(unsigned: Path, lines: str) -> None:
    said = run("show", "plant.git:booster-1")
    assert said.exit_code == 0
    commit = git("plant.git", "rev-parse", "stations/booster-1").strip()
    mine = unsigned.parent / "mine"
    write_commit(unsigned, lines.format(mine=mine, commit=commit, short=commit[:39]))
    script = commands(unsigned)
    assert typed(unsigned, "\n".join(script)).returncode != 0
    each(unsigned, script)
    assert mine.read_text() == "keep me"
    assert not Path(f"{mine}.new").exists()
    assert run("verify", unsigned, "--unsigned").exit_code == 1


def git(folder: str | Path, *words: str, data: bytes = b"") -> str:
    done = subprocess.run(["git", "-C", str(folder), *words], input=data, capture_output=True, check=True)
    return done.stdout.decode()


def test_only_the_first_commit_counts(unsigned: Path) -> None:
    commit = git("plant.git", "rev-parse", "stations/booster-1").strip()
    write_commit(unsigned, f"Commit    {HEX}\nCommit    {commit}\n")
    assert typed(unsigned, "\n".join(commands(unsigned))).returncode != 0
    write_commit(unsigned, f"Commit    {commit}\n")
    assert typed(unsigned, "\n".join(commands(unsigned))).returncode == 0


# --- what else the commands take from the folder ------------------------------------------------------------------

NAMES = [
    "Ada '; touch ../owned; ' Lind",
    "Ada $(touch ../owned) Lind",
    "Ada `touch ../owned`",
    'Ada "Lind" | touch ../owned',
    "-Y sign -n x",
    "Ada $ touch ../owned "
    + "and a name that goes on for so long that its lines must break somewhere $ touch ../owned",
    "Ada <a'$(touch${IFS}../owned)'b@example.org>",
    "Ada <`touch${IFS}../owned`@example.org>",
    "Ada <-oProxyCommand@example.org>",
    "Ada <#ada@example.org>",
    "Ada <o'neil@example.org>",
    "Zoë Ünal",
    "*",
    "!ada",
    "Ada <!ada@example.org>",
    "Ada <*@example.org>",
    "a,b",
]


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_a_name_and_no_command(plant: Path, name: str) -> None:
    done = run("handover", "plant.git:booster-1", "--to", "ho", "--key", "id", f"--by={name}")
    if done.exit_code == 2:  # no name of a person at all
        assert done.stderr.endswith("is no name of a person; write --by NAME or --by 'NAME <ADDRESS>'.\n")
        return
    assert done.exit_code == 0, done.output
    script = commands(plant / "ho")
    checked = typed(plant / "ho", "\n".join(script))
    assert checked.returncode == 0, checked.stderr
    assert len(script) == 7  # no line of prose looks like a command
    assert checked.stdout.count('Good "asfound" signature for ') == 2
    assert not (plant / "owned").exists()
    assert run("verify", "ho").exit_code == 0


@pytest.mark.parametrize("name", NAMES)
def test_the_line_of_a_signer_is_one_that_openssh_takes_for_that_name(tmp_path: Path, name: str) -> None:
    one = signer()
    (tmp_path / "signers").write_text(signers.line(name, one.public), encoding="utf-8")
    from asfound.evidence import sshsig

    (tmp_path / "sig").write_text(sshsig.sign(one, "asfound", b"x"))
    words = ("-Y", "verify", "-f", tmp_path / "signers", "-n", "asfound", "-s", tmp_path / "sig", "-I")
    assert keygen(*words, signers.identity(name), data=b"x").returncode == 0
    assert keygen(*words, "somebody-else", data=b"x").returncode != 0
    assert [found.who for found in signers.parse((tmp_path / "signers").read_text(encoding="utf-8"))] == [
        signers.identity(name)
    ]


@pytest.mark.parametrize(
    "path", ["/etc/hostname", "../mine", "a/../../mine", "\\u000amine", "a\\nb", ".hidden", "a\x1b[2Jb"]
)
def test_a_list_that_names_other_files_is_refused_before_they_are_read(unsigned: Path, path: str) -> None:
    listed = (unsigned / sums.NAME).read_text(encoding="utf-8")
    (unsigned / sums.NAME).write_text(f"{'0' * 64}  {path}\n{listed}", encoding="utf-8", newline="\n")
    first, *_ = commands(unsigned)
    done = typed(unsigned, first)
    assert (done.returncode, done.stdout, done.stderr) == (1, "", "")
    assert run("verify", unsigned, "--unsigned").exit_code == 1


def test_an_escaped_name_is_no_way_around_it(unsigned: Path) -> None:
    listed = (unsigned / sums.NAME).read_text(encoding="utf-8")
    (unsigned / sums.NAME).write_text(f"\\{'0' * 64}  \\n\n{listed}", encoding="utf-8", newline="\n")
    assert typed(unsigned, commands(unsigned)[0]).returncode == 1


@pytest.mark.parametrize("kind", ["link", "fifo"])
def test_a_link_or_a_pipe_is_told_before_anything_is_read(unsigned: Path, kind: str) -> None:
    if kind == "link":
        (unsigned / "originals" / "zero").symlink_to("/dev/zero")
    else:
        os.mkfifo(unsigned / "originals" / "zero")
    assert typed(unsigned, commands(unsigned)[0]).returncode == 1


# --- a hostile history --------------------------------------------------------------------------------------------


def tree(folder: Path, entries: list[tuple[str, str, str]]) -> str:
    """A tree of ``(mode, name, id)``, whatever git thinks of it."""
    data = b"".join(f"{mode} {name}\0".encode() + bytes.fromhex(id) for mode, name, id in entries)
    return git(folder, "hash-object", "-t", "tree", "-w", "--stdin", "--literally", data=data).strip()


def blob(folder: Path, data: bytes) -> str:
    return git(folder, "hash-object", "-w", "--stdin", data=data).strip()


def bundled(unsigned: Path, fake: Path, top: str) -> None:
    """The history replaced by one whose only commit holds that tree; the statement names it, and the sums are new."""
    who = ("-c", "user.name=E", "-c", "user.email=e@example.org")
    commit = git(fake, *who, "commit-tree", "-m", "x", top).strip()
    git(fake, "update-ref", "refs/heads/stations/booster-1", commit)
    git(fake, "bundle", "create", "-q", str(unsigned / "history.bundle"), "--branches")
    write_commit(unsigned, f"Commit    {commit}\n")


@pytest.fixture
def fake(plant: Path) -> Path:
    subprocess.run(["git", "init", "-q", "--bare", "fake.git"], check=True)
    return plant / "fake.git"


@pytest.fixture
def filtering(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A person whose own git has a filter, hooks and a template, each of which would leave a file."""
    home = tmp_path / "home"
    hook = f"#!/bin/sh\ntouch {tmp_path}/ran\n"
    for folder in ("hooks", "template/hooks"):
        (home / folder).mkdir(parents=True)
        for name in ("post-checkout", "reference-transaction", "post-index-change", "pre-auto-gc"):
            (home / folder / name).write_text(hook)
            (home / folder / name).chmod(0o755)
    (home / ".gitconfig").write_text(
        f"[core]\n hooksPath = {home}/hooks\n autocrlf = true\n[init]\n templateDir = {home}/template\n"
        f'[filter "x"]\n smudge = touch {tmp_path}/ran\n clean = touch {tmp_path}/ran\n'
    )
    monkeypatch.setenv("HOME", str(home))
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    return tmp_path / "ran"


def test_the_settings_of_the_person_run_nothing_either(unsigned: Path, filtering: Path) -> None:
    done = typed(unsigned, "\n".join(commands(unsigned)))
    assert done.returncode == 0, done.stderr
    assert not filtering.exists()


def test_attributes_of_a_history_run_no_filter_and_change_no_byte(unsigned: Path, fake: Path, filtering: Path) -> None:
    data = b"$Id$ $Format:%an$\nline\n"
    attributes = blob(fake, b"[attr]all filter=x\n* all export-subst ident eol=crlf working-tree-encoding=UTF-16\n")
    running = tree(fake, [("100644", ".gitattributes", attributes), ("100644", "main.st", blob(fake, data))])
    originals = tree(fake, [("100644", ".gitattributes", attributes), ("40000", "running", running)])
    top = tree(fake, [("100644", ".gitattributes", attributes), ("40000", "originals", originals)])
    for old in (unsigned / "originals" / "running").iterdir():
        old.unlink()
    (unsigned / "originals/running/main.st").write_bytes(data)
    for place in ("originals", "originals/running"):
        (unsigned / place / ".gitattributes").write_bytes(git(fake, "cat-file", "blob", attributes).encode())
    bundled(unsigned, fake, top)
    script = commands(unsigned)[-2:]
    start = commands(unsigned)[-3]
    filtering.unlink(missing_ok=True)  # making the history ran the person's hooks
    done = typed(unsigned, "\n".join([start, *script]))
    assert done.returncode == 0, done.stderr  # the very bytes, in spite of all attributes
    assert not filtering.exists()


@pytest.mark.parametrize("kind", ["dots", "link", "beside"])
def test_no_file_of_a_history_gets_out_of_the_folder_it_is_put_into(unsigned: Path, fake: Path, kind: str) -> None:
    mine = unsigned.parent / "mine"
    config = blob(
        fake, f'[gpg "ssh"]\n program = touch {mine}.new; false\n[core]\n fsmonitor = touch {mine}.new\n'.encode()
    )
    file = tree(fake, [("100644", "config", config)])
    inner = tree(fake, [("40000", "history.git", file), ("100644", "mine", config)])
    if kind == "dots":
        up = tree(fake, [("40000", "..", inner)])
        top = tree(fake, [("40000", "originals", tree(fake, [("40000", "..", up)]))])
    elif kind == "link":
        target = blob(fake, str(unsigned.parent).encode())
        top = tree(fake, [("120000", "originals", target), ("40000", "originals", inner)])
    else:
        top = tree(fake, [("40000", "history.git", file), ("40000", "originals", inner)])
    bundled(unsigned, fake, top)
    script = [*commands(unsigned), 'G verify-commit "$C"', "G status", 'cat "$H/history.git/config"']
    done = each(unsigned, script)
    assert "fsmonitor" not in done.stdout
    assert mine.read_text() == "keep me"
    assert not Path(f"{mine}.new").exists()
    assert typed(unsigned, "\n".join(commands(unsigned))).returncode != 0
    said = statement_fields.read((unsigned / "statement.json").read_bytes()).predicate
    found = history.look(unsigned / "history.bundle", said, None, {})
    assert (found.checked, [fault.startswith("history.bundle") for fault in found.faults][:1]) == ([], [True])


def partial_clone(folder: Path, unsigned: Path) -> None:
    """A repository that fetches what it lacks, with a program of its own."""
    subprocess.run(["git", "init", "-q", "--bare", str(folder)], check=True)
    git(folder, "fetch", "-q", str(unsigned.parent / "plant.git"), "refs/heads/*:refs/heads/*")
    for path in (folder / "objects").glob("??/*"):
        if git(folder, "cat-file", "-t", path.parent.name + path.name).strip() == "blob":
            path.unlink()
    program = f"touch {unsigned.parent}/ran; false"
    for key, value in (
        ("core.repositoryFormatVersion", "1"),
        ("extensions.partialClone", "origin"),
        ("remote.origin.promisor", "true"),
        ("remote.origin.url", str(unsigned.parent / "plant.git")),
        ("remote.origin.uploadpack", program),
        ("uploadpack.packObjectsHook", program),
    ):
        git(folder, "config", key, value)


@pytest.mark.parametrize("kind", ["called nearly so", "instead", "pointed at"])
def test_a_repository_is_no_bundle(unsigned: Path, kind: str) -> None:
    bundle = unsigned / "history.bundle"
    if kind == "instead":
        bundle.unlink()
        partial_clone(bundle, unsigned)
    else:
        partial_clone(unsigned / "history.bundle.git", unsigned)
        broken = b"# v2 git bundle\nnothing\n" if kind == "called nearly so" else b"gitdir: history.bundle.git\n"
        bundle.write_bytes(broken)
    summed(unsigned)
    script = commands(unsigned)
    assert typed(unsigned, "\n".join(script)).returncode != 0
    each(unsigned, script)
    done = run("verify", unsigned, "--unsigned")
    assert done.exit_code == 1
    assert [line for line in done.stdout.splitlines() if line.startswith("! history.bundle")]
    assert not (unsigned.parent / "ran").exists()


@pytest.mark.parametrize("begins", ["# v2 git bundle\nnothing\n", "gitdir: history.bundle.git\n", "gitdir: {there}\n"])
def test_no_repository_beside_it_stands_for_the_bundle(unsigned: Path, begins: str) -> None:
    there = unsigned / "history.bundle.git"  # sound, and with the right record
    subprocess.run(["git", "clone", "-q", "--bare", "plant.git", str(there)], check=True)
    (unsigned / "history.bundle").write_text(begins.format(there=there), newline="\n")
    summed(unsigned)
    done = run("verify", unsigned, "--unsigned")
    assert done.exit_code == 1
    assert "! history.bundle: " in done.stdout
    assert typed(unsigned, "\n".join(commands(unsigned))).returncode != 0
