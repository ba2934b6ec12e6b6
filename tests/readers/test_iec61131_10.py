"""IEC 61131-10 documents written by hand: what is read from them, as text, and what says nothing about the program.

The documents follow the public description of the format (``Rung@evaluationOrder``, ``xsi:type``,
``connectionPointOutId``), not the converter of the other tests.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from exchange import NEW
from exhaustive import digest
from mutations import mutations

import asfound
from asfound.language.normal import normal_form
from asfound.readers.iec61131_10 import READER
from asfound.readers.noise_paths import matches
from asfound.readers.reading import read

CASES = Path(__file__).parents[1] / "cases" / "iec61131_10"
NAMES = sorted(path.stem for path in CASES.glob("*.xml"))


def written(data: bytes) -> str:
    """The whole normal form as one text."""
    return "".join(f"=== {path}\n{text}" for path, text in normal_form(read(data, "case.xml")).items())


@pytest.mark.parametrize("name", NAMES)
def test_what_is_read(name: str) -> None:
    expected = (CASES / f"{name}.txt").read_text(encoding="utf-8")
    assert written((CASES / f"{name}.xml").read_bytes()) == expected


def edited(name: str, edit: Callable[[str], str]) -> tuple[str, list[str]]:
    """Verdict of a comparison with the edited document, and the summaries of the changes."""
    text = (CASES / f"{name}.xml").read_text(encoding="utf-8")
    other = edit(text)
    assert other != text
    old, new = (read(each.encode("utf-8"), "case.xml") for each in (text, other))
    result = asfound.compare(old, new)
    return result.verdict, [change.summary for change in result.changes]


def renumbered(text: str) -> str:
    return re.sub(r'(onnectionPointOutId)="(\d+)"', lambda m: f'{m[1]}="{900 - int(m[2])}"', text)


def other_prefix(text: str) -> str:
    return text.replace("ppx:", "x1:").replace("xmlns:ppx", "xmlns:x1")


def without_prefix(text: str) -> str:
    return re.sub(r'(</?)ppx:|(type=")ppx:', r"\1\2", text).replace("xmlns:ppx", "xmlns")


def other_file_order(text: str) -> str:
    """Rungs and networks in the opposite order, each with its own number."""
    for kind in ("Rung", "Network"):
        listed = re.findall(rf"<{kind} .*?</{kind}>", text, re.DOTALL)
        turned = iter(reversed(listed))
        text = re.sub(rf"<{kind} .*?</{kind}>", lambda m, t=turned: next(t), text, flags=re.DOTALL)
    return text


@pytest.mark.parametrize(
    ("name", "edit"),
    [
        ("rungs", renumbered),
        ("rungs", other_file_order),
        ("chart", renumbered),
        ("prefixed", other_prefix),
        ("prefixed", without_prefix),
        ("extra", lambda t: t.replace("7-7-7", "8-8-8")),
        (
            "rungs",
            lambda t: t.replace('"2026-03-01', '"2027-03-01').replace("<RelPosition x='10'", "<RelPosition x='11'"),
        ),
        ("rungs", lambda t: t.replace('"10" y="0"', '"12" y="1"')),
    ],
    ids=["numbers", "file order", "numbers of a chart", "prefix", "no prefix", "object id", "time", "place"],
)
def test_what_says_nothing(name: str, edit: Callable[[str], str]) -> None:
    assert edited(name, edit) == ("noise", [])


@pytest.mark.parametrize(
    ("name", "edit"),
    [
        ("rungs", lambda t: t.replace('evaluationOrder="3"', 'evaluationOrder="9"')),
        ("rungs", lambda t: t.replace('operator="GT"', 'operator="GE"')),
        ("rungs", lambda t: t.replace('latch="set"', 'latch="reset"')),
        ("rungs", lambda t: t.replace('edge="rising"', 'edge="falling"')),
        ("rungs", lambda t: t.replace('targetLabel="Done"', 'targetLabel="Other"')),
        ("rungs", lambda t: t.replace('refConnectionPointOutId="12"', 'refConnectionPointOutId="10"')),
        ("prefixed", lambda t: t.replace('orderWithinParamSet="2"', 'orderWithinParamSet="0"')),
        ("prefixed", lambda t: t.replace('dimensionNumber="2"', 'dimensionNumber="0"')),
        ("prefixed", lambda t: t.replace('accessSpecifier="protected"', 'accessSpecifier="private"')),
        ("prefixed", lambda t: t.replace('isFinal="true"', "")),
        ("extra", lambda t: t.replace('value="1"/></Priorities>', 'value="2"/></Priorities>')),
        ("extra", lambda t: t.replace('Interval="20000"', 'Interval="40000"')),
        ("chart", lambda t: t.replace('priority="1"', 'priority="3"')),
        ("chart", lambda t: t.replace('negated="true"', 'negated="false"')),
        ("lone", lambda t: t.replace("%IX0.0", "%IX0.1")),
    ],
)
def test_what_matters_is_told(name: str, edit: Callable[[str], str]) -> None:
    verdict, summaries = edited(name, edit)
    assert summaries
    assert verdict in ("undecided", "behaviour")


def test_unknown_data_in_another_value_of_a_list_is_seen_but_an_identity_is_not() -> None:
    def marked(place: str, mark: str) -> str:
        text = (CASES / "lone.xml").read_text(encoding="utf-8")
        return written(
            text.replace(f"<SimpleValue value={place}", f"<SimpleValue {mark} value={place}").encode("utf-8")
        )

    assert marked('"10"', 'own="1"') != marked('"20"', 'own="1"')
    assert marked('"10"', 'globalId="G1"') == marked('"20"', 'globalId="G1"')


def test_the_comparison_contact_in_other_words_is_kept_whole() -> None:
    def with_type(kind: str) -> str:
        text = (CASES / "rungs.xml").read_text(encoding="utf-8")
        return text.replace('operand1="Heat" operand2="Limit" operator="GT"', f'operand="Heat" compareType="{kind}"')

    one, two = (written(with_type(kind).encode("utf-8")) for kind in ("A", "B"))
    assert one != two


def test_the_noise_rows_hold() -> None:
    """For every row that some node of the cases matches: at least one such change is made and raises no alarm."""
    met: dict[str, list[bool]] = {}
    for name in NAMES:
        data = (CASES / f"{name}.xml").read_bytes()
        before = digest(data)
        for mutation in mutations(data):
            rows = [row for path in mutation.rows for row in _rows(path)] if mutation.noise else []
            if any(len(met.get(row, ())) < 4 or not any(met[row]) for row in rows):
                calm = digest(mutation.apply()) == before
                for row in rows:
                    met.setdefault(row, []).append(calm)
    assert len(met) >= 30
    assert [row for row, calm in met.items() if not any(calm)] == []


@cache
def _rows(path: str) -> tuple[str, ...]:
    """The rows of the noise table that a path matches."""
    return tuple(entry.path for entry in NEW.noise if matches(entry.path, path))


def test_the_table_of_the_reader_is_the_one_the_mutations_use() -> None:
    assert READER.noise == NEW.noise
    assert all(entry.reason for entry in READER.noise)
    assert len({entry.path for entry in READER.noise}) == len(READER.noise)
