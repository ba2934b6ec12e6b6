"""Agents that are not what they should be, on a real Unix socket."""

from __future__ import annotations

import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from asfound.evidence.public import PublicKey
from asfound.evidence.wire import string

Answer = Callable[[bytes], bytes]
"""From a request (without its length) to the answer (without its length)."""
Send = Callable[[socket.socket, bytes], None]


def holding(public: PublicKey, signed: Answer) -> Answer:
    """An agent that holds one key, and answers requests to sign (draft-miller-ssh-agent, 4.4 and 4.5) like this."""

    def answer(request: bytes) -> bytes:
        if request[0] == 11:
            return bytes([12]) + (1).to_bytes(4, "big") + string(public.blob) + string(b"a key")
        return signed(request)

    return answer


def signature(raw: bytes) -> bytes:
    """The answer with a signature in it."""
    return bytes([14]) + string(string(b"ssh-ed25519") + string(raw))


@contextmanager
def agent(address: Path, answer: Answer, send: Send = lambda link, data: link.sendall(data)) -> Iterator[None]:
    """An agent that answers one request per connection until the end."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as listening:
        listening.bind(str(address))
        listening.listen(4)

        def serve() -> None:
            while True:
                try:
                    link, _ = listening.accept()
                except OSError:
                    return
                with link:
                    try:
                        length = int.from_bytes(link.recv(4, socket.MSG_WAITALL), "big")
                        send(link, string(answer(link.recv(length, socket.MSG_WAITALL))))
                    except (OSError, IndexError):
                        pass  # the other side has gone

        thread = threading.Thread(target=serve, daemon=True)
        thread.start()
        yield
        listening.shutdown(socket.SHUT_RDWR)
    thread.join(10)
