"""Two bodies against each other: everything that one side alone writes, notices or remembers has to count."""

from __future__ import annotations

from functools import cache

import pytest
from msgspec.structs import replace

import asfound
from asfound.analysis.symbols import Symbols
from asfound.language.addresses import WAYS
from asfound.language.parser import parse_expression
from asfound.model.tags import Tag, TagTable
from asfound.prove.encoder import Encoder, Hidden, Unsupported
from asfound.prove.equivalence import OVERLAP, Question, constants_in, only, prove
from asfound.prove.execute import SymbolicExecutor
from asfound.prove.proof_side import Location, Run, Side, located

FRAME = """
TYPE Pair : STRUCT one : INT; two : INT; END_STRUCT; Mode : (IDLE, RUN); Level : INT (0..9); Way : REF_TO INT; END_TYPE
FUNCTION Twice : INT VAR_INPUT v : INT; END_VAR Twice := v * 2; END_FUNCTION
FUNCTION_BLOCK Valve VAR_INPUT go : BOOL; END_VAR VAR_OUTPUT q : BOOL; END_VAR VAR k : INT; END_VAR q := go; k := k + 1;
END_FUNCTION_BLOCK
FUNCTION_BLOCK Same VAR_INPUT in : INT; END_VAR VAR_OUTPUT out : INT; END_VAR out := in; END_FUNCTION_BLOCK
{}
CONFIGURATION C VAR_GLOBAL far : INT; END_VAR VAR_GLOBAL CONSTANT FIXED : INT := 5; END_VAR END_CONFIGURATION
"""
DECLARED = """a, b, c : BOOL; i, j, k : INT; r : REAL; list : ARRAY[1..3] OF INT; grid : ARRAY[0..1, 1..2] OF INT; p : Pair;
mode : Mode; lv : Level; v : Valve; s : Same; w : WORD; ref : Way; t : TON; str1 : STRING; at AT %MW2 : INT;"""


@cache
def side(code: str, more: str = "", part: str = "body", declared: str = DECLARED) -> Side:
    """A body; ``more`` holds whole VAR blocks."""
    block = f"PROGRAM P VAR {declared} END_VAR VAR_EXTERNAL far, FIXED : INT; END_VAR {more} {code} END_PROGRAM"
    symbols = Symbols(asfound.read(FRAME.format(block).encode(), "p.st"))
    pou = symbols.pous["p"]
    runs = (Run(0, pou.bodies[0].statements if pou.bodies else ()),)
    return Side(runs, symbols, pou, part=part)  # type: ignore[arg-type]


