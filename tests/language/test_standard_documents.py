"""Declarations word by word. External source: IEC 61131-3:2013 tables 10 to 19, 47 to 66 and annex A, from memory."""

from __future__ import annotations

import pytest

from asfound.language.documents import parse_program
from asfound.model.program import Program

from . import trees


def read(text: str) -> Program:
    return parse_program(text, "x.st")


def variables(text: str) -> list[tuple[str, ...]]:
    """Name, section, type, address, initial value and qualifiers of the variables of one function block."""
    (pou,) = read(f"FUNCTION_BLOCK f {text} END_FUNCTION_BLOCK").pous
    return [
        (v.name, v.section, v.type, v.address, v.initial,
         " ".join(w for w in ("CONSTANT" * v.constant, v.retain, "PERSISTENT" * v.persistent, v.edge, v.access) if w))
        for v in pou.variables
    ]  # fmt: skip


SECTIONS = {
    "VAR": "local", "VAR_INPUT": "input", "VAR_OUTPUT": "output", "VAR_IN_OUT": "in_out", "VAR_TEMP": "temp",
    "VAR_EXTERNAL": "external",
}  # fmt: skip


@pytest.mark.parametrize("word", SECTIONS)
def test_sections(word: str) -> None:
    assert variables(f"{word} a : INT; END_VAR") == [("a", SECTIONS[word], "INT", "", "", "")]
    assert variables(f"{word.lower()} a : int; end_var") == [("a", SECTIONS[word], "INT", "", "", "")]


QUALIFIERS = {
    "VAR RETAIN": "retain", "VAR NON_RETAIN": "non_retain", "VAR CONSTANT": "CONSTANT", "VAR PERSISTENT": "PERSISTENT",
    "VAR RETAIN PERSISTENT": "retain PERSISTENT", "VAR PUBLIC": "PUBLIC", "VAR PRIVATE": "PRIVATE",
    "VAR PROTECTED": "PROTECTED", "VAR INTERNAL": "INTERNAL", "VAR CONSTANT PUBLIC": "CONSTANT PUBLIC",
    "VAR_OUTPUT RETAIN": "retain", "VAR_EXTERNAL CONSTANT": "CONSTANT", "VAR_INPUT CONSTANT": "CONSTANT",
}  # fmt: skip


@pytest.mark.parametrize("words", QUALIFIERS)
def test_qualifiers(words: str) -> None:
    assert [row[-1] for row in variables(f"{words} a : INT; END_VAR")] == [QUALIFIERS[words]]


DECLARATIONS = {
    "a, b, c : INT := 5;": [("a", "INT", "", "5"), ("b", "INT", "", "5"), ("c", "INT", "", "5")],
    "a AT %IX0.0 : BOOL;": [("a", "BOOL", "%IX0.0", "")],
    "a AT %Q* : BOOL;": [("a", "BOOL", "%Q*", "")],
    "AT %IW4 : INT;": [("", "INT", "%IW4", "")],
    "a : STRING[10] := 'x;y';": [("a", "STRING[10]", "", "'x;y'")],
    'a : WSTRING[10] := "x";': [("a", "WSTRING[10]", "", '"x"')],
    "a : STRING(N);": [("a", "STRING[N]", "", "")],
    "a : ARRAY[1..2, 0..N] OF INT := [1, 2, 3(0)];": [("a", "ARRAY[1..2, 0..N] OF INT", "", "[1, 2, 3(0)]")],
    "a : ARRAY[*, *] OF REAL;": [("a", "ARRAY[*, *] OF REAL", "", "")],
    "a : ARRAY[1..2] OF ARRAY[1..3] OF STRING[5];": [("a", "ARRAY[1..2] OF ARRAY[1..3] OF STRING[5]", "", "")],
    "a : INT (0..100) := 3;": [("a", "INT (0..100)", "", "3")],
    "a : (Red, Green) := Red;": [("a", "(Red, Green)", "", "Red")],
    "a : Color := Color#Red;": [("a", "Color", "", "Color#Red")],
    "a : Point := (x := 1, y := (z := 2));": [("a", "Point", "", "(x := 1, y := (z := 2))")],
    "a : ARRAY[1..2] OF Point := [(x := 1), 2((y := 3))];": [
        ("a", "ARRAY[1..2] OF Point", "", "[(x := 1), 2((y := 3))]")
    ],
    "a : TON := (PT := T#5s);": [("a", "TON", "", "(PT := T#5s)")],
    "a, b : TON;": [("a", "TON", "", ""), ("b", "TON", "", "")],
    "a : REF_TO INT := NULL;": [("a", "REF_TO INT", "", "NULL")],
    "a : REF_TO INT := REF(b);": [("a", "REF_TO INT", "", "REF(b)")],
    "a : REF_TO REF_TO Point;": [("a", "REF_TO REF_TO Point", "", "")],
    "a : REFERENCE TO INT;": [("a", "REFERENCE TO INT", "", "")],
    "a : POINTER TO INT;": [("a", "POINTER TO INT", "", "")],
    "a : ns.sub.Point;": [("a", "ns.sub.Point", "", "")],
    "__a : __b;": [("__a", "__b", "", "")],
    "a : LTIME := LTIME#5us;": [("a", "LTIME", "", "LT#5us")],
    "a : REAL := -1.5E3;": [("a", "REAL", "", "-1500.0")],
    "a : INT := N + 2 * M;": [("a", "INT", "", "N + 2 * M")],
}


