"""Records stored with a key: their commits carry git's SSH signature."""

from __future__ import annotations

import multiprocessing
import pickle
import subprocess
from pathlib import Path

import pytest

from asfound.evidence import commits, sshsig

from .kit import keygen, needs_openssh, run, signer


def git(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(["git", "-C", "plant.git", *words], capture_output=True, text=True, check=False)


@pytest.fixture
def signed(plant: Path) -> Path:
    """A third record, signed; by somebody whose name git would tidy up."""
    words = ("plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--key", "id")
    done = run("store", *words, "--by", "Ada Lind.", "--note", "line one\nline two")
    assert done.exit_code == 0, done.output
    return plant


@needs_openssh
def test_git_verifies_the_commit(signed: Path) -> None:
    trust = ("-c", f"gpg.ssh.allowedSignersFile={signed / 'signers'}")
    done = git(*trust, "verify-commit", "stations/booster-1")
    assert done.returncode == 0, done.stderr
    assert 'Good "git" signature for ada@example.org' in done.stderr
    assert git(*trust, "verify-commit", "stations/booster-1~1").returncode == 1
    assert git("fsck", "--full", "--strict").returncode == 0


def test_a_signed_record_is_one_like_any_other(signed: Path) -> None:
    assert run("check", "plant.git").exit_code == 0
    message = git("log", "-1", "--format=%an|%s|%b", "stations/booster-1").stdout
    unsigned = run("store", "plant.git", "other", "--moment", "as-left", "--running", "old", "--by", "Ada Lind.")
    assert unsigned.exit_code == 0
    other = git("log", "-1", "--format=%an|%s|%b", "stations/other").stdout
    assert message.split("|")[0] == other.split("|")[0]
    assert "line one\nline two" in message
    assert git("log", "--format=%s", "stations/booster-1").stdout.count("booster-1") == 3


def commit(revision: str) -> bytes:
    """A commit as git holds it."""
    found = ["git", "-C", "plant.git", "cat-file", "commit", revision]
    return subprocess.run(found, capture_output=True, check=True).stdout


def test_a_commit_whose_signature_does_not_hold_is_found(signed: Path) -> None:
    whole = commit("stations/booster-1")
    assert commits.fault_of(whole) == ""
    assert commits.fault_of(commit("stations/booster-1~1")) == ""  # nobody signed it
    wrong = "the signature of its commit does not hold"
    altered = whole.replace(b"line one", b"line two", 1)
    assert commits.fault_of(altered) == f"{wrong} (the signature does not fit)"
    head, _, rest = whole.partition(b"U1NIU0lH")
    assert commits.fault_of(head + b"U1NIU0lI" + rest) == f"{wrong} (is no signature that can be read)"
    assert commits.fault_of(head + "ü".encode() + rest) == f"{wrong} (is no signature that can be read)"
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        assert pool.map(commits.fault_of, [whole, altered]) == ["", f"{wrong} (the signature does not fit)"]
    assert pickle.loads(pickle.dumps(commits.fault_of)) is commits.fault_of


def test_a_signature_for_files_is_none_for_a_commit(signed: Path) -> None:
    found = commits.signature_of(commit("stations/booster-1"))
    assert found is not None
    other = sshsig.sign(signer(), sshsig.NAMESPACE, found.payload).strip().replace("\n", "\n ")
    head, blank, message = found.payload.partition(b"\n\n")
    forged = head + b"\ngpgsig " + other.encode() + blank + message
    what = "the signature of its commit does not hold (was signed for 'asfound', not for 'git')"
    assert commits.fault_of(forged) == what


@needs_openssh
@pytest.mark.parametrize("kind", ["ecdsa", "rsa", "pgp"])
def test_a_kind_of_signature_that_is_not_checked_here_is_no_fault(signed: Path, kind: str) -> None:
    if kind == "pgp":
        armour = b"-----BEGIN PGP SIGNATURE-----\n\niHUEABYKAB0WIQ\n-----END PGP SIGNATURE-----\n"
    else:
        keygen("-q", "-t", kind, "-N", "", "-f", signed / "other")
        armour = keygen("-Y", "sign", "-f", signed / "other", "-n", "git", data=b"something").stdout
    lines = armour.decode().strip().replace("\n", "\n ")
    assert commits.fault_of(f"tree x\ngpgsig {lines}\n\nmessage\n".encode()) == ""
