"""What the exports of a copy cannot show, said in sentences; every report repeats them."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.language.walk import every_body, every_statement
from asfound.model.copy import Copy
from asfound.model.logic import Remark
from asfound.model.program import Program

SHOWN = 5
"""Names that are listed where there are many."""


def limits_of(copy: Copy) -> tuple[str, ...]:
    """What cannot be known from all exports of a copy together."""
    program = copy.program
    found = (*_tasks(program), *_libraries(program), *_addresses(program), *_elsewhere(copy), *_nested(program))
    return tuple(found)


def _tasks(program: Program) -> Iterator[str]:
    if program.pous and not program.resources:
        yield "no export holds tasks or a configuration: what runs when is not known"


def _libraries(program: Program) -> Iterator[str]:
    floating = {b.name for b in program.libraries if b.name and ("*" in b.version or not b.version)}
    if floating:
        names = ", ".join(sorted(floating))
        yield f"libraries without a fixed version, so that which one is linked is not known: {names}"


def _addresses(program: Program) -> Iterator[str]:
    blocks = (*(p.variables for p in program.pous), *(g.variables for g in program.globals))
    if any(v.address.endswith("*") for variables in blocks for v in variables):
        yield "addresses are left open (%I*, %Q*): they are bound outside the exports"


def _elsewhere(copy: Copy) -> Iterator[str]:
    """External variables that no export declares: their type, address and start value come from somewhere else."""
    program = copy.program
    known = {v.name.lower() for g in program.globals for v in g.variables}
    known |= {tag.name.lower() for table in copy.tables for tag in table.tags}
    external = {v.name.lower(): v.name for p in program.pous for v in p.variables if v.section == "external"}
    missing = sorted(name for key, name in external.items() if key not in known)
    if missing:
        more = f" and {len(missing) - SHOWN} more" if len(missing) > SHOWN else ""
        yield f"global variables are declared outside the exports: {', '.join(missing[:SHOWN])}{more}"


def _nested(program: Program) -> Iterator[str]:
    """Comments that open a second time: IEC 61131-3 lets them nest since its third edition, older compilers do not."""
    for pou in program.pous:
        written = (s for body in every_body(pou) for outer in body.statements for s in every_statement(outer))
        if any(isinstance(statement, Remark) and "(*" in statement.text for statement in written):
            yield f"{pou.name}: a comment holds '(*'; where comments nest, the code behind it may be a comment too"
