"""Initial values by meaning. The shapes are those of IEC 61131-3:2013 (array and structure initialisation), from memory."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.language.initials import initial_key
from asfound.language.types import initial

SAME = [
    ("[0, 0, 1]", "[2(0), 1]", ""),
    ("[2(3(1)), 4]", "[6(1), 4]", ""),
    ("[[1, 2], [1, 2]]", "[2([1, 2])]", ""),
    ("(a := 1, b := 2)", "(B := 2, A := 16#1)", ""),
    ("INT#5", "5", "INT"),
    ("1", "1.0", "REAL"),
    ("[1, 0]", "[TRUE, FALSE]", "ARRAY[0..1] OF BOOL"),
    ("'a$41'", "'aA'", "STRING"),
    ("cMax", "CMAX", "INT"),
    ("Mode#Auto", "MODE#AUTO", "Mode"),
    ("T#1500ms", "T#1s500ms", "TIME"),
]
OTHER = [
    ("[0, 1]", "[1, 0]", ""),
    ("[2(0)]", "[3(0)]", ""),
    ("(a := 1, b := 2)", "(a := 2, b := 1)", ""),
    ("['a', 'b']", "['a,string:b']", ""),
    ("'a'", "'A'", "STRING"),
    ("(a := 1, a := 2)", "(a := 2, a := 1)", ""),
    ("cMax", "'cMax'", "STRING"),
    ("[1, 2]", "(a := 1)", ""),
    ("0", "FALSE", ""),
    ("ADR(x)", "ADR(y)", ""),
    ("1", "cOne", "INT"),
]


@pytest.mark.parametrize(("one", "other", "kind"), SAME)
def test_the_same_values(one, other, kind):
    assert initial_key(one, kind) == initial_key(other, kind)


@pytest.mark.parametrize(("one", "other", "kind"), OTHER)
def test_other_values(one, other, kind):
    assert initial_key(one, kind) != initial_key(other, kind)


def test_a_list_without_end_keeps_its_text():
    assert initial_key("[99999(99999(1))]") == "text:[99999(99999(1))]"


LEAVES = st.sampled_from(["1", "0", "TRUE", "'a, b'", "T#5s", "cMax"])
VALUES = st.recursive(
    LEAVES,
    lambda inner: st.one_of(
        st.lists(inner, min_size=1, max_size=3).map(lambda items: f"[{', '.join(items)}]"),
        st.tuples(inner, inner).map(lambda pair: f"(a := {pair[0]}, b := {pair[1]})"),
    ),
    max_leaves=6,
)


@given(VALUES, VALUES)
def test_two_texts_have_one_key_only_if_they_are_one_text(one, other):
    assert (initial_key(one) == initial_key(other)) == (initial(one) == initial(other))
