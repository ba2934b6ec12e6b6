"""Expressions and statements from text that other tools write."""

from __future__ import annotations

import pytest

from asfound.language.parser import comments, parse_expression, parse_statements
from asfound.language.statement_printer import expression, statements
from asfound.model.logic import Assign, Invocation, Unparsed, Verbatim

READ = [
    ("a & b and C", "a AND b AND C"),
    ("(a OR b) OR c", "a OR b OR c"),
    ("a OR b AND c XOR d", "a OR b AND c XOR d"),
    ("(a OR b) AND c", "(a OR b) AND c"),
    ("NOT(a) AND NOT (b OR c)", "NOT a AND NOT (b OR c)"),
    ("AND(NOT(E2) AND NOT(E1), NOT(EmStop))", "NOT E2 AND NOT E1 AND NOT EmStop"),
    ("OR(IN1 := a, IN2 := b)", "a OR b"),
    ("a - b - c", "a - b - c"),
    ("a - (b - c)", "a - (b - c)"),
    ("-a ** 2", "-a ** 2"),
    ("-(a ** 2)", "-(a ** 2)"),
    ("a < b = c > d", "a < b = c > d"),
    ("(a = b) = c", "a = b = c"),
    ("x MOD 3 * 2", "x MOD 3 * 2"),
    ("a[i+1, 2].b.3", "a[i + 1, 2].b.3"),
    ("this^.Motor.%x3", "this^.Motor.%X3"),
    ("IF_OK.END_IF", "IF_OK.END_IF"),
    ("word.1 OR Größe", "word.1 OR Größe"),
    ("S=1 AND R=2", "S = 1 AND R = 2"),
    ("T# 18000ms", "T#18s"),
    ("%ix0.0 AND %I1.0", "%IX0.0 AND %IX1.0"),
    ("LIMIT(0, x, IN3 := 5)", "LIMIT(0, x, IN3 := 5)"),
    ("f(a := 1, q => x, NOT p => y)", "f(a := 1, q => x, NOT p => y)"),
    ("Step1.X AND T1.Q (* done *)", "Step1.X AND T1.Q"),
    ("1.5E3 + 16#ff", "1500.0 + 16#FF"),
    ("{literal '5'}", None),
    ("a b", None),
    ("a AND", None),
    ("", None),
    ("(" * 500 + "a" + ")" * 500, None),
    ("NOT " * 5000 + "a", None),
    ("a" + " + a" * 5000, None),
]


@pytest.mark.parametrize(("text", "expected"), READ, ids=lambda text: str(text)[:30])
def test_expressions(text, expected):
    found = parse_expression(text)
    if expected is None:
        assert found == Unparsed(text.strip())
    else:
        assert expression(found) == expected


def test_a_wire_or_edge_is_only_read_in_the_normal_form():
    assert isinstance(parse_expression("R_EDGE(x)"), Invocation)
    assert expression(parse_expression("_v1")) == '{name "_v1"}'
    assert expression(parse_expression("R_EDGE(_v1)", dialect=True)) == 'R_EDGE({wire "1"})'


