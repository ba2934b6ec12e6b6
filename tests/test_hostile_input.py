"""Hostile or damaged input gives one sentence, never a traceback, a hang or a half-read copy."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import asfound
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from hostile.laws import outcome

ROOT = Path(__file__).parents[1]
PROGRAM = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/program.xml").read_bytes()
HARDWARE = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/hardware.aml").read_bytes()
TAGS = (ROOT / "sample_exports/screens-1/2-as-found-2026/running/tags.csv").read_bytes()
TEXT = (ROOT / "sample_exports/booster-1/2-as-found-2026/running/conversions.st").read_bytes()
SAMPLES = {"program.xml": PROGRAM, "hardware.aml": HARDWARE, "tags.csv": TAGS, "conversions.st": TEXT}


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


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("part", [0, 1, 10, 100, 1000])
def test_truncated_at_any_place(name: str, part: int) -> None:
    data = SAMPLES[name]
    outcome(data[: len(data) * part // 1001], name)


@pytest.mark.parametrize("name", SAMPLES)
def test_nul_bytes(name: str) -> None:
    outcome(SAMPLES[name][:500] + b"\x00" + SAMPLES[name][500:], name)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.binary(max_size=400), name=st.sampled_from(["a.xml", "a.csv", "a.st", "a.aml", "a.amlx", "a.xlsx", ""]))
def test_any_bytes(data: bytes, name: str) -> None:
    outcome(data, name)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(name=st.sampled_from(sorted(SAMPLES)), at=st.floats(0, 1), cut=st.integers(0, 40), put=st.binary(max_size=12))
def test_damaged_samples(name: str, at: float, cut: int, put: bytes) -> None:
    data = SAMPLES[name]
    place = int(at * len(data))
    outcome(data[:place] + put + data[place + cut :], name)
