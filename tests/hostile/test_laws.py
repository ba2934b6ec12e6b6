"""Damaged exports and documents no tool would write: read or refused, equal to themselves, stable in normal form."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from asfound.model.copy import Copy
from hostile import shapes
from hostile.laws import hold, outcome
from hostile.seeds import seeds

law = settings(
    max_examples=40,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink],
)
FEW = settings(law, max_examples=12)
DAMAGE = st.lists(
    st.tuples(
        st.sampled_from(["cut", "put", "double", "end", "swap"]),
        st.floats(0, 1, exclude_max=True),
        st.integers(1, 60),
        st.one_of(st.binary(max_size=8), st.sampled_from(shapes.ODD_VALUES).map(lambda t: t.encode())),
    ),
    min_size=1,
    max_size=3,
)


def damaged(data: bytes, steps: list[tuple[str, float, int, bytes]]) -> bytes:
    """The bytes after these steps; a place is a fraction of the length."""
    for what, place, size, put in steps:
        at = int(place * len(data))
        piece = data[at : at + size]
        changed = {
            "cut": data[:at] + data[at + size :],
            "put": data[:at] + put + data[at + len(put) :],
            "double": data[:at] + piece + data[at:],
            "end": data[:at],
            "swap": data[:at] + piece[::-1] + data[at + size :],
        }
        data = changed[what]
    return data


@pytest.mark.parametrize("name", seeds())
def test_every_seed_is_understood(name: str) -> None:
    assert isinstance(hold(seeds()[name], name), Copy)


@pytest.mark.parametrize(
    "name", [n for n in seeds() if not n.startswith("program") or n in ("program0.xml", "program5.xml")]
)
@FEW
@given(steps=DAMAGE)
def test_damaged_bytes(name: str, steps: list[tuple[str, float, int, bytes]]) -> None:
    hold(damaged(seeds()[name], steps), name)


def pick_from(random: st.DataObject) -> shapes.Pick:
    """Choices of a generator, drawn by hypothesis so that they shrink."""
    return lambda below: random.draw(st.integers(0, below - 1))


@law
@given(random=st.randoms(use_true_random=False), size=st.sampled_from([5, 40, 120]))
def test_trees_in_the_words_of_the_formats(random, size) -> None:
    hold(shapes.tree(random.randrange, size), "export.xml")


@law
@given(random=st.data())
def test_small_trees(random: st.DataObject) -> None:
    hold(shapes.tree(pick_from(random), 12), "export.xml")


@settings(law, max_examples=120)
@given(random=st.randoms(use_true_random=False), size=st.sampled_from([5, 30, 100]))
def test_words_of_iec_text(random, size) -> None:
    hold(shapes.iec_text(random.randrange, size), "export.st")


@settings(law, max_examples=120)
@given(random=st.randoms(use_true_random=False))
def test_tables(random) -> None:
    hold(shapes.table(random.randrange), "export.csv")


NUMBERS = ["9" * 5000, "16#" + "F" * 5000, "1e99999", "T#" + "9" * 5000 + "d", "²", "٣", "--1", "1_" * 4000 + "1"]


@pytest.mark.parametrize("number", NUMBERS, ids=[ascii(n)[:9] for n in NUMBERS])
def test_numbers_of_any_length_and_script(number: str) -> None:
    texts = [
        f"PROGRAM p VAR a : INT := {number}; END_VAR a := {number}; CASE a OF {number}: b := 1; END_CASE END_PROGRAM",
        f"PROGRAM p VAR a AT %IX{number} : ARRAY[0..{number}] OF STRING[{number}]; END_VAR END_PROGRAM",
        f"PROGRAM p VAR a : INT; END_VAR LD {number}\nST a\nADD {number}\nEND_PROGRAM",
    ]
    for text in texts:
        hold(text.encode(), "p.st")
    for table in (f"Name;Address\na;%Q{number}\n", f"Slot;Module;Input start\n{number};DI;{number}\n"):
        hold(table.encode(), "t.csv")
    priority = f"PROGRAM p INITIAL_STEP a: END_STEP STEP b: END_STEP TRANSITION (PRIORITY := {number}) FROM a TO b := c; END_TRANSITION END_PROGRAM"
    found = hold(priority.encode(), "p.st")
    assert isinstance(found, Copy)
    assert number in repr(found)
    hold(seeds()["ten.xml"].replace(b'evaluationOrder="1"', f'evaluationOrder="{number}"'.encode()), "ten.xml")


SIGNS = ("SEMI", "LP", "RP", "COLON", "COMMA", "ASSIGN", "DOT", "NAME", "LITERAL", "END", "TEXT", "LOGIC")


@pytest.mark.parametrize("name", SIGNS)
def test_a_name_that_the_parser_uses_for_a_sign(name: str) -> None:
    text = (
        f"PROGRAM p VAR {name}, x : INT; y : INT := {name}; END_VAR\n"
        f"INITIAL_STEP {name}: END_STEP STEP b: END_STEP TRANSITION FROM {name} TO b := {name}; END_TRANSITION END_PROGRAM"
    )
    found = hold(text.encode(), "p.st")
    assert isinstance(found, Copy), found
    (pou,) = found.program.pous
    assert [v.name for v in pou.variables] == [name, "x", "y"]
    assert pou.variables[2].initial == name


NESTED = {
    "parentheses": ("a := ", "(", "b", ")", ";"),
    "not": ("a := ", "NOT ", "b", "", ";"),
    "calls": ("a := ", "f(", "b", ")", ";"),
    "branches": ("", "IF a THEN ", "a := b;", " END_IF;", ""),
    "arms": ("IF a THEN b := c; ", "ELSIF d THEN a := b; ", "", "", "END_IF;"),
    "chain": ("a := ", "b AND ", "b", "", ";"),
    "comments": ("", "(*", "x", "*)", ""),
}


@pytest.mark.parametrize("kind", NESTED)
@pytest.mark.parametrize("depth", [400, 3000])
def test_deep_text(kind: str, depth: int) -> None:
    before, opening, middle, closing, after = NESTED[kind]
    body = before + opening * depth + middle + closing * depth + after
    found = hold(f"PROGRAM p VAR a : BOOL; END_VAR\n{body}\nEND_PROGRAM\n".encode(), "p.st")
    assert isinstance(found, Copy) and len(found.program.pous) == 1


def test_namespaces_inside_each_other_have_a_limit() -> None:
    text = "NAMESPACE a " * 3000 + "PROGRAM p END_PROGRAM" + " END_NAMESPACE" * 3000
    assert outcome(text.encode(), "p.st") == (
        "p.st, line 1, column 613: END_NAMESPACE, at most 50 namespaces inside each other, expected, "
        "but 'NAMESPACE' found; check whether the export is complete."
    )


def test_an_internal_namespace_says_so() -> None:
    closed = hold(b"NAMESPACE INTERNAL a PROGRAM p END_PROGRAM END_NAMESPACE", "p.st")
    opened = hold(b"NAMESPACE a PROGRAM p END_PROGRAM END_NAMESPACE", "p.st")
    assert isinstance(closed, Copy) and isinstance(opened, Copy)
    assert closed.program.extensions[0].text == "a"
    assert not opened.program.extensions
