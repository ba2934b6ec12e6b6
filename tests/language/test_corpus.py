"""All text in real exports is understood (external source: ../shared/corpus, see its README)."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from lxml import etree

from asfound.language import printer, statement_printer
from asfound.language.documents import parse_program
from asfound.language.parser import parse_expression, parse_statements
from asfound.model.logic import Node, Unparsed, Verbatim

CORPUS = Path(__file__).parents[2].parent / "shared" / "corpus"
pytestmark = pytest.mark.skipif(not CORPUS.is_dir(), reason="../shared is not here")
TEXTS = sorted(CORPUS.glob("ladder/*.st"))
EXPORTS = sorted(CORPUS.glob("*/*.xml"))


def nodes(value):
    if isinstance(value, tuple):
        for item in value:
            yield from nodes(item)
    elif isinstance(value, Node):
        yield value
        for name in value.__struct_fields__:
            yield from nodes(getattr(value, name))


def not_understood(value):
    return [
        node.text
        for node in nodes(value)
        if isinstance(node, Unparsed) or (isinstance(node, Verbatim) and not node.text.startswith("{"))
    ]


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: path.stem)
def test_generated_text_is_read_whole(path):
    program = parse_program(path.read_text(encoding="utf-8"), path.name)
    assert program.pous and program.resources
    assert not_understood((program.pous, program.types, program.globals, program.resources)) == []
    assert all(extension.text.startswith("&(") for extension in program.extensions), "only debugging remains"
    for pou in program.pous:
        assert parse_program(printer.pou(pou), "again", dialect=True).pous == (pou,)


def test_every_body_and_condition_is_understood():
    counts: Counter[str] = Counter()
    odd = []
    for path in EXPORTS:
        root = etree.parse(path)
        for element in root.iter("{*}ST"):
            if element.getparent().getparent().tag.endswith("}condition"):
                odd += not_understood(parse_expression("".join(element.itertext())))
                continue
            found = parse_statements("".join(element.itertext()))
            counts["bodies"] += 1
            counts["statements"] += len(found)
            odd += not_understood(found)
            assert parse_statements(statement_printer.statements(found), dialect=True) == found
        for element in root.iter("{*}expression"):
            text = "".join(element.itertext())
            found = parse_expression(text)
            counts["expressions"] += 1
            odd += not_understood(found)
            assert parse_expression(statement_printer.expression(found), dialect=True) == found
    assert odd == []
    assert counts["bodies"] > 400 and counts["expressions"] > 1400
    print(dict(counts))
