"""Patterns of a profile: in time whatever they are, and read as Python reads them, which read them before."""

from __future__ import annotations

import re
import time
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.readers.tables.profile_patterns import MAX_PATTERN, Unusable, compiled

ENDLESS = (
    "(a+)+b",
    "(a|a)*b",
    "(a|b|ab)*c",
    "(.*)*x",
    "(?:a?){30}a{30}b",
    "([a-z]+)*[0-9]",
    r"(\w+\s?)+!",
    "(((a*)*)*)*b",
)


@pytest.mark.parametrize("pattern", ENDLESS)
def test_a_pattern_that_never_ended_ends(pattern: str) -> None:
    begun = time.process_time()
    assert compiled(pattern).fullmatch("a" * 99 + "?") is None
    assert time.process_time() - begun < 2


def test_python_itself_would_not_end() -> None:
    """Why: each further letter doubles the time, so that these took longer than anybody waits for."""

    def seconds(letters: int) -> float:
        begun = time.perf_counter()
        re.fullmatch("(a+)+b", "a" * letters)
        return time.perf_counter() - begun

    assert seconds(22) > 4 * seconds(18)


REFUSED = {
    "a{99999999999}": "the pattern 'a{99999999999}' repeats too much; repeat with * or +, or at most 1000 times in all",
    "a{1001}": "the pattern 'a{1001}' repeats too much; repeat with * or +, or at most 1000 times in all",
    "((a{10}){10}){11}": "the pattern '((a{10}){10}){11}' repeats too much; repeat with * or +, or at most 1000 times in all",
    "(.?){999}" * 4: "the pattern '(.?){999}(.?){999}(.?){999}(.?){999}' repeats too much; repeat with * or +, or at most 1000 times in all",
    "(" * 400: f"the pattern '{'(' * 40}...' is no regular expression (missing )); mend it; a digit is [0-9], a plain dot is \\.",
    "(" * 501: "the pattern has more than 500 characters; write several short ones",
    "[" * 200: f"the pattern '{'[' * 40}...' is no regular expression (missing ]); mend it; a digit is [0-9], a plain dot is \\.",
    "(?P<x>a)(?=b)": "the pattern '(?P<x>a)(?=b)' holds (?=, which is not known; write it without looking ahead or back and without naming a group again; two patterns may follow each other",
    "(?<!a)b": "the pattern '(?<!a)b' holds (?<!, which is not known; write it without looking ahead or back and without naming a group again; two patterns may follow each other",
    r"(a)\1": r"the pattern '(a)\1' holds \1, which is not known; write it without looking ahead or back and without naming a group again; two patterns may follow each other",
    "(?P<x>a)(?P=x)": "the pattern '(?P<x>a)(?P=x)' holds (?P, which is not known; write it without looking ahead or back and without naming a group again; two patterns may follow each other",
    "(?P<x>a)|(?P<x>b)": "the pattern '(?P<x>a)|(?P<x>b)' has two groups 'x'; write two patterns",
    r"a\b": r"the pattern 'a\b' holds \b, which is not known; leave it out, a pattern is for the whole cell",
    r"[\W]": r"the pattern '[\W]' holds \W, which is not known; write what stands there, such as [^0-9]",
    r"\C": r"the pattern '\C' holds \C, which is not known; write it without looking ahead or back and without naming a group again; two patterns may follow each other",
    "[[:digit:]]": "the pattern '[[:digit:]]' holds [:, which is not known; write the letters, such as [0-9A-Z]",
    "\ud800": "the pattern holds a sign that is no character; mend it; a digit is [0-9], a plain dot is \\.",
    "a**": "the pattern 'a**' is no regular expression (bad repetition operator); mend it; a digit is [0-9], a plain dot is \\.",
}  # fmt: skip


@pytest.mark.parametrize(
    "pattern", REFUSED, ids=[pattern[:20].encode("ascii", "backslashreplace").decode() for pattern in REFUSED]
)
def test_what_is_not_taken_is_named_with_what_to_write(pattern: str) -> None:
    begun = time.process_time()
    with pytest.raises(Unusable) as caught:
        compiled(pattern)
    assert "; ".join(caught.value.args) == REFUSED[pattern]
    assert time.process_time() - begun < 2


@pytest.mark.parametrize(
    "pattern", [r"\d", r"\D", r"\w", r"\W", r"\s", r"\S", r"[\d-]", r"[^\w.]", r"[\s_]", ".", "[^a]"]
)
def test_a_letter_class_means_what_python_means(pattern: str) -> None:
    """Every sign that this Python knows. Left out are newer letters (RE2 may know them, Python not yet) and U+0345.

    That is a mark, and a letter only where upper and lower case are one.
    """
    found, expected = compiled(pattern), re.compile(pattern, re.IGNORECASE)
    differing = [
        hex(code)
        for code in (*range(0x3000), *range(0xF900, 0x10000), *range(0x1D400, 0x1D800), *range(0x20000, 0x20010))
        if code != 0x345
        and unicodedata.category(sign := chr(code)) not in ("Cs", "Cn")
        and (found.fullmatch(sign) is None) != (expected.fullmatch(sign) is None)
    ]
    assert differing == []


PIECE = st.sampled_from(
    ["a", "B", "ü", "7", r"\d", r"\w", r"\s", r"\.", "[0-9]", "[^0-9]", "[a-f]", r"[\d_]", r"[]x]", "[^]x]", ".", "x|y",
     "{", "}", "{}", "{,2}", "{1}", "{1,2}", "{0,}", "{,}", "{x}", "]", "-", r"\x41", r"\t"]
)  # fmt: skip
TREE = st.recursive(
    PIECE,
    lambda inner: (
        st.builds("{}{}".format, inner, inner)
        | st.builds("(?:{}){}".format, inner, st.sampled_from(["", "?", "*", "+", "*?", "{2}", "{,2}", "{1,}"]))
        | st.builds("({})|{}".format, inner, inner)
    ),
    max_leaves=6,
)
TEXT = st.text(st.sampled_from("aAbBxXüÜ7_. -]{},0"), max_size=6)


@given(TREE, TREE, st.lists(TEXT, min_size=1, max_size=8))
def test_what_is_taken_is_read_as_python_reads_it(first: str, second: str, texts: list[str]) -> None:
    pattern = f"(?P<byte>{first})(?P<bit>{second})?"
    try:
        found = compiled(pattern)
    except Unusable:
        return
    try:
        expected = re.compile(pattern, re.IGNORECASE)
    except re.error:
        return  # refused before, so no profile has it
    for text in texts:
        one, other = found.fullmatch(text), expected.fullmatch(text)
        assert (one is None) == (other is None), (pattern, text)
        if one is not None and other is not None and not re.search(r"[*+?}]\)*[*+?{]|\)[*+?{]", pattern[:-1]):
            assert one.groupdict() == other.groupdict(), (pattern, text)


@given(
    st.text(max_size=MAX_PATTERN + 1)
    | st.text(st.sampled_from(r"()[]{}\?P<>:=!|*+^$.,019adDwWsSbBZzpCQE-"), max_size=40)
)
def test_any_text_is_a_pattern_or_is_refused(pattern: str) -> None:
    try:
        compiled(pattern).fullmatch("IN17 ü")
    except Unusable as error:
        assert len(error.args) == 2 and all(error.args)
