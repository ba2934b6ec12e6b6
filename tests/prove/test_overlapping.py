"""Places that may overlap: the short way finds what holding every pair against each other finds."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from asfound.prove import overlapping
from asfound.prove.proof_side import Location

ADDRESSES = st.builds("%{}{}+{}".format, st.sampled_from("IQM"), st.integers(0, 40), st.sampled_from([1, 8, 16, 32]))
KEYS = ADDRESSES | st.sampled_from(
    ["%I?1", "%??", "%M?word", "a", "a.b", "a.b[1]", "c", "c.d", "e", "pin", "%M8+16.%X3"]
)


@st.composite
def places(draw: st.DrawFn) -> dict[str, Location]:
    """Direct addresses are located, all else is of any kind; a type may be missing."""
    found = {}
    for key in draw(st.lists(KEYS, max_size=12, unique=True)):
        kind = "located" if key[0] == "%" else draw(st.sampled_from(["local", "global", "outside", "in_out", "input"]))
        found[key] = Location(key, draw(st.sampled_from(["INT", "BOOL", ""])), kind, key)
    return found


@given(places())
def test_every_pair_is_found(found: dict[str, Location]) -> None:
    wide = [p for p in found.values() if p.kind in overlapping._REACHABLE]
    every = [(a, b) for a, b in combinations(wide, 2) if overlapping._may_be_one(a, b)]
    assert sorted(overlapping._reachable(wide)) == sorted(every)


def test_thousands_of_single_bits_are_not_paired() -> None:
    bits = [(n, Location(f"%I{n}+1", "BOOL", "located", "")) for n in range(20_000)]
    word = (20_000, Location("%I16+16", "WORD", "located", ""))
    assert len(set(overlapping._near([*bits, word]))) < 200
