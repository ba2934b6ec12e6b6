"""A method hides a function of its name: what such a call does is not known from the function."""

from __future__ import annotations

import pytest

import asfound

FUNCTION = "FUNCTION Twice : INT VAR_INPUT x : INT; END_VAR Twice := x + 1; END_FUNCTION "
BLOCK = (
    "FUNCTION_BLOCK F VAR_OUTPUT y : INT; END_VAR {} {} END_FUNCTION_BLOCK "
    "PROGRAM P VAR f : F; q : INT; END_VAR f(); q := f.y; END_PROGRAM"
)
METHOD = "METHOD Twice : INT VAR_INPUT x : INT; END_VAR Twice := x * 3; END_METHOD"


BASE = "FUNCTION_BLOCK B {} END_FUNCTION_BLOCK " + BLOCK.replace("F VAR", "F EXTENDS B VAR").replace("VAR {} ", "VAR ")
INSIDE = BLOCK.replace("f();", "").replace("f.y", "f.M()").replace("{} END_F", "METHOD M : INT {} END_METHOD END_F")
CALLS = {
    "for its value": (BLOCK, "y := Twice(4);", "y := 5;"),
    "as a statement": (BLOCK, "Twice(4);", "y := y;"),
    "in a block that inherits it": (BASE, "y := Twice(4);", "y := 5;"),
    "in another method": (INSIDE, "M := Twice(4);", "M := 5;"),
}


@pytest.mark.parametrize("name", CALLS)
def test_a_method_is_called_and_not_the_function_of_its_name(name: str) -> None:
    block, *codes = CALLS[name]

    def verdict(method: str) -> str:
        copies = (asfound.read((FUNCTION + block.format(method, code)).encode(), "p.st") for code in codes)
        return asfound.compare(*copies).verdict

    assert (verdict(METHOD), verdict("")) == ("behaviour", "equivalent")
