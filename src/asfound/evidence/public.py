"""Public keys: Ed25519 (RFC 8032) as SSH sends and writes them."""

from __future__ import annotations

import base64
import hashlib
import re
from dataclasses import dataclass

from asfound.evidence.wire import Malformed, Reader, string
from asfound.model.problem import Problem

KIND = "ssh-ed25519"
MAKE = "`asfound key new FILE` makes a key"


@dataclass(frozen=True, slots=True)
class PublicKey:
    """The 32 bytes of a public key."""

    raw: bytes

    @property
    def blob(self) -> bytes:
        """As SSH sends it."""
        return string(KIND.encode()) + string(self.raw)

    @property
    def fingerprint(self) -> str:
        """As ``ssh-keygen -l`` prints it: ``SHA256:`` and 43 characters."""
        digest = hashlib.sha256(self.blob).digest()
        return f"SHA256:{base64.b64encode(digest).decode().rstrip('=')}"

    @property
    def line(self) -> str:
        """As it stands in a ``.pub`` file, without the comment."""
        return f"{KIND} {base64.b64encode(self.blob).decode()}"

    def fitting(self, signature: bytes, data: bytes, where: str) -> bytes:
        """The signature itself, when it is one of this key over the data; else a :class:`Problem`.

        Asked after every signing: what an agent or a damaged memory gave must not be stored as a signature.
        """
        if not self.verifies(signature, data):
            advice = "nothing was signed; `ssh-add` the key again, or name the private key"
            raise Problem("the signature that was made does not fit the key", where=where, advice=advice)
        return signature

    def verifies(self, signature: bytes, data: bytes) -> bool:
        """Whether the holder of this key signed the data."""
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

        try:
            Ed25519PublicKey.from_public_bytes(self.raw).verify(signature, data)
        except (InvalidSignature, ValueError):
            return False
        return True


def from_blob(blob: bytes) -> PublicKey:
    """A public key as SSH sends it; :class:`Malformed` when it is none, or no Ed25519 key."""
    reader = Reader(blob)
    kind, raw = reader.string(), reader.string()
    reader.end()
    if kind != KIND.encode() or len(raw) != 32:
        raise Malformed
    return PublicKey(raw)


def from_line(text: str, where: str = "") -> PublicKey:
    """A public key out of the line of a ``.pub`` file; a :class:`Problem` for any but an Ed25519 key."""
    kind, _, rest = text.strip().partition(" ")
    if kind != KIND:
        what = f"is a {kind} key, not an Ed25519 key" if re.fullmatch(r"[a-z0-9@.-]+", kind) else "is no public key"
        raise Problem(what, where=where, advice=MAKE)
    try:
        return from_blob(base64.b64decode(rest.partition(" ")[0], validate=True))
    except (Malformed, ValueError):  # ValueError: no Base64
        raise Problem("is a damaged public key", where=where, advice="`ssh-keygen -y -f KEY` writes it again") from None