@pytest.mark.parametrize("text", DECLARATIONS)
def test_declarations(text: str) -> None:
    assert [(n, t, a, i) for n, _, t, a, i, _ in variables(f"VAR {text} END_VAR")] == DECLARATIONS[text]


def test_edges() -> None:
    rows = variables("VAR_INPUT a : BOOL R_EDGE; b : BOOL F_EDGE; c : BOOL; END_VAR")
    assert [row[-1] for row in rows] == ["rising", "falling", ""]


TYPES = {
    "A : INT;": ("A", "alias", "INT", ""),
    "A : INT := 5;": ("A", "alias", "INT", "5"),
    "A : STRING[20] := 'x';": ("A", "alias", "STRING[20]", "'x'"),
    "A : REF_TO INT;": ("A", "alias", "REF_TO INT", ""),
    "A : INT (-4095..4095) := 1;": ("A", "subrange", "INT (-4095..4095)", "1"),
    "A : ARRAY[1..16] OF B := [16(1)];": ("A", "array", "ARRAY[1..16] OF B", "[16(1)]"),
    "A : ns.B := (x := 1);": ("A", "alias", "ns.B", "(x := 1)"),
}


@pytest.mark.parametrize("text", TYPES)
def test_types(text: str) -> None:
    (found,) = read(f"TYPE {text} END_TYPE").types
    assert (found.name, found.kind, found.base, found.initial) == TYPES[text]


ENUMS = {
    "A : (x, y, z);": ("", [("x", ""), ("y", ""), ("z", "")], ""),
    "A : (x, y, z) := y;": ("", [("x", ""), ("y", ""), ("z", "")], "y"),
    "A : (x := 1, y := 16#0A, z := x + 1);": ("", [("x", "1"), ("y", "16#A"), ("z", "x + 1")], ""),
    "A : INT (x := 1, y := 2) := y;": ("INT", [("x", "1"), ("y", "2")], "y"),
    "A : DWORD (x := 16#FF, y);": ("DWORD", [("x", "16#FF"), ("y", "")], ""),
    "A : (x, y) DINT := x;": ("DINT", [("x", ""), ("y", "")], "x"),
}


@pytest.mark.parametrize("text", ENUMS)
def test_enumerations(text: str) -> None:
    (found,) = read(f"TYPE {text} END_TYPE").types
    assert found.kind == "enum"
    assert (found.base, [(v.name, v.value) for v in found.values], found.initial) == ENUMS[text]


def test_structures() -> None:
    (found,) = read(
        "TYPE S : STRUCT a, b : REAL := 1.5; c : STRING[3]; d : ARRAY[1..2] OF T; e : INT (1..5); END_STRUCT; END_TYPE"
    ).types
    assert found.kind == "struct"
    assert [(m.name, m.type, m.initial, m.section) for m in found.members] == [
        ("a", "REAL", "1.5", "member"),
        ("b", "REAL", "1.5", "member"),
        ("c", "STRING[3]", "", "member"),
        ("d", "ARRAY[1..2] OF T", "", "member"),
        ("e", "INT (1..5)", "", "member"),
    ]


