"""The logic extracted from every ladder of the corpus equals the text an independent compiler made of it.

External source: the ``.st`` files beside the ladders (see ../shared/corpus/README.md). Two generations of that compiler
order the statements by position or by file order; either is accepted, nothing else.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from oracle import Machine, differs

import asfound
from asfound.language.documents import parse_program
from asfound.model.logic import Assign
from asfound.readers.drawing.flow import run
from asfound.readers.drawing.order import sinks
from asfound.readers.drawing.temporaries import inline
from asfound.readers.tc6.diagram import diagram
from asfound.readers.xml import local, parse

LADDERS = Path(__file__).parents[2].parent / "shared" / "corpus" / "ladder"
pytestmark = pytest.mark.skipif(not LADDERS.is_dir(), reason="../shared is not here")
FILES = sorted(LADDERS.glob("*.xml")) if LADDERS.is_dir() else []


def drawn_bodies(path: Path) -> dict[str, tuple[list, set[str]]]:
    """Statements of each ladder POU for both orders, and the names it declares."""
    root = parse(path.read_bytes(), path.name)
    found = {}
    for pou in root.iter("{*}pou"):
        names = {v.get("name").casefold() for v in pou.iterfind("{*}interface/*/{*}variable")}
        for body in pou.iter("{*}LD", "{*}FBD"):
            drawn = diagram(body)
            assert local(body) == "LD"
            orders = (sinks(drawn.items, file_order=False), sinks(drawn.items, file_order=True))
            statements = [[r.statement for r in inline(run(drawn, o).runs)] for o in orders]
            found[pou.get("name").casefold()] = statements, names
    return found


def declared_types(pou) -> dict[str, str]:
    return {v.name.casefold(): v.type.casefold() for v in pou.variables}


def misses(statements, generated, types, drawn: set[str]) -> list[str]:
    """Variables whose written values differ, in the order of writing; empty when the two bodies are equal.

    ``drawn`` are the names declared in the drawing: the compiler's own temporaries and triggers are not compared.
    """
    mine, theirs = Machine(types), Machine(types)
    mine.run(statements)
    theirs.run(generated)
    wrong = []
    for name in sorted({n for n, _ in theirs.written} | {n for n, _ in mine.written}):
        if name.removesuffix(" state").partition(".")[0] not in drawn:
            continue
        ours, text = ([v for n, v in machine.written if n == name] for machine in (mine, theirs))
        if len(ours) != len(text) or any(differs(a, b) for a, b in zip(ours, text, strict=True)):
            wrong.append(name)
    return wrong


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_extracted_logic_equals_the_generated_text(path: Path) -> None:
    text = parse_program(path.with_suffix(".st").read_text(encoding="utf-8"), path.stem)
    pous = {p.name.casefold(): p for p in text.pous}
    checked = 0
    for name, (orders, names) in drawn_bodies(path).items():
        pou = pous[name]
        generated = [s for body in pou.bodies for s in body.statements]
        results = [misses(statements, generated, declared_types(pou), names) for statements in orders]
        assert [] in results, f"{name}: by position {results[0]}, in file order {results[1]}"
        checked += sum(isinstance(s, Assign) for s in orders[0])
    assert checked >= 2


def test_the_check_itself_can_fail() -> None:
    """Dropping one contact anywhere in a ladder is noticed."""
    path = LADDERS / "conveyor.xml"
    broken = path.read_bytes().replace(b'negated="false"', b'negated="true"', 1)
    copy = asfound.read(broken, "conveyor.xml")
    text = parse_program(path.with_suffix(".st").read_text(encoding="utf-8"), "conveyor")
    (pou,) = copy.program.pous
    statements = [s for n in pou.bodies[0].networks for s in n.statements]
    generated = list(text.pous[0].bodies[0].statements)
    names = {v.name.casefold() for v in pou.variables}
    assert misses(statements, generated, declared_types(text.pous[0]), names)
