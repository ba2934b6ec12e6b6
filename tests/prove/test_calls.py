"""Calls are followed into, or known by all that goes into them; what they may write must not pass unseen."""

from __future__ import annotations

from functools import cache

import pytest

import asfound
from asfound.analysis.symbols import Symbols
from asfound.prove.equivalence import Question
from asfound.prove.proof_side import Run, Side

FRAME = """
TYPE Pair : STRUCT one : INT; two : INT; END_STRUCT END_TYPE
FUNCTION Twice : INT VAR_INPUT v : INT; END_VAR Twice := v * 2; END_FUNCTION
FUNCTION Begin : INT VAR_INPUT v : INT; END_VAR VAR n : INT := 5; END_VAR n := n + v; Begin := n; END_FUNCTION
FUNCTION Part : INT VAR_INPUT v : INT; END_VAR IF v > 0 THEN Part := 1; RETURN; END_IF; Part := 2; END_FUNCTION
FUNCTION Inc : INT VAR_IN_OUT io : INT; END_VAR io := io + 1; Inc := io; END_FUNCTION
FUNCTION IncW : WORD VAR_IN_OUT io : WORD; END_VAR io := io OR 16#8; IncW := io; END_FUNCTION
FUNCTION Out2 : INT VAR_INPUT v : INT; END_VAR VAR_OUTPUT o : INT; END_VAR o := v; Out2 := 3; END_FUNCTION
FUNCTION Global1 : INT VAR_INPUT v : INT; END_VAR VAR_EXTERNAL far : INT; END_VAR far := v; Global1 := v; END_FUNCTION
FUNCTION Loops : INT VAR_INPUT v : INT; END_VAR WHILE v > 3 DO v := v - 1; END_WHILE; Loops := v; END_FUNCTION
FUNCTION_BLOCK Plus VAR_INPUT a, b : INT := 7; END_VAR VAR_OUTPUT q : INT; pos : BOOL; END_VAR VAR k : INT; END_VAR
k := a; q := a + b; pos := a > 0; END_FUNCTION_BLOCK
FUNCTION_BLOCK Ref1 VAR_IN_OUT io : INT; END_VAR VAR_INPUT v : INT; END_VAR io := v; END_FUNCTION_BLOCK
FUNCTION_BLOCK Sum1 VAR_INPUT p : Pair; END_VAR VAR_OUTPUT q : INT; END_VAR q := p.one; END_FUNCTION_BLOCK
FUNCTION_BLOCK Edged VAR_INPUT e : BOOL R_EDGE; END_VAR VAR n : INT; END_VAR n := 1; END_FUNCTION_BLOCK
FUNCTION_BLOCK Deep VAR_INPUT v : INT; END_VAR VAR i : Plus; END_VAR VAR_OUTPUT q : INT; END_VAR i(a := v, b := 1); q := i.q; END_FUNCTION_BLOCK
FUNCTION_BLOCK Whiles VAR_INPUT v : INT; END_VAR VAR_OUTPUT q : INT; END_VAR WHILE q > 3 DO q := v; END_WHILE; END_FUNCTION_BLOCK
PROGRAM P VAR a, b : BOOL; i, j, k : INT; r : REAL; w : WORD; p, p2 : Pair; pl, pl2 : Plus; re : Ref1; su : Sum1; ed : Edged; de : Deep; wh : Whiles;
f : Foreign; e : R_TRIG; fe : F_TRIG; sr : SR; rs : RS; cu : CTU; cd : CTD; t, t2 : TON; tf : TOF; list, list2 : ARRAY[1..2] OF INT; END_VAR
VAR_EXTERNAL far, FIXED : INT; END_VAR VAR_OUTPUT out : INT; END_VAR {} ACTION Act : j := i; END_ACTION END_PROGRAM
CONFIGURATION C VAR_GLOBAL far : INT; END_VAR VAR_GLOBAL CONSTANT FIXED : INT := 5; END_VAR END_CONFIGURATION
"""