def test_structures_with_places() -> None:
    plain, overlap = read(
        "TYPE S : STRUCT a AT %B0 : INT; b AT %X2.3 : BOOL; END_STRUCT; "
        "T : STRUCT OVERLAP a AT %B0 : INT; b AT %B1 : BYTE; END_STRUCT; END_TYPE"
    ).types
    assert [(m.name, m.address) for m in plain.members] == [("a", "%B0"), ("b", "%X2.3")]
    assert [(m.name, m.address) for m in overlap.members] == [("a", "%B0"), ("b", "%B1")]
    assert "OVERLAP" in repr(overlap) and "OVERLAP" not in repr(plain), "OVERLAP decides what shares memory"


def test_structures_extend_and_unions() -> None:
    derived, union = read(
        "TYPE S EXTENDS B : STRUCT a : INT; END_STRUCT END_TYPE TYPE U : UNION a : INT; b : WORD; END_UNION END_TYPE"
    ).types
    assert (derived.kind, derived.base, [m.name for m in derived.members]) == ("struct", "B", ["a"])
    assert (union.kind, [m.name for m in union.members]) == ("union", ["a", "b"])


def test_several_types_in_one_block() -> None:
    found = read("TYPE A : INT; B : (x, y); C : STRUCT z : A; END_STRUCT; D : A; END_TYPE TYPE PRIVATE E : A; END_TYPE")
    assert [t.name for t in found.types] == ["A", "B", "C", "D", "E"]


CLASSES = """
USING Std.Timers, Std.Math;
NAMESPACE INTERNAL Plant.Water
USING Std;
INTERFACE IDrive EXTENDS IBase, ILog
METHOD Start : BOOL
VAR_INPUT speed : REAL; END_VAR
END_METHOD
METHOD Stop END_METHOD
END_INTERFACE
CLASS ABSTRACT Motor EXTENDS Base IMPLEMENTS IDrive, ILog
VAR PRIVATE x : INT; END_VAR
METHOD PUBLIC Start : BOOL VAR_INPUT speed : REAL; END_VAR Start := speed > 0.0; END_METHOD
METHOD PROTECTED ABSTRACT Stop END_METHOD
METHOD PRIVATE FINAL OVERRIDE Own : INT VAR a : INT; END_VAR a := SUPER.Own(); Own := a; END_METHOD
METHOD INTERNAL Inner END_METHOD
END_CLASS
CLASS FINAL Small END_CLASS
FUNCTION_BLOCK FINAL Pump EXTENDS Motor IMPLEMENTS IDrive
METHOD PUBLIC OVERRIDE Stop THIS.x := 0; END_METHOD
SUPER();
END_FUNCTION_BLOCK
END_NAMESPACE
"""


def test_classes_and_interfaces() -> None:
    found = read(CLASSES)
    assert [(u.kind, u.name, u.namespace, u.extends, u.implements, u.modifiers) for u in found.pous] == [
        ("interface", "IDrive", "Plant.Water", "IBase, ILog", (), ()),
        ("class", "Motor", "Plant.Water", "Base", ("IDrive", "ILog"), ("ABSTRACT",)),
        ("class", "Small", "Plant.Water", "", (), ("FINAL",)),
        ("function_block", "Pump", "Plant.Water", "Motor", ("IDrive",), ("FINAL",)),
    ]
    assert [(m.name, m.result, m.modifiers) for m in found.pous[1].members] == [
        ("Start", "BOOL", ("PUBLIC",)),
        ("Stop", "", ("ABSTRACT", "PROTECTED")),
        ("Own", "INT", ("FINAL", "OVERRIDE", "PRIVATE")),
        ("Inner", "", ("INTERNAL",)),
    ]
    own = found.pous[1].members[2]
    assert [trees.tree(s) for s in own.bodies[0].statements] == ["assign a SUPER.Own()", "assign Own a"]
    assert [trees.tree(s) for s in found.pous[3].bodies[0].statements] == ["call SUPER()"]
    assert sorted((e.path, e.text) for e in found.extensions) == [
        ("NAMESPACE INTERNAL", "Plant.Water"),
        ("USING", "Std"),
        ("USING", "Std.Timers, Std.Math"),
    ]


