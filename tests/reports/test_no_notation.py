"""What only makes the normal form exact reaches no report: marks in braces, numbers of wires, operators of coils.

Every real export and every sample is compared with itself after seeded edits of its logic, and what all reports, the
text for git and the statement say is searched.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from msgspec.structs import replace
from tests.reports.test_every_word_arrives import CORPUS, ROOT, reports

import asfound
from asfound.cli.show import for_people
from asfound.evidence.statement import Earlier, compared
from asfound.language.documents import parse_program
from asfound.language.normal import normal_form
from asfound.language.pragmas import WORDS
from asfound.model.copy import Copy
from asfound.model.logic import Assign, Call, Operation, Return, Statement, Temporary, Unparsed, Variable
from asfound.model.program import Body, Order

COILS = r"(?<![\w:<>=?])(?:[SR]|REF|\?)= "
OURS = re.compile(rf"\{{(?:{'|'.join(sorted(WORDS))})[\s}}]|\b_v\d+\b|{COILS}|NOT NOT |\$7[BD];")
"""In a report nothing of it."""
HARD = re.compile(rf"\{{(?:when|call|doubt|name)[\s}}]|\b_v\d+\b|{COILS}|NOT NOT ")
"""In the normal form itself not what is hard to read: what must be told stands in plain words on a line of its own."""

Edit = Callable[[Statement], tuple[Statement, ...]]
FILES = sorted(path for path in CORPUS.glob("*/*.*") if path.suffix in (".xml", ".st")) if CORPUS.is_dir() else []
SAMPLES = sorted((ROOT / "sample_exports").glob("*/*/running"))


def _kind(statement: Statement, kind: str) -> Statement:
    return replace(statement, kind=kind, condition=None) if isinstance(statement, Assign) else statement


EDITS: tuple[Edit, ...] = (
    lambda s: (),
    lambda s: (_kind(s, "set"),),
    lambda s: (_kind(s, "reset"),),
    lambda s: (_kind(s, "reference"),),
    lambda s: (_kind(s, "attempt"),),
    lambda s: (s, Return(Variable("Pump 1"))),
    lambda s: (replace(s, type="TOF"),) if isinstance(s, Call) else (s, s),
    lambda s: (replace(s, value=Operation("NOT", (Operation("NOT", (s.value,)),))),) if isinstance(s, Assign) else (),
    lambda s: (replace(s, condition=Unparsed("what {is} this")),) if isinstance(s, Assign | Call) else (),
    lambda s: (Assign(Temporary(99, "MOD.OUT"), s.value), replace(s, value=Temporary(99, "MOD.OUT")))
    if isinstance(s, Assign)
    else (s,),
)  # fmt: skip


def edited(copy: Copy, seed: int) -> Copy:
    """A third of the statements of all POUs changed, came or went."""
    rng = random.Random(seed)

    def some(statements: tuple[Statement, ...]) -> tuple[Statement, ...]:
        return tuple(e for s in statements for e in (rng.choice(EDITS)(s) if rng.random() < 0.3 else (s,)))

    def body(found: Body) -> Body:
        kept = [n for n in found.networks if rng.random() > 0.05]
        networks = tuple(replace(n, statements=some(n.statements)) for n in kept)
        return replace(found, statements=some(found.statements), networks=networks, order=Order())

    pous = tuple(replace(p, bodies=tuple(map(body, p.bodies))) for p in copy.program.pous if rng.random() > 0.05)
    return replace(copy, program=replace(copy.program, pous=pous))


def texts(old: Copy, new: Copy) -> dict[str, str]:
    """What everything says that a person reads."""
    comparison = asfound.compare(old, new)
    found = reports(comparison)
    stated = compared(comparison, "running", Earlier("1", "as-left", "2026-01-01T00:00:00Z", "0" * 40, "0" * 64))
    found["statement"] = "\n".join(f"{c.where}: {c.summary}" for c in stated.changes)
    found |= {f"git, {side}": for_people(copy) for side, copy in (("old", old), ("new", new))}
    return found


@pytest.mark.parametrize("path", [*FILES, *SAMPLES], ids=lambda path: "-".join(path.parts[-3:]))
def test_no_report_holds_our_notation(path: Path) -> None:
    old = asfound.read(path)
    new = next(other for seed in range(99) if (other := edited(old, seed)) != old)
    for name, text in texts(old, new).items():
        assert sorted({text[m.start() - 40 : m.end() + 40] for m in OURS.finditer(text)}) == [], name
    assert [m.group() for text in normal_form(old).values() for m in HARD.finditer(text)] == []


@pytest.mark.parametrize(
    "text",
    ["{when} IF a THEN", '{name "MOD"}(a)', "{call TON} T1();", '{doubt "by $7B;"}', "x := _v1;", "a R= b;", "a S= b;", "a REF= b;", "a ?= b;",
     "NOT NOT a", "{chart}", '{wire "1"}'],
)  # fmt: skip
def test_it_would_be_found(text: str) -> None:
    assert OURS.search(text)


@pytest.mark.parametrize("text", ["IF S = 1 THEN", "a >= b", "{attribute 'x'}", "_valve1", "NOT (NOT a)"])
def test_what_is_no_notation_of_ours(text: str) -> None:
    assert not OURS.search(text)


def test_what_an_earlier_version_wrote_is_read() -> None:
    """Both texts are one program: a backup of before and one of now differ in nothing."""
    head = "{normal 1}\nPROGRAM P\nVAR\n  T1 : TON;\n  a, b, c : BOOL;\n  i : INT;\nEND_VAR\n{body LD}\n"
    before = f"""{head}{{doubt "by file order b (2) runs before _v1"}}
{{network}}
  {{call TON}} T1(IN := a);
  b S= T1.Q;
  b R= NOT NOT a;
{{network}}
  _v1 := {{name "MOD"}}(i, 2);
  {{when}} IF a THEN i := _v1; END_IF;
  {{when}} IF c THEN JMP Done; END_IF;
  c := GT(_v1, 1);
END_PROGRAM
"""
    now = f"""{head}{{compilers differ: by file order b (2) runs before wire 1}}
{{network}}
  T1(IN := a);
  IF T1.Q THEN b := TRUE; END_IF;
  IF NOT (NOT a) THEN b := FALSE; END_IF;
{{network}}
{{wire wire_1}}
  wire_1 := MOD(i, 2);
  IF a THEN i := wire_1; END_IF;
  IF c THEN JMP Done; END_IF;
  c := GT(wire_1, 1);
END_PROGRAM
"""
    old, new = (Copy(program=parse_program(text, "p.st", dialect=True)) for text in (before, now))
    assert old == new and old.program.pous[0].bodies[0].order.doubts[0].places == ((0, 2), (1, 0))
    whole = now.replace("a, b, c : BOOL", "a : BOOL;\n  b : BOOL;\n  c : BOOL")
    assert normal_form(new) == normal_form(old) == {"program/pous/P.st": whole}
