"""Renames and other scopes applied: renames with the scopes of the standard: what follows a name is renamed, and what only looks like it is not."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

import asfound
from asfound.compare.renames.apply import Names, path_name, renamed_copy
from asfound.compare.renames.find import renaming
from asfound.model.copy import Copy
from asfound.model.hardware import Channel, Device, Hardware, Module
from asfound.model.logic import Assign, Unparsed, Variable, Verbatim
from asfound.model.program import Body, Chart, Extension, Heading, Network, Pou, Program, Setting, Step
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

A, B = {"a": "X"}, {"b": "Y"}
F = "FUNCTION_BLOCK F VAR_INPUT a : INT; END_VAR VAR b : INT; END_VAR {} b := a; END_FUNCTION_BLOCK "
FX = F.replace("a :", "X :").replace(":= a", ":= X")
S = "TYPE S : STRUCT a, b : INT; END_STRUCT END_TYPE "
SX = S.replace("a,", "X,")
M = "TYPE M : (a, b); END_TYPE "
MX = M.replace("a,", "X,")


def p(variables: str, code: str, name: str = "P") -> str:
    return f"PROGRAM {name} VAR o : INT; {variables} END_VAR {code} END_PROGRAM "


def g(variables: str) -> str:
    return f"CONFIGURATION C VAR_GLOBAL {variables} END_VAR END_CONFIGURATION "


ROWS: dict[str, tuple[Names, str, str]] = {
    "a global variable, everywhere": (
        Names(globals=A), g("a : INT; k : INT;") + p("", "o := A + k; a := o;"),
        g("X : INT; k : INT;") + p("", "o := X + k; X := o;"),
    ),
    "a global variable under its list": (
        Names(globals=A), g("a : INT;") + p("", "o := C.a;"), g("X : INT;") + p("", "o := C.X;"),
    ),
    "a list": (
        Names(lists={"c": "D"}, scopes={"c": "D"}), g("a : INT;") + p("", "o := C.a;"),
        g("a : INT;").replace("CONFIGURATION C", "CONFIGURATION D") + p("", "o := D.a;"),
    ),
    "a global variable, not the local one that hides it": (
        Names(globals=A), g("a : INT;") + p("a : INT;", "o := a;"), g("X : INT;") + p("a : INT;", "o := a;"),
    ),
    "a global variable, declared as external": (
        Names(globals=A), g("a : INT;") + p("END_VAR VAR_EXTERNAL a : INT; END_VAR VAR", "o := a;"),
        g("X : INT;") + p("END_VAR VAR_EXTERNAL X : INT; END_VAR VAR", "o := X;"),
    ),
    "a global variable, not where its new name is taken": (
        Names(globals=A), g("a : INT;") + p("X : INT;", "o := a;"), g("X : INT;") + p("X : INT;", "o := a;"),
    ),
    "a constant in a bound and in an initial value": (
        Names(globals=A), g("a : INT; l : ARRAY[0..a] OF INT; v : INT := a;") + p("f : ARRAY[1..a] OF INT := [a];", ""),
        g("X : INT; l : ARRAY[0..X] OF INT; v : INT := X;") + p("f : ARRAY[1..X] OF INT := [X];", ""),
    ),
    "a constant in a type": (
        Names(globals=A), g("a : INT;") + "TYPE T : ARRAY[0..a] OF INT; U : STRUCT s : ARRAY[0..a] OF INT := [a]; END_STRUCT END_TYPE ",
        g("X : INT;") + "TYPE T : ARRAY[0..X] OF INT; U : STRUCT s : ARRAY[0..X] OF INT := [X]; END_STRUCT END_TYPE ",
    ),
    "a bound that is a local constant": (
        Names(globals=A), g("a : INT;") + p("a : INT; f : ARRAY[1..a] OF INT;", ""),
        g("X : INT;") + p("a : INT; f : ARRAY[1..a] OF INT;", ""),
    ),
    "a local variable, in its POU alone": (
        Names(locals={"p": A}), p("a : INT;", "o := a;") + p("a : INT;", "o := a;", "Q"),
        p("X : INT;", "o := X;") + p("a : INT;", "o := a;", "Q"),
    ),
    "a local variable, in a bound": (
        Names(locals={"p": A}), p("a : INT; f : ARRAY[1..a] OF INT;", ""), p("X : INT; f : ARRAY[1..X] OF INT;", ""),
    ),
    "a member of a program, from elsewhere": (
        Names(locals={"p": A}), p("a : INT;", "o := a;") + p("", "o := P.a;", "Q"),
        p("X : INT;", "o := X;") + p("", "o := P.X;", "Q"),
    ),
    "a pin": (
        Names(locals={"f": A}), F.format("") + p("f : F;", "f(a := 1); o := f.a; f.a := 2;"),
        FX.format("") + p("f : F;", "f(X := 1); o := f.X; f.X := 2;"),
    ),
    "a pin of another block": (
        Names(locals={"f": A}), F.format("") + p("f : G;", "f(a := 1); o := f.a;"),
        FX.format("") + p("f : G;", "f(a := 1); o := f.a;"),
    ),
    "a pin through an array, a pointer, a reference and a structure": (
        Names(locals={"f": A}),
        F.format("") + "TYPE H : STRUCT h : F; END_STRUCT END_TYPE "
        + p("f : ARRAY[0..1] OF F; q : POINTER TO F; r : REFERENCE TO F; s : H;", "o := f[1].a + q^.a + r.a + s.h.a;"),
        FX.format("") + "TYPE H : STRUCT h : F; END_STRUCT END_TYPE "
        + p("f : ARRAY[0..1] OF F; q : POINTER TO F; r : REFERENCE TO F; s : H;", "o := f[1].X + q^.X + r.X + s.h.X;"),
    ),
    "of a block that is extended": (
        Names(locals={"f": A}), F.format("") + "FUNCTION_BLOCK E EXTENDS F VAR c : INT; END_VAR c := a + SUPER^.a + THIS^.a; END_FUNCTION_BLOCK "
        + p("e : E;", "e(a := 2); o := e.a;"),
        FX.format("") + "FUNCTION_BLOCK E EXTENDS F VAR c : INT; END_VAR c := X + SUPER^.X + THIS^.X; END_FUNCTION_BLOCK "
        + p("e : E;", "e(X := 2); o := e.X;"),
    ),
    "of a block that hides what it extends": (
        Names(locals={"f": B}), F.format("") + "FUNCTION_BLOCK E EXTENDS F VAR b : INT; END_VAR b := a; END_FUNCTION_BLOCK " + p("e : E;", "o := e.b;"),
        F.replace("b :", "Y :").format("") + "FUNCTION_BLOCK E EXTENDS F VAR b : INT; END_VAR b := a; END_FUNCTION_BLOCK " + p("e : E;", "o := e.b;"),
    ),
    "a parameter of a function": (
        Names(locals={"k": A}), "FUNCTION K : INT VAR_INPUT a : INT; END_VAR K := a; END_FUNCTION " + p("a : INT;", "o := K(a := a);"),
        "FUNCTION K : INT VAR_INPUT X : INT; END_VAR K := X; END_FUNCTION " + p("a : INT;", "o := K(X := a);"),
    ),
    "a function, its calls and its result": (
        Names(types={"k": "L"}), "FUNCTION K : INT VAR_INPUT a : INT; END_VAR K := a; END_FUNCTION " + p("", "o := K(a := 1); K(2);"),
        "FUNCTION L : INT VAR_INPUT a : INT; END_VAR L := a; END_FUNCTION " + p("", "o := L(a := 1); L(2);"),
    ),
    "a block, its instances and what extends it": (
        Names(types={"f": "G"}), F.format("") + "FUNCTION_BLOCK E EXTENDS F IMPLEMENTS F END_FUNCTION_BLOCK " + p("f : F; l : ARRAY[0..1] OF F;", "f(a := 1);"),
        F.format("").replace("BLOCK F", "BLOCK G") + "FUNCTION_BLOCK E EXTENDS G IMPLEMENTS G END_FUNCTION_BLOCK "
        + p("f : G; l : ARRAY[0..1] OF G;", "f(a := 1);"),
    ),
    "a type, in literals and values": (
        Names(types={"m": "N"}), M + "FUNCTION K : M K := M#a; END_FUNCTION TYPE T : M := M#b; END_TYPE " + p("m : M := M#a;", "m := M#b;"),
        M.replace("M :", "N :") + "FUNCTION K : N K := N#a; END_FUNCTION TYPE T : N := N#b; END_TYPE " + p("m : N := N#a;", "m := N#b;"),
    ),
    "a value, behind its type and alone": (
        Names(locals={"m": A}), M + p("m : M := a; n : M := M#a;", "m := a; m := M#a; m := M.a;"),
        MX + p("m : M := X; n : M := M#X;", "m := X; m := M#X; m := M.X;"),
    ),
    "a value that stands alone, where a variable has its name": (
        Names(locals={"m": A}), M + p("m : M; a : M;", "m := a; m := M#a;"), MX + p("m : M; a : M;", "m := a; m := M#X;"),
    ),
    "a value that stands alone, where a global variable has its name": (
        Names(locals={"m": A}), M + g("a : INT;") + p("m : M;", "m := a;"), MX + g("a : INT;") + p("m : M;", "m := a;"),
    ),
    "a value that two types have": (
        Names(locals={"m": A}), M + "TYPE N : (a, c); END_TYPE " + p("m : M;", "m := a; m := M#a;"),
        MX + "TYPE N : (a, c); END_TYPE " + p("m : M;", "m := a; m := M#X;"),
    ),
    "a member of a structure": (
        Names(locals={"s": A}), S + p("s : S := (a := 1, b := 2); t : INT;", "s.a := s.b; t := s.a;"),
        SX + p("s : S := (X := 1, b := 2); t : INT;", "s.X := s.b; t := s.X;"),
    ),
    "a member of a structure in another one": (
        Names(locals={"s": A}), S + "TYPE O : STRUCT i : S; a : INT; END_STRUCT END_TYPE " + p("t : O;", "t.i.a := t.a;"),
        SX + "TYPE O : STRUCT i : S; a : INT; END_STRUCT END_TYPE " + p("t : O;", "t.i.X := t.a;"),
    ),
    "a member of a structure by another name of its type": (
        Names(locals={"s": A}), S + "TYPE O : S; END_TYPE " + p("t : O;", "t.a := 1;"), SX + "TYPE O : S; END_TYPE " + p("t : O;", "t.X := 1;"),
    ),
    "a method, inside and from elsewhere": (
        Names(locals={"f": {"go": "Run"}}), F.format("METHOD go : INT go := 1; END_METHOD b := go();") + p("f : F;", "o := f.go();"),
        F.format("METHOD Run : INT Run := 1; END_METHOD b := Run();") + p("f : F;", "o := f.Run();"),
    ),
    "a parameter of a method": (
        Names(locals={"f.go": {"i": "J"}}),
        F.format("METHOD go : INT VAR_INPUT i : INT; END_VAR go := i; END_METHOD b := go(i := 1);") + p("f : F; i : INT;", "o := f.go(i := i);"),
        F.format("METHOD go : INT VAR_INPUT J : INT; END_VAR go := J; END_METHOD b := go(J := 1);") + p("f : F; i : INT;", "o := f.go(J := i);"),
    ),
    "a variable of a block, in its method": (
        Names(locals={"f": B}), F.format("METHOD go : INT go := b; END_METHOD METHOD no : INT VAR b : INT; END_VAR no := b; END_METHOD"),
        F.format("METHOD go : INT go := Y; END_METHOD METHOD no : INT VAR b : INT; END_VAR no := b; END_METHOD")
        .replace("VAR b : INT; END_VAR METHOD go", "VAR Y : INT; END_VAR METHOD go").replace(" b := a", " Y := a"),
    ),
    "an action": (
        Names(locals={"p": {"act": "Deed"}}), p("", "act(); o := 1; ACTION act: o := 2; END_ACTION"),
        p("", "Deed(); o := 1; ACTION Deed: o := 2; END_ACTION"),
    ),
    "steps and what they run": (
        Names(locals={"p": {"one": "First", "act": "Deed", "v": "W"}}),
        p("v : BOOL;", "INITIAL_STEP one: act(N); v(S); END_STEP STEP two: END_STEP TRANSITION FROM one TO two := one.X AND v; END_TRANSITION"
          " TRANSITION FROM two TO one := TRUE; END_TRANSITION ACTION act: v := TRUE; END_ACTION"),
        p("W : BOOL;", "INITIAL_STEP First: Deed(N); W(S); END_STEP STEP two: END_STEP TRANSITION FROM First TO two := First.X AND W;"
          " END_TRANSITION TRANSITION FROM two TO First := TRUE; END_TRANSITION ACTION Deed: W := TRUE; END_ACTION"),
    ),
    "a task that waits for a global variable, and the type of its program": (
        Names(globals=A, types={"p": "R"}, scopes={"cpu": "Main"}),
        p("", "o := 1;") + "CONFIGURATION C VAR_GLOBAL a : BOOL; END_VAR RESOURCE Cpu ON Z TASK T(SINGLE := a, PRIORITY := 1);"
        " PROGRAM I WITH T : P; END_RESOURCE END_CONFIGURATION",
        p("", "o := 1;", "R") + "CONFIGURATION C VAR_GLOBAL X : BOOL; END_VAR RESOURCE Main ON Z TASK T(SINGLE := X, PRIORITY := 1);"
        " PROGRAM I WITH T : R; END_RESOURCE END_CONFIGURATION",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", ROWS)
def test_everything_that_follows_a_name_and_nothing_else(name: str) -> None:
    names, old, new = ROWS[name]
    assert renamed_copy(asfound.read(old.encode(), "p.st"), names).program == asfound.read(new.encode(), "p.st").program


def test_no_rename_is_the_same_copy() -> None:
    copy = Copy(tables=(TagTable("T", (Tag("a"),)),))
    assert renamed_copy(copy, Names()) is copy
    maps = (
        Names(A),
        Names(types=A),
        Names(locals={"p": A}),
        Names(charts={("p", "q"): A}),
        Names(lists=A),
        Names(scopes=A),
    )
    assert [bool(each) for each in (*maps, Names())] == [True] * 6 + [False]
    assert [each.keys for each in (*maps, Names())] == [frozenset("a")] * 6 + [frozenset()]


def test_what_stands_outside_of_the_program_follows_global_names() -> None:
    def outside(name: str) -> Copy:
        inner = Module("I", 1, channels=(Channel(0, direction="input", tag=name), Channel(1, direction="input")))
        return Copy(
            tables=(TagTable("T", (Tag(name, "%IX0.0"), Tag("k"))),),
            values=(ActualValue(f"{name}.v", "1"), ActualValue("k.a", "2")),
            forces=(Force(name, "TRUE"), Force("k", "TRUE")),
            hardware=Hardware((Device("D", modules=(Module("R", 0, modules=(inner,)),)),)),
        )

    assert renamed_copy(outside("a"), Names(A)) == outside("X")
    assert renamed_copy(outside("A"), Names(A)) == outside("X")
    assert renamed_copy(outside("a"), Names(locals={"p": A})) == outside("a")


@pytest.mark.parametrize(
    ("name", "expected"), [("a", "X"), ("A.b", "X.b"), ("b.a", "b.a"), ("", ""), ("a.a.a", "X.a.a"), ("ab", "ab")]
)
def test_a_path_begins_with_a_name(name: str, expected: str) -> None:
    assert path_name(A, name) == expected


def test_the_folders_of_a_project_are_called_like_what_lies_in_them() -> None:
    def folders(*paths: str) -> Copy:
        settings = tuple(Setting("folder", path) for path in paths)
        heading = Heading(settings=(*settings, Setting("other", "F/go")))
        return Copy(program=Program(heading, pous=(Pou("F", "function_block"),)))

    names = Names(types={"f": "G", "t": "U"}, locals={"f": {"go": "Run"}}, lists={"l": "K"})
    named = renamed_copy(folders("F/go", "x/F", "go/F", "L", "T/go", "F/x/go"), names).program.heading
    assert [s.value for s in named.settings] == ["G/Run", "x/G", "go/G", "K", "U/go", "G/x/Run", "F/go"]


def body(**parts: object) -> Pou:
    return Pou("P", "program", bodies=(Body("LD", **parts),))  # type: ignore[arg-type]


def test_names_in_what_is_kept_as_text() -> None:
    def told(a: str, b: str) -> Copy:
        kept = Verbatim(f"LD {a}; ST s.a 'a' \"a\""), Assign(Variable("q"), Unparsed(f"{a} + {b} + x.a"))
        rung = Network(kept, leftovers=(f"contact {a}",))
        extension = Extension("alternatives of One", f"{a} before {b}")
        chart = Chart((Step("One"),), (), leftovers=(f"step {a}",), extensions=(extension, Extension("x", "a")))
        return Copy(program=Program(pous=(body(networks=(rung,)), replace(body(chart=chart), name="Q"))))

    names = Names(locals={"p": {**A, **B}, "q": {**A, **B}})
    pou, chart = renamed_copy(told("a", "b"), names).program.pous
    assert pou == told("X", "Y").program.pous[0]
    found = chart.bodies[0].chart
    assert found is not None and found.leftovers == ("step X",) and found.extensions[1] == Extension("x", "a")


def test_steps_of_the_chart_of_an_action_are_its_own() -> None:
    text = p("", "act(); ACTION act: INITIAL_STEP one: END_STEP END_ACTION")
    copy = asfound.read(text.encode(), "p.st")
    names = Names(charts={("p", "act"): {"one": "First"}})
    assert "First" in str(renamed_copy(copy, names).program.pous[0].actions)
    assert renamed_copy(copy, Names(charts={("q", "act"): {"one": "First"}})) == copy


ADD = "n := n + 1; z := k;"
EXTERNAL = "END_VAR VAR_EXTERNAL n : {}; {} END_VAR VAR"
MOVED: dict[str, tuple[str, str, str]] = {
    "behind those that stand before it now": (
        g("a, b, c : INT;") + p("n, z, k : INT;", ADD), g("a, b, n, c : INT;") + p("z, k : INT;", ADD),
        g("a, b, n, c : INT;") + p("z, k : INT;", ADD),
    ),
    "at the beginning": (
        g("a : INT;") + p("n, z, k : INT;", ADD), g("n, a : INT;") + p("z, k : INT;", ADD),
        g("n, a : INT;") + p("z, k : INT;", ADD),
    ),
    "with all that was said of it": (
        p("z, k : INT; n AT %MW2 : DINT := 5; (* counts *)", ADD), g("n : INT := 4;") + p("z, k : INT;", ADD),
        g("n AT %MW2 : DINT := 5; (* counts *)") + p("z, k : INT;", ADD),
    ),
    "declared as external, with its own type": (
        p("z, k : INT; n : DINT := 5; (* counts *)", ADD), g("n : INT;") + p("z, k : INT; " + EXTERNAL.format("INT", ""), ADD),
        g("n : DINT := 5; (* counts *)") + p("z, k : INT; " + EXTERNAL.format("DINT", ""), ADD),
    ),
    "with a comment that stayed": (
        p("z, k : INT; n : INT; (* counts *)", ADD),
        g("n : INT;") + p("z, k : INT; " + EXTERNAL.format("INT", "(* counts *)"), ADD),
        g("n : INT;") + p("z, k : INT; " + EXTERNAL.format("INT", "(* counts *)"), ADD),
    ),
    "with a comment on both": (
        p("z, k : INT; n : INT; (* counts *)", ADD),
        g("n : INT; (* total *)") + p("z, k : INT; " + EXTERNAL.format("INT", "(* counts *)"), ADD),
        g("n : INT; (* counts *)") + p("z, k : INT; " + EXTERNAL.format("INT", "(* counts *)"), ADD),
    ),
    "to a global one that was there": (
        g("n : INT := 7;") + p("n, z, k : INT;", ADD), g("n : INT := 7;") + p("z, k : INT;", ADD),
        g("n : INT := 7;") + p("z, k : INT;", ADD),
    ),
    "written under its list": (
        p("n, z, k : INT;", ADD), g("n : INT;") + p("z, k : INT;", "C.n := C.n + 1; z := k;"),
        g("n : INT;") + p("z, k : INT;", "C.n := C.n + 1; z := k;"),
    ),
    "back into the POU": (
        g("a, n : INT;") + p("z, k, y : INT;", ADD), g("a : INT;") + p("z, k, n, y : INT;", ADD),
        g("a : INT;") + p("z, k, n, y : INT;", ADD),
    ),
    "back into the POU from under its list": (
        g("a, n : INT;") + p("z, k : INT;", "C.n := C.n + C.a; z := k;"), g("a : INT;") + p("z, k, n : INT;", "n := n + C.a; z := k;"),
        g("a : INT;") + p("z, k, n : INT;", "n := n + C.a; z := k;"),
    ),
    "back, with what was said of the global one": (
        g("n AT %MW2 : DINT := 5; (* counts *)") + p("z, k : INT;", ADD), p("z, k, n : INT;", ADD),
        p("z, k : INT; n AT %MW2 : DINT := 5; (* counts *)", ADD),
    ),
    "back, from an external one that no export declares": (
        p("z, k : INT; " + EXTERNAL.format("DINT", "(* counts *)"), ADD), p("z, k : INT; n AT %MW2 : INT := 5;", ADD),
        p("z, k : INT; n AT %MW2 : DINT := 5; (* counts *)", ADD),
    ),
    "still used by another one": (
        g("n : INT;") + p("z, k : INT;", ADD) + p("", "o := n;", "Q"), g("n : INT;") + p("z, k, n : INT;", ADD) + p("", "o := n;", "Q"),
        g("n : INT;") + p("z, k, n : INT;", ADD) + p("", "o := n;", "Q"),
    ),
}  # fmt: skip


def settled(text: str) -> Program:
    return asfound.read(text.encode(), "p.st").program


@pytest.mark.parametrize("name", MOVED)
def test_a_variable_stands_where_it_is_declared_now_with_what_was_said_of_it(name: str) -> None:
    old, new, expected = MOVED[name]
    found = renaming(*(asfound.read(text.encode(), "p.st") for text in (old, new))).pair.old.program
    assert [pou.bodies for pou in found.pous] == [pou.bodies for pou in settled(expected).pous]
    assert [
        {(v.section, v.name, v.type, v.address, v.initial, v.comment) for v in pou.variables} for pou in found.pous
    ] == [
        {(v.section, v.name, v.type, v.address, v.initial, v.comment) for v in pou.variables}
        for pou in settled(expected).pous
    ]
    assert [[v.name for v in pou.variables if v.section == "local"] for pou in found.pous] == [
        [v.name for v in pou.variables if v.section == "local"] for pou in settled(expected).pous
    ]
    assert found.globals == settled(expected).globals


@pytest.mark.parametrize(
    ("said", "now", "left"),
    [
        ({}, "", []),
        ({"comment": "said"}, "", ["C"]),
        ({"pragmas": ("p",)}, "", ["C"]),
        ({"extensions": (Extension("x", "a"),)}, "", ["C"]),
        ({}, "k : INT;", ["C"]),
    ],
)
def test_a_list_that_nothing_is_left_of_is_gone(said: dict[str, object], now: str, left: list[str]) -> None:
    old = asfound.read((g("n : INT;") + p("z, k : INT;", ADD)).encode(), "p.st")
    blocks = tuple(replace(block, **said) for block in old.program.globals)
    old = replace(old, program=replace(old.program, globals=blocks))
    new = asfound.read(((g(now) if now else "") + p("z, k, n : INT;", ADD)).encode(), "p.st")
    found = renaming(old, new).pair.old.program.globals
    assert [(block.name, len(block.variables)) for block in found] == [(name, 0) for name in left]
