"""SSH signatures of files: what ``ssh-keygen -Y sign`` makes and ``ssh-keygen -Y verify`` checks.

The format is PROTOCOL.sshsig of OpenSSH: what is signed is a magic word, the namespace (so that a signature made for
one purpose is none for another), the hash and the hash of the message. Here the hash is SHA-512, as ssh-keygen's.
"""

from __future__ import annotations

import base64
import hashlib
import re
import textwrap
from typing import NamedTuple

from asfound.evidence.keys import Signer
from asfound.evidence.public import KIND, PublicKey, from_blob
from asfound.evidence.wire import Malformed, Reader, string
from asfound.model.problem import Problem

NAMESPACE = "asfound"
"""Of statements and sums."""
GIT = "git"
"""Of commits (git's own)."""
_MAGIC, _VERSION = b"SSHSIG", 1
_HASHES = {b"sha512": hashlib.sha512, b"sha256": hashlib.sha256}
_HEAD, _TAIL = "-----BEGIN SSH SIGNATURE-----", "-----END SSH SIGNATURE-----"


class Signature(NamedTuple):
    """A signature taken apart: whose, for what, and over which kind of hash."""

    public: PublicKey
    namespace: str
    hash: bytes
    raw: bytes


def sign(signer: Signer, namespace: str, message: bytes) -> str:
    """The armoured signature of a message."""
    raw = signer.sign(_signed(namespace, b"sha512", message))
    return armoured(Signature(signer.public, namespace, b"sha512", raw))


def _signed(namespace: str, kind: bytes, message: bytes) -> bytes:
    digest = _HASHES[kind](message).digest()
    return _MAGIC + string(namespace.encode()) + string(b"") + string(kind) + string(digest)


def armoured(signature: Signature) -> str:
    """The signature as it stands in a file: 70 characters in a line, as ssh-keygen writes it."""
    blob = _MAGIC + _VERSION.to_bytes(4, "big") + string(signature.public.blob)
    blob += string(signature.namespace.encode()) + string(b"") + string(signature.hash)
    blob += string(string(KIND.encode()) + string(signature.raw))
    lines = textwrap.wrap(base64.b64encode(blob).decode(), 70)
    return "\n".join([_HEAD, *lines, _TAIL]) + "\n"


def is_ours(text: str) -> bool:
    """Whether an armoured signature is of the one kind of key there is here, or too damaged to name another.

    A kind is believed only where the key names itself as RFC 4253 section 6.6 has it.
    """
    try:
        reader = Reader(base64.b64decode("".join(text.split("\n")[1:-2]), validate=True))
        reader.take(len(_MAGIC) + 4)
        named = Reader(reader.string()).string().decode("ascii")
    except (Malformed, ValueError):
        return True
    return named == KIND or not re.fullmatch(r"(sk-)?(ssh|ecdsa|rsa)-[a-z0-9@.-]+", named)


_AGAIN = "ask the one who signed for the file again"


def parse(text: str, where: str = "") -> Signature:
    """A signature in exactly the form that :func:`armoured` gives; anything else is a :class:`Problem`."""
    lines = text.split("\n")
    try:
        reader = Reader(base64.b64decode("".join(lines[1:-2]), validate=True))
        if reader.take(6) != _MAGIC or reader.number() != _VERSION:
            raise Malformed
        public, namespace = from_blob(reader.string()), reader.string().decode("utf-8")
        reserved, kind = reader.string(), reader.string()
        inner = Reader(reader.string())
        algorithm, raw = inner.string(), inner.string()
        reader.end()
        inner.end()
        if reserved or kind not in _HASHES or algorithm != KIND.encode() or len(raw) != 64:
            raise Malformed
    except (Malformed, ValueError):  # ValueError: no Base64, no UTF-8
        advice = "only Ed25519 is read here; `ssh-keygen -Y verify` knows other kinds of keys"
        raise Problem("is no signature that can be read", where=where, advice=advice) from None
    found = Signature(public, namespace, kind, raw)
    if armoured(found) != text:
        raise Problem("is a signature in an unusual form, it may have been touched", where=where, advice=_AGAIN)
    return found


def verify(text: str, namespace: str, message: bytes, where: str = "") -> PublicKey:
    """The key with which the message was signed for this purpose, or a :class:`Problem`."""
    found = parse(text, where)
    if found.namespace != namespace:
        raise Problem(f"was signed for '{found.namespace}', not for '{namespace}'", where=where, advice=_AGAIN)
    if not found.public.verifies(found.raw, _signed(namespace, found.hash, message)):
        raise Problem("the signature does not fit", where=where, advice="the text or the signature was altered")
    return found.public
