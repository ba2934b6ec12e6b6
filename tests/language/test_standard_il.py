"""Instruction list word by word. External source: IEC 61131-3:2013 tables 67 to 70 and annex A, from memory."""

from __future__ import annotations

import pytest

from asfound.language.il import parse_il

from . import trees


def il(text: str) -> list[str]:
    return [trees.tree(statement) for statement in parse_il(text.replace(" / ", "\n"))]


BINARY = {
    "AND": "(AND a b)", "&": "(AND a b)", "OR": "(OR a b)", "XOR": "(XOR a b)", "ADD": "(+ a b)", "SUB": "(- a b)",
    "MUL": "(* a b)", "DIV": "(/ a b)", "MOD": "(MOD a b)", "GT": "(> a b)", "GE": "(>= a b)", "EQ": "(= a b)",
    "NE": "(<> a b)", "LE": "(<= a b)", "LT": "(< a b)", "ANDN": "(AND a (NOT b))", "&N": "(AND a (NOT b))",
    "ORN": "(OR a (NOT b))", "XORN": "(XOR a (NOT b))",
}  # fmt: skip


@pytest.mark.parametrize("operator", BINARY)
def test_operators_with_an_operand(operator: str) -> None:
    expected = [f"assign q {BINARY[operator]}"]
    assert il(f"LD a / {operator} b / ST q") == expected
    assert il(f"ld a / {operator.lower()} b / st q") == expected


@pytest.mark.parametrize("operator", BINARY)
def test_operators_with_a_parenthesis(operator: str) -> None:
    expected = [f"assign q {BINARY[operator]}".replace(" b", " (- b c)")]
    if "XOR" not in operator and "OR" not in operator and "AND" not in operator and "&" not in operator:
        assert il(f"LD a / {operator}( b / SUB c / ) / ST q") == expected
        assert il(f"LD a / {operator}( / LD b / SUB c / ) / ST q") == expected
        return
    expected = [f"assign q {BINARY[operator]}".replace(" b", " (= b c)")]
    assert il(f"LD a / {operator}( b / EQ c / ) / ST q") == expected
    assert il(f"LD a / {operator}( / LD b / EQ c / ) / ST q") == expected
    assert il(f"LD a / {operator} ( b / EQ c / ) / ST q") == expected