def status(old: str, new: str, more: str = "", part: str = "body") -> str:
    return Question(side(old, more, part), side(new, more, part)).proof.status


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("i := j;", "i := j; k := k;", "equal"), ("i := j;", "i := j; k := 1;", "different"), ("i := j; k := 1;", "i := j;", "different"),
        ("i := j;", "i := k;", "different"), ("far := i;", "far := j;", "different"), ("far := i; far := j;", "far := j;", "equal"),
        ("i := 1; j := i;", "j := 1; i := j;", "equal"), ("i := j; j := i;", "i := j;", "equal"), ("i := j; j := i;", "j := i;", "different"),
        ("IF a THEN i := 1; ELSE i := 2; END_IF;", "i := SEL(a, 2, 1);", "equal"),
        ("IF a THEN i := 1; END_IF;", "IF NOT a THEN ELSE i := 1; END_IF;", "equal"),
        ("IF a THEN i := 1; ELSIF b THEN i := 2; END_IF;", "IF b THEN i := 2; ELSIF a THEN i := 1; END_IF;", "different"),
        ("CASE i OF 1: j := 1; 2, 4..6: j := 2; ELSE j := 3; END_CASE;",
         "IF i = 1 THEN j := 1; ELSIF i = 2 OR (i >= 4 AND i <= 6) THEN j := 2; ELSE j := 3; END_IF;", "equal"),
        ("CASE i OF 1: j := 1; 2, 4..6: j := 2; END_CASE;",
         "IF i = 1 THEN j := 1; ELSIF i = 2 OR (i >= 4 AND i < 6) THEN j := 2; END_IF;", "different"),
        ("j := 0; FOR i := 1 TO 3 DO j := j + i; END_FOR;", "j := 6; i := 4;", "different"),
        ("IF a THEN IF b THEN RETURN; END_IF; END_IF; j := 2;", "IF NOT (a AND b) THEN j := 2; END_IF;", "equal"),
        ("IF a THEN IF b THEN RETURN; END_IF; END_IF; j := 2;", "IF NOT a THEN j := 2; END_IF;", "different"),
        ("JMP x; i := 1; x: j := 2; JMP x; x: k := 1;", "j := 2; k := 1;", "unknown"), ("IF a THEN x: j := 2; END_IF;", "IF a THEN j := 2; END_IF;", "unknown"),
        ("IF a THEN RETURN; ELSIF b THEN i := 1; END_IF; j := 2;",
         "IF NOT a THEN j := 2; IF b THEN i := 1; END_IF; END_IF;", "equal"),
        ("IF a THEN i := 1; ELSE RETURN; END_IF; j := 2;", "IF a THEN i := 1; j := 2; END_IF;", "equal"),
        ("CASE i OF 1: RETURN; 2: j := 1; END_CASE; k := 3;", "IF i <> 1 THEN k := 3; IF i = 2 THEN j := 1; END_IF; END_IF;", "equal"),
        ("FOR k := 1 TO 3 DO IF a THEN EXIT; END_IF; i := k; END_FOR; k := 0;", "IF NOT a THEN i := 3; END_IF; k := 0;", "equal"),
        ("FOR k := 1 TO 3 DO IF a THEN CONTINUE; END_IF; i := k; END_FOR; k := 0;", "IF NOT a THEN i := 3; END_IF; k := 0;", "equal"),
        ("j := 0; FOR k := 1 TO 3 DO j := j + k; END_FOR; k := 0;", "j := 6; k := 0;", "equal"),
        ("j := 0; FOR k := 5 TO 1 BY -2 DO j := j + k; END_FOR; k := 0;", "j := 9; k := 0;", "equal"),
        ("j := 0; FOR k := 5 TO 1 DO j := j + k; END_FOR; k := 0;", "j := 0; k := 0;", "equal"),
        ("j := 0; FOR k := 1 TO 5 DO IF k = 3 THEN EXIT; END_IF; j := j + k; END_FOR; k := 0;", "j := 3; k := 0;", "equal"),
        ("j := 0; FOR k := 1 TO 5 DO IF k = 3 THEN CONTINUE; END_IF; j := j + k; END_FOR; k := 0;", "j := 12; k := 0;", "equal"),
        ("j := 0; WHILE j < 4 DO j := j + 1; END_WHILE;", "j := 4;", "unknown"),
        ("j := 0; REPEAT j := j + 1; UNTIL j >= 4 END_REPEAT;", "j := 4;", "unknown"),
        ("j := 9; REPEAT j := j + 1; UNTIL j >= 4 END_REPEAT;", "j := 10;", "unknown"),
        ("i := 1; RETURN; i := 2;", "i := 1;", "equal"), ("IF a THEN RETURN; END_IF; i := 2;", "IF NOT a THEN i := 2; END_IF;", "equal"),
        ("list[1] := i; list[2] := j;", "list[2] := j; list[1] := i;", "equal"), ("list[1] := i;", "list[2] := i;", "different"),
        ("IF i >= 1 AND i <= 3 THEN list[i] := 5; END_IF;",
         "IF i = 1 THEN list[1] := 5; ELSIF i = 2 THEN list[2] := 5; ELSIF i = 3 THEN list[3] := 5; END_IF;", "equal"),
        ("list[i] := 5;", "list[i] := 5; j := j;", "unknown"),
        ("IF i >= 1 AND i <= 3 THEN j := list[i]; END_IF;", "IF i = 1 THEN j := list[1]; ELSIF i = 2 THEN j := list[2]; ELSIF i = 3 THEN j := list[3]; END_IF;", "equal"),
        ("grid[0, 1] := i; grid[1, 2] := j;", "grid[1, 2] := j; grid[0, 1] := i;", "equal"), ("list[4] := 1;", "list[4] := 1; i := i;", "unknown"),
        ("p.one := i; p.two := j;", "p.two := j; p.one := i;", "equal"), ("p.one := i;", "p.two := i;", "different"),
        ("w.0 := a; w.1 := b;", "w.1 := b; w.0 := a;", "equal"), ("w.0 := a;", "w.0 := b;", "different"), ("w.15 := TRUE;", "w := w OR 16#8000;", "equal"),
        ("w.3 := FALSE;", "w := w AND 16#FFF7;", "equal"), ("w.0 := FALSE;", "w := w AND 16#FFFE;", "equal"),
        ("mode := RUN;", "mode := Mode#RUN;", "equal"), ("mode := RUN;", "mode := IDLE;", "different"),
        ("a := mode = RUN;", "a := NOT (mode <> RUN);", "equal"), ("i := FIXED;", "i := 5;", "equal"), ("i := FIXED;", "i := 6;", "different"),
        ("i := 10 / j;", "i := 10 / j; k := k;", "equal"), ("i := 10 / j; i := 0;", "i := 0;", "unknown"), ("i := 10 / 2;", "i := 5;", "equal"),
        ("lv := 5;", "lv := 5; k := k;", "equal"), ("i := Twice(j);", "i := j * 2;", "equal"),
        ("i := Twice(j);", "i := j * 3;", "different"), ("v(go := a); b := v.q;", "v(go := a); b := a;", "equal"),
        ("v(go := a);", "v(go := a); v(go := a);", "different"), ("s(in := i); j := s.out;", "s(in := i); j := i;", "equal"),
        ("Unknown(i);", "Unknown(j);", "unknown"), ("i := Elsewhere(j);", "i := Elsewhere(k);", "different"),
        ("i := Elsewhere(j);", "i := Elsewhere(j);", "equal"), ("str1 := 'a';", "str1 := 'b';", "different"), ("str1 := 'a';", "str1 := 'a';", "equal"),
        ("t(IN := a, PT := T#1s);", "t(IN := a, PT := T#2s);", "different"), ("at := 1;", "%MW2 := 1;", "equal"), ("at := 1;", "%MW2 := 2;", "different"),
        ("%MB2 := 1; i := at;", "%MB2 := 1; i := at;", "unknown"), ("i := at; %MB2 := 1;", "%MB2 := 1; i := at;", "unknown"),
        ("k := SINT_TO_INT(INT_TO_SINT(i)); k := 0;", "k := 0;", "unknown"), ("k := REAL_TO_INT(r); k := 0;", "k := 0;", "different"),
        ("k := TRUNC(r); k := 0;", "k := 0;", "different"), ("k := BOOL_TO_INT(a); k := 0;", "k := 0;", "equal"),
        ("r := INT_TO_REAL(i); r := 0.0;", "r := 0.0;", "equal"), ("r := SQRT(r); r := 0.0;", "r := 0.0;", "different"),
        ("a := b AND NOT c;", "a := NOT (c OR NOT b);", "equal"), ("FOR i := 1 TO 999 DO j := i; END_FOR;", "j := 1;", "unknown"),
    ],
)  # fmt: skip
def test_two_bodies(old: str, new: str, expected: str) -> None:
    assert status(old, new) == expected


