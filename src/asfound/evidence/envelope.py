"""The DSSE envelope (Dead Simple Signing Envelope 1.0) around a statement.

What is signed is the pre-authentication encoding of type and payload, so that no reader has to make sense of bytes
before they are verified. A library would bring its own model of keys; this is one line and one struct, checked in
tests against the vector of the specification and against a library.
"""

from __future__ import annotations

import base64

import msgspec

from asfound.evidence.keys import Signer
from asfound.evidence.public import PublicKey
from asfound.model.logic import Node
from asfound.model.problem import Problem

PAYLOAD_TYPE = "application/vnd.in-toto+json"


class Sealed(Node, frozen=True):
    """One signature of an envelope; ``keyid`` is the fingerprint of the key as ``ssh-keygen -l`` prints it."""

    sig: str
    keyid: str = ""


class Envelope(Node, frozen=True, rename={"payload_type": "payloadType"}):
    """The envelope as it stands in a file."""

    payload: str
    payload_type: str
    signatures: tuple[Sealed, ...]


def encoded(kind: str, payload: bytes) -> bytes:
    """The pre-authentication encoding.

    >>> encoded("http://example.com/HelloWorld", b"hello world")
    b'DSSEv1 29 http://example.com/HelloWorld 11 hello world'
    """
    name = kind.encode("utf-8")
    return b"DSSEv1 %d %s %d %s" % (len(name), name, len(payload), payload)


_AGAIN = "ask the one who wrote it for the file again"


def seal(signer: Signer, payload: bytes) -> bytes:
    """The envelope of a statement, as bytes of a file."""
    sig = base64.b64encode(signer.sign(encoded(PAYLOAD_TYPE, payload))).decode()
    sealed = Sealed(sig, signer.public.fingerprint)
    return _bytes(Envelope(base64.b64encode(payload).decode(), PAYLOAD_TYPE, (sealed,)))


def _bytes(envelope: Envelope) -> bytes:
    return msgspec.json.format(msgspec.json.encode(envelope), indent=2) + b"\n"


def opened(data: bytes, where: str = "") -> tuple[bytes, tuple[Sealed, ...]]:
    """Payload and signatures, not yet verified. Raises :class:`Problem` for every form but the one written here."""
    try:
        envelope = msgspec.json.decode(data, type=Envelope)
        payload = base64.b64decode(envelope.payload, validate=True)
    except (ValueError, RecursionError):  # of msgspec, no UTF-8, no Base64
        raise Problem("is no envelope of a statement", where=where, advice=_AGAIN) from None
    exact = _bytes(msgspec.structs.replace(envelope, payload=base64.b64encode(payload).decode()))
    if exact != data or envelope.payload_type != PAYLOAD_TYPE:
        raise Problem("is an envelope in an unusual form, it may have been touched", where=where, advice=_AGAIN)
    return payload, envelope.signatures


def verify(data: bytes, public: PublicKey, where: str = "") -> bytes:
    """The payload, when this key signed it; else a :class:`Problem`."""
    payload, signatures = opened(data, where)
    for sealed in signatures:
        if sealed.keyid == public.fingerprint and _fits(sealed, public, payload):
            return payload
    raise Problem(f"holds no valid signature of the key {public.fingerprint}", where=where, advice=_AGAIN)


def _fits(sealed: Sealed, public: PublicKey, payload: bytes) -> bool:
    try:
        raw = base64.b64decode(sealed.sig, validate=True)
    except ValueError:
        return False
    return base64.b64encode(raw).decode() == sealed.sig and public.verifies(raw, encoded(PAYLOAD_TYPE, payload))
