"""What a person is told about a file that cannot be read: where, what was expected, what was found."""

from __future__ import annotations

import pytest

from asfound.language.documents import parse_program
from asfound.model.problem import Problem
from asfound.readers.iec_text import READER

END = "; check whether the export is complete."
MESSAGES = {
    "PROGRAM": "x.st, line 1, column 8: a name expected, but the end of the file found",
    "PROGRAM p": "x.st, line 1, column 10: END_PROGRAM expected, but the end of the file found",
    "PROGRAM p\nVAR\n  a : INT\nEND_VAR\nEND_PROGRAM": "x.st, line 4, column 1: ';' expected, but 'END_VAR' found",
    "PROGRAM p\nVAR\n\ta := 5;\nEND_VAR\nEND_PROGRAM": "x.st, line 3, column 4: ':' and a type expected, but ':=' found",
    "PROGRAM p\r\nVAR\r\n  a : ;\r\nEND_VAR": "x.st, line 3, column 7: a type expected, but ';' found",
    "PROGRAM p VAR a : : INT; END_VAR END_PROGRAM": "x.st, line 1, column 19: a type expected, but ':' found",
    "PROGRAM p\nVAR\n  a : BOOL\n  b : BOOL;\nEND_VAR": "x.st, line 4, column 5: ';' expected, but ':' found",
    "PROGRAM p VAR a : INT := ; END_VAR": "x.st, line 1, column 26: a value expected, but ';' found",
    "PROGRAM p VAR a : INT;": "x.st, line 1, column 23: a variable name expected, but the end of the file found",
    "PROGRAM p VAR 5 : INT; END_VAR": "x.st, line 1, column 15: a variable name expected, but '5' found",
    "FUNCTION f : ; END_FUNCTION": "x.st, line 1, column 14: a type expected, but ';' found",
    "FUNCTION f : INT\nf := 1;\nEND_FUNCTION_BLOCK": (
        "x.st, line 3, column 1: END_FUNCTION expected, but 'END_FUNCTION_BLOCK' found"
    ),
    "CLASS c METHOD m x := 1; END_CLASS": "x.st, line 1, column 26: END_METHOD expected, but 'END_CLASS' found",
    "TYPE t INT; END_TYPE": "x.st, line 1, column 8: ':' and a type expected, but 'INT' found",
    "TYPE t : (a b); END_TYPE": "x.st, line 1, column 13: ',' or ')' expected, but 'b' found",
    "TYPE t : STRUCT a : INT; END_TYPE": "x.st, line 1, column 26: a variable name expected, but 'END_TYPE' found",
    "NAMESPACE n PROGRAM p END_PROGRAM": (
        "x.st, line 1, column 34: END_NAMESPACE expected, but the end of the file found"
    ),
    "CONFIGURATION c FOO": (
        "x.st, line 1, column 17: VAR_GLOBAL, RESOURCE, TASK, PROGRAM or END_CONFIGURATION expected, but 'FOO' found"
    ),
    "CONFIGURATION c RESOURCE r ON k\nTASK t(INTERVAL T#1s);": (
        "x.st, line 2, column 17: ':=' expected, but 'T#1s' found"
    ),
    "CONFIGURATION c RESOURCE r ON k\nPROGRAM p WITH t;": (
        "x.st, line 2, column 17: ':' and a program type expected, but ';' found"
    ),
    "USING a": "x.st, line 1, column 8: ';' expected, but the end of the file found",
}  # fmt: skip


@pytest.mark.parametrize("text", MESSAGES)
def test_messages(text: str) -> None:
    with pytest.raises(Problem) as raised:
        parse_program(text, "x.st")
    assert str(raised.value) == MESSAGES[text] + END


@pytest.mark.parametrize("text", ["", " \r\n\t", "(* only a comment *)", "// x"])
def test_a_file_without_declarations_is_no_problem_and_no_program(text: str) -> None:
    assert parse_program(text, "x.st").pous == ()


SOURCE = "PROGRAM P\nVAR\n\tgr\u00f6\u00dfe : INT; (* \u03a9 \u00e4 *)\nEND_VAR\n\tgr\u00f6\u00dfe := 1; // \u65e5\nEND_PROGRAM\n"
FORMS = {
    "line feeds": SOURCE.encode(),
    "CR LF": SOURCE.replace("\n", "\r\n").encode(),
    "CR": SOURCE.replace("\n", "\r").encode(),
    "byte order mark": b"\xef\xbb\xbf" + SOURCE.encode(),
    "UTF-16": SOURCE.encode("utf-16"),
    "blanks for tabs": SOURCE.replace("\t", "    ").encode(),
    "no last line end": SOURCE.strip().encode(),
}


@pytest.mark.parametrize("form", FORMS)
def test_line_ends_and_encodings_are_layout(form: str) -> None:
    assert READER.read(FORMS[form], "x.st").program == READER.read(SOURCE.encode(), "x.st").program


@pytest.mark.parametrize(
    "text",
    ["a := b {x} + c;", "a := (* x *) b +\n// y\nc;", "f(a (* x *), {y} b);", "IF (* x *) a {y} THEN b := c; END_IF"],
)
def test_comments_and_pragmas_within_a_statement(text: str) -> None:
    (pou,) = parse_program(f"PROGRAM p {text} END_PROGRAM", "x.st").pous
    kinds = [type(s).__name__ for s in pou.bodies[0].statements]
    assert kinds[-1] in ("Assign", "Call", "If")
    assert set(kinds[:-1]) <= {"Remark", "Verbatim"} and kinds[:-1]