@pytest.mark.parametrize(
    ("old", "new", "more", "part", "expected"),
    [
        ("x := i; j := x;", "j := i;", "VAR_TEMP x : INT; END_VAR", "body", "equal"),
        ("x := i; j := x;", "j := i;", "VAR_TEMP x : INT; END_VAR", "network", "different"),
        ("j := x;", "j := 0;", "VAR_TEMP x : INT; END_VAR", "body", "unknown"),
        ("j := x;", "j := 1;", "VAR_TEMP x : INT := 1; END_VAR", "body", "unknown"),
        ("out := i;", "out := j;", "VAR_OUTPUT out : INT; END_VAR", "body", "different"),
        ("io := i;", "io := i;", "VAR_IN_OUT io : INT; END_VAR", "body", "equal"),
        ("io := i; far := j;", "far := j; io := i;", "VAR_IN_OUT io : INT; END_VAR", "body", "unknown"),
        ("i := i;", "", "VAR_IN_OUT io : INT; END_VAR", "body", "equal"),
        ("r := r ** x; r := 1.0;", "r := r ** y; r := 1.0;", "VAR x, y : REAL; END_VAR", "body", "different"),
        ("r := r ** x; r := 1.0;", "r := r ** x; r := 1.0;", "VAR x, y : REAL; END_VAR", "body", "equal"),
        ("FOR k := 1 TO n DO i := k; END_FOR;", "FOR k := 1 TO 2 DO i := k; END_FOR;",
         "VAR CONSTANT n AT %MW90 : INT := 2; END_VAR", "body", "equal"),
        ("FOR k := 1 TO n DO i := k; END_FOR;", "FOR k := 1 TO 2 DO i := k; END_FOR;",
         "VAR n AT %MW90 : INT := 2; END_VAR", "body", "unknown"),
        ("a := x[k]; a := b;", "a := b;", "VAR x : ARRAY[0..2000000000] OF BOOL; END_VAR", "body", "unknown"),
        ("a := x[k, k, k, k]; a := b;", "a := b;", "VAR x : ARRAY[0..1, 0..1, 0..1, 0..1] OF BOOL; END_VAR", "body",
         "unknown"),
    ],
)  # fmt: skip
def test_what_the_rest_of_the_program_can_see(old: str, new: str, more: str, part: str, expected: str) -> None:
    assert status(old, new, more, part) == expected


