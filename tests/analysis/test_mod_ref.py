"""What a statement reads and writes with all that it calls: missing names let statements pass each other wrongly."""

from __future__ import annotations

import pytest

import asfound
from asfound.analysis.mod_ref import POINTED, UNSEEN, Access, ModRef, called, qualified, spelled, steers
from asfound.analysis.symbols import Symbols
from asfound.language.parser import parse_expression, parse_statements
from asfound.model.logic import Verbatim

TEXT = """
TYPE Pair : STRUCT one : INT; two : INT; END_STRUCT END_TYPE
INTERFACE Moves METHOD Go END_METHOD END_INTERFACE
FUNCTION Plain : INT VAR_INPUT v : INT; END_VAR Plain := v; END_FUNCTION
FUNCTION Counts : INT VAR_INPUT v : INT; END_VAR VAR_EXTERNAL hits : INT; END_VAR hits := hits + v; Counts := v;
END_FUNCTION
FUNCTION Looks : INT VAR_INPUT v : INT; END_VAR VAR_EXTERNAL hits : INT; END_VAR Looks := hits; END_FUNCTION
FUNCTION Again : INT VAR_INPUT v : INT; END_VAR IF v > 0 THEN Again := Ring(v := v - 1) + Counts(v := 1); END_IF;
END_FUNCTION
FUNCTION Ring : INT VAR_INPUT v : INT; END_VAR Ring := Again(v); END_FUNCTION
FUNCTION Inc : INT VAR_IN_OUT io : INT; END_VAR io := io + 1; END_FUNCTION
FUNCTION Follows : INT VAR_INPUT r : REF_TO INT; END_VAR Follows := r^; END_FUNCTION
FUNCTION_BLOCK Base VAR_EXTERNAL low : INT; END_VAR VAR b : INT; END_VAR b := low; END_FUNCTION_BLOCK
FUNCTION_BLOCK Cyl EXTENDS Base
VAR_INPUT go : BOOL; END_VAR VAR_IN_OUT n : INT; END_VAR VAR_OUTPUT q : BOOL; END_VAR
VAR_EXTERNAL total, hits, lamp : INT; END_VAR VAR k, s : INT; r : REF_TO Cyl; END_VAR
IF lamp > 1 THEN total := k; END_IF;
METHOD Bump s := s + hits; END_METHOD
PROPERTY Size : INT GET k := 3; Size := k; END_GET END_PROPERTY
ACTION Up : k := lamp; END_ACTION
END_FUNCTION_BLOCK
FUNCTION_BLOCK Stray EXTENDS Nowhere VAR s : INT; END_VAR s := 1; END_FUNCTION_BLOCK
FUNCTION_BLOCK Self VAR s, t : INT; END_VAR
s := THIS^.t; METHOD Both THIS^.Other(); END_METHOD METHOD Other t := s; END_METHOD END_FUNCTION_BLOCK
PROGRAM P
VAR x, y, z, i : INT; a : ARRAY[1..3] OF INT; c : Cyl; p : Pair; m : Moves; foreign : Foreign; st : Stray; sf : Self;
on : BOOL; ptr : REF_TO INT; sub : INT; END_VAR
VAR_EXTERNAL hits, total : INT; END_VAR
x := Unknown(y); z := ADR(i); y := ADR(a[1]);
ACTION Act : sub := y; END_ACTION
END_PROGRAM
CONFIGURATION C VAR_GLOBAL hits, total, low, lamp : INT; END_VAR END_CONFIGURATION
"""
SYMBOLS = Symbols(asfound.read(TEXT.encode(), "p.st"))
POUS = SYMBOLS.pous
MOD_REF = ModRef(SYMBOLS)


def words(names: frozenset[str]) -> str:
    return " ".join(sorted(names))


def seen(code: str, pou: str = "p") -> tuple[str, str, str]:
    (statement,) = parse_statements(code)
    return _told(MOD_REF.access(statement, SYMBOLS.locals_of(POUS[pou]), POUS[pou]))


def _told(found: Access) -> tuple[str, str, str]:
    return words(found.reads), words(found.writes), words(found.maybe)


