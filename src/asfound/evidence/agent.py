"""Signing through ssh-agent, which holds the private key and never gives it away.

Two messages of the agent protocol (draft-miller-ssh-agent, sections 4.4 and 4.5): what keys are there, sign this. The
agent is a Unix socket named by SSH_AUTH_SOCK, on Windows a named pipe.
"""

from __future__ import annotations

import os
import socket
import sys
import time
from collections.abc import Callable
from pathlib import Path

from asfound.evidence.public import KIND, PublicKey
from asfound.evidence.wire import Malformed, Reader, string
from asfound.model.problem import Problem

_PIPE = r"\\.\pipe\openssh-ssh-agent"
_LIST, _LISTED, _SIGN, _SIGNED = 11, 12, 13, 14
_LONGEST = 1_000_000
_ADD = "unlock it, or `ssh-add` the key again"
_PRIVATE = "name the private key instead of the .pub file"
_SECONDS = 60.0
"""For a whole answer, however slowly it drips; so long because an agent may ask the person before it signs."""


class AgentSigner:
    """Signs with a key that the agent holds; a :class:`Problem` when it does not."""

    def __init__(self, public: PublicKey, where: str) -> None:
        self.public, self._where = public, where
        if public.blob not in _held(where):
            raise Problem("ssh-agent does not hold this key", where=where, advice="`ssh-add` adds it")

    def sign(self, data: bytes) -> bytes:
        """The 64 bytes of an Ed25519 signature; a :class:`Problem` when the agent or the person refuses, or it lies."""
        request = bytes([_SIGN]) + string(self.public.blob) + string(data) + bytes(4)
        try:
            reader = _answer(request, _SIGNED, self._where)
            signature = Reader(reader.string())
            kind, raw = signature.string(), signature.string()
        except Malformed:
            raise Problem("ssh-agent refused to sign", where=self._where, advice=_ADD) from None
        if kind != KIND.encode() or len(raw) != 64:
            raise Problem("ssh-agent gave another kind of signature", where=self._where, advice=_PRIVATE)
        return self.public.fitting(raw, data, self._where)


def _held(where: str) -> list[bytes]:
    """The public keys in the agent, as SSH sends them."""
    try:
        reader = _answer(bytes([_LIST]), _LISTED, where)
        found = []
        for _ in range(reader.number()):
            found.append(reader.string())
            reader.string()
    except Malformed:
        raise Problem("ssh-agent does not say which keys it holds", where=where, advice=_PRIVATE) from None
    return found


def _answer(request: bytes, expected: int, where: str) -> Reader:
    try:
        data = _exchanged(string(request))
    except OSError as error:
        advice = "start it and `ssh-add` the key, or name the private key"
        raise Problem(f"ssh-agent cannot be reached ({error.strerror or error})", where=where, advice=advice) from None
    if data[:1] != bytes([expected]):
        raise Malformed
    return Reader(data[1:])


def _exchanged(message: bytes) -> bytes:
    until = time.monotonic() + _SECONDS
    if sys.platform == "win32":
        with Path(_PIPE).open("r+b", buffering=0) as pipe:
            pipe.write(message)
            return _framed(pipe.read, until)
    address = os.environ.get("SSH_AUTH_SOCK", "")
    if not address:
        raise OSError("SSH_AUTH_SOCK is not set")
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as link:
        link.settimeout(_SECONDS)
        link.connect(address)
        link.sendall(message)

        def read(count: int) -> bytes:
            """At most so many bytes, waiting no longer than is left of the whole."""
            link.settimeout(max(until - time.monotonic(), 0.001))
            return link.recv(count)

        return _framed(read, until)


def _framed(read: Callable[[int], bytes | None], until: float) -> bytes:
    """One answer: its length, then so many bytes, all of it before that instant of the monotonic clock."""

    def exactly(count: int) -> bytes:
        """So many bytes, or an OSError when the other side has gone or takes too long."""
        data = b""
        while len(data) < count:
            if time.monotonic() > until:
                raise OSError(f"its answer takes longer than {_SECONDS:.0f} seconds")
            part = read(count - len(data))
            if not part:
                raise OSError("it closed the connection")
            data += part
        return data

    length = int.from_bytes(exactly(4), "big")
    if length > _LONGEST:
        raise OSError("its answer is too long")
    return exactly(length)