def test_namespaces_nest() -> None:
    found = read(
        "NAMESPACE A NAMESPACE B TYPE T : INT; END_TYPE FUNCTION f : INT f := 1; END_FUNCTION END_NAMESPACE "
        "FUNCTION g : INT g := 1; END_FUNCTION END_NAMESPACE FUNCTION h : INT h := 1; END_FUNCTION"
    )
    assert [(u.namespace, u.name) for u in found.pous] == [("A.B", "f"), ("A", "g"), ("", "h")]
    assert [(t.namespace, t.name) for t in found.types] == [("A.B", "T")]


def test_using_inside_a_unit_is_kept() -> None:
    one, other = (read(f"FUNCTION f : INT {using} f := 1; END_FUNCTION") for using in ("USING A.B;", "USING A.C;"))
    assert one != other
    assert [trees.tree(s) for s in one.pous[0].bodies[0].statements] == ["assign f 1"]


def test_properties() -> None:
    (unit,) = read(
        "FUNCTION_BLOCK f PROPERTY PUBLIC p : INT GET p := 1; END_GET SET x := p; END_SET END_PROPERTY END_FUNCTION_BLOCK"
    ).pous
    (found,) = unit.members
    assert (found.kind, found.name, found.result, found.modifiers) == ("property", "p", "INT", ("PUBLIC",))
    assert [(m.kind, [trees.tree(s) for s in m.bodies[0].statements]) for m in found.members] == [
        ("get", ["assign p 1"]),
        ("set", ["assign x p"]),
    ]


CONFIGURATION = """
CONFIGURATION Cell
  VAR_GLOBAL w : UINT; END_VAR
  VAR_GLOBAL CONSTANT N : INT := 5; END_VAR
  RESOURCE Station_1 ON Kind_1
    VAR_GLOBAL RETAIN z1 AT %MW0 : BYTE; END_VAR
    TASK Slow(INTERVAL := T#20ms, PRIORITY := 2);
    TASK Event(SINGLE := z1, PRIORITY := 1);
    PROGRAM P1 WITH Slow : F(x1 := %IX1.1, y1 => z1);
    PROGRAM RETAIN P2 : G(out1 => w, FB1 WITH Slow, FB2 WITH Event);
  END_RESOURCE
  RESOURCE Station_2 ON Kind_2
    TASK Slow(INTERVAL := T#10ms, PRIORITY := 2);
    PROGRAM P1 WITH Slow : F;
  END_RESOURCE
  VAR_ACCESS
    able : Station_1.%IX1.1 : BOOL READ_ONLY;
    baker : Station_1.P1.x2 : UINT READ_WRITE;
    charlie : Station_1.z1 : BYTE;
  END_VAR
  VAR_CONFIG
    Station_1.P1.count : INT := 1;
    Station_2.P1.time1 : TON := (PT := T#2.5s);
    Station_1.P1.c2 AT %QB25 : BYTE;
  END_VAR
END_CONFIGURATION
"""


def test_a_configuration() -> None:
    """Shaped like the example of the standard's clause on configuration elements."""
    found = read(CONFIGURATION)
    first, second = found.resources
    assert [(r.name, r.scope, r.type) for r in found.resources] == [
        ("Station_1", "Cell", "Kind_1"),
        ("Station_2", "Cell", "Kind_2"),
    ]
    assert [(t.name, t.interval, t.single, t.priority) for t in first.tasks] == [
        ("Slow", "T#20ms", "", "2"),
        ("Event", "", "z1", "1"),
    ]
    assert [(t.name, t.interval, t.scope) for t in second.tasks] == [("Slow", "T#10ms", "Cell/Station_2")]
    assert next((i.name, i.type, i.task) for i in first.instances) == ("P1", "F", "Slow")
    assert [i.name for i in (*first.instances, *second.instances)] == ["P1", "P2", "P1"]
    rows = [(g.scope, v.name, v.section, v.address, v.access or v.retain) for g in found.globals for v in g.variables]
    assert set(rows) == {
        ("Cell", "w", "global", "", ""),
        ("Cell", "N", "global", "", ""),
        ("Cell/Station_1", "z1", "global", "%MW0", "retain"),
        ("Cell", "able", "access", "Station_1.%IX1.1", "READ_ONLY"),
        ("Cell", "baker", "access", "Station_1.P1.x2", "READ_WRITE"),
        ("Cell", "charlie", "access", "Station_1.z1", ""),
        ("Cell", "Station_1.P1.count", "config", "", ""),
        ("Cell", "Station_2.P1.time1", "config", "", ""),
        ("Cell", "Station_1.P1.c2", "config", "%QB25", ""),
    }


