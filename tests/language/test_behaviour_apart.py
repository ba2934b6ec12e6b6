"""Two texts that do different things are never read as the same; two that only look different are."""

from __future__ import annotations

import re
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.compare.comparison import compare
from asfound.language.documents import parse_program
from asfound.language.tokens import tokens
from asfound.readers.iec_text import READER


def read(text: str):
    return READER.read(text.encode(), "x.st")


def verdict(old: str, new: str) -> str:
    return compare(read(old), read(new)).verdict


def body(text: str, declarations: str = "VAR a, b, c, d, q, r : BOOL; i, j, k : INT; s : STRING; END_VAR") -> str:
    return f"PROGRAM p {declarations}\n{text}\nEND_PROGRAM\n"


BODIES = {
    "precedence of NOT": ("q := NOT a AND b;", "q := NOT (a AND b);"),
    "precedence of a power": ("i := -j ** 2;", "i := -(j ** 2);"),
    "powers from the left": ("i := j ** k ** 2;", "i := j ** (k ** 2);"),
    "a comment that ends too early": ("(* a (* b *) q := a; (* *)", "(* a (* b  q := a; (* *)"),
    "a closed comment revives code": ("(* q := a;\nq := b; *)", "(* q := a; *)\nq := b; (* *)"),
    "a line comment takes code along": ("// old\nq := a;", "// old q := a;"),
    "a line comment ends at a carriage return": ("// old\rq := a;", "// old\rq := b;"),
    "a string in another case": ("s := 'on';", "s := 'On';"),
    "blanks in a string": ("s := 'a  b';", "s := 'a b';"),
    "a comment mark in a string": ("s := '(* x *)';", "s := '(* y *)';"),
    "wide and narrow strings": ("s := 'a';", 's := "a";'),
    "latch or assignment": ("q S= a;", "q := a;"),
    "latch or comparison": ("q := S=a;", "q := R=a;"),
    "reference or value": ("i REF= j;", "i := j;"),
    "attempt or value": ("i ?= j;", "i := j;"),
    "reference or attempt": ("i REF= j;", "i ?= j;"),
    "reference or value of a function": ("i REF= j;", "i := REF(j);"),
    "reference or inline code": ("i REF= j;", "{reference} i := j;"),
    "attempt or inline code": ("i ?= j;", "{attempt} i := j;"),
    "negated output": ("f(x := a, NOT y => q);", "f(x := a, y => q);"),
    "output or input": ("f(x := a);", "f(x => a);"),
    "order of positional arguments": ("f(a, b);", "f(b, a);"),
    "inline code": ("{set(1)}", "{set(2)}"),
    "inline code before and after": ("{x} q := a;", "q := a; {x}"),
    "inline code in another branch": ("IF a {x} THEN q := b; END_IF", "IF a THEN {x} q := b; END_IF"),
    "else of which IF": ("IF a THEN IF b THEN q := c; END_IF ELSE r := c; END_IF", "IF a THEN IF b THEN q := c; ELSE r := c; END_IF END_IF"),
    "inside or behind the loop": ("WHILE a DO q := b; r := c; END_WHILE", "WHILE a DO q := b; END_WHILE r := c;"),
    "exit or continue": ("WHILE a DO EXIT; END_WHILE", "WHILE a DO CONTINUE; END_WHILE"),
    "range or list": ("CASE i OF 1..3: q := a; END_CASE", "CASE i OF 1, 3: q := a; END_CASE"),
    "arm or value behind": ("CASE i OF 1: q := a; 2: r := a; END_CASE", "CASE i OF 1: q := a; END_CASE"),
    "an empty arm": ("CASE i OF 1: ; ELSE q := a; END_CASE", "CASE i OF 2: ; ELSE q := a; END_CASE"),
    "step of a loop": ("FOR i := 1 TO 9 DO q := a; END_FOR", "FOR i := 1 TO 9 BY 2 DO q := a; END_FOR"),
    "bit or element": ("i := j.1;", "i := j.2;"),
    "partial access of another width": ("i := j.%B0;", "i := j.%X0;"),
    "dereferenced or not": ("i := j^;", "i := j;"),
    "text that nobody understands": ("q ?? a;", "q ?? b;"),
    "a method of another instance": ("THIS^.m();", "SUPER^.m();"),
    "typed literals that overflow elsewhere": ("i := INT#32767 + INT#1;", "i := DINT#32767 + DINT#1;"),
    "a long s is no letter of a keyword": ("q := a \u017f= b;", "q S= b;"),
    "a dotless i is no I": ("\u0131F(a);", "IF(a) THEN END_IF;"),
    "digits of another script": ("i := \u0663;", "i := 3;"),
    "minutes or milliseconds": ("f(PT := T#5m);", "f(PT := T#5ms);"),
    "a label moved": ("x: q := a; IF b THEN JMP x; END_IF", "q := a; x: IF b THEN JMP x; END_IF"),
    "instructions have no precedence": ("LD a\nOR b\nAND c\nST q", "LD b\nAND c\nOR a\nST q"),
    "a list within parentheses": ("LD a\nAND( b\nOR c\nAND d\n)\nST q", "LD c\nAND d\nOR b\nAND a\nST q"),
    "set or store": ("LD a\nS q", "LD a\nST q"),
    "jump on the other value": ("LD a\nJMPC x\nLD b\nST q\nx:", "LD a\nJMPCN x\nLD b\nST q\nx:"),
}  # fmt: skip