SEQUENCES = {
    "LD a / ST q": ["assign q a"],
    "LDN a / ST q": ["assign q (NOT a)"],
    "LD a / STN q": ["assign q (NOT a)"],
    "LD a / NOT / ST q": ["assign q (NOT a)"],
    "LD a / S q": ["set q a"],
    "LD a / R q": ["reset q a"],
    "LD a / S q / R p / ST r": ["set q a", "reset p a", "assign r a"],
    "LD 5 / ADD 3 / MUL 2 / ST q": ["assign q (* (+ 5 3) 2)"],
    "LD a / ADD b / SUB c / DIV d / ST q": ["assign q (/ (- (+ a b) c) d)"],
    "LD a / AND( b / OR( c / AND d / ) / ) / ST q": ["assign q (AND a (OR b (AND c d)))"],
    "LD a / ADD( b / MUL( c / SUB d / ) / ) / ST q": ["assign q (+ a (* b (- c d)))"],
    "LD a / ANDN( b / OR c / ) / ST q": ["assign q (AND a (NOT (OR b c)))"],
    "LD( a / OR b / ) / AND c / ST q": ["assign q (AND (OR a b) c)"],
    "LDN( a / OR b / ) / ST q": ["assign q (NOT (OR a b))"],
    "LD a / OR( / LDN b / AND c / ) / ST q": ["assign q (OR a (AND (NOT b) c))"],
    "LD %IX1.0 / AND %MX2.3 / ST %QX0.0": ["assign %QX0.0 (AND %IX1.0 %MX2.3)"],
    "LD a.b[2].c / ST d[i]": ["assign d[i] a.b[2].c"],
    "LD w.%X3 / ST w.%X4": ["assign w.%X4 w.%X3"],
    "LD -5 / ST q": ["assign q (NEG 5)"],
    "LD T#5s / ST t1.PT": ["assign t1.PT T#5s"],
    "LD 16#FF / ST q": ["assign q 16#FF"],
    "LD 'a;b(*' / ST q": ["assign q 'a;b(*'"],
    "LD Color#Red / EQ c / ST q": ["assign q (= Color#Red c)"],
    "LD a / ST q / LD b / ST r": ["assign q a", "assign r b"],
    "LD a / ST q / AND b / ST r": ["assign q a", "assign r (AND a b)"],
    "LD a / STN q / AND b / ST r": ["assign q (NOT a)", "assign r (AND a b)"],
    # jumps, returns, labels
    "JMP x / x: LD a / ST q": ["jump x", "label x", "assign q a"],
    "JMP x / x: / LD a / ST q": ["jump x", "label x", "assign q a"],
    "LD a / JMPC x / LD b / ST q / x: LD c / ST r": ["jump x when a", "assign q b", "label x", "assign r c"],
    "LD a / JMPCN x / LD b / ST q / x: LD c / ST r": ["jump x when (NOT a)", "assign q b", "label x", "assign r c"],
    "RET": ["return"],
    "LD a / RETC / LD b / ST q": ["return when a", "assign q b"],
    "LD a / RETCN / LD b / ST q": ["return when (NOT a)", "assign q b"],
    # calls of function blocks, table 69
    "CAL t": ["call t()"],
    "CAL t()": ["call t()"],
    "CAL t(IN := a, PT := T#5s)": ["call t(IN:=a PT:=T#5s)"],
    "CAL t( / IN := a, / PT := T#5s / )": ["call t(IN:=a PT:=T#5s)"],
    "CAL t(IN := a, Q => b, NOT E => c)": ["call t(IN:=a Q=>b NOT E=>c)"],
    "CAL t(a, T#5s)": ["call t(a T#5s)"],
    "CAL t[3](IN := a)": ["call t[3](IN:=a)"],
    "LD c / CALC t(IN := a)": ["call t(IN:=a) when c"],
    "LD c / CALCN t(IN := a)": ["call t(IN:=a) when (NOT c)"],
    "LD a / ST t.IN / CAL t / LD t.Q / ST q": ["assign t.IN a", "call t()", "assign q t.Q"],
    # input operators, table 70: the same as CAL with that one input
    "LD 15 / PV c10 / LD %IX1.0 / CU c10": ["call c10(PV:=15)", "call c10(CU:=%IX1.0)"],
    "LD a / CD c10": ["call c10(CD:=a)"],
    "LD a / CLK e": ["call e(CLK:=a)"],
    "LD a / S1 ff / LD b / R1 ff": ["call ff(S1:=a)", "call ff(R1:=b)"],
    "LD a / IN t / LD T#5s / PT t": ["call t(IN:=a)", "call t(PT:=T#5s)"],
    # functions: the accumulator is the first argument
    "LD a / LIMIT 1, 5 / ST q": ["assign q LIMIT(a 1 5)"],
    "LD a / SIN / ST q": ["assign q SIN(a)"],
    "LD a / INT_TO_REAL / ST q": ["assign q INT_TO_REAL(a)"],
    "LD a / MAX b, c, d / ST q": ["assign q MAX(a b c d)"],
    "LIMIT(MN := 1, IN := a, MX := 5) / ST q": ["assign q LIMIT(MN:=1 IN:=a MX:=5)"],
    "LIMIT( / EN := e, / IN := a, / ENO => ok / ) / ST q": ["assign q LIMIT(EN:=e IN:=a ENO=>ok)"],
    # comments, blank lines, semicolons of no meaning
    "(* one *) / LD a (* two *)\n\nST q // three": ["remark one", "remark two", "remark three", "assign q a"],
    # references
    "LD p^ / ST q^": ["assign q^ p^"],
}


@pytest.mark.parametrize("text", SEQUENCES)
def test_sequences(text: str) -> None:
    assert il(text) == SEQUENCES[text]


@pytest.mark.parametrize("text", SEQUENCES)
def test_line_ends_and_tabs_do_not_matter(text: str) -> None:
    assert [trees.tree(s) for s in parse_il(text.replace(" / ", "\r\n\t"))] == SEQUENCES[text]


def test_the_accumulator_is_saved_before_what_it_reads_is_written() -> None:
    assert il("LD a / AND b / S a / ST q") == ["assign _v1 (AND a b)", "set a _v1", "assign q _v1"]
    assert il("LD a / ADD 1 / ST i / LD x[i] / ADD i / ST i / ST q") == [
        "assign i (+ a 1)", "assign i (+ x[i] i)", "assign q i",
    ]  # fmt: skip


