"""Places that may overlap, pair by pair; an overlap that is missed calls two programs equal that differ."""

from __future__ import annotations

from typing import Any

import pytest
import z3

from asfound.prove.encoder import Encoder
from asfound.prove.operands import Taken
from asfound.prove.overlapping import overlaps, starts
from asfound.prove.proof_side import Location

KINDS = {
    "l": "local",
    "g": "global",
    "o": "outside",
    "@": "located",
    "r": "in_out",
    "i": "input",
    "q": "output",
    "t": "temp",
}


def places(*told: str) -> dict[str, Location]:
    """``@ %M16+16 INT``: kind, key and type."""
    found = {}
    for each in told:
        kind, key, type = (*each.split(), "")[:3]
        found[key] = Location(key, type, KINDS[kind], key)
    return found


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("@ %M16+16", "@ %M24+8", True), ("@ %M16+16", "@ %M32+16", False), ("@ %M16+16", "@ %M0+16", False),
        ("@ %M16+16", "@ %Q16+16", False), ("@ %M16+16", "@ %M31+1", True), ("@ %M16+16", "@ %M32+1", False),
        ("@ %M16+1", "@ %M17+1", False), ("@ %M16/32+16", "@ %M40+8", True), ("@ %M16/32+16", "@ %M48+8", False),
        ("@ %M16/32+16", "@ %M32/64+16", False), ("@ %M16/32+16", "@ %M24/48+16", True), ("@ %M@%MW2", "@ %M800+8", True),
        ("@ %M@%MW2", "@ %Q800+8", False), ("@ %?%Q*", "@ %Q800+8", True), ("@ %?%Q*", "@ %M800+8", True),
        ("@ %M16+16", "o far", True), ("@ %I16+16", "o far", False), ("@ %M16+16", "g far", False), ("@ %M16+16", "l x", False),
        ("o far", "o near", False), ("r io INT", "r other INT", True), ("r io INT", "r other REAL", False), ("r io INT", "r other", True),
        ("r io", "r other INT", True), ("r io INT", "g far INT", True), ("r io INT", "o far int", True), ("r io INT", "i in INT", True),
        ("r io INT", "q out INT", True), ("r io INT", "l own INT", False), ("r io INT", "t tmp INT", False), ("r io INT", "g far.x REAL", True),
        ("r io[1] INT", "g far REAL", True), ("r io INT", "@ %M16+16 INT", True), ("r io INT", "@ %M16+16 REAL", False),
        ("l a", "l a.b", True), ("l a", "l a[1]", True), ("l a.b", "l a.c", False), ("l a", "l a.b[2].c", True), ("l a.b", "l a.bc", False),
        ("l a§edge", "l a§edge.x", False), ("i a", "i b", False), ("g a", "g b", False),
    ],
)  # fmt: skip
def test_two_places_that_may_share_memory(one: str, other: str, expected: bool) -> None:
    for told in ((one, other), (other, one)):
        found = places(*told)
        for key in found:
            assert overlaps(found, frozenset({key}))[0] is expected
        assert overlaps(found, frozenset())[0] is False


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("@ %M16+16", "@ %M24+8", True), ("l a", "l a.b", True), ("@ %M16+16", "o far", False), ("r io INT", "g far INT", False),
        ("l a", "l b", False),
    ],
)  # fmt: skip
def test_two_inputs_that_cannot_be_chosen_freely(one: str, other: str, expected: bool) -> None:
    assert overlaps(places(one, other), frozenset())[1] is expected


def tied(*told: tuple[str, str]) -> tuple[Encoder, list[Any] | None]:
    encoder = Encoder()
    for key, type in told:
        encoder.input(key, key, type)
    found = places(*(f"@ {key} {type}" for key, type in told))
    return encoder, starts(encoder, found, {key: key for key, _ in told})


def test_a_start_gives_shared_bits_one_value_in_both_orders_of_bytes() -> None:
    encoder, terms = tied(("%M16+16", "WORD"), ("%M24+8", "BYTE"))
    assert terms is not None and len(terms) == 16
    word, byte = encoder.inputs["%M16+16"].term, encoder.inputs["%M24+8"].term
    solver = z3.Solver(ctx=encoder.ctx)
    solver.add(*terms)
    assert solver.check(byte == 0x5A, word == 0x5A5A) == z3.sat
    assert solver.check(byte == 0x5A, word != 0x5A5A) == z3.unsat
    encoder, terms = tied(("%M16+16", "WORD"), ("%M19+1", "BOOL"))
    assert terms is not None and len(terms) == 2
    solver = z3.Solver(ctx=encoder.ctx)
    solver.add(*terms, encoder.inputs["%M19+1"].term)
    assert solver.check(encoder.inputs["%M16+16"].term == 0x0808) == z3.sat
    assert solver.check(encoder.inputs["%M16+16"].term == 0x0008) == z3.unsat
    assert solver.check(encoder.inputs["%M16+16"].term == 0x0800) == z3.unsat


def test_a_start_that_is_not_known() -> None:
    assert tied(("%M16+16", "WORD"), ("%M32+8", "BYTE"))[1] == []
    assert tied(("%M16+16", "WORD"), ("%M@%MW2", "INT"))[1] is None
    assert tied(("%M16+32", "REAL"), ("%M16+16", "WORD"))[1] is None  # the bits of a REAL are not known
    assert tied(("%M16+1", "Mode"), ("%M16+8", "BYTE"))[1] is None  # nor those of an enumeration
    assert tied(("%M16+16", "BYTE"), ("%M16+8", "BYTE"))[1] is None  # a value of another size than its place
    encoder = Encoder()
    assert starts(encoder, places("l a", "l a.b"), {"a": "a", "a.b": "a.b"}) is None
    assert starts(encoder, places("@ %M16+16", "@ %M24+8"), {"%M16+16": "x", "%M24+8": "y"}) == []


def taken(loaded: str = "", stored: str = "", told: str = "") -> Taken:
    return Taken(
        frozenset(loaded), frozenset(stored), *(word in told for word in ("acts", "outside", "fails", "plain"))
    )


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        (taken(stored="a", told="acts"), taken(loaded="a"), True), (taken(stored="a", told="acts"), taken(stored="a"), True),
        (taken(stored="a", told="acts"), taken(loaded="b", stored="c"), False), (taken(stored="a"), taken(loaded="a"), False),
        (taken(loaded="a", told="acts"), taken(loaded="a"), False), (taken(told="acts"), taken(told="fails"), True),
        (taken(told="acts outside"), taken(), True), (taken(told="outside"), taken(told="fails"), False),
        (taken(told="acts outside"), taken(told="plain"), False), (taken(told="acts fails"), taken(), False),
    ],
)  # fmt: skip
def test_an_operand_that_another_one_can_notice(one: Taken, other: Taken, expected: bool) -> None:
    assert one.meets(other) is expected