@pytest.mark.parametrize(
    ("code", "reads", "writes", "maybe"),
    [
        ("x := y + Z;", "y z", "x", ""),
        ("a[i] := y;", "i y", "a", ""),
        ("p.one := p.two;", "p", "p", ""),
        ("IF on THEN x := y; ELSE z := i; END_IF;", "i on y", "x z", ""),
        ("x := Plain(y);", "y", "x", ""),
        ("x := Plain(v := y);", "y", "x", ""),
        ("x := Counts(y);", "hits y", "hits x", ""),
        ("x := Looks(y);", "hits y", "x", ""),
        ("x := Again(y);", "hits y", "hits x", ""),
        ("x := Inc(y);", "y", "x y", ""),
        ("Inc(io := a[i]);", "a i inc", "a inc", ""),
        ("x := Follows(ptr);", f"{POINTED} ptr", f"{POINTED} x", "ptr"),
        ("x := Elsewhere(y);", f"{UNSEEN} y", f"{UNSEEN} x", "y"),
        ("C.C.hits := y;", "y", "c", ""),
        ("x := LIMIT(y, z, i);", "i y z", "x", ""),
        ("Act();", "act y", "act sub", ""),
        ("m.Go();", f"{UNSEEN} m", f"{UNSEEN} m", ""),
        ("foreign(in := y);", f"{UNSEEN} foreign y", f"{UNSEEN} foreign", "y"),
        ("foreign.Do();", f"{UNSEEN} foreign", f"{UNSEEN} foreign", ""),
        ("st();", f"{UNSEEN} st", f"{UNSEEN} st", ""),
    ],
)
def test_what_a_statement_touches(code: str, reads: str, writes: str, maybe: str) -> None:
    assert seen(code) == (reads, writes, maybe)


def test_a_block_touches_what_its_body_its_members_and_its_base_touch() -> None:
    everything = ("c hits lamp low", "c total", "")
    assert seen("c(go := TRUE);") == everything
    assert seen("c.Bump();") == everything
    assert seen("c.Up();") == everything
    assert seen("c(go := TRUE, n := x, q => on);") == ("c hits lamp low x", "c on total x", "")
    assert seen("x := c.Size;") == ("c hits lamp low", "c total x", "")


@pytest.mark.parametrize(
    ("code", "pou", "expected"),
    [
        ("Bump();", "cyl", ("bump hits s", "bump s", "")),
        ("THIS^.Bump();", "cyl", ("hits s this", "s this", "")),
        ("Up();", "cyl", ("lamp up", "k up", "")),
        ("x := Size;", "cyl", ("k size", "k size x", "")),
        ("Both();", "self", ("both s this", "both t this", "")),
        ("s := 1;", "self", ("", "s", "")),
    ],
)
def test_an_own_action_or_method_touches_what_stands_in_it(code: str, pou: str, expected: tuple[str, str, str]) -> None:
    assert seen(code, pou) == expected


@pytest.mark.parametrize(
    ("pou", "expected"),
    [
        ("plain", ("", "", "")), ("counts", ("hits", "hits", "")), ("again", ("hits", "hits", "")),
        ("base", ("low", "", "")), ("cyl", ("hits lamp low", "total", "")), ("stray", ("?", "?", "")),
        ("follows", ("^", "^", "")), ("nobody", ("", "", "")),
    ],
)  # fmt: skip
def test_what_a_pou_touches_outside_of_itself(pou: str, expected: tuple[str, str, str]) -> None:
    assert _told(ModRef(SYMBOLS).summary(pou)) == expected


def test_two_accesses_together_and_one_without_names() -> None:
    one, other = Access(frozenset("a"), frozenset("b"), frozenset("c")), Access(*map(frozenset, "def"))
    assert one | other == Access(frozenset("ad"), frozenset("be"), frozenset("cf"))
    assert (one | other).without(frozenset("aec")) == Access(frozenset("d"), frozenset("b"), frozenset("f"))
    assert Access() == (frozenset(), frozenset(), frozenset())


def test_what_goes_where_nobody_sees_is_exposed() -> None:
    """The address of one is taken, the other is given to a function that is not in the export."""
    assert words(MOD_REF.exposed(POUS["p"])) == "a i y"
    assert MOD_REF.exposed(POUS["p"]) is MOD_REF.exposed(POUS["p"])
    assert words(MOD_REF.exposed(POUS["cyl"])) == ""


def test_functions_that_write_outside_are_counted() -> None:
    found = MOD_REF.effects(parse_statements("x := Counts(1) + Counts(2) + Looks(3); y := Plain(1) + Again(2);"))
    assert dict(found) == {"counts": 2, "again": 1}


