"""Large and hostile text neither stops the reading nor takes more than its share: twice the text, about twice the time.

Ratios, not seconds; the least of a few runs, with room for a busy machine.
"""

from __future__ import annotations

import gc
from time import process_time

import pytest

from asfound.language.documents import parse_program
from asfound.language.il import parse_il
from asfound.language.parser import parse_expression, parse_statements
from asfound.language.tokens import tokens
from asfound.model.logic import Unparsed, Verbatim


def seconds(work, text: str) -> float:
    """The least of three runs; garbage collection and caches do not count."""
    best = 1e9
    gc.disable()
    try:
        for number in range(3):
            varied = f"{text} (* {number} {len(text)} *)"
            start = process_time()
            work(varied)
            best = min(best, process_time() - start)
    finally:
        gc.enable()
    return best


def count(text: str) -> int:
    return sum(1 for _ in tokens(text))


STATEMENT = "IF a THEN b := c + 1; END_IF;\n"
CASES = {
    "statements": (parse_statements, STATEMENT, 1500),
    "an odd statement among many": (lambda text: parse_statements("a ?? b;" + text), STATEMENT, 800),
    "one long sum": (parse_statements, " + a", 4000),
    "comments in one statement": (lambda text: parse_statements("a := b" + text + ";"), " (* c *)", 6000),
    "arms": (lambda text: parse_statements("CASE n OF " + text + "END_CASE;"), "5: a := b;\n", 2500),
    "instructions": (parse_il, "LD a\nAND b\nST q\n", 800),
    "one long accumulator": (lambda text: parse_il("LD a\n" + text + "\nST q"), "ADD b\n", 1500),
    "variables": (lambda text: parse_program(f"PROGRAM p VAR {text} END_VAR END_PROGRAM", "x"), "a : INT := 5;\n", 1500),
    "programs": (lambda text: parse_program(text, "x"), "PROGRAM p a := 1; END_PROGRAM\n", 500),
    "comments never closed": (count, "(* ", 20000),
    "the other kind never closed": (count, "/* ", 20000),
    "braces never closed": (count, "{ ", 20000),
    "quotes never closed": (count, "'$", 20000),
    "quotes of lines": (count, "'\n$'\n$", 10000),
    "digits before a letter": (count, "1", 40000),
    "parentheses": (count, "(", 40000),
    "deep parentheses": (parse_expression, "(", 20000),
    "signs": (parse_expression, "-", 20000),
    "dots": (count, ". ", 20000),
    "a long duration": (lambda text: count("T#" + text), "1s", 20000),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_twice_the_text_takes_about_twice_the_time(name: str) -> None:
    work, piece, times = CASES[name]
    one, two = seconds(work, piece * times), seconds(work, piece * times * 2)
    assert two < 3.2 * one + 0.01, f"{one:.3f} s, {two:.3f} s"


def test_many_labels_take_their_share() -> None:
    one, two = (
        seconds(parse_il, "".join(f"l{n}:\n" for n in range(number)) + "LD a\nST q\n") for number in (2000, 4000)
    )
    assert two < 3.2 * one + 0.01, f"{one:.3f} s, {two:.3f} s"


def test_deep_text_is_kept() -> None:
    deep = "(" * 5000 + "a" + ")" * 5000
    assert isinstance(parse_expression(deep), Unparsed)
    found = parse_statements(f"x := 1; y := {deep}; z := 2;")
    assert any(isinstance(s, Verbatim) and deep in s.text for s in found)
    ifs = "IF a THEN " * 5000 + "END_IF; " * 5000
    assert any(isinstance(s, Verbatim) for s in parse_statements(ifs))
    lists = "LD a\n" + "AND( b\n" * 5000 + ")\n" * 5000 + "ST q"
    assert not any(isinstance(s, Verbatim) for s in parse_il(lists))


def test_what_surrounds_a_deep_statement_is_read() -> None:
    deep = "(" * 5000 + "a" + ")" * 5000
    first, odd, last = parse_statements(f"x := 1; y := {deep}; z := 2;")
    assert (type(first).__name__, odd, type(last).__name__) == ("Assign", Verbatim(f"y := {deep};"), "Assign")
