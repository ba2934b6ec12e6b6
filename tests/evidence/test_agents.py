"""An ssh-agent that lies, drips or sends nonsense: one sentence, and nothing is stored, stated or handed over."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest

from asfound.evidence import agent as asked
from asfound.evidence import keys
from asfound.evidence.public import PublicKey, from_line
from asfound.model.problem import Problem

from .agents import Answer, Send, agent, holding, signature
from .kit import run, signer

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no Unix sockets")
LIE = "id.pub: the signature that was made does not fit the key; nothing was signed; `ssh-add` the key again, or name the private key.\n"


def lying(public: PublicKey) -> Answer:
    """Signs another message than the one it was asked to sign, with another key."""
    return holding(public, lambda request: signature(signer().sign(b"another message")))


@pytest.fixture
def lied_to(plant: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The plant, whose key is in an agent that lies."""
    monkeypatch.setenv("SSH_AUTH_SOCK", str(plant / "sock"))
    return plant


def test_a_lying_agent_stores_nothing(lied_to: Path) -> None:
    before = run("history", "plant.git").stdout
    with agent(lied_to / "sock", lying(from_line(Path("id.pub").read_text()))):
        words = ("plant.git", "booster-1", "--moment", "as-left", "--running", "old", "--by", "Ada")
        done = run("store", *words, "--key", "id.pub")
    assert (done.exit_code, done.stderr) == (2, LIE)
    assert run("history", "plant.git").stdout == before


@pytest.mark.parametrize("words", [("attest",), ("handover", "--to", "ho")], ids=["attest", "handover"])
def test_a_lying_agent_proves_nothing(lied_to: Path, words: tuple[str, ...]) -> None:
    before = sorted(path.name for path in lied_to.iterdir())
    with agent(lied_to / "sock", lying(from_line(Path("id.pub").read_text()))):
        done = run(words[0], "plant.git:booster-1", *words[1:], "--key", "id.pub", "--by", "Ada")
    assert (done.exit_code, done.stderr) == (2, LIE)
    assert sorted(path.name for path in lied_to.iterdir() if path.name != "sock") == before


def test_a_key_file_is_verified_as_well(monkeypatch: pytest.MonkeyPatch) -> None:
    one = keys.FileSigner(signer()._key, "id")
    one.public = signer(bytes(32)).public  # as damaged memory would have it
    with pytest.raises(Problem, match="id: the signature that was made does not fit the key"):
        one.sign(b"message")


def refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answer: Answer, send: Send | None = None) -> str:
    """What is said when a key behind such an agent is to sign."""
    monkeypatch.setenv("SSH_AUTH_SOCK", str(tmp_path / "sock"))
    keys.generate(tmp_path / "id", "", "")
    with agent(tmp_path / "sock", answer, *([send] if send else [])), pytest.raises(Problem) as problem:
        keys.load(tmp_path / "id.pub", lambda: "").sign(b"message")
    return problem.value.what


def test_an_agent_that_drips_has_one_limit_for_the_whole_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asked, "_SECONDS", 1.0)
    ended = threading.Event()

    def drip(link: object, data: bytes) -> None:
        for at in range(len(data)):  # some hundred bytes: much longer than the limit, each one sooner than it
            if ended.wait(0.2):
                return
            link.sendall(data[at : at + 1])  # type: ignore[attr-defined]
        ended.set()

    try:
        said = refused(tmp_path, monkeypatch, lambda request: bytes([12]) + bytes(400), drip)
        assert not ended.is_set()  # it was left before it was done
    finally:
        ended.set()
    assert said in (
        "ssh-agent cannot be reached (its answer takes longer than 1 seconds)",
        "ssh-agent cannot be reached (timed out)",
    )


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        (b"", "ssh-agent does not say which keys it holds"),
        (bytes([12]) + b"\xff\xff\xff\xff", "ssh-agent does not say which keys it holds"),
        (bytes([12]) + b"\0\0\0\1\xff\xff\xff\xffab", "ssh-agent does not say which keys it holds"),
        (bytes([12, 0, 0, 0, 0]), "ssh-agent does not hold this key"),
        (bytes(1_000_001), "ssh-agent cannot be reached (its answer is too long)"),
    ],
    ids=["nothing", "number", "length", "none", "long"],
)
def test_nonsense_of_an_agent_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answer: bytes, said: str
) -> None:
    assert refused(tmp_path, monkeypatch, lambda request: answer) == said
