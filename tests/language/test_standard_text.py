"""Structured text word by word. External source: IEC 61131-3:2013 tables 71 and 72 and annex A, from memory."""

from __future__ import annotations

import pytest

from . import trees

PRECEDENCE = {
    # table 71, strongest first: ( ) · call · ^ · unary - + NOT · ** · * / MOD · + - · < > <= >= · = <> · & AND · XOR · OR
    "-a ** b": "(** (NEG a) b)",
    "a ** -b": "(** a (NEG b))",
    "a ** b ** c": "(** (** a b) c)",
    "a ** (b ** c)": "(** a (** b c))",
    "a * b ** c": "(* a (** b c))",
    "-a * b": "(* (NEG a) b)",
    "a * -b": "(* a (NEG b))",
    "a - -b": "(- a (NEG b))",
    "a + +b": "(+ a b)",
    "+a": "a",
    "NOT a AND b": "(AND (NOT a) b)",
    "NOT a = b": "(= (NOT a) b)",
    "NOT (a = b)": "(NOT (= a b))",
    "a / b * c MOD d": "(MOD (* (/ a b) c) d)",
    "a - b + c": "(+ (- a b) c)",
    "a - (b + c)": "(- a (+ b c))",
    "a + b * c - d": "(- (+ a (* b c)) d)",
    "a + b < c - d": "(< (+ a b) (- c d))",
    "a < b = c >= d": "(= (< a b) (>= c d))",
    "a = b < c": "(= a (< b c))",
    "a <> b = c": "(= (<> a b) c)",
    "a > b > c": "(> (> a b) c)",
    "a = b AND c <> d": "(AND (= a b) (<> c d))",
    "a & b AND c": "(AND a b c)",
    "a XOR b AND c": "(XOR a (AND b c))",
    "a OR b XOR c": "(OR a (XOR b c))",
    "a AND b OR c AND d": "(OR (AND a b) (AND c d))",
    "a AND (b OR c)": "(AND a (OR b c))",
    "-p^.x": "(NEG p^.x)",
    "-f(a)": "(NEG f(a))",
    "NOT p^[1]": "(NOT p^[1])",
    "a MOD -3": "(MOD a (NEG 3))",
    "2 ** -1": "(** 2 (NEG 1))",
    "5 - 3": "(- 5 3)",
    "5-3": "(- 5 3)",
    "a-1": "(- a 1)",
    "a -1": "(- a 1)",
    "1.5-1E-3": "(- 1.5 0.001)",
}


@pytest.mark.parametrize("text", PRECEDENCE)
def test_operators_bind_as_in_the_table(text: str) -> None:
    assert trees.expression(text) == PRECEDENCE[text]


def test_a_sign_before_a_number_binds_stronger_than_a_power() -> None:
    """Table 71 has unary minus above ``**``, and a signed number is a literal: both give (-2) ** 2."""
    assert trees.expression("-2 ** 2") in ("(** -2 2)", "(** (NEG 2) 2)")


NAMES = {
    "a.b.c": "a.b.c",
    "a[1].b[i, j + 1]": "a[1].b[i (+ j 1)]",
    "a[1][2]": "a[1][2]",
    "p^": "p^",
    "p^^": "p^^",
    "p^.b^[3]": "p^.b^[3]",
    "THIS^.x": "THIS^.x",
    "SUPER^.x": "SUPER^.x",
    "THIS.x": "THIS.x",
    "SUPER.m(1)": "SUPER.m(1)",
    "THIS": "THIS",
    "w.%X0": "w.%X0",
    "w.%x15": "w.%X15",
    "d.%B3": "d.%B3",
    "d.%W1": "d.%W1",
    "l.%D0": "l.%D0",
    "w.7": "w.7",
    "a[2].%X1": "a[2].%X1",
    "p^.%X1": "p^.%X1",
    "%IX1.2": "%IX1.2",
    "%iw3": "%IW3",
    "%MD48": "%MD48",
    "%Q*": "%Q*",
    "ns.sub.f(1)": "ns.sub.f(1)",
    "REF(x)": "REF(x)",
    "NULL": "NULL",
    "p = NULL": "(= p NULL)",
    "a.f(x).y": "a.f(x).y",
    "f()": "f()",
    "f(a, b)": "f(a b)",
    "f(x := a, y := b + 1)": "f(x:=a y:=(+ b 1))",
    "f(EN := e, x := a, ENO => ok, NOT q => z)": "f(EN:=e x:=a ENO=>ok NOT q=>z)",
    "f(g(h(1)))": "f(g(h(1)))",
    "Color#Red": "Color#Red",
    "ns.Color#Red": "ns.Color#Red",
    "INT_TO_REAL(i)": "INT_TO_REAL(i)",
    "Größe_1 + Ωmega": "(+ Größe_1 Ωmega)",
}


