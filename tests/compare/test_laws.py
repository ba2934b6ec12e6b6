"""Laws that hold for every pair of copies."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as s
from msgspec.structs import replace

from asfound.compare.comparison import compare
from asfound.compare.result import EFFECTS, Change, Comparison
from asfound.language.normal import normal_sha256
from asfound.model.copy import Copy, Source
from asfound.model.logic import Assign, Branch, Edge, Expression, If, Literal, Operation, Statement, Variable
from asfound.model.program import Body, Network, Pou, Program, VariableDeclaration
from asfound.model.tags import Tag, TagTable

from . import building as b

ROOT = Path(__file__).resolve().parents[2]
NAMES = ("A", "B", "C", "D")


def expressions() -> s.SearchStrategy[Expression]:
    leaf = s.sampled_from(NAMES).map(Variable)
    return s.recursive(
        s.one_of(leaf, leaf.map(lambda v: Edge("rising", v)), s.sampled_from(("TRUE", "FALSE")).map(Literal)),
        lambda inner: s.one_of(
            inner.map(lambda e: Operation("NOT", (e,))),
            s.tuples(s.sampled_from(("AND", "OR", "XOR")), inner, inner).map(lambda t: Operation(t[0], (t[1], t[2]))),
        ),
        max_leaves=5,
    )


def assignments() -> s.SearchStrategy[Statement]:
    kinds = s.sampled_from(("assign", "set", "reset"))
    return s.builds(Assign, s.sampled_from(("X", "Y", "A")).map(Variable), expressions(), kinds)


def statements() -> s.SearchStrategy[Statement]:
    inner = s.lists(assignments(), min_size=1, max_size=2).map(tuple)
    branch = s.builds(Branch, expressions(), inner)
    return s.one_of(assignments(), s.builds(lambda b, o: If((b,), o), branch, s.one_of(s.just(()), inner)))


def pous() -> s.SearchStrategy[Pou]:
    networks = s.lists(s.builds(Network, s.lists(assignments(), min_size=1, max_size=2).map(tuple)), max_size=4)
    ladder = networks.map(lambda n: Body("LD", networks=tuple(n)))
    text = s.lists(statements(), max_size=4).map(lambda n: Body("ST", tuple(n)))
    declared = s.lists(s.sampled_from((*NAMES, "X", "Y")), unique=True, max_size=4).map(
        lambda names: tuple(VariableDeclaration(n, "BOOL") for n in names)
    )
    return s.builds(
        lambda name, body, variables: Pou(name, "program", variables=variables, bodies=(body,)),
        s.sampled_from(("P", "Q", "R")),
        s.one_of(ladder, text),
        declared,
    )


def copies() -> s.SearchStrategy[Copy]:
    tags = s.lists(
        s.builds(Tag, s.sampled_from(NAMES), s.sampled_from(("%IX0.0", "%IX0.1", "")), s.just("BOOL")), max_size=3
    )
    return s.builds(
        lambda found, rows: Copy(program=Program(pous=tuple(found)), tables=(TagTable("T", tuple(rows)),)),
        s.lists(pous(), max_size=2, unique_by=lambda p: p.name),
        tags,
    )


QUICK = settings(max_examples=120, suppress_health_check=[HealthCheck.too_slow])


@given(copies())
@QUICK
def test_a_copy_does_not_differ_from_itself(copy: Copy) -> None:
    assert compare(copy, copy).changes == ()


@given(copies(), copies())
@QUICK
def test_both_directions_mirror_each_other(old: Copy, new: Copy) -> None:
    there, back = compare(old, new), compare(new, old)
    assert sorted(map(_forth, there.changes)) == sorted(map(_back, back.changes))


def _forth(c: Change) -> tuple[str, ...]:
    return c.area, c.kind, c.effect, str(c.before), str(c.after)


def _back(c: Change) -> tuple[str, ...]:
    kind = {"added": "removed", "removed": "added"}.get(c.kind, c.kind)
    return c.area, kind, c.effect, str(c.after), str(c.before)


@given(copies(), copies())
@QUICK
def test_nothing_is_said_exactly_when_the_normal_forms_agree(old: Copy, new: Copy) -> None:
    assert (compare(old, new).changes == ()) == (normal_sha256(old) == normal_sha256(new))


@given(copies(), copies())
@QUICK
def test_order_ids_and_counts(old: Copy, new: Copy) -> None:
    found = compare(old, new)
    assert [c.id for c in found.changes] == list(range(1, len(found.changes) + 1))
    assert sum(msgspec.structs.astuple(found.counts)) == len(found.changes)
    if found.changes:
        assert found.verdict == max((c.effect for c in found.changes), key=EFFECTS.index)


def test_equal_content_of_other_bytes_is_noise() -> None:
    old = replace(b.STATION, sources=(Source("a.xml", "11", 3, "tc6"),))
    new = replace(b.STATION, sources=(Source("a.xml", "22", 3, "tc6"),))
    assert (compare(old, old).verdict, compare(old, new).verdict) == ("identical", "noise")


def test_limits_of_both_copies_are_told() -> None:
    found = compare(replace(b.STATION, limits=("no tasks",)), replace(b.STATION, limits=("open addresses",)))
    assert found.limits == ("no tasks", "open addresses")


SCRIPT = """
import sys, msgspec
sys.path.insert(0, {tests!r})
from tests.compare import building as b
from asfound.compare.comparison import compare
new = b.with_rungs(*b.RUNGS[::-1])
new = msgspec.structs.replace(new, tables=(), hardware=type(new.hardware)())
print(msgspec.json.encode(compare(b.STATION, new)).decode())
"""


def test_the_result_does_not_depend_on_the_hash_seed() -> None:
    outputs = []
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "src")}
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT.format(tests=str(ROOT))],
            env=environment, capture_output=True, check=True, cwd=ROOT,
        )  # fmt: skip
        outputs.append(run.stdout)
    assert outputs[0] == outputs[1]
    assert json.loads(outputs[0])["counts"]["behaviour"] > 3


def test_comparing_equal_copies_loads_no_solver() -> None:
    code = (
        "import sys; from tests.compare import building as b; from asfound.compare.comparison import compare;"
        "compare(b.STATION, b.STATION); print(sorted({'z3', 'deepdiff'} & set(sys.modules)))"
    )
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    run = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, check=True, cwd=ROOT)
    assert run.stdout.decode().strip() == "[]"


def test_the_json_reads_back() -> None:
    found = compare(b.STATION, b.with_rungs(*b.RUNGS[:3]))
    assert msgspec.json.decode(msgspec.json.encode(found), type=Comparison) == found


CORPUS = ROOT / ".." / "shared" / "corpus" / "evolution"
SERIES = ("01", "02", "03", "04a", "05", "08", "09", "10")


@pytest.mark.skipif(not CORPUS.exists(), reason="../shared absent")
@pytest.mark.parametrize(("old", "new"), list(pairwise(SERIES)))
def test_a_published_series_gives_named_edits(old: str, new: str) -> None:
    from asfound.readers.reading import read

    before, after = read(CORPUS / f"scenario-{old}.xml"), read(CORPUS / f"scenario-{new}.xml")
    there, back = compare(before, after), compare(after, before)
    assert 0 < len(there.changes) < 150
    assert sorted(map(_forth, there.changes)) == sorted(map(_back, back.changes))
    assert not [c for c in there.changes if "position" in c.summary or "localId" in c.summary]
