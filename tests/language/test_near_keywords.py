"""A keyword that is almost right is read where it can mean one thing only, and nowhere else."""

from __future__ import annotations

import pytest

from asfound.language.near_keywords import corrected, declared


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("IF a THEN b := 1; ELSEIF c > 3 THEN b := 2; END_IF;", "IF a THEN b := 1; ELSIF c > 3 THEN b := 2; END_IF;"),
        ("IF a THEN b := 1 elseif (c) THEN b := 2; END_IF", "IF a THEN b := 1 ELSIF (c) THEN b := 2; END_IF"),
        ("IF a THEN f(); ELIF NOT c THEN g(); Else_If -c<1 THEN END_IF;", "IF a THEN f(); ELSIF NOT c THEN g(); ELSIF -c<1 THEN END_IF;"),
        ("IF a THEN x := 1; ENDIF;", "IF a THEN x := 1; END_IF;"),
        ("IF a THEN x := 1; END  IF;", "IF a THEN x := 1; END_IF;"),
        ("IF a THEN x := y EndIf", "IF a THEN x := y END_IF"),
        ("IF a THEN x := 1; ENDIF y := 2;", "IF a THEN x := 1; END_IF y := 2;"),
        ("IF a THEN ELSE x := 1; ENDIF;", "IF a THEN ELSE x := 1; END_IF;"),
        ("FOR i := 1 TO 3 DO IF a THEN EXIT; END IF; ENDFOR;", "FOR i := 1 TO 3 DO IF a THEN EXIT; END_IF; END_FOR;"),
        ("WHILE a DO x := 1; END WHILE", "WHILE a DO x := 1; END_WHILE"),
        ("REPEAT x := 1; UNTIL a ENDREPEAT;", "REPEAT x := 1; UNTIL a END_REPEAT;"),
        ("CASE n OF 1: x := 1; 2, 3: IF a THEN y := 1; ENDIF; ELSE x := 2; ENDCASE;", "CASE n OF 1: x := 1; 2, 3: IF a THEN y := 1; END_IF; ELSE x := 2; END_CASE;"),
    ],
)  # fmt: skip
def test_one_meaning(text: str, right: str) -> None:
    assert corrected(text)[0] == right


@pytest.mark.parametrize(
    "text",
    [
        "IF a THEN ELSEIF := 1; END_IF;",
        "IF a THEN ELSEIF(c); END_IF;",
        "IF a THEN ELSEIF(c) IF b THEN x := 1; END_IF; END_IF;",
        "IF a THEN EndIf; END_IF;",
        "IF a THEN EndIf.x := 1; x := EndIf; f(EndIf, ENDFOR := 2, ELSEIF => y); END_IF;",
        "IF a THEN x := 1; ENDFOR;",
        "IF a THEN x := 1; END IF b THEN x := 2; END_IF;",
        "IF a THEN x := 1; ELSE x := 2; ELSEIF b THEN x := 3; END_IF;",
        "IF a THEN x := 1; ELSE IF b THEN x := 2; END_IF;",
        "IF a THEN x := 1; END_ELSE; END_IF;",
        "IF a THEN x := 1; END;",
        "CASE n OF 1: x := 1; ELSEIF: x := 2; END_CASE;",
        "CASE n OF 1: x := 1; ELSEIF c THEN x := 2; END_CASE;",
        "IF a THEN (* ENDIF; *) x := 'ENDIF'; END_IF; // ELSEIF",
        "ENDIF;",
        "IF a THEN x := 1; END (* of it *) IF;",
        "IF a THEN ELSEIF b THEN x := 1; END (* of it *) IF;",
        "IF a THEN FOR i := 1 TO 3 DO END IF; END_FOR; ENDIF;",
        "IF a THEN x := 1; ENDIF; y := 2; END_IF;",
        "IF a THEN x := 1; ELSEIF c THEN x := 2;",
    ],
)
def test_two_meanings_or_a_name(text: str) -> None:
    assert corrected(text) == (text, [])


@pytest.mark.parametrize(
    "declaration",
    ["VAR EndIf : FB; END_VAR", "VAR a, endif : FB; END_VAR", "VAR ENDIF AT %QX0.0 : BOOL; END_VAR", "TYPE E : (EndIf) INT; END_TYPE", "FUNCTION_BLOCK EndIf END_FUNCTION_BLOCK"],
)  # fmt: skip
def test_a_declared_name_stays_a_name(declaration: str) -> None:
    assert declared(declaration) == {"ENDIF"}
    text = "IF a THEN x := 1; ENDIF;"
    assert declared(text) == frozenset()
    assert corrected(text, lambda: declared(declaration)) == (text, [])


def test_what_is_said() -> None:
    (one, two) = corrected("IF a THEN ElseIf b THEN x := 1; END IF;")[1]
    assert (one.what, one.reading, one.at) == ("ElseIf is no keyword", "as ELSIF", 10)
    assert (two.what, two.reading, two.at) == ("END IF is no keyword", "as END_IF", 32)


def test_a_name_end_stays_a_name() -> None:
    text = "IF a THEN x := 1; END IF;"
    assert corrected(text)[0] == "IF a THEN x := 1; END_IF;"
    assert corrected(text, lambda: declared("VAR end : BOOL; END_VAR")) == (text, [])