@pytest.mark.parametrize("name", BODIES)
def test_bodies_that_do_different_things(name: str) -> None:
    old, new = (body(text) for text in BODIES[name])
    assert verdict(old, new) in ("behaviour", "undecided")


FILES = {
    "static or temporary in a method": (
        "FUNCTION_BLOCK f METHOD m VAR_INST x : INT; END_VAR x := x + 1; END_METHOD END_FUNCTION_BLOCK",
        "FUNCTION_BLOCK f METHOD m VAR x : INT; END_VAR x := x + 1; END_METHOD END_FUNCTION_BLOCK",
    ),
    "static or temporary in a function": (
        "FUNCTION f : INT VAR_STAT x : INT; END_VAR f := x; END_FUNCTION",
        "FUNCTION f : INT VAR x : INT; END_VAR f := x; END_FUNCTION",
    ),
    "a pragma of the next variable": (
        "PROGRAM p VAR a : INT; {attribute 'x'} b : INT; END_VAR END_PROGRAM",
        "PROGRAM p VAR {attribute 'x'} a : INT; b : INT; END_VAR END_PROGRAM",
    ),
    "type of a result": ("FUNCTION f : INT f := 1; END_FUNCTION", "FUNCTION f : SINT f := 1; END_FUNCTION"),
    "body behind a result": ("FUNCTION f : INT f := 1; END_FUNCTION", "FUNCTION f : INT f := 2; END_FUNCTION"),
    "parent": ("CLASS c EXTENDS a END_CLASS", "CLASS c EXTENDS b END_CLASS"),
    "interface": ("CLASS c IMPLEMENTS a, b END_CLASS", "CLASS c IMPLEMENTS a END_CLASS"),
    "overlapping members": (
        "TYPE t : STRUCT OVERLAP a AT %B0 : INT; b AT %B0 : INT; END_STRUCT END_TYPE",
        "TYPE t : STRUCT a AT %B0 : INT; b AT %B0 : INT; END_STRUCT END_TYPE",
    ),
    "place in a structure": (
        "TYPE t : STRUCT a AT %B0 : INT; END_STRUCT END_TYPE",
        "TYPE t : STRUCT a AT %B2 : INT; END_STRUCT END_TYPE",
    ),
    "value of an enumeration": ("TYPE t : (a := 1, b); END_TYPE", "TYPE t : (a := 2, b); END_TYPE"),
    "type of an enumeration": ("TYPE t : INT (a, b); END_TYPE", "TYPE t : SINT (a, b); END_TYPE"),
    "order of an enumeration": ("TYPE t : (a, b); END_TYPE", "TYPE t : (b, a); END_TYPE"),
    "initial value of a type": ("TYPE t : INT := 1; END_TYPE", "TYPE t : INT := 2; END_TYPE"),
    "range": ("TYPE t : INT (0..9); END_TYPE", "TYPE t : INT (0..8); END_TYPE"),
    "order of inputs": (
        "FUNCTION f : INT VAR_INPUT a, b : INT; END_VAR f := a - b; END_FUNCTION",
        "FUNCTION f : INT VAR_INPUT b, a : INT; END_VAR f := a - b; END_FUNCTION",
    ),
    "text outside all declarations": ("PROGRAM p END_PROGRAM one", "PROGRAM p END_PROGRAM two"),
}


@pytest.mark.parametrize("name", FILES)
def test_files_that_mean_different_things(name: str) -> None:
    assert verdict(*FILES[name]) in ("behaviour", "undecided")


ALIKE = {
    "case": ("if A then Q := B; end_if", "IF a THEN q := b; END_IF"),
    "layout": ("q:=a\tAND\r\n b;", "q := a AND b;"),
    "optional semicolons": ("IF a THEN q := b; END_IF; ;", "IF a THEN q := b END_IF"),
    "spelling of literals": ("i := 16#0F; f(PT := TIME#1500ms);", "i := 16#f; f(PT := t#1s500ms);"),
    "ampersand": ("q := a & b;", "q := a AND b;"),
    "parentheses of no meaning": ("q := (a) AND (b OR (c));", "q := a AND (b OR c);"),
    "unconnected pins": ("f(x := a, Q => );", "f(x := a);"),
}


