"""SSH signatures: what ssh-keygen makes is verified here, and what is made here ssh-keygen verifies."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.evidence import keys, signers, sshsig
from asfound.model.problem import Problem

from .kit import keygen, needs_openssh, signer

MESSAGE = b"the pump runs\n"


@needs_openssh
def test_ssh_keygen_verifies_ours(tmp_path: Path) -> None:
    one = signer()
    (tmp_path / "signers").write_text(signers.line("Ada Lind <ada@example.org>", one.public))
    (tmp_path / "sig").write_text(sshsig.sign(one, "asfound", MESSAGE))
    command = ("-Y", "verify", "-f", tmp_path / "signers", "-I", "ada@example.org", "-n")
    assert keygen(*command, "asfound", "-s", tmp_path / "sig", data=MESSAGE).returncode == 0
    assert keygen(*command, "asfound", "-s", tmp_path / "sig", data=MESSAGE + b" ").returncode != 0
    assert keygen(*command, "git", "-s", tmp_path / "sig", data=MESSAGE).returncode != 0


@needs_openssh
def test_ours_is_byte_for_byte_that_of_ssh_keygen(tmp_path: Path) -> None:
    keys.generate(tmp_path / "id", "", "")
    theirs = keygen("-Y", "sign", "-f", tmp_path / "id", "-n", "asfound", data=MESSAGE).stdout.decode()
    one = keys.load(tmp_path / "id", lambda: "")
    assert sshsig.sign(one, "asfound", MESSAGE) == theirs
    assert sshsig.verify(theirs, "asfound", MESSAGE) == one.public


def test_a_signature_for_another_purpose_is_none_for_this() -> None:
    text = sshsig.sign(signer(), "git", MESSAGE)
    with pytest.raises(Problem, match="was signed for 'git', not for 'asfound'"):
        sshsig.verify(text, "asfound", MESSAGE)


def test_every_changed_byte_of_a_signature_is_seen() -> None:
    text = sshsig.sign(signer(), "asfound", MESSAGE)
    for at in range(len(text)):
        for other in {chr(ord(text[at]) ^ 1), " ", "\n", "A"} - {text[at]}:
            with pytest.raises(Problem):
                sshsig.verify(text[:at] + other + text[at + 1 :], "asfound", MESSAGE)


def test_a_signature_under_another_message_does_not_fit() -> None:
    text = sshsig.sign(signer(), "asfound", MESSAGE)
    with pytest.raises(Problem, match="the signature does not fit"):
        sshsig.verify(text, "asfound", MESSAGE[:-1])


# --- allowed signers (ssh-keygen(1), ALLOWED SIGNERS) ------------------------------------------------------------


def test_allowed_signers_are_read() -> None:
    line = signer().public.line
    found = signers.parse(
        f'# us\n\nada@example.org {line} a comment\n"Bo Ek" namespaces="git,file" {line}\n'
        "old@example.org ssh-rsa AAAAB3NzaC1yc2EAAAADAQABAAABAQ== x\n"
    )
    assert [(one.who, one.namespaces) for one in found] == [("ada@example.org", ()), ("Bo Ek", ("git", "file"))]
    assert signers.holder(found[1:], signer().public, "git") == "Bo Ek"
    assert signers.holder(found[1:], signer().public, "asfound") == ""
    assert signers.holder(found, signer(bytes(32)).public, "git") == ""


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("ada", "is no line of an allowed signers file"),
        (f"ada cert-authority {signer().public.line}", "has the option cert-authority"),
        (f'ada valid-before="20200101" {signer().public.line}', 'has the option valid-before="20200101"'),
    ],
)
def test_lines_that_mean_something_else_are_refused(text: str, what: str) -> None:
    with pytest.raises(Problem) as problem:
        signers.parse(text)
    assert problem.value.what == what
    assert problem.value.where == "line 1"