def test_a_proof_says_why_it_knows_nothing() -> None:
    table = {
        ("i := at; %MB2 := 1;", "%MB2 := 1; i := at;"): OVERLAP,
        ("list[i] := 5;", "list[i] := 5; j := j;"): "an index may leave the bounds of its array",
    }
    found = {pair: Question(side(pair[0]), side(pair[1])).proof.reason for pair in table}
    assert found == table


def test_what_nobody_can_see_is_no_difference_by_itself() -> None:
    """The value may leave the subrange on the way; what a compiler then does is its own matter."""
    old, new = side("lv := i; lv := 0;"), side("lv := 0;")
    found = prove(old, new)
    assert (found.status, found.witness) == ("unknown", None) and Question(old, new).proof.status != "equal"


def test_a_case_is_one_of_the_wanted_results() -> None:
    question = Question(side("i := 1; j := 1;"), side("i := 2; j := 2;"))
    assert question.proof.status == "different" and question.proof.witness is None
    first, second = (question.case((name,), only=True).witness for name in "ij")
    assert first is not None and (first.old["i"], first.new["i"]) == ("1", "2")
    assert second is not None and (second.old["j"], second.new["j"]) == ("1", "2")
    assert question.case(("k",), only=True).witness is None
    for whole, part in (("list", "list[1]"), ("p", "p.one")):
        assert Question(side(f"{part} := 1;"), side(f"{part} := 2;")).case((whole,), only=True).witness is not None
    any_ = question.answer().witness
    assert any_ is not None and any_.old.keys() <= {"i", "j"}
    assert Question(side("i := 1;"), side("i := 1;")).answer().status == "equal"
    assert Question(side("i := 1;"), side("i := 1;")).case().status == "equal"


PRIVATE = "VAR h : BOOL; placed AT %MX9.0 : BOOL; END_VAR VAR_OUTPUT out : BOOL; END_VAR VAR_TEMP tmp : BOOL; END_VAR "


