"""Blocks that are not enabled: what compilers do differently is said once, with its places."""

from __future__ import annotations

import pytest

from asfound.analysis.enabling import readings
from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.model.copy import Copy

WRITTEN = "while a block is not enabled, some compilers write the variable wired to its output and some leave it"
LAST = "a function that is not enabled keeps its last value with some compilers and gives 0 with others"


def drawn(code: str) -> Copy:
    head = (
        "PROGRAM P VAR Go, Run, X : BOOL; A, B, Sum : INT; T1 : TON; END_VAR {body FBD} {network} Run := Go; {network} "
    )
    return Copy(program=parse_program(f"{head}{code} END_PROGRAM", "p.st", dialect=True))


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("IF Go THEN Sum := ADD(A, B); END_IF;", (f"{WRITTEN}: P / network 2 (Sum)",)),
        ("T1(EN := Go, IN := Run); IF T1.ENO THEN X := T1.Q; END_IF;", (f"{WRITTEN}: P / network 2 (X)",)),
        (
            "{wire w from LT.OUT} IF Go THEN w := LT(A, B); END_IF; X := w AND Run;",
            (f"{LAST}: P / network 2 (LT.OUT)",),
        ),
        (
            "{wire w from MUL.OUT} IF Go THEN w := MUL(A, B); END_IF; IF Go THEN Sum := DIV(w, 2); END_IF;",
            (f"{WRITTEN}: P / network 2 (Sum)",),
        ),
        ("IF Go THEN Sum := ADD(A, B); END_IF; Sum := A; X := NOT Go;", (f"{WRITTEN}: P / network 2 (Sum)",)),
        (
            "{wire w from LT.OUT} IF Go THEN w := LT(A, B); END_IF; IF Go THEN X := w; END_IF;",
            (f"{WRITTEN}: P / network 2 (X)",),
        ),
        ("{wire w from LT.OUT} w := LT(A, B); X := w AND Run;", ()),
        ("{wire w from LT.OUT} IF Go THEN w := LT(A, B); END_IF; X := Run;", ()),
        ("Sum := ADD(A, B);", ()),
        ("IF Go THEN X := TRUE; END_IF;", ()),
        ("IF Go THEN RETURN; END_IF;", ()),
    ],
)
def test_what_is_said(code: str, expected: tuple[str, ...]) -> None:
    assert readings((drawn(code),)) == expected


def test_it_is_said_once_for_a_comparison() -> None:
    old, new = drawn("IF Go THEN Sum := ADD(A, B); END_IF;"), drawn("IF Run THEN B := ADD(A, B); END_IF;")
    said = [limit for limit in compare(old, new).limits if limit.startswith(WRITTEN)]
    assert said == [f"{WRITTEN}: P / network 2 (Sum), P / network 2 (B)"]


def test_many_places_are_counted() -> None:
    code = "{network} IF Go THEN Sum := ADD(A, B); END_IF; " * 7
    (said,) = readings((drawn(code),))
    assert said.endswith("P / network 7 (Sum) and 2 more") and said.count("network") == 5


def test_as_many_places_as_are_shown_are_not_counted() -> None:
    code = "{network} IF Go THEN Sum := ADD(A, B); END_IF; " * 5
    (said,) = readings((drawn(code),))
    assert said.endswith("P / network 7 (Sum)") and said.count("network") == 5


def test_structured_text_says_what_it_does() -> None:
    text = "PROGRAM P VAR Go : BOOL; Sum : INT; END_VAR IF Go THEN Sum := Sum + 1; END_IF; END_PROGRAM"
    assert readings((Copy(program=parse_program(text, "p.st")),)) == ()
