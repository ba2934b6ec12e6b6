"""Keys: Ed25519 (RFC 8032) in the formats of OpenSSH, from a file or behind ssh-agent.

Only Ed25519: it is what OpenSSH makes by default, its signatures are the same bytes each time, and one kind of key is
one kind of mistake. Any other kind is refused by name.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from asfound.evidence import files
from asfound.evidence.agent import AgentSigner
from asfound.evidence.public import MAKE, PublicKey, from_line
from asfound.model.problem import Problem

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey


class Signer(Protocol):
    """Somebody who can sign with one key."""

    @property
    def public(self) -> PublicKey:
        """The key that verifies what is signed."""

    def sign(self, data: bytes) -> bytes:
        """The 64 bytes of a signature (RFC 8032, without prehash), which was verified after it was made."""


class FileSigner:
    """Signs with a private key held in memory; ``where`` is the file it came from."""

    def __init__(self, key: Ed25519PrivateKey, where: str = "") -> None:
        self._key, self._where = key, where
        self.public = PublicKey(key.public_key().public_bytes_raw())

    def sign(self, data: bytes) -> bytes:
        """The signature, verified; a :class:`Problem` when it does not fit."""
        return self.public.fitting(self._key.sign(data), data, self._where)


def load(path: Path, ask: Callable[[], str]) -> Signer:
    """The signer for a private key, or for a ``.pub`` file whose private half ssh-agent holds.

    ``ask`` is called for the passphrase when there is one. A :class:`Problem` says why there is no signer.
    """
    data = files.read(path, files.MAX_SMALL, called="the key ", advice=MAKE)
    if data.startswith(b"ssh-") or path.suffix == ".pub":
        return AgentSigner(from_line(data.decode("utf-8", "replace"), str(path)), str(path))
    return FileSigner(_private(data, path, ask), str(path))


def _private(data: bytes, path: Path, ask: Callable[[], str]) -> Ed25519PrivateKey:
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_ssh_private_key

    try:
        try:
            key = load_ssh_private_key(data, None)
        except TypeError:  # it has a passphrase
            key = load_ssh_private_key(data, ask().encode("utf-8"))
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        if re.search("password|decrypt|corrupt", str(error), re.I):
            raise Problem("the passphrase is wrong", where=str(path), advice="try again") from None
        raise Problem("is no private key of OpenSSH", where=str(path), advice=MAKE) from None
    if not isinstance(key, Ed25519PrivateKey):
        raise Problem("is not an Ed25519 key", where=str(path), advice=MAKE)
    return key


def generate(path: Path, comment: str, passphrase: str) -> PublicKey:
    """Write a new key to ``path`` (readable for its owner only) and ``path.pub``; replaces nothing."""
    from cryptography.hazmat.primitives import serialization as ser
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.generate()
    lock = ser.BestAvailableEncryption(passphrase.encode("utf-8")) if passphrase else ser.NoEncryption()
    public = PublicKey(key.public_key().public_bytes_raw())
    _write_new(path, key.private_bytes(ser.Encoding.PEM, ser.PrivateFormat.OpenSSH, lock), 0o600)
    _write_new(Path(f"{path}.pub"), f"{public.line} {comment}".rstrip().encode("utf-8") + b"\n", 0o644)
    return public


def _write_new(path: Path, data: bytes, mode: int) -> None:
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    except FileExistsError:
        raise Problem("exists", where=str(path), advice="choose another name; a key is never replaced") from None
    except OSError as error:
        raise Problem(f"cannot be written ({error.strerror})", where=str(path), advice="choose another file") from None
    with os.fdopen(handle, "wb") as file:
        file.write(data)
