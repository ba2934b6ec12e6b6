"""SSH signatures: what ssh-keygen makes is verified here, and what is made here ssh-keygen verifies."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.evidence import keys, signers, sshsig
from asfound.model.problem import Problem

from .kit import keygen, needs_openssh, run, signer

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
        (f"!ada {signer().public.line}", "has the pattern !ada, which names nobody"),
        (f"*,!ada {signer().public.line}", "has the pattern *,!ada, which names nobody"),
        (f'"a?a" {signer().public.line}', "has the pattern a?a, which names nobody"),
        (f'ada namespaces="git,!asfound" {signer().public.line}', "has the pattern !asfound, which names nobody"),
        (f'ada namespaces="*" {signer().public.line}', "has the pattern *, which names nobody"),
        (f'a"da" {signer().public.line}', "is no line of an allowed signers file"),
    ],
)
def test_lines_that_mean_something_else_are_refused(text: str, what: str) -> None:
    with pytest.raises(Problem) as problem:
        signers.parse(text)
    assert problem.value.what == what
    assert problem.value.where == "line 1"


LINES = [
    "ada KEY",
    "ada,bert KEY",
    "bert,ada KEY",
    '"ada,bert" KEY',
    '"ada" KEY',
    "!ada KEY",
    "!ada,* KEY",
    "*,!ada KEY",
    "a?a KEY",
    "Ada KEY",
    'ada namespaces="asfound" KEY',
    'ada namespaces="git" KEY',
    'ada namespaces="git,asfound" KEY',
    'ada namespaces="git, asfound" KEY',
    'ada NAMESPACES="asfound" KEY',
    'ada namespaces="Asfound" KEY',
    'ada namespaces="!asfound,*" KEY',
    'ada namespaces="asf*" KEY',
    'ada namespaces="" KEY',
    "# x\vada KEY",
    "# x\u2028ada KEY",
    "# x\rada KEY",
    "ada\u00a0KEY",
    " \tada\tKEY",
    "ada KEY and a remark",
    '"" KEY',
    ",ada KEY",
    "ada KEY\r",
]


@needs_openssh
@pytest.mark.parametrize("line", LINES)
def test_nobody_counts_here_who_does_not_for_openssh(tmp_path: Path, line: str) -> None:
    one = signer()
    text = line.replace("KEY", one.public.line) + "\n"
    (tmp_path / "signers").write_text(text, encoding="utf-8", newline="")
    (tmp_path / "sig").write_text(sshsig.sign(one, "asfound", MESSAGE))
    command = ("-Y", "verify", "-f", tmp_path / "signers", "-I", "ada", "-n", "asfound", "-s", tmp_path / "sig")
    theirs = keygen(*command, data=MESSAGE).returncode == 0
    try:
        ours = "ada" in signers.holder(signers.parse(text), one.public, "asfound").split(" or ")
    except Problem:
        ours = False
    assert theirs or not ours
    assert ours == (theirs and not any(sign in line for sign in "*?!"))


def test_several_holders_of_one_key_are_all_named() -> None:
    (found,) = signers.parse(f"ada,bert {signer().public.line}")
    assert found.who == "ada or bert"


def test_a_negated_name_is_one_sentence_of_verify(tmp_path: Path) -> None:
    (tmp_path / "signers").write_text(f"!Ada {signer().public.line}\n")
    done = run("verify", tmp_path / "x.txt", "--signers", tmp_path / "signers")
    assert (done.exit_code, done.stderr) == (
        2,
        f"{tmp_path}/signers, line 1: has the pattern !Ada, which names nobody; write the name itself; "
        "`ssh-keygen -Y verify` knows patterns.\n",
    )


@pytest.mark.parametrize("data", ["ü", "é" * 70, "-----BEGIN SSH SIGNATURE-----\nü\n-----END SSH SIGNATURE-----\n", ""])
def test_what_is_no_base64_is_no_signature(data: str) -> None:
    with pytest.raises(Problem, match="is no signature that can be read"):
        sshsig.parse(data)