@pytest.mark.parametrize(
    ("old", "new", "more", "expected"),
    [
        ("h := a; b := h;", "b := a;", "", {"h"}), ("tmp := a; b := tmp;", "b := a;", "", {"tmp"}), ("b := h;", "b := a;", "", set()),
        ("h := a;", "h := a;", "", set()), ("out := a; placed := a;", "b := a;", "", set()),
        ("h := a; tmp := h;", "b := a;", "", {"h", "tmp"}), ("h := a;", "b := a;", "ACTION Act : b := h; END_ACTION", set()),
    ],
)  # fmt: skip
def test_what_one_side_alone_writes_and_uses(old: str, new: str, more: str, expected: set[str]) -> None:
    def with_action(code: str, blocks: str) -> Side:
        return side(f"{code} {more}", blocks)

    assert only(with_action(old, PRIVATE), with_action(new, "")) == expected - ({"h"} if more else set())
    assert only(side(old, PRIVATE), side(new, PRIVATE)) == set()
    assert only(side(old, PRIVATE, "network"), side(new)) == set()
    assert only(Side(()), side(new)) == set() == only(side(old, PRIVATE), Side(()))


def test_a_memory_of_one_side_alone_agrees_with_an_edge() -> None:
    old = side("b := a AND NOT h; h := a;", "VAR h : BOOL; END_VAR")
    new = side("e(CLK := a); b := e.Q;", "VAR e : R_TRIG; END_VAR")
    assert prove(old, new).status == "equal"
    kept = side("b := a AND NOT h; h := a;", "VAR RETAIN h : BOOL; END_VAR")
    assert prove(kept, new).status != "equal"
    fall = side("e(CLK := a); b := e.Q;", "VAR e : F_TRIG; END_VAR")
    assert prove(old, fall).status != "equal"


def test_the_literals_of_both_pieces() -> None:
    assert constants_in(side("i := 7; a := r > 2.5;"), side("i := 7 + 3;")) == ("2.5", "3", "7")


EXECUTOR = SymbolicExecutor(
    Encoder(),
    side("i := 1;", "VAR_OUTPUT out : INT; END_VAR VAR_IN_OUT io : INT; END_VAR VAR _own : INT; END_VAR"),
    "old",
)
AT = located("%MW2", "INT", "", "INT", WAYS).key


@pytest.mark.parametrize(
    ("access", "expected"),
    [
        ("I", ("i", "INT", "local")), ("out", ("out", "INT", "output")), ("io", ("io", "INT", "in_out")),
        ("far", ("::far", "INT", "global")), ("_Own", ("_own", "INT", "local")), ("nobody", ("::nobody", "", "outside")), ("at", (AT, "INT", "located")),
        ("%MW2", (AT, "WORD", "located")), ("%QX0.3", ("%Q3+1", "BOOL", "located")), ("p.One", ("p.one", "INT", "local")),
        ("list[2]", ("list[2]", "INT", "local")), ("grid[1, 2]", ("grid[1,2]", "INT", "local")), ("v.q", ("v.q", "BOOL", "local")),
        ("v.ENO", ("v.eno", "BOOL", "local")), ("w.3", ("w", "WORD", "local")), ("t.Q", ("t.q", "BOOL", "local")),
    ],
)  # fmt: skip
def test_the_location_of_an_access(access: str, expected: tuple[str, str, str]) -> None:
    found = EXECUTOR.location(parse_expression(access))
    assert (found.key, found.type, found.kind) == expected


def test_bits_elements_and_constants_of_a_location() -> None:
    of = EXECUTOR.location
    assert (of(parse_expression("w.15")).bit, of(parse_expression("w.%X3")).bit, of(parse_expression("w")).bit) == (
        15,
        3,
        None,
    )
    assert of(parse_expression("FIXED")) == Location("::fixed", "INT", "global", "FIXED", "5")
    elements = EXECUTOR.possible_locations(parse_expression("grid[i, 1]"))
    assert [location.key for _, location in elements] == ["grid[0,1]", "grid[0,2]", "grid[1,1]", "grid[1,2]"]
    assert elements[0][1].shown == "grid[0,1]"
    assert [of(parse_expression(e)).shown for e in ("Far", "_Own")] == ["Far", "_own"]


