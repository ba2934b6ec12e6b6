"""Ed25519 and SHA-2 by their published vectors, and keys as OpenSSH reads and writes them."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.evidence import keys
from asfound.evidence.public import from_line
from asfound.model.problem import Problem

from .kit import keygen, needs_openssh, signer


def passphrase() -> str:
    return "long and odd"


def nobody() -> str:
    raise AssertionError("no passphrase was needed")


# RFC 8032 section 7.1, tests 1 to 3: secret key, public key, message, signature
VECTORS = (
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
)


@pytest.mark.parametrize(("secret", "public", "message", "signature"), VECTORS, ids=["1", "2", "3"])
def test_signatures_are_those_of_rfc_8032(secret: str, public: str, message: str, signature: str) -> None:
    one, data = signer(bytes.fromhex(secret)), bytes.fromhex(message)
    assert one.public.raw.hex() == public
    assert one.sign(data).hex() == signature
    assert one.public.verifies(bytes.fromhex(signature), data)
    assert not one.public.verifies(bytes.fromhex(signature), data + b"!")


def test_digests_are_those_of_fips_180_4() -> None:
    # The examples of FIPS 180-4 that NIST publishes: "abc", and 448 bits.
    long = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
    assert hashlib.sha256(b"abc").hexdigest() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert hashlib.sha256(long).hexdigest() == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"
    assert hashlib.sha512(b"abc").hexdigest().startswith("ddaf35a193617abacc417349ae204131")


@needs_openssh
@pytest.mark.parametrize("words", ["", "long and odd"])
def test_openssh_reads_the_keys_made_here(tmp_path: Path, words: str) -> None:
    public = keys.generate(tmp_path / "id", "Ada", words)
    assert keygen("-y", "-P", words, "-f", tmp_path / "id").stdout.decode().split()[:2] == public.line.split()
    assert keygen("-l", "-f", tmp_path / "id.pub").stdout.decode() == f"256 {public.fingerprint} Ada (ED25519)\n"
    if sys.platform != "win32":
        assert (tmp_path / "id").stat().st_mode & 0o077 == 0


@needs_openssh
@pytest.mark.parametrize("words", ["", "long and odd"])
def test_keys_of_openssh_are_read(tmp_path: Path, words: str) -> None:
    keygen("-q", "-t", "ed25519", "-N", words, "-f", tmp_path / "id")
    loaded = keys.load(tmp_path / "id", passphrase if words else nobody)
    assert loaded.public == from_line((tmp_path / "id.pub").read_text())
    assert loaded.public.verifies(loaded.sign(b"x"), b"x")


def test_a_key_is_never_replaced(tmp_path: Path) -> None:
    keys.generate(tmp_path / "id", "", "")
    before = (tmp_path / "id").read_bytes()
    with pytest.raises(Problem, match="exists; choose another name; a key is never replaced"):
        keys.generate(tmp_path / "id", "", "")
    assert (tmp_path / "id").read_bytes() == before


def said(path: Path, words: str = "wrong") -> str:
    with pytest.raises(Problem) as problem:
        keys.load(path, lambda: words)
    return problem.value.what


def test_what_is_no_key_is_refused(tmp_path: Path) -> None:
    keys.generate(tmp_path / "id", "", "right")
    assert said(tmp_path / "id") == "the passphrase is wrong"
    assert said(tmp_path / "none").startswith("the key cannot be read")
    (tmp_path / "text").write_text("hello")
    assert said(tmp_path / "text") == "is no private key of OpenSSH"
    (tmp_path / "x.pub").write_text("ssh-ed25519 AAAA me\n")
    assert said(tmp_path / "x.pub") == "is a damaged public key"
    (tmp_path / "z.pub").write_text("ssh-ed25519 AAAAü me\n", encoding="utf-8")
    assert said(tmp_path / "z.pub") == "is a damaged public key"
    (tmp_path / "y.pub").write_text("ssh-rsa AAAA me\n")
    assert said(tmp_path / "y.pub") == "is a ssh-rsa key, not an Ed25519 key"


@needs_openssh
def test_another_kind_of_key_is_refused_by_name(tmp_path: Path) -> None:
    keygen("-q", "-t", "ecdsa", "-N", "", "-f", tmp_path / "id")
    assert said(tmp_path / "id") == "is not an Ed25519 key"


@pytest.fixture
def agent(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A running ssh-agent of our own."""
    address = tmp_path / "agent"
    process = subprocess.Popen(["ssh-agent", "-D", "-a", str(address)], stdout=subprocess.DEVNULL)
    monkeypatch.setenv("SSH_AUTH_SOCK", str(address))
    for _ in range(200):
        if address.exists():
            break
        time.sleep(0.02)
    yield
    process.terminate()
    process.wait()


@needs_openssh
@pytest.mark.skipif(sys.platform == "win32", reason="one agent for the whole computer there")
def test_an_agent_signs_as_the_key_itself_would(tmp_path: Path, agent: None) -> None:
    keys.generate(tmp_path / "id", "", "")
    keys.generate(tmp_path / "other", "", "")
    subprocess.run(["ssh-add", "-q", str(tmp_path / "id")], check=True, env=os.environ)
    held = keys.load(tmp_path / "id.pub", nobody)
    assert held.sign(b"message") == keys.load(tmp_path / "id", nobody).sign(b"message")
    assert said(tmp_path / "other.pub") == "ssh-agent does not hold this key"


def test_no_agent_is_one_sentence(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("SSH_AUTH_SOCK", raising=False)
    keys.generate(tmp_path / "id", "", "")
    assert said(tmp_path / "id.pub").startswith("ssh-agent cannot be reached")
