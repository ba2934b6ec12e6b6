"""The envelope: the vector of the specification, an independent implementation, and tampering."""

from __future__ import annotations

import json

import pytest

from asfound.evidence import envelope
from asfound.model.problem import Problem

from .kit import signer

PAYLOAD = b'{"a": 1}\n'


def test_encoding_is_that_of_the_specification() -> None:
    # DSSE 1.0, the test vectors of its protocol
    encoded = envelope.encoded("http://example.com/HelloWorld", b"hello world")
    assert encoded == b"DSSEv1 29 http://example.com/HelloWorld 11 hello world"
    assert envelope.encoded("", b"") == b"DSSEv1 0  0 "
    assert envelope.encoded("ü", b"\n") == "DSSEv1 2 ü 1 \n".encode()


def test_another_implementation_verifies_ours() -> None:
    from securesystemslib.dsse import Envelope
    from securesystemslib.exceptions import VerificationError
    from securesystemslib.signer import SSlibKey

    one = signer()
    key = SSlibKey(one.public.fingerprint, "ed25519", "ed25519", {"public": one.public.raw.hex()})
    document = json.loads(envelope.seal(one, PAYLOAD))
    found = Envelope.from_dict(json.loads(json.dumps(document)))
    assert found.payload == PAYLOAD
    assert list(found.verify([key], 1)) == [one.public.fingerprint]
    document["payload"] = "eyJhIjogMn0K"
    with pytest.raises(VerificationError):
        Envelope.from_dict(document).verify([key], 1)


def test_the_envelope_gives_back_what_was_sealed() -> None:
    one = signer()
    assert envelope.verify(envelope.seal(one, PAYLOAD), one.public) == PAYLOAD
    with pytest.raises(Problem, match="holds no valid signature of the key SHA256:"):
        envelope.verify(envelope.seal(one, PAYLOAD), signer(bytes(32)).public)


def test_every_changed_byte_of_an_envelope_is_seen() -> None:
    one = signer()
    data = envelope.seal(one, PAYLOAD)
    for at in range(len(data)):
        for other in {data[at] ^ 1, 0x20, 0x41} - {data[at]}:
            with pytest.raises(Problem):
                envelope.verify(data[:at] + bytes([other]) + data[at + 1 :], one.public)
