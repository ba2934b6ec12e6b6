"""Hostile or damaged input gives one sentence, never a traceback, a hang or a half-read copy."""

from __future__ import annotations

import io
import re
import zipfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import asfound
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from asfound.model.problem import Problem

ROOT = Path(__file__).parents[1]
PROGRAM = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/program.xml").read_bytes()
HARDWARE = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/hardware.aml").read_bytes()
TAGS = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/tags.csv").read_bytes()
TEXT = (ROOT / "sample_exports/booster-1/2-as-found-2026/running/conversions.st").read_bytes()
SAMPLES = {"program.xml": PROGRAM, "hardware.aml": HARDWARE, "tags.csv": TAGS, "conversions.st": TEXT}


def outcome(data: bytes, name: str) -> Copy | str:
    """The copy, or the sentence of the refusal; any other exception fails the test."""
    try:
        return asfound.read(data, name)
    except Problem as problem:
        sentence = str(problem)
        assert sentence.endswith(".") and "\n" not in sentence and len(sentence) < 600, sentence
        return sentence


@pytest.mark.parametrize(
    ("dtd", "use"),
    [
        ('<!DOCTYPE project [<!ENTITY x SYSTEM "file:///etc/passwd">]>', "&x;"),
        ('<!DOCTYPE project [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>', "&b;"),
        ('<!DOCTYPE project SYSTEM "http://localhost/evil.dtd">', ""),
    ],
    ids=["file", "billion laughs", "remote"],
)
def test_document_types_and_entities_are_refused(dtd: str, use: str) -> None:
    head, _, rest = PROGRAM.decode("utf-8").partition("?>")
    evil = f"{head}?>{dtd}{rest}".replace("RakeCycle", f"RakeCycle{use}", 1)
    said = outcome(evil.encode(), "program.xml")
    assert isinstance(said, str) and "program.xml" in said
    assert "root:" not in said


def test_deep_nesting_is_refused() -> None:
    deep = b"<addData>" * 5000 + b"</addData>" * 5000
    said = outcome(PROGRAM.replace(b"</project>", deep + b"</project>"), "program.xml")
    assert isinstance(said, str) and re.search("deep|depth", said)


def test_a_zip_bomb_is_refused() -> None:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("hardware.aml", b"<CAEXFile>" + b" " * 300_000_000)
    said = outcome(packed.getvalue(), "hardware.amlx")
    assert isinstance(said, str)


NASTY = ["../../etc/passwd", "CON", "aux.st", "a\u202eb", "x" * 300, "tab\tname", "Ä Ö Ü", "pump", "PUMP", "😀", "."]


@pytest.mark.parametrize("name", NASTY, ids=[ascii(n)[:20] for n in NASTY])
def test_names_never_become_paths(name: str) -> None:
    text = PROGRAM.replace(b"RakeCycle", name.replace("&", "").encode())
    copy = outcome(text, "program.xml")
    assert isinstance(copy, Copy)
    paths = list(normal_form(copy))
    assert len({p.casefold() for p in paths}) == len(paths)
    for path in paths:
        assert re.fullmatch(r"[ -~]+", path) and ".." not in path.split("/") and "\\" not in path
        assert all(0 < len(part) <= 255 and part[-1] not in ". " for part in path.split("/"))
        assert not any(re.fullmatch(r"(?i)(con|aux|nul|prn|com\d|lpt\d)(\..*)?", part) for part in path.split("/"))


def test_pous_that_differ_only_in_case_are_both_kept() -> None:
    inner = re.search(rb"<(\w+:)?pou [^>]*name=\"(\w+)\".*?</(\w+:)?pou>", PROGRAM, re.S)
    assert inner
    twin = inner[0].replace(b'name="' + inner[2] + b'"', b'name="' + inner[2].upper() + b'"')
    copy = outcome(PROGRAM.replace(inner[0], inner[0] + twin), "program.xml")
    assert isinstance(copy, Copy)
    assert len(copy.program.pous) == len(asfound.read(PROGRAM, "program.xml").program.pous) + 1


@pytest.mark.parametrize("codec", ["utf-8-sig", "utf-16", "cp1252"])
def test_declared_encodings_are_honoured(codec: str) -> None:
    text = PROGRAM.decode("utf-8")
    body = text.partition("?>")[2]
    declared = {"utf-8-sig": "utf-8", "utf-16": "utf-16", "cp1252": "windows-1252"}[codec]
    data = f'<?xml version="1.0" encoding="{declared}"?>{body}'.encode(codec, "xmlcharrefreplace")
    plain = asfound.read(PROGRAM, "program.xml")
    assert asfound.compare(plain, asfound.read(data, "program.xml")).verdict == "noise"


def test_a_wrong_declared_encoding_is_said() -> None:
    body = PROGRAM.decode("utf-8").partition("?>")[2].replace("RakeCycle", "RakeZyklusÄ", 1)
    said = outcome(b'<?xml version="1.0" encoding="utf-8"?>' + body.encode("cp1252"), "program.xml")
    assert isinstance(said, str) and "program.xml" in said


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("part", [0, 1, 10, 100, 1000])
def test_truncated_at_any_place(name: str, part: int) -> None:
    data = SAMPLES[name]
    outcome(data[: len(data) * part // 1001], name)


@pytest.mark.parametrize("name", SAMPLES)
def test_nul_bytes(name: str) -> None:
    outcome(SAMPLES[name][:500] + b"\x00" + SAMPLES[name][500:], name)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.binary(max_size=400), name=st.sampled_from(["a.xml", "a.csv", "a.st", "a.aml", "a.amlx", "a.xlsx", ""]))
def test_any_bytes(data: bytes, name: str) -> None:
    outcome(data, name)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(name=st.sampled_from(sorted(SAMPLES)), at=st.floats(0, 1), cut=st.integers(0, 40), put=st.binary(max_size=12))
def test_damaged_samples(name: str, at: float, cut: int, put: bytes) -> None:
    data = SAMPLES[name]
    place = int(at * len(data))
    outcome(data[:place] + put + data[place + cut :], name)
