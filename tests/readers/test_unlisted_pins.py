"""A wire from a pin that its block does not list is told among the notes of the reading, in both exchange formats."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from conversion import to_61131_10
from drawing_kit import Drawing, copy_of, document, pou, project
from lxml import etree

import asfound

CASES = [Path(__file__).parents[1] / "cases" / "conversion" / f"{name}.xml" for name in ("blocks", "extra", "ladder")]


def notes(data: bytes) -> list[tuple[str, str]]:
    found = asfound.read(data, "p.xml").findings
    assert {f.severity for f in found} <= {"note"}
    return [(f.where, f.text) for f in found]


def drawing(pins: str = "QU QD CV", *names: str) -> Drawing:
    d = Drawing("FBD")
    block = d.block("CTUD", {"CU": d.value("A")}, pins, instanceName="C")
    for number, name in enumerate(names):
        d.output(f"X{number}", block[name])
    return d


def test_listed_in_any_spelling() -> None:
    assert notes(document(drawing("QU QD CV", "QU", "qd", "CV"))) == []


def test_unlisted_is_told_once_per_block_and_read_as_before() -> None:
    odd = document(drawing("QU CV", "QU", "QD", "qd", "CD"))
    said = "block C (CTUD) does not list the outputs QD, CD that wires come from; read as if it did"
    assert notes(odd) == [("p.xml, POU Main", said)]
    assert notes(odd) == [("p.xml, POU Main", said)], "a POU that was read before is told of again"
    assert asfound.compare(copy_of(odd), copy_of(odd)).changes == ()


def test_numbers_of_a_drawing_count_in_that_drawing_only() -> None:
    inner = drawing("QU QD CV", "QD").xml
    outer = drawing("QU").xml
    action = f'<actions><action name="A">{inner}</action></actions>'
    assert notes(project(pou(outer, more=action))) == []
    assert len(notes(project(pou(outer, more=action.replace("QD", "QE", 1)), pou(outer, name="N")))) == 1


def entries(root: etree._Element, name: str, pins: tuple[str, ...]) -> Iterator[etree._Element]:
    for group in root.iter(*(f"{{*}}{each}" for each in pins)):
        yield from (each for each in group if etree.QName(each).localname == name)


def wired(root: etree._Element, entry: etree._Element) -> bool:
    """Does a wire come from this output, by its name or its number?"""
    numbers = {p.get("connectionPointOutId") for p in entry.iter("{*}ConnectionPointOut")}
    if numbers:
        return any(w.get("refConnectionPointOutId") in numbers for w in root.iter("{*}Connection"))
    block, body = (next(entry.iterancestors(*tags)) for tags in (("{*}block",), ("{*}LD", "{*}FBD", "{*}SFC")))
    ends = [(w.get("refLocalId"), w.get("formalParameter")) for w in body.iter("{*}connection")]
    name = entry.get("formalParameter")
    return bool(name) and (block.get("localId"), name) in ends


@pytest.mark.parametrize("case", CASES, ids=lambda p: p.stem)
def test_every_entry_that_a_wire_names_removed_or_renamed(case: Path) -> None:
    tried = 0
    assert notes(case.read_bytes()) == []
    for data, key, name, lists in (
        (case.read_bytes(), "formalParameter", "variable", ("outputVariables", "inOutVariables")),
        (to_61131_10(case.read_bytes()), "parameterName", "OutputVariable", ("OutputVariables",)),
    ):
        before = len(notes(data))
        for at, entry in enumerate(entries(root := etree.fromstring(data), name, lists)):
            if not wired(root, entry):
                continue
            fresh = etree.fromstring(data)
            odd = list(entries(fresh, name, lists))[at]
            odd.getparent().remove(odd)
            assert len(notes(etree.tostring(fresh))) > before, etree.tostring(entry)
            tried += 1
            if key == "formalParameter":  # the other format has the name there and nowhere else
                fresh = etree.fromstring(data)
                list(entries(fresh, name, lists))[at].set(key, "Another")
                assert len(notes(etree.tostring(fresh))) == before + 1
    assert tried


def newer(d: Drawing) -> etree._Element:
    return etree.fromstring(to_61131_10(document(d)))


def test_what_a_removed_entry_says_in_the_newer_format() -> None:
    root = newer(drawing("QU QD CV", "QU", "QD"))
    pin = next(each for each in root.iter("{*}OutputVariable") if each.get("parameterName") == "QD")
    number = next(pin.iter("{*}ConnectionPointOut")).get("connectionPointOutId")
    pin.getparent().remove(pin)
    said = f"a wire into 'X1' comes from output number {number}, which no element lists; read as if it were not there"
    assert notes(etree.tostring(root)) == [("p.xml, POU Main", said)]


def test_an_output_without_a_name_in_the_newer_format() -> None:
    root = newer(drawing("QU QD CV", "QU", "QD"))
    next(each for each in root.iter("{*}OutputVariable") if each.get("parameterName") == "QD").set("parameterName", "")
    said = "block C (CTUD) does not say which output a wire comes from; read as its output QU"
    assert notes(etree.tostring(root)) == [("p.xml, POU Main", said)]


def test_the_only_output_of_a_function_needs_no_name_in_the_newer_format() -> None:
    d = Drawing("FBD")
    d.output("X", d.block("ADD", {"IN1": d.value("A"), "IN2": d.value("B")}, "ENO OUT")["OUT"])
    root = newer(d)
    next(each for each in root.iter("{*}OutputVariable") if each.get("parameterName") == "OUT").set("parameterName", "")
    assert notes(etree.tostring(root)) == []