@pytest.mark.parametrize("text", NAMES)
def test_names_and_access(text: str) -> None:
    assert trees.expression(text) == NAMES[text]


STATEMENTS = {
    "a := b;": ["assign a b"],
    "a[i, 2].b := c^.d;": ["assign a[i 2].b c^.d"],
    "w.%X3 := TRUE;": ["assign w.%X3 TRUE"],
    "p^ := 5;": ["assign p^ 5"],
    "%QX1.0 := %IX0.0;": ["assign %QX1.0 %IX0.0"],
    "p := REF(x);": ["assign p REF(x)"],
    "p := NULL;": ["assign p NULL"],
    "p ?= q;": ["attempt p q"],
    "p^.next ?= q^.other;": ["attempt p^.next q^.other"],
    "a := b := c;": ["verbatim a := b := c;"],
    "t();": ["call t()"],
    "t(a, b);": ["call t(a b)"],
    "t(IN := a, PT := T#5s);": ["call t(IN:=a PT:=T#5s)"],
    "t(IN := a, Q => b, NOT ET => c);": ["call t(IN:=a Q=>b NOT ET=>c)"],
    "t[3](IN := a);": ["call t[3](IN:=a)"],
    "a.b.t(IN := a);": ["call a.b.t(IN:=a)"],
    "p^(IN := a);": ["call p^(IN:=a)"],
    "THIS.m(1);": ["call THIS.m(1)"],
    "THIS^.m();": ["call THIS^.m()"],
    "SUPER();": ["call SUPER()"],
    "SUPER^();": ["call SUPER^()"],
    "SUPER^.m(x := 1);": ["call SUPER^.m(x:=1)"],
    "f(EN := c, 1, 2, ENO => ok);": ["call f(EN:=c 1 2 ENO=>ok)"],
    "RETURN;": ["return"],
    "IF a THEN b := 1; END_IF;": ["if [a: {assign b 1}] else {}"],
    "IF a THEN ; END_IF;": ["if [a: {}] else {}"],
    "IF a THEN b := 1; ELSE b := 2; END_IF;": ["if [a: {assign b 1}] else {assign b 2}"],
    "IF a THEN x := 1; ELSIF b THEN x := 2; ELSIF c THEN x := 3; ELSE x := 4; END_IF;": [
        "if [a: {assign x 1}] [b: {assign x 2}] [c: {assign x 3}] else {assign x 4}"
    ],
    "IF a THEN IF b THEN x := 1; END_IF; ELSE y := 1; END_IF;": [
        "if [a: {if [b: {assign x 1}] else {}}] else {assign y 1}"
    ],
    "CASE n OF 1: a := 1; END_CASE;": ["case n [1: {assign a 1}] else {}"],
    "CASE n + 1 OF 1, 2, 5..9: a := 1; -3..-1: b := 2; ELSE c := 3; d := 4; END_CASE;": [
        "case (+ n 1) [1 2 5..9: {assign a 1}] [(NEG 3)..(NEG 1): {assign b 2}] else {assign c 3; assign d 4}"
    ],
    "CASE n OF Red: a := 1; Color#Blue, ns.Color#Green: b := 1; LOW..HIGH + 1: c := 1; 16#F0: d := 1; END_CASE;": [
        "case n [Red: {assign a 1}] [Color#Blue ns.Color#Green: {assign b 1}] [LOW..(+ HIGH 1): {assign c 1}] "
        "[16#F0: {assign d 1}] else {}"
    ],
    "CASE n OF 1: 2: a := 1; END_CASE;": ["case n [1: {}] [2: {assign a 1}] else {}"],
    "CASE n OF 1: ; 2: a := 1; END_CASE;": ["case n [1: {}] [2: {assign a 1}] else {}"],
    "FOR i := 1 TO 10 DO s := s + i; END_FOR;": ["for i 1 10 by - {assign s (+ s i)}"],
    "FOR i := n - 1 TO 0 BY -1 DO EXIT; END_FOR;": ["for i (- n 1) 0 by (NEG 1) {exit}"],
    "FOR i := a TO b BY c DO CONTINUE; END_FOR;": ["for i a b by c {continue}"],
    "WHILE a < b DO a := a + 1; END_WHILE;": ["while (< a b) {assign a (+ a 1)}"],
    "REPEAT a := a + 1; UNTIL a > b END_REPEAT;": ["repeat {assign a (+ a 1)} until (> a b)"],
    "REPEAT a := a + 1; UNTIL a > b; END_REPEAT;": ["repeat {assign a (+ a 1)} until (> a b)"],
    "FOR i := 1 TO 2 DO WHILE x DO REPEAT EXIT; UNTIL y END_REPEAT; CONTINUE; END_WHILE; END_FOR;": [
        "for i 1 2 by - {while x {repeat {exit} until y; continue}}"
    ],
    "IF a THEN RETURN; END_IF;": ["if [a: {return}] else {}"],
    ";;;": [],
    "": [],
    # common extensions
    "a S= b;": ["set a b"],
    "a R= b;": ["reset a b"],
    "a.b[1] S= c AND d;": ["set a.b[1] (AND c d)"],
    "p REF= x;": ["reference p x"],
    "__x := __y;": ["assign __x __y"],
    "a := __ISVALIDREF(p);": ["assign a __ISVALIDREF(p)"],
    "JMP end; end: a := 1;": ["jump end", "label end", "assign a 1"],
}