def test_the_accumulator_is_not_read_after_a_call() -> None:
    """Undefined by the standard after CAL: never guessed."""
    assert all(line.startswith("verbatim") for line in il("LD a / CAL t / ST q"))


def test_an_odd_line_spoils_only_its_own_sequence() -> None:
    assert il("LD a / ST q / LD b / FROB? c / ST r / LD d / ST s") == [
        "assign q a", "verbatim LD b\nFROB? c\nST r", "assign s d",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "text",
    ["ST q", "AND a / ST q", "LD a / AND( b / ST q", "LD a / ) / ST q", "LD a / JMP", "LD / ST q", "LD a b / ST q", "LD a / ST",
     "JMP x y", "JMPC x", "LD a / CU", "LD a / ST 5", "LD a / AND", "LD a / S", "CAL", "LD a / CALN t", "LD a / LDC b / ST q",
     "LD a / STC q", "LD a / JMPN x", "LD a / RETN"],
)  # fmt: skip
def test_no_instruction_list_of_the_standard(text: str) -> None:
    lines = il(text)
    assert any(line.startswith("verbatim") for line in lines), lines


def test_a_jump_into_nowhere_is_kept() -> None:
    assert il("LD a / JMPC nowhere / LD b / ST q") == ["jump nowhere when a", "assign q b"]


NEVER_GUESSED = {
    "a value nobody uses": ("LD a / LD b / ST q", ["verbatim LD a", "assign q b"]),
    "the accumulator behind a call": ("CAL t / ST q", ["verbatim CAL t\nST q"]),
    "and behind a conditional one": ("LD a / CALC t / ST q", ["verbatim LD a\nCALC t\nST q"]),
    "a store within parentheses": ("LD a / AND( b / ST a / ) / ST q", ["verbatim LD a\nAND( b\nST a\n)\nST q"]),
    "a label that one way reaches without a value": (
        "JMP x / LD b / x: ST q", ["verbatim JMP x\nLD b\nx: ST q"],
    ),
    "two labels of one name": ("x: LD a / ST q / X: LD b / ST r", ["verbatim x: LD a\nST q\nX: LD b\nST r"]),
    "positional arguments in parentheses": ("LD a / ST q / MAX(b) / ST r", ["assign q a", "verbatim MAX(b)\nST r"]),
    "what follows an unconditional return": ("LD a / ST q / RET / ST r", ["verbatim LD a\nST q\nRET\nST r"]),
}  # fmt: skip


@pytest.mark.parametrize("name", NEVER_GUESSED)
def test_what_the_standard_does_not_say_is_not_guessed(name: str) -> None:
    text, expected = NEVER_GUESSED[name]
    assert il(text) == expected


def test_a_nested_list_runs_from_top_to_bottom() -> None:
    """Instructions have no precedence: ``OR b, AND c`` is ``(a OR b) AND c``."""
    assert il("LD( a / OR b / AND c / ) / ST q") == ["assign q (AND (OR a b) c)"]
    assert il("LD x / AND( a / OR b / AND c / ) / ST q") == ["assign q (AND x (OR a b) c)"]
    assert il("LD x / MUL( a / ADD b / MUL c / ) / ST q") == ["assign q (* x (* (+ a b) c))"]


def test_shared_memory_and_impure_functions_are_evaluated_once() -> None:
    assert il("LD %MW0 / ADD 1 / ST %MB1 / ST q") == ["assign %MB1 (+ %MW0 1)", "assign q %MB1"]
    assert il("LD %MW0 / ADD 1 / ST %MB2 / ST q") == ["assign %MB2 (+ %MW0 1)", "assign q (+ %MW0 1)"]
    assert il("LD a / ADD 1 / ST p^ / ST q") == ["assign p^ (+ a 1)", "assign q p^"]
    assert il("LD a / Next / ST q / ST r") == ["assign q Next(a)", "assign r q"]
    assert il("LD a / Next / S q / ST r") == ["assign _v1 Next(a)", "set q _v1", "assign r _v1"]
    assert il("LD a / SIN / ST q / ST r") == ["assign q SIN(a)", "assign r SIN(a)"]


def test_a_long_accumulator_is_cut_into_temporaries() -> None:
    lines = il("LD a" + " / ADD 1" * 150 + " / ST q")
    assert [line.split()[:2] for line in lines] == [["assign", "_v1"], ["assign", "_v2"], ["assign", "q"]]
    assert sum(line.count("(+") for line in lines) == 150