def test_a_global_variable_behind_the_name_of_its_list() -> None:
    of = side("i := 1;")
    program = of.symbols.copy.program
    named = replace(program, globals=tuple(replace(block, name="Gvl") for block in program.globals))
    symbols = Symbols(replace(of.symbols.copy, program=named))
    executor = SymbolicExecutor(Encoder(), Side(of.runs, symbols, symbols.pous["p"]), "old")
    found = [executor.location(parse_expression(e)) for e in ("Gvl.Far", "gvl.Nobody")]
    assert [(f.key, f.shown, f.kind) for f in found] == [
        ("::far", "Far", "global"), ("?gvlnobody", "Nobody", "outside"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    "access",
    [
        "w.16",
        "w.3.1",
        "list[0]",
        "list[4]",
        "list[1, 2]",
        "p.three",
        "ref^",
        "list[i]",
        "EN",
        "eno",
        "r.3",
        "a.0",
        "nobody.3",
        "i[1]",
    ],
)
def test_an_access_that_names_no_one_location(access: str) -> None:
    with pytest.raises(Unsupported):
        EXECUTOR.location(parse_expression(access))


def test_what_may_write_its_block_stops_a_proof() -> None:
    text = FRAME.format(
        "FUNCTION_BLOCK Own VAR n : INT; END_VAR METHOD Go n := 1; END_METHOD PROPERTY Size : INT GET Size := n; END_GET "
        "END_PROPERTY END_FUNCTION_BLOCK PROGRAM P VAR o : Own; i : INT; END_VAR i := 1; END_PROGRAM"
    )
    symbols = Symbols(asfound.read(text.encode(), "p.st"))
    executor = SymbolicExecutor(Encoder(), Side((), symbols, symbols.pous["p"]), "old")
    for access in ("o.Size", "Size", "o.Go"):
        with pytest.raises(Hidden):
            executor.location(parse_expression(access))
    with pytest.raises(Unsupported, match="may be calculated"):
        executor.location(parse_expression("o.n"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("i + 1", "INT"), ("i > 1", "BOOL"), ("a AND b", "BOOL"), ("w AND 1", "WORD"), ("1 + 2", "?"), ("1 + 2.5", "?real"),
        ("GT(i, j)", "BOOL"), ("EQ(1, 2)", "BOOL"), ("ADD(i, j)", "INT"), ("ADD(1, 2)", "?"), ("ADD(1, 2.5)", "?real"), ("ADD()", ""), ("ADD(i, r)", ""),
        ("Elsewhere(i)", ""), ("w.3", "BOOL"), ("nobody", ""), ("nobody AND 1", "BOOL"), ("nobody + 1", ""), ("ABS(i)", "INT"),
        ("INT_TO_DINT(i)", "DINT"), ("list[1]", "INT"), ("p.one", "INT"), ("TRUE", "BOOL"), ("INT#5", "INT"),
    ],
)  # fmt: skip
def test_the_type_of_an_expression(text: str, expected: str) -> None:
    assert EXECUTOR.type_of(parse_expression(text)) == expected


def test_a_value_that_is_held_by_what_nobody_declares_has_the_type_of_its_term() -> None:
    executor = SymbolicExecutor(Encoder(), side("i := 1;"), "old")
    place = executor.location(parse_expression("nobody"))
    for term, type in ((executor.encoder.true, "BOOL"), (executor.encoder.number(5, 16), "")):
        executor.state[place.key] = term
        assert executor._term(place, "") == (term, type)
    with pytest.raises(Unsupported):
        executor._term(place, "DINT")


def test_a_tag_has_the_type_that_the_body_declares_for_it() -> None:
    of = side("i := 1;", "VAR_EXTERNAL tag : INT; END_VAR")
    symbols = Symbols(
        replace(of.symbols.copy, tables=(TagTable("T", (Tag("tag", "%MW2", "WORD"), Tag("other", "%MW4", "WORD"))),))
    )
    executor = SymbolicExecutor(Encoder(), Side(of.runs, symbols, symbols.pous["p"]), "old")
    found = [executor.location(parse_expression(e)) for e in ("tag", "other")]
    assert [(f.type, f.shown, f.kind) for f in found] == [
        ("INT", "tag (%MW2)", "located"),
        ("WORD", "other (%MW4)", "located"),
    ]