@cache
def side(code: str) -> Side:
    symbols = Symbols(asfound.read(FRAME.format(code).encode(), "p.st"))
    pou = symbols.pous["p"]
    return Side((Run(0, pou.bodies[0].statements if pou.bodies else ()),), symbols, pou)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("i := Twice(v := 4);", "i := 8;", "equal"), ("i := Twice(4);", "i := 4;", "different"), ("i := Begin(2);", "i := 7;", "equal"),
        ("i := Begin(2) + Begin(2);", "i := 14;", "equal"), ("i := Part(j);", "i := SEL(j > 0, 2, 1);", "equal"), ("i := Part(j); k := 1;", "k := 1; i := Part(j);", "equal"),
        ("i := Inc(j);", "j := j + 1; i := j;", "equal"), ("i := Inc(io := j);", "i := j + 1;", "different"), ("i := Inc(j) + j;", "i := j + Inc(j);", "unknown"),
        ("Inc(j);", "j := j + 1;", "equal"), ("Out2(v := 4, o => j);", "j := 4;", "equal"), ("i := Out2(4, o => j);", "j := 4; i := 3;", "equal"),
        ("i := Global1(j);", "far := j; i := j;", "equal"), ("a := b AND Global1(j) > 0;", "a := b AND Global1(j) > 0; k := k;", "unknown"), ("i := Loops(j);", "i := Loops(j); k := k;", "unknown"),
        ("i := Twice(1, 2);", "i := 2;", "unknown"), ("i := Twice(nothing := 2);", "i := 4;", "unknown"), ("i := Inc();", "i := 1;", "unknown"),
        ("i := Inc(FIXED);", "i := 6;", "unknown"), ("i := Inc(w.3);", "i := 6;", "unknown"), ("IncW(w.3);", "IncW(w);", "unknown"), ("IncW(w);", "w.3 := TRUE;", "equal"),
        ("pl(a := i, b := j, q => k);", "pl(a := i, b := j); k := pl.q;", "equal"), ("pl(i, j); k := pl.q;", "pl(a := i, b := j); k := i + j;", "equal"),
        ("pl(a := i, b := j, q => k);", "pl(a := j, b := i, q => k);", "different"), ("pl(a := i, b := j, NOT pos => a);", "pl(a := i, b := j); a := i <= 0;", "equal"),
        ("pl(a := i, b := j, NOT q => k);", "pl(a := i, b := j); k := 0;", "unknown"), ("pl(a := i); j := pl.k;", "pl(a := i); j := i;", "equal"),
        ("pl(a := i);", "pl2(a := i);", "different"), ("pl(a := i); pl(a := j);", "pl(a := j);", "equal"), ("pl(a := i); pl(b := j);", "pl(a := i, b := j);", "equal"),
        ("pl(EN := a, a := i);", "IF a THEN pl(a := i); END_IF;", "different"), ("IF a THEN pl(a := i); END_IF;", "IF NOT a THEN ELSE pl(a := i); END_IF;", "equal"),
        ("pl(a := i); b := pl.ENO;", "pl(a := i); b := TRUE;", "equal"), ("pl(EN := a, a := i); b := pl.ENO;", "pl(EN := a, a := i); b := a;", "equal"),
        ("re(io := i, v := j);", "i := j; re(io := i, v := j);", "equal"), ("re(io := i, v := j);", "re(io := k, v := j);", "different"), ("re(v := j);", "re(v := j); k := k;", "unknown"),
        ("su(p := p); i := su.q;", "su(p := p); i := p.one;", "equal"), ("su(p := p); i := su.q;", "su(p := p); i := p.two;", "different"), ("ed(e := a);", "ed(e := a); k := k;", "unknown"),
        ("de(v := i); j := de.q;", "de(v := i); j := i + 1;", "equal"), ("de(v := i); j := de.i.a;", "de(v := i); j := i;", "equal"), ("wh(v := i);", "wh(v := i); k := k;", "unknown"),
        ("p := p2;", "p.one := p2.one; p.two := p2.two;", "equal"), ("p := p2;", "p.one := p2.one;", "different"), ("list := list2;", "list[1] := list2[1]; list[2] := list2[2];", "equal"),
        ("list := list2;", "list[1] := list2[1];", "different"), ("p := p2; p2.one := 1;", "p2.one := 1; p := p2;", "different"),
        ("Act();", "j := i;", "equal"), ("IF a THEN Act(); END_IF;", "IF a THEN j := i; END_IF;", "equal"), ("Act();", "i := j;", "different"),
        ("e(CLK := a); b := e.Q;", "b := a;", "different"), ("e(CLK := a); b := e.Q AND a;", "e(CLK := a); b := e.Q;", "equal"), ("e(CLK := a); b := e.Q;", "fe(CLK := a); b := fe.Q;", "different"),
        ("fe(CLK := a); b := fe.Q AND a;", "fe(CLK := a); b := FALSE;", "equal"), ("sr(S1 := a, R := b);", "sr(S1 := a, R := b); k := k;", "equal"),
        ("sr(S1 := a, R := TRUE); b := sr.Q1;", "sr(S1 := a, R := TRUE); b := a;", "equal"), ("rs(S := a, R1 := TRUE); b := rs.Q1;", "rs(S := a, R1 := TRUE); b := FALSE;", "equal"),
        ("sr(S1 := TRUE, R := TRUE); b := sr.Q1;", "sr(S1 := TRUE, R := TRUE); b := TRUE;", "equal"), ("cu(CU := a, R := TRUE, PV := 3); i := cu.CV;", "cu(CU := a, R := TRUE, PV := 3); i := 0;", "equal"),
        ("cd(CD := a, LD := TRUE, PV := 3); i := cd.CV;", "cd(CD := a, LD := TRUE, PV := 3); i := 3;", "equal"), ("cu(CU := FALSE, R := FALSE, PV := 3); i := cu.CV;", "i := cu.CV; cu(CU := FALSE, R := FALSE, PV := 3);", "equal"),
        ("t(IN := FALSE, PT := T#1s); b := t.Q;", "t(IN := FALSE, PT := T#1s); b := FALSE;", "equal"), ("tf(IN := TRUE, PT := T#1s); b := tf.Q;", "tf(IN := TRUE, PT := T#1s); b := TRUE;", "equal"),
        ("t(IN := a, PT := T#1s); b := t.Q;", "t(IN := a, PT := T#1s); b := t.Q AND a;", "equal"), ("t(IN := a, PT := T#1s); b := t.Q;", "t(IN := a, PT := T#1s); b := a;", "different"),
        ("t(IN := a, PT := T#1s); b := t.ET > T#0s;", "t(IN := a, PT := T#1s); b := TRUE;", "different"), ("t(IN := a, PT := T#1s); b := t.ET >= T#0s;", "t(IN := a, PT := T#1s); b := TRUE;", "unknown"),
        ("f(in := i);", "f(in := j);", "different"), ("i := ABS(j, ENO => a);", "i := ABS(j); a := TRUE;", "unknown"), ("i := ABS(j, more => k);", "i := ABS(j);", "unknown"), ("i := Else1(j); k := 1;", "k := 1; i := Else1(j);", "equal"), ("i := Else1(j); far := 1;", "far := 1; i := Else1(j);", "different"),
        ("i := Else1(j); k := Else1(j);", "i := Else1(j); k := i;", "different"), ("i := far; j := Else1(k);", "j := Else1(k); i := far;", "different"), ("i := out; j := Else1(k);", "j := Else1(k); i := out;", "equal"),
        ("i := Else1(j); k := Else2(j);", "k := Else2(j); i := Else1(j);", "different"), ("a := b AND Else1(j) > 0;", "a := Else1(j) > 0 AND b;", "unknown"),
        ("IF a THEN i := Else1(j); END_IF;", "IF a THEN i := Else1(j); END_IF; k := k;", "equal"), ("i := k; j := Else1(k);", "j := Else1(k); i := k;", "different"),
        ("FOR k := 1 TO 2 DO i := k; END_FOR; k := 0; JMP x; i := 1; x: j := 2;", "i := 2; k := 0; j := 2;", "equal"),
        ("IF a THEN i := 1; END_IF; JMP x; i := 1; x: j := 2;", "IF a THEN i := 1; END_IF; j := 2;", "equal"),
        ("i := Else1(j) + k;", "i := k + Else1(j);", "unknown"),
        ("i := Inc(j) + 10 / k;", "i := 10 / k + Inc(j);", "unknown"),
        ("i := Inc(j) + 5;", "i := 5 + Inc(j);", "equal"),
        ("JMP x; i := 1; x: j := 2;", "j := 2;", "equal"),
    ],
)  # fmt: skip
def test_a_body_with_calls(old: str, new: str, expected: str) -> None:
    assert Question(side(old), side(new)).proof.status == expected
    assert Question(side(new), side(old)).proof.status == expected


