"""Marks, widths, code pages, and declarations that say something else than the bytes do."""

from __future__ import annotations

import sys

import pytest

import asfound
from asfound.cli import streams
from asfound.model.copy import Copy
from hostile.laws import outcome
from hostile.seeds import TAGS, seeds

BODY = seeds()["program0.xml"].decode().partition("?>")[2].replace('<pou name="', '<pou name="Äö', 1)
assert not BODY.isascii()
NOT_XML = "export it again, or store it as it is in a folder with readable exports."


def document(declared: str, codec: str) -> bytes:
    head = f'<?xml version="1.0" encoding="{declared}"?>' if declared else ""
    return f"{head}{BODY}".encode(codec, "xmlcharrefreplace")


PLAIN = asfound.read(document("utf-8", "utf-8"), "p.xml")


@pytest.mark.parametrize(
    ("declared", "codec"),
    [
        ("utf-8", "utf-8-sig"), ("", "utf-8"), ("", "utf-8-sig"), ("utf-16", "utf-16"), ("", "utf-16"), ("utf-16", "utf-16-le"),
        ("utf-16", "utf-16-be"), ("windows-1252", "cp1252"), ("iso-8859-1", "latin-1"), ("us-ascii", "ascii"),
        ("utf-8", "utf-16"),
    ],
)  # fmt: skip
def test_an_encoding_that_can_be_told_is_noise(declared: str, codec: str) -> None:
    found = outcome(document(declared, codec), "p.xml")
    assert isinstance(found, Copy), found
    assert found.limits == PLAIN.limits
    assert not asfound.compare(PLAIN, found).changes


def test_declared_utf_8_but_a_code_page_inside_is_refused() -> None:
    for codec in ("cp1252", "latin-1"):
        said = outcome(document("utf-8", codec), "p.xml")
        assert isinstance(said, str)
        assert (
            said.startswith("p.xml, line ") and "is not complete, well-formed XML (" in said and said.endswith(NOT_XML)
        )


@pytest.mark.parametrize("declared", ["windows-1252", "iso-8859-1"])
def test_a_declared_code_page_but_utf_8_inside_is_told(declared: str) -> None:
    found = outcome(document(declared, "utf-8"), "p.xml")
    assert isinstance(found, Copy)
    told = f"p.xml declares {declared}, but its bytes are UTF-8: letters with accents may be read wrongly"
    assert told in found.limits
    assert told in asfound.compare(PLAIN, found).limits


@pytest.mark.parametrize("declared", ["utf-7x", "klingon"])
def test_an_encoding_nobody_knows_is_refused(declared: str) -> None:
    said = outcome(document(declared, "utf-8"), "p.xml")
    assert said == f"p.xml, line 1: is not complete, well-formed XML (Unsupported encoding: {declared}); {NOT_XML}"


def test_letters_of_a_code_page_in_a_table_are_told() -> None:
    text = TAGS.decode().replace("runs", "läuft über 5 °C")
    for codec, guessed in (
        ("cp1252", "cp1252"),
        ("latin-1", "cp1252"),
        ("utf-16-le", "utf-16-le"),
        ("utf-16-be", "utf-16-be"),
    ):
        found = outcome(text.encode(codec), "t.csv")
        assert isinstance(found, Copy)
        assert found.tables[0].tags[-1].comment == "läuft über 5 °C"
        assert [f.text for f in found.findings] == [
            f"the encoding is not marked; it was read as {guessed}, check a letter with an accent"
        ]
    for codec in ("utf-8", "utf-8-sig", "utf-16"):
        found = outcome(text.encode(codec), "t.csv")
        assert isinstance(found, Copy) and not found.findings


def test_a_terminal_gets_no_control_character_and_a_pipe_every_byte(monkeypatch: pytest.MonkeyPatch) -> None:
    text = '{"a": "\x9b31m\u202e\U000e0041",\n\t"b": "ü"}\n'
    assert streams.shown(text) == text
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    assert streams.shown(text) == '{"a": "\\u009b31m\\u202e\\udb40\\udc41",\n\t"b": "ü"}\n'