@pytest.mark.parametrize("name", ALIKE)
def test_bodies_that_only_look_different(name: str) -> None:
    old, new = (body(text) for text in ALIKE[name])
    assert verdict(old, new) in ("identical", "noise", "documentation")


PROGRAM = """
TYPE Kind : (Off, Slow := 5, Fast) := Slow; Row : ARRAY[1..4] OF INT := [4(1)]; END_TYPE
FUNCTION Scale : REAL VAR_INPUT x : INT; y : REAL := 1.5; END_VAR Scale := INT_TO_REAL(x) * y; END_FUNCTION
FUNCTION_BLOCK Pump EXTENDS Base
VAR_INPUT Start, Stop : BOOL; Level AT %IW4 : INT (0..100) := 50; END_VAR
VAR RETAIN t1 : TON := (PT := T#5s); n : Row; m : STRING[8] := 'on'; END_VAR
METHOD PUBLIC Run : BOOL VAR_INPUT z : INT; END_VAR Run := z > 3; END_METHOD
IF Start AND NOT Stop THEN t1(IN := Level > 80, PT := T#3s, Q => Ready); ELSIF n[2] = 1 THEN m := 'off'; ELSE EXIT; END_IF;
CASE n[1] OF 1, 3..5: Out := 2 ** 3 - 1; Kind#Fast: Out := -4; ELSE Out := Scale(7, y := 0.5); END_CASE;
FOR i := 1 TO 9 BY 2 DO Sum := Sum + n[i].%X3; END_FOR;
WHILE a OR b XOR c DO p^ := THIS^.Run(8); END_WHILE;
REPEAT q S= d; r R= e; UNTIL f <= 6 END_REPEAT;
END_FUNCTION_BLOCK
CONFIGURATION Cell VAR_GLOBAL CONSTANT G : INT := 9; END_VAR
RESOURCE Cpu ON PLC TASK Fast(INTERVAL := T#20ms, PRIORITY := 1); PROGRAM Main WITH Fast : Pump; END_RESOURCE
END_CONFIGURATION
"""
FILLER = ["zz", "77", "T#9s", "'z'", "+", "AND", "(", ";", ":=", "%QX7.7", "RETAIN"]


def of_no_meaning(kind: str, word: str, following: str) -> bool:
    """A ``;`` more or less between statements, ``AT`` before an address, a second ``RETAIN``, a second plus sign."""
    if kind == "swapped" and following == ";":
        return word.startswith("END_") or word == "EXIT"
    return word in (";", "AT") or (kind == "doubled" and word in ("RETAIN", "CONSTANT", "+"))


@pytest.mark.parametrize("seed", range(4))
def test_every_change_of_one_token_is_seen(seed: int) -> None:
    """Removed, doubled, replaced, swapped with the next: another model or a refusal, never the same model."""
    random = Random(seed)
    base = parse_program(PROGRAM, "x.st")
    found = list(tokens(PROGRAM))
    unseen = []
    for index in range(seed, len(found), 4):
        token = found[index]
        following = found[index + 1] if index + 1 < len(found) else token
        edits = {
            "removed": PROGRAM[: token.start] + " " + PROGRAM[token.end :],
            "doubled": PROGRAM[: token.end] + " " + PROGRAM[token.start :],
            "replaced": PROGRAM[: token.start] + f" {random.choice(FILLER)} " + PROGRAM[token.end :],
            "swapped": f"{PROGRAM[: token.start]} {following.text} {token.text} {PROGRAM[following.end :]}",
        }
        for kind, text in edits.items():
            if [t.word for t in tokens(text)] == [t.word for t in found] or of_no_meaning(
                kind, token.text, following.text
            ):
                continue
            try:
                if parse_program(text, "x.st") == base:
                    unseen.append((kind, token.text, PROGRAM[max(0, token.start - 20) : token.end + 20]))
            except Exception as problem:
                assert type(problem).__name__ == "Problem", problem
    assert unseen == []


@settings(max_examples=60)
@given(st.randoms(use_true_random=False))
def test_case_and_layout_of_a_whole_program_do_not_matter(random: Random) -> None:
    parts = [random.choice(["\n", "\r\n", "\t ", "  "]) + _cased(t.text, random) for t in tokens(PROGRAM)]
    old, new = read(PROGRAM), read("".join(parts))
    assert compare(old, new).verdict in ("identical", "noise", "documentation")


def _cased(text: str, random: Random) -> str:
    return text if text[0] in "'\"" else random.choice([str.upper, str.lower, str])(text)


def test_the_program_is_understood() -> None:
    assert not re.search("Verbatim|Unparsed", repr(parse_program(PROGRAM, "x.st")))