@pytest.mark.parametrize(
    ("old", "new", "inputs", "outcome", "assumed"),
    [
        ("i := 1;", "i := 2;", {}, ("i", "1", "2"), {}),
        ("a := b;", "a := NOT b;", {"b": "FALSE"}, ("a", "FALSE", "TRUE"), {}),
        ("i := j;", "i := k;", {"j": "0", "k": "1"}, ("i", "0", "1"), {}),
        ("a := j > 50;", "a := j >= 50;", {"j": "50"}, ("a", "FALSE", "TRUE"), {}),
        ("a := r > 2.5;", "a := r > 3.5;", {"r": "3.0"}, ("a", "TRUE", "FALSE"), {}),
        ("IF a AND b THEN i := 1; ELSE i := 2; END_IF;", "IF a THEN i := 1; ELSE i := 2; END_IF;", {"a": "TRUE", "b": "FALSE"}, ("i", "2", "1"), {}),
        ("i := Else1(j);", "i := 5;", {}, ("i", "0", "5"), {"Else1(j)": "0"}),
        ("p.one := j;", "p.one := 3;", {"j": "0"}, ("p.one", "0", "3"), {}),
        ("far := j; i := j;", "far := j; i := 3;", {"j": "0"}, ("i", "0", "3"), {}),
        ("IF e.Q AND a THEN i := 1; END_IF;", "IF e.Q THEN i := 1; END_IF;", {"a": "FALSE", "e.Q": "TRUE", "i": "0"}, ("i", "0", "1"), {}),
    ],
)  # fmt: skip
def test_the_plainest_case(
    old: str, new: str, inputs: dict[str, str], outcome: tuple[str, str, str], assumed: dict[str, str]
) -> None:
    witness = Question(side(old), side(new)).answer().witness
    assert witness is not None
    assert (witness.inputs, witness.assumed, witness.moment) == (inputs, assumed, "cycle")
    assert (witness.old, witness.new) == ({outcome[0]: outcome[1]}, {outcome[0]: outcome[2]})


