"""Strings as SSH writes them: a length of four bytes, then the bytes (RFC 4251 section 5)."""

from __future__ import annotations


class Malformed(Exception):
    """The bytes are not what they claim to be."""


def string(data: bytes) -> bytes:
    """Return one string of the SSH protocol.

    >>> string(b"abc").hex()
    '00000003616263'
    """
    return len(data).to_bytes(4, "big") + data


class Reader:
    """Takes strings and numbers off the front of bytes, or raises :class:`Malformed`."""

    def __init__(self, data: bytes) -> None:
        self._data, self._at = data, 0

    def take(self, count: int) -> bytes:
        """The next ``count`` bytes."""
        if count > len(self._data) - self._at:
            raise Malformed
        self._at += count
        return self._data[self._at - count : self._at]

    def number(self) -> int:
        """An unsigned number of four bytes."""
        return int.from_bytes(self.take(4), "big")

    def string(self) -> bytes:
        """A string without its length."""
        return self.take(self.number())

    def end(self) -> None:
        """Raise unless everything was taken."""
        if self._at != len(self._data):
            raise Malformed