EDITS = [
    ("x1 := %IX1.1", "x1 := %IX1.2"), ("y1 => z1", "y1 => w"), ("FB1 WITH Slow", "FB1 WITH Event"),
    ("PROGRAM RETAIN P2", "PROGRAM P2"), ("P1 WITH Slow : F(", "P1 : F("), ("T#20ms", "T#21ms"), ("ON Kind_1", "ON Kind_3"),
    ("SINGLE := z1", "SINGLE := w"), ("PRIORITY := 1", "PRIORITY := 3"), ("READ_ONLY", "READ_WRITE"),
    ("T#2.5s", "T#2.6s"), ("%QB25", "%QB26"), ("count : INT := 1", "count : INT := 2"), ("VAR_GLOBAL RETAIN", "VAR_GLOBAL"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new"), EDITS)
def test_an_edit_of_a_configuration_is_seen(old: str, new: str) -> None:
    changed = CONFIGURATION.replace(old, new, 1)
    assert changed != CONFIGURATION
    assert read(changed) != read(CONFIGURATION)


def test_a_configuration_without_resources() -> None:
    found = read("CONFIGURATION c TASK t(PRIORITY := 1); PROGRAM p WITH t : q; END_CONFIGURATION")
    (resource,) = found.resources
    assert [i.name for i in resource.instances] == ["p"]


def test_several_units_in_one_file() -> None:
    found = read(
        "PROGRAM a x := 1; END_PROGRAM\nFUNCTION b : INT b := 1; END_FUNCTION FUNCTION c VAR_OUTPUT o : INT; END_VAR "
        "o := 1; END_FUNCTION FUNCTION_BLOCK d END_FUNCTION_BLOCK"
    )
    assert [(u.kind, u.name, u.result) for u in found.pous] == [
        ("program", "a", ""), ("function", "b", "INT"), ("function", "c", ""), ("function_block", "d", ""),
    ]  # fmt: skip


def test_actions_and_pragmas() -> None:
    (unit,) = read(
        "{attribute 'a' := 'b'}\nFUNCTION_BLOCK f\nVAR\n{attribute 'hide'}\na : INT; (* level *)\nb : INT; // count\nEND_VAR\n"
        "Fill();\nACTION Fill: a := 1; END_ACTION\nACTION Drain:\na := 0;\nEND_ACTION\nEND_FUNCTION_BLOCK"
    ).pous
    assert unit.pragmas == ("{attribute 'a' := 'b'}",)
    assert [(v.name, v.pragmas, v.comment) for v in unit.variables] == [
        ("a", ("{attribute 'hide'}",), "level"),
        ("b", (), "count"),
    ]
    assert [(a.name, [trees.tree(s) for s in a.body.statements]) for a in unit.actions] == [
        ("Fill", ["assign a 1"]),
        ("Drain", ["assign a 0"]),
    ]


def test_an_instruction_list_in_a_unit() -> None:
    (unit,) = read("PROGRAM p VAR a, b : BOOL; END_VAR LD a\nAND b\nST a\nEND_PROGRAM").pous
    assert unit.bodies[0].language == "IL"
    assert [trees.tree(s) for s in unit.bodies[0].statements] == ["assign a (AND a b)"]


def test_an_odd_statement_does_not_refuse_the_file() -> None:
    (unit,) = read("PROGRAM p VAR a : INT; END_VAR a := 1; what is this; a := 2; END_PROGRAM").pous
    assert [trees.tree(s) for s in unit.bodies[0].statements] == ["assign a 1", "verbatim what is this;", "assign a 2"]