@pytest.mark.parametrize(
    ("old", "new", "inputs", "assumed"),
    [
        ("WHILE a DO j := Else1(k); END_WHILE; i := 1;", "WHILE a DO j := Else1(k); END_WHILE; i := 2;", {}, {}),
        ("f(in := j); IF b THEN i := 1; ELSE i := 2; END_IF;", "f(in := j); i := 2;", {"b": "TRUE"}, {}),
        ("i := Loops(j); k := 1;", "i := Loops(j); k := 2;", {}, {}),
        ("i := Loops(j);", "i := 7;", {}, {"Loops(j)": "0"}),
    ],
)
def test_a_case_beside_what_cannot_be_followed(
    old: str, new: str, inputs: dict[str, str], assumed: dict[str, str]
) -> None:
    question = Question(side(old), side(new))
    assert question.proof.status != "equal"
    witness = question.answer().witness
    assert witness is not None and (witness.inputs, witness.assumed) == (inputs, assumed)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("WHILE a DO j := j + 1; END_WHILE;", "WHILE a DO j := j + 1; END_WHILE; k := k;"),
        ("f(in := i); j := f.out;", "f(in := i); j := f.out; k := k;"),
        ("i := Loops(j);", "i := Loops(j); k := k;"),
        ("f(in := i, out => j);", "f(in := i, out => j); k := k;"),
        ("Else1(j);", "Else1(k);"),
    ],
)
def test_what_cannot_be_followed_is_never_called_equal_or_different(old: str, new: str) -> None:
    assert Question(side(old), side(new)).answer().status == "unknown"


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("wh(v := i);", "wh(v := i); k := k;", "equal"), ("wh(v := i);", "wh(v := j);", "different"),
        ("wh.v := i; wh();", "wh.v := i; wh(); k := k;", "equal"), ("wh.v := i; wh();", "wh.v := j; wh();", "different"),
        ("wh.v := i; wh(v := j);", "wh.v := j; wh(v := i);", "different"), ("wh(v := i); j := wh.q;", "j := wh.q; wh(v := i);", "different"),
        ("wh(v := i); wh(v := i);", "wh(v := i);", "different"), ("i := Loops(j);", "i := Loops(j); k := k;", "equal"),
        ("i := Loops(j);", "i := Loops(k);", "different"), ("wh(i);", "wh(i); k := k;", "unknown"),
    ],
)  # fmt: skip
def test_what_is_the_same_in_both_copies_is_known_by_all_that_goes_into_it(old: str, new: str, expected: str) -> None:
    assert Question(side(old), side(new), same=frozenset(("whiles", "loops"))).proof.status == expected
