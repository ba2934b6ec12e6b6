"""IEC 61131-3 text files: recognised by content, in any encoding, never silently half."""

from __future__ import annotations

import tracemalloc

import pytest

from asfound.model.copy import Finding
from asfound.model.problem import Problem
from asfound.readers.iec_text import READER
from asfound.readers.reader import Probe

PROGRAM = "PROGRAM Pumpe\nVAR\n  läuft : BOOL; (* größer *)\nEND_VAR\nläuft := TRUE;\nEND_PROGRAM\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (PROGRAM, True),
        ("(* PROGRAM *) TYPE x : INT; END_TYPE", True),
        ("{attribute 'x'}\nvar_global\nEND_VAR", True),
        ("(* PROGRAM x *)", False),
        ("'PROGRAM x'", False),
        ("name;PROGRAM;type", False),
        ("<project/>", False),
        ("", False),
        ("a program of the day; at night", False),
    ],
)
def test_recognised_by_content(text, expected):
    assert READER.recognise(Probe(text.encode(), "data.bin")) is expected


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16"])
def test_encodings(codec):
    copy = READER.read(PROGRAM.encode(codec), "p.st")
    assert copy.program.pous[0].variables[0].name == "läuft"
    assert copy.program.pous[0].variables[0].comment == "größer"
    assert copy.findings == ()


def test_a_guessed_encoding_is_told():
    copy = READER.read(PROGRAM.encode("cp1252"), "p.st")
    assert copy.program.pous[0].variables[0].name == "läuft"
    assert [finding.severity for finding in copy.findings] == ["note"]
    assert copy.findings[0].text.startswith("the encoding is not declared; read as ")


def test_text_outside_declarations_is_kept_and_told():
    copy = READER.read((PROGRAM + "\nsome rest").encode(), "p.st")
    assert [extension.text for extension in copy.program.extensions] == ["some rest"]
    expected = "text outside all declarations; it is kept and compared as text"
    assert copy.findings == (Finding("warning", "p.st, line 8, column 1", expected),)


def test_a_cut_file_is_a_problem():
    with pytest.raises(Problem, match=r"p\.st, line 5, column 15: END_PROGRAM expected"):
        READER.read(PROGRAM.partition("\nEND_PROGRAM")[0].encode(), "p.st")


def test_the_tokens_of_a_whole_file_are_never_there_at_once() -> None:
    """They would take more than a hundred times its bytes; what is read takes a few."""
    block = "VAR_INPUT a, b : BOOL; END_VAR\nVAR q : BOOL; END_VAR\n" + "q := (a AND NOT b) OR q;\n" * 40
    text = "".join(f"FUNCTION_BLOCK F{n}\n{block}END_FUNCTION_BLOCK\n" for n in range(250)).encode()
    READER.read(text[:2000].rpartition(b"FUNCTION_BLOCK F")[0], "warm.st")
    tracemalloc.start()
    assert len(READER.read(text, "f.st").program.pous) == 250
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 12 * len(text), peak / len(text)