BODIES = {
    "missing semicolons": ("IF a THEN b := 1 END_IF c := 2", "IF a THEN\n  b := 1;\nEND_IF;\nc := 2;\n"),
    "set and reset": ("m S= a; m R= b; p REF= q;", "IF a THEN m := TRUE; END_IF;\nIF b THEN m := FALSE; END_IF;\n{reference} p := q;\n"),
    "assignment attempt": ("IF a THEN p ?= q; END_IF;", "IF a THEN\n  {attempt} p := q;\nEND_IF;\n"),
    "unconnected pins": ("T1(IN:=a, PT:=T#50MS, Q=> , ET=>);", "T1(IN := a, PT := T#50ms);\n"),
    "method of an instance": ("THIS^.Run(); a.b.c(x := 1);", "THIS^.Run();\na.b.c(x := 1);\n"),
    "comments": ("a := 1; // one\n(* two *) b := (* three *) 2; /* four */",
                 "a := 1;\n(* one *)\n(* two *)\n(* three *)\nb := 2;\n(* four *)\n"),
    "a comment ends at the first end": ("(* a (* b *) c := 1;", "(* a (* b *)\nc := 1;\n"),
    "case": ("CASE n OF (* k *) 1, 3..5: a := 1; Red: b(); ELSE c := 1; END_CASE",
             "CASE n OF\n  1, 3..5:\n    (* k *)\n    a := 1;\n  Red:\n    b();\nELSE\n  c := 1;\nEND_CASE;\n"),
    "loops": ("FOR i := 1 TO 9 BY 2 DO EXIT; END_FOR; WHILE a DO CONTINUE; END_WHILE; "
              "REPEAT b := 1; UNTIL c END_REPEAT;",
              "FOR i := 1 TO 9 BY 2 DO\n  EXIT;\nEND_FOR;\nWHILE a DO\n  CONTINUE;\nEND_WHILE;\n"
              "REPEAT\n  b := 1;\nUNTIL c END_REPEAT;\n"),
    "jumps": ("IF a THEN JMP done; END_IF; RETURN; done: b := 1;",
              "IF a THEN\n  JMP done;\nEND_IF;\nRETURN;\ndone:\nb := 1;\n"),
    "keywords as pins": ("f(TO := a, BY := 1); exit.x := 1;",
                         'f({name "TO"} := a, {name "BY"} := 1);\n{name "exit"}.x := 1;\n'),
    "nothing": ("  ;; \n", ""),
    "code of another language": ("a := 1; {SetVar(x)} b := 2;", "a := 1;\n{SetVar(x)}\nb := 2;\n"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), BODIES.values(), ids=BODIES.keys())
def test_statements(text, expected):
    assert statements(parse_statements(text)) == expected


@pytest.mark.parametrize("word", ["reference", "attempt"])
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("{%s} r := x;", "{%s} r := x;\n"),
        ("a := 1; {%s} r[f(x := 1)].b := x;", "a := 1;\n{%s} r[f(x := 1)].b := x;\n"),
        ("{when} IF c THEN {%s} r := x; END_IF;", "IF c THEN {%s} r := x; END_IF;\n"),
        ("{%s}", None),
        ("{%s}\nr := x;", None),
        ("{%s} f(x := 1);", None),
        ("{%s} (* c *) r := x;", None),
        ("{%s} r S= x;", None),
        ("{%s} FOR i := 1 TO 2 DO END_FOR;", None),
        ("{%s} {x} r := x;", None),
        ("a := {%s} b := c;", None),
        ("f({%s} a := b);", None),
        ('{%s "x"} r := x;', None),
    ],
)
def test_what_marks_an_assignment_stands_right_before_one_in_the_normal_form(word, text, expected):
    """Anywhere else it is somebody else's pragma, kept as it is."""
    text = text.replace("%s", word)
    found = parse_statements(text, dialect=True)
    assert parse_statements(statements(found), dialect=True) == found
    assert not any(s.kind == word for s in parse_statements(text) if isinstance(s, Assign))
    if expected is None:
        assert any(isinstance(s, Verbatim) and word in s.text for s in found)
        assert not any(isinstance(s, Assign) and s.kind == word for s in found)
    else:
        assert statements(found) == expected.replace("%s", word)
        assert parse_statements(text) != found


def test_many_marks_are_read_in_one_go():
    text = "{reference} (" * 20000
    assert parse_statements(text, dialect=True)[0] == Verbatim("{reference}")


def test_one_odd_line_does_not_spoil_the_body():
    found = parse_statements("a := 1; b ?? c; IF d THEN e := := 1; f := 2; END_IF; g := 3;")
    text = 'a := 1;\n{verbatim "b ?? c;"}\nIF d THEN\n  {verbatim "e := := 1;"}\n  f := 2;\nEND_IF;\ng := 3;\n'
    assert statements(found) == text


def test_a_broken_structure_is_kept_whole():
    assert parse_statements("IF a b := 1; END_IF; c := 2;")[0] == Verbatim("IF a b := 1; END_IF;")
    assert parse_statements("(* never closed") == (Verbatim("(* never closed"),)


def test_comments_of_an_expression_can_be_asked_for():
    assert comments("a (* one\n  two *) AND b // three") == ("one two", "three")


def test_deep_nesting_is_kept_as_text():
    text = "IF a THEN " * 300 + "END_IF; " * 300
    assert parse_statements(text) == (Verbatim(text.strip()),)