@pytest.mark.parametrize("text", STATEMENTS)
def test_statements(text: str) -> None:
    assert trees.body(text) == STATEMENTS[text]


@pytest.mark.parametrize("text", [text for text in STATEMENTS if "verbatim" not in "".join(STATEMENTS[text])])
@pytest.mark.parametrize("change", [str.upper, str.lower, lambda text: text.replace(" ", "\r\n\t")])
def test_case_and_layout_do_not_matter(text: str, change) -> None:
    assert [line.upper() for line in trees.body(change(text))] == [line.upper() for line in STATEMENTS[text]]


COMMENTS = {
    "a := (* one *) b; // two\n/* three */ c := 1;": "(* *), // and /* */",
    "a := b; (* one ** two *) c := 1;": "stars inside",
    "a := b; (* 'not a string *) c := 1;": "a quote in a comment",
    "a := b; // it's (* not open\nc := 1;": "a comment begin in a line comment",
    "a := b; /* (* */ c := 1;": "a comment begin in the other kind",
    "a := b; (* // *) c := 1;": "a line comment in a block comment",
    "a := b; (* { *) c := 1;": "a brace in a comment",
    "a(*x*):=(*y*)b(*z*);c:=1;": "between any two tokens",
}


@pytest.mark.parametrize("text", COMMENTS, ids=COMMENTS.values())
def test_comments_are_kept_apart_from_the_code(text: str) -> None:
    lines = trees.body(text)
    assert [line for line in lines if not line.startswith("remark")] == ["assign a b", "assign c 1"]
    assert any(line.startswith("remark") for line in lines)


def test_a_comment_marker_in_a_string_is_text() -> None:
    assert trees.body("a := '(* no *) // {x}'; b := \"/* no */\";") == [
        "assign a '(* no *) // {x}'",
        'assign b "/* no */"',
    ]


ODD = {
    "a := ;": "a := ;",
    "a := b c;": "a := b c;",
    "IF a b := 1; END_IF;": "IF a b := 1; END_IF;",
    "a = b;": "a = b;",
    "f(a;": "f(a;",
    "a := b @ c;": "a := b @ c;",
    "5 := a;": "5 := a;",
    "a + b;": "a + b;",
}


@pytest.mark.parametrize("text", ODD)
def test_what_is_not_understood_stays_and_the_rest_is_read(text: str) -> None:
    assert trees.body(f"x := 1; {text} y := 2;") == ["assign x 1", f"verbatim {ODD[text]}", "assign y 2"]


def test_an_odd_statement_in_a_structure_spoils_only_itself() -> None:
    assert trees.body("WHILE a DO b := 1; c ?? d; e := 2; END_WHILE; f := 3;") == [
        "while a {assign b 1; verbatim c ?? d;; assign e 2}",
        "assign f 3",
    ]
