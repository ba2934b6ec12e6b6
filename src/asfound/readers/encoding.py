"""Bytes to text: byte order mark, then UTF-8, then a guess that is always reported.

The guess chooses between UTF-16 without a mark (a NUL in every other byte) and three 8-bit code pages, by counting
which of them makes the most common letters and signs out of the bytes above 127. Cost: linear. Weakness: a text with
one or two such bytes may be claimed by the wrong page; that is why a guess is said. A general detector was measured
and dropped: on short German, French and Italian tables charset-normalizer 3.4 chose the wrong page in 7 of 12 cases.
"""

from __future__ import annotations

import codecs
import re
from typing import NamedTuple

from asfound.language.tokens import line_feeds

MARKS = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
PAGES = ("cp1252", "cp850", "cp1250")
"""Asked in this order; the first of equals wins."""
WESTERN = frozenset("äöüÄÖÜßàâáçéèêëîïíìôóòùûúœñÀÂÇÉÈÊÎÔÙÛÁÍÑÓÚÌÒ°µ²³±·×½¼€§«»¿¡ºª")
OTHERS = frozenset("čďěňřšťžýůČĎŘŠŽąćęłńśźżŁŚŻőű–’‘“”„…Ø")
_WRITTEN = re.compile(
    r"ascii|utf-8(-sig)?|utf-(16|32)(-[bl]e)?|cp[0-9]+|iso(8859|2022)[-_]\w+|mac-\w+|koi8-\w|kz1048|ptcp154|tis-620|"
    r"hp-roman8|big5(hkscs)?|euc_\w+|gb(2312|k|18030)|hz|johab|shift_jis\w*"
)
"""Codecs of Python that files are written in and that are the same on every machine; the others pack, escape or ask
the system."""
_ASCII = bytes(range(128))


class Decoded(NamedTuple):
    """``encoding`` is a Python codec name; ``guessed`` when neither a mark nor valid UTF-8 settled it."""

    text: str
    encoding: str
    guessed: bool


def is_encoding(name: str) -> bool:
    """Whether Python knows this encoding and a text file may be written in it.

    >>> is_encoding("latin1"), is_encoding("CP850"), is_encoding("rot13"), is_encoding("utf-7")
    (True, True, False, False)
    """
    try:
        return _WRITTEN.fullmatch(codecs.lookup(name).name) is not None
    except (LookupError, ValueError):  # ValueError: a NUL in the name
        return False


def decode(data: bytes) -> Decoded:
    """Text of ``data``; line ends become ``\\n``. Never fails: bytes without a meaning stay visible as ``\\xNN``."""
    for mark, codec in MARKS:
        if data.startswith(mark):
            return Decoded(line_feeds(data.decode(codec, "backslashreplace")), codec, False)
    wide = _wide(data)
    if wide:
        return Decoded(line_feeds(data.decode(wide, "backslashreplace")), wide, True)
    try:
        return Decoded(line_feeds(data.decode("utf-8")), "utf-8", False)
    except UnicodeDecodeError as error:
        cut = error.start >= len(data) - 3 and error.reason == "unexpected end of data"
        if cut and not data[: error.start].isascii():  # UTF-8 whose last letter is cut off
            return Decoded(line_feeds(data.decode("utf-8", "backslashreplace")), "utf-8", False)
    return Decoded(line_feeds(data.decode(codec := _page(data), "backslashreplace")), codec, True)


def _wide(data: bytes) -> str:
    """``utf-16-le`` or ``utf-16-be`` when at least 4 of 10 letters have a NUL beside them, else empty."""
    head = data[:65536]
    pairs = len(head) // 2
    if not pairs or b"\x00" not in head:
        return ""
    high, low = head[1::2].count(0), head[0::2].count(0)
    if high * 10 >= pairs * 4 and low * 10 < pairs:
        return "utf-16-le"
    return "utf-16-be" if low * 10 >= pairs * 4 and high * 10 < pairs else ""


def _page(data: bytes) -> str:
    above = data.translate(None, _ASCII)[:65536]
    return max(PAGES, key=lambda codec: _score(above.decode(codec, "replace")))


def _score(text: str) -> int:
    return sum(3 if char in WESTERN else 2 if char in OTHERS else -3 for char in text)
