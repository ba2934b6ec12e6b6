"""The law: printing then parsing gives the same model, and printing that again gives the same text."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, Phase, Verbosity, given, settings
from hypothesis import strategies as st

from asfound.language import printer, statement_printer
from asfound.language.documents import parse_program
from asfound.language.normal import normal_form, read_normal_form
from asfound.language.parser import parse_expression, parse_statements

from . import strategies as s
from .same import same

law = settings(
    max_examples=150,
    suppress_health_check=list(HealthCheck),
    phases=[Phase.explicit, Phase.reuse, Phase.generate, Phase.shrink],
    verbosity=Verbosity.quiet,  # printing a large example takes minutes; the assertion names the first difference
)
few = settings(law, max_examples=60, phases=[Phase.explicit, Phase.reuse, Phase.generate])


@law
@given(s.EXPRESSIONS)
def test_expressions(e):
    text = statement_printer.expression(e)
    same(parse_expression(text, dialect=True), e, text)
    assert statement_printer.expression(parse_expression(text, dialect=True)) == text


@law
@given(s.BODY_STATEMENTS)
def test_statements(body):
    text = statement_printer.statements(body)
    same(parse_statements(text, dialect=True), body, text)


@few
@given(s.POUS)
def test_pous(pou):
    text = printer.pou(pou)
    parsed = parse_program(text, "law", dialect=True)
    same(parsed.pous, (pou,), text)
    assert printer.pou(parsed.pous[0]) == text


@law
@given(s.DATA_TYPES)
def test_types(kind):
    text = "TYPE\n" + printer.data_type(kind) + "END_TYPE\n"
    same(parse_program(text, "law", dialect=True).types, (kind,), text)


@law
@given(s.GLOBALS)
def test_globals(block):
    text = printer.global_list(block)
    same(parse_program(text, "law", dialect=True).globals, (block,), text)


@law
@given(s.RESOURCES)
def test_resources(resource):
    text = printer.resource(resource)
    same(parse_program(text, "law", dialect=True).resources, (resource,), text)


@few
@given(s.COPIES)
def test_normal_form_of_a_normal_form_is_itself(copy):
    files = normal_form(copy)
    back = read_normal_form(files)
    same(normal_form(back), files)
    for part in ("pous", "types", "globals", "resources", "libraries", "extensions"):
        ours, theirs = getattr(copy.program, part), getattr(back.program, part)
        assert len(ours) == len(theirs)
        same(sorted(ours, key=repr), sorted(theirs, key=repr))
    assert back.program.heading == copy.program.heading
    assert back.hardware == copy.hardware
    assert sorted(map(repr, back.values)) == sorted(map(repr, copy.values))
    assert sorted(map(repr, back.forces)) == sorted(map(repr, copy.forces))


@few
@given(s.COPIES, st.randoms(use_true_random=False))
def test_order_in_the_export_is_noise(copy, random):
    program = copy.program
    shuffled = {}
    for part in ("pous", "types", "globals", "resources", "libraries", "extensions"):
        items = list(getattr(program, part))
        random.shuffle(items)
        shuffled[part] = tuple(items)
    other = type(copy)(
        program=type(program)(heading=program.heading, **shuffled), tables=copy.tables[::-1], hardware=copy.hardware,
        values=copy.values[::-1], forces=copy.forces[::-1],
    )  # fmt: skip
    same(normal_form(other), normal_form(copy))


@few
@given(s.COPIES)
def test_paths_are_safe_everywhere(copy):
    paths = list(normal_form(copy))
    assert len({path.lower() for path in paths}) == len(paths)
    for path in paths:
        assert path.isascii()
        for name in path.split("/"):
            assert name and len(name) <= 255 and not name.endswith((".", " ")) and name not in (".", "..")
            assert name.partition(".")[0].upper() not in ("CON", "PRN", "AUX", "NUL", "COM1", "LPT1")


@law
@given(st.text(max_size=40) | s.ODD_TEXT)
@pytest.mark.parametrize("dialect", [False, True])
def test_reading_never_raises(dialect, text):
    parse_expression(text, dialect=dialect)
    parse_statements(text, dialect=dialect)


TOKENS = (
    "IF THEN ELSE ELSIF END_IF CASE OF END_CASE FOR TO BY DO END_FOR WHILE END_WHILE REPEAT UNTIL END_REPEAT RETURN "
    "EXIT JMP NOT AND x y 1 1.5 T#5s := => ; : , ( ) [ ] ^ .. + - * S= R= {p} (*c*) //c\n 'a' %IX0.0 .b & #"
)
WORDS = st.lists(st.sampled_from(TOKENS.split(" ")), max_size=14)


@settings(law, max_examples=400)
@given(WORDS)
def test_no_token_of_a_body_gets_lost(words):
    """Whatever order tokens come in, printing and reading again settles at once."""
    found = parse_statements(" ".join(words))
    same(parse_statements(statement_printer.statements(found), dialect=True), found, words)