LISTED = Symbols(
    asfound.read(
        b"""<project xmlns="http://www.plcopen.org/xml/tc6_0201"><fileHeader companyName="c" productName="p"
        productVersion="1" creationDateTime="2020-01-01T00:00:00"/><contentHeader name="n"><coordinateInfo>
        <fbd><scaling x="1" y="1"/></fbd><ld><scaling x="1" y="1"/></ld><sfc><scaling x="1" y="1"/></sfc>
        </coordinateInfo></contentHeader><types><dataTypes/><pous/></types><instances><configurations>
        <configuration name="Cfg"><resource name="R"><globalVars name="Gvl"><variable name="Far"><type><INT/></type>
        </variable></globalVars></resource></configuration></configurations></instances></project>""",
        "p.xml",
    )
)


@pytest.mark.parametrize(
    ("code", "local", "expected"),
    [
        ("Gvl.Far := Gvl.Far + y;", {}, ("far y", "far", "")),
        ("x := Gvl.Far;", {}, ("far", "x", "")),
        ("x := y;", {}, ("y", "x", "")),
        ("Gvl.Far := gvl.far;", {"gvl": "Pair"}, ("gvl", "gvl", "")),
    ],
)
def test_a_name_of_a_list_is_the_name_in_it(code: str, local: dict[str, str], expected: tuple[str, str, str]) -> None:
    (statement,) = parse_statements(code)
    assert _told(ModRef(LISTED).access(statement, local)) == expected


def test_what_is_written_where_no_list_is_declared() -> None:
    plain = ModRef(Symbols(asfound.read(b"PROGRAM P VAR x, y : INT; END_VAR x := y; END_PROGRAM", "p.st")))
    (statement,) = parse_statements("x := y;")
    assert _told(plain.access(statement, {})) == ("y", "x", "")


def test_text_that_nobody_understood_counts_as_read_and_written() -> None:
    for symbols in (SYMBOLS, LISTED):
        assert _told(ModRef(symbols).access(Verbatim("?? X"), {})) == ("?? x", "?? x", "")


def test_a_call_that_no_pou_surrounds() -> None:
    (own, through) = parse_statements("Act(); THIS^.Up();")
    assert _told(ModRef(SYMBOLS).access(own, {})) == (f"{UNSEEN} act", f"{UNSEEN} act", "")
    assert _told(ModRef(SYMBOLS).access(through, {})) == (f"{UNSEEN} this", f"{UNSEEN} this", "")


def test_a_method_reached_through_a_reference_touches_its_instance() -> None:
    assert seen("r^.Bump();", "cyl") == ("hits lamp low r", "r total", "")


def test_the_variable_that_an_access_belongs_to() -> None:
    listed = ModRef(LISTED)
    table = {"Gvl.Far": "far", "Gvl.Far[2]": "far", "x.Far": "x", "Gvl": "gvl", "%QX0.0": "%QX0.0"}
    assert {access: listed.root(parse_expression(access), {}) for access in table} == table
    assert listed.root(parse_expression("Gvl.Far"), {"gvl": "Pair"}) == "gvl"
    names = qualified(parse_expression("Gvl.Far + x.Near + Gvl.Other"), frozenset({"gvl"}))
    assert list(names) == ["far", "other"]


def test_what_is_called_is_known_by_its_type_or_its_name() -> None:
    local = SYMBOLS.locals_of(POUS["p"])
    (statement,) = parse_statements("IF on THEN c(go := Plain(1) > 0); Act(); END_IF;")
    assert list(called(statement, SYMBOLS, local)) == ["cyl", "act", "plain"]
    assert [spelled(parse_expression(e)) for e in ("a", "a.b", "a[1]")] == ["a", "b", ""]


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("x := 1; (* said *) c(); IF on THEN x := 2; END_IF;", False),
        ("CASE x OF 1: y := 1; END_CASE; FOR i := 1 TO 2 DO x := i; END_FOR; WHILE on DO x := 1; END_WHILE;", False),
        ("REPEAT x := 1; UNTIL on END_REPEAT;", False),
        ("x := 1; RETURN;", True),
        ("IF on THEN RETURN; END_IF;", True),
        ("FOR i := 1 TO 2 DO EXIT; END_FOR;", True),
    ],
)
def test_a_jump_makes_order_matter(code: str, expected: bool) -> None:
    assert steers(parse_statements(code)) is expected
