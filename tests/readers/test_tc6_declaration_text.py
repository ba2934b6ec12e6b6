"""``interfaceasplaintext``: what only the text of a declaration says is seen, what it repeats adds nothing."""

from __future__ import annotations

import pytest
from tc6_documents import data, parameters, pou, program, simple, start, text, variable, verdict


def plain(code: str) -> str:
    return data("interfaceasplaintext", f"<InterfaceAsPlainText><x:xhtml>{code}</x:xhtml></InterfaceAsPlainText>")


def with_text(code: str, kind: str = "functionBlock", interface: str = "") -> dict[str, str]:
    inner = interface or f"<inputVars>{variable('a', '<BOOL/>')}</inputVars>"
    return {"pous": pou(inner, text("") + f"<addData>{plain(code)}</addData>", kind=kind)}


HEAD = "FUNCTION_BLOCK Main VAR_INPUT a : BOOL; END_VAR"
TEXTS = {
    "an edge": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL R_EDGE; END_VAR", "behaviour"),
    "another edge": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL F_EDGE; END_VAR", "behaviour"),
    "a parent": ("FUNCTION_BLOCK Main EXTENDS Base VAR_INPUT a : BOOL; END_VAR", "behaviour"),
    "an interface": ("FUNCTION_BLOCK Main IMPLEMENTS IRun VAR_INPUT a : BOOL; END_VAR", "behaviour"),
    "a modifier": ("FUNCTION_BLOCK ABSTRACT Main VAR_INPUT a : BOOL; END_VAR", "behaviour"),
    "a comment": ("(* version 2 *) FUNCTION_BLOCK Main VAR_INPUT a : BOOL; END_VAR", "documentation"),
    "a comment at the end": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL; END_VAR (* the end *)", "documentation"),
    "a comment of a variable": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL; (* go *) END_VAR", "documentation"),
    "a pragma": ("{attribute 'own'} FUNCTION_BLOCK Main VAR_INPUT a : BOOL; END_VAR", "undecided"),
    "another name": ("FUNCTION_BLOCK Other VAR_INPUT a : BOOL; END_VAR", "undecided"),
    "another type": ("FUNCTION_BLOCK Main VAR_INPUT a : INT; END_VAR", "undecided"),
    "a start value": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL := TRUE; END_VAR", "undecided"),
    "another variable": ("FUNCTION_BLOCK Main VAR_INPUT a : BOOL; b : BOOL; END_VAR", "undecided"),
    "nonsense": ("FUNCTION_BLOCK Main VAR_INPUT a :", "undecided"),
}


@pytest.mark.parametrize("what", TEXTS)
def test_what_only_the_text_says_is_seen(what: str) -> None:
    code, expected = TEXTS[what]
    assert verdict(with_text(HEAD), with_text(code)) == expected


def test_the_text_of_a_declaration_adds_nothing_by_itself() -> None:
    assert (
        verdict(
            {"pous": pou(f"<inputVars>{variable('a', '<BOOL/>')}</inputVars>", kind="functionBlock")}, with_text(HEAD)
        )
        == "noise"
    )


def test_a_string_in_the_text_that_differs_in_case_is_kept() -> None:
    inner = f"<inputVars>{variable('a', '<string/>', start(simple(chr(39) + 'x' + chr(39))))}</inputVars>"
    (found,) = program(**with_text("FUNCTION_BLOCK Main VAR_INPUT a : STRING := 'X'; END_VAR", interface=inner)).pous
    assert [e.path for e in found.extensions] == ["interfaceasplaintext"]


def test_another_order_in_the_text_is_kept() -> None:
    inner = f"<inputVars>{variable('a')}{variable('b')}</inputVars>"
    same, other = (f"FUNCTION_BLOCK Main VAR_INPUT {x} : INT; {y} : INT; END_VAR" for x, y in ("ab", "ba"))
    assert verdict(with_text(same, interface=inner), with_text(other, interface=inner)) == "undecided"


def test_the_text_tells_the_order_of_the_parameters_of_a_function() -> None:
    inner = f"<returnType><INT/></returnType>{parameters(('inputVars', 'ac'), ('inOutVars', 'b'))}"
    grouped, mixed = (
        f"FUNCTION Main : INT {' '.join(f'VAR_{w} {n} : INT; END_VAR' for w, n in order)}"
        for order in (
            (("INPUT", "a"), ("INPUT", "c"), ("IN_OUT", "b")),
            (("INPUT", "a"), ("IN_OUT", "b"), ("INPUT", "c")),
        )
    )
    old, new = (with_text(t, "function", inner) for t in (grouped, mixed))
    assert verdict(old, new) == "undecided"


def test_the_result_in_the_text_must_agree() -> None:
    inner = f"<returnType><INT/></returnType>{parameters(('inputVars', 'a'))}"
    old, new = (
        with_text(f"FUNCTION Main : {t} VAR_INPUT a : INT; END_VAR", "function", inner) for t in ("INT", "DINT")
    )
    assert verdict(old, new) == "undecided"
