"""Bytes to text: byte order mark, then UTF-8, then a guess that is always reported."""

from __future__ import annotations

from typing import NamedTuple

MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)


class Decoded(NamedTuple):
    """``encoding`` is a Python codec name; ``guessed`` when neither a mark nor valid UTF-8 settled it."""

    text: str
    encoding: str
    guessed: bool


def decode(data: bytes) -> Decoded:
    """Text of ``data``; line ends become ``\\n``. Never fails: the last resort is cp1252 with escapes kept visible."""
    for mark, codec in MARKS:
        if data.startswith(mark):
            return Decoded(_lines(data.decode(codec, "backslashreplace")), codec, False)
    try:
        return Decoded(_lines(data.decode("utf-8")), "utf-8", False)
    except UnicodeDecodeError as error:
        if error.start >= len(data) - 3 and error.reason == "unexpected end of data":  # a cut probe
            return Decoded(_lines(data[: error.start].decode("utf-8")), "utf-8", False)
    return Decoded(_lines(data.decode(codec := _guess(data), "backslashreplace")), codec, True)


def _guess(data: bytes) -> str:
    from charset_normalizer import from_bytes

    best = from_bytes(data[:65536], cp_isolation=["cp1252", "cp1250", "utf_16_le", "utf_16_be", "cp850"]).best()
    return best.encoding if best else "cp1252"


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")
