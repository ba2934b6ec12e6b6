"""Bodies that are text, and how they lie in the document."""

from __future__ import annotations

from drawing_kit import copy_of, pou, project, same, st, statements

import asfound
from asfound.compare.comparison import compare


def test_a_comment_edit_that_closes_a_comment() -> None:
    old, new = st("a := 1; (* END_IF;\nb := 2; (* c *)\nd := 3;"), st("a := 1; (* END_IF;*)\nb := 2; (* c *)\nd := 3;")
    assert statements(pou(new)).count(":=") == 3
    assert not same(pou(old), pou(new))
    assert compare(copy_of(pou(old)), copy_of(pou(new))).verdict in ("behaviour", "undecided")


def test_inline_code_in_braces_is_no_pragma() -> None:
    old, new = pou(st("{ x = rand(); }\na := x;")), pou(st("{ x = 4; }\na := x;"))
    assert "rand()" in statements(old)
    assert not same(old, new)


def test_case_of_names_and_of_strings() -> None:
    old = pou(st("Run := Start; s := 'On';"))
    assert compare(copy_of(old), copy_of(pou(st("RUN := START; s := 'On';")))).verdict == "documentation"
    assert compare(copy_of(old), copy_of(pou(st("Run := Start; s := 'ON';")))).verdict in ("behaviour", "undecided")


def test_bodies_behind_a_comment_and_several_bodies() -> None:
    inside = st("a := 1;").replace("<body>", "<body><!-- kept by hand -->")
    assert statements(pou(inside)) == "a := 1;"
    assert not same(pou(inside), pou(inside + st("b := 2;")))
    assert not same(pou(inside + st("b := 2;")), pou(inside + st("b := 3;")))


def test_two_pous_and_two_actions_with_one_name() -> None:
    both = project(pou(st("a := 1;")), pou(st("a := 2;")))
    assert not same(both, project(pou(st("a := 1;"))))
    assert not same(both, project(pou(st("a := 1;")), pou(st("a := 3;"))))

    def acting(*codes: str) -> str:
        return pou(
            st(""), more="<actions>" + "".join(f'<action name="Go">{st(c)}</action>' for c in codes) + "</actions>"
        )

    assert not same(acting("a := 1;", "a := 2;"), acting("a := 1;"))
    assert not same(acting("a := 1;", "a := 2;"), acting("a := 1;", "a := 3;"))


def test_an_empty_body_with_actions_full_of_logic() -> None:
    def acting(code: str) -> str:
        return pou(st(""), more=f'<actions><action name="Go">{st(code)}</action></actions>')

    assert not same(acting("a := 1;"), acting("a := 2;"))


def test_white_space_inside_strings_is_kept() -> None:
    assert not same(pou(st("s := 'a b';")), pou(st("s := 'a  b';")))


def test_what_cannot_be_read_is_never_equal() -> None:
    old, new = pou(st("IF a THEN b := 1;")), pou(st("IF a THEN b := 2;"))
    assert compare(copy_of(old), copy_of(new)).verdict in ("undecided", "behaviour")


def test_one_number_among_many_renames() -> None:
    old = pou(st("\n".join(f"a{n} := b{n} + {n};" for n in range(30))))
    new = pou(st("\n".join(f"x{n} := y{n} + {n + (n == 17)};" for n in range(30))))
    found = asfound.compare(copy_of(old), copy_of(new))
    assert found.verdict in ("behaviour", "undecided")
