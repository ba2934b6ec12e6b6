"""Every TC6 file read by an independent object model gives the same POUs, variables, types and tasks.

External source: the PyPI package ``plcopen`` 1.0.1 (classes generated from the published TC6 2.01 schema), parsed by
``xsdata``. Parsing is strict: an element or attribute that the schema does not know fails the sample. The schema file
itself is only in the source archive of the package (see test_schema.py), so this is the check that needs no network.
Files in the namespace of 2.0 are read as 2.01, which added to it; what stands in extension data is outside the model.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from plcopen.project import Project
from xsdata.exceptions import ParserError
from xsdata.formats.dataclass.context import XmlContext
from xsdata.formats.dataclass.parsers import XmlParser
from xsdata.formats.dataclass.parsers.config import ParserConfig

import asfound
from asfound.language.types import canonical_type
from asfound.model.program import Pou, VariableDeclaration
from asfound.readers.tc6 import READER
from samples.make_samples import ROOT

CORPUS = ROOT.parents[1] / "shared" / "corpus"
CASES = sorted((ROOT.parent / "tests" / "cases").rglob("*.xml"))
FILES = [*sorted(ROOT.rglob("program.xml")), *(p for p in CASES if b"tc6_020" in p.read_bytes()[:600])]
REAL = sorted(CORPUS.glob("*/*.xml")) if CORPUS.is_dir() else []
SECTIONS = {
    "input_vars": "input",
    "output_vars": "output",
    "in_out_vars": "in_out",
    "local_vars": "local",
    "temp_vars": "temp",
    "external_vars": "external",
    "global_vars": "global",
    "access_vars": "access",
}
KINDS = {"functionBlock": "function_block", "program": "program", "function": "function"}
CONTEXT = XmlContext()
Declared = tuple[str, str, str, bool, str, bool]
"""Name, type, address as written, constant, retain, persistent."""


def parsed(path: Path, strict: bool) -> Any:
    text = path.read_bytes().replace(b"plcopen.org/xml/tc6_0200", b"plcopen.org/xml/tc6_0201")
    config = ParserConfig(fail_on_unknown_properties=strict, fail_on_unknown_attributes=strict)
    return XmlParser(config=config, context=CONTEXT).from_bytes(text, Project)


def type_of(holder: Any) -> str:
    """IEC text of a ``dataType`` of the object model; the one field that is set is the kind."""
    ((kind, value),) = [(name, value) for name, value in vars(holder).items() if value is not None]
    if kind == "derived":
        return str(value.name)
    if kind in ("string", "wstring"):
        return kind.upper() + (f"[{value.length}]" if value.length else "")
    if kind == "array":
        ranges = ", ".join(f"{d.lower}..{d.upper}" for d in value.dimension)
        return f"ARRAY[{ranges}] OF {type_of(value.base_type)}"
    if kind == "pointer":
        return f"POINTER TO {type_of(value.base_type)}"
    if kind.startswith("subrange"):
        return f"{type_of(value.base_type)} ({value.range.lower}..{value.range.upper})"
    if kind == "enum":
        values = ", ".join(v.name + (f" := {v.value}" if v.value else "") for v in value.values.value)
        return f"({values}) {type_of(value.base_type) if value.base_type else ''}".rstrip()
    if kind == "struct":
        return f"STRUCT {' '.join(map(member, value.variable))} END_STRUCT"
    return kind.removesuffix("_value").upper()


def member(variable: Any) -> str:
    """A member of a structure without a name; its start value is a single one."""
    start = f" := {variable.initial_value.simple_value.value}" if variable.initial_value else ""
    return f"{variable.name} : {type_of(variable.type)}{start};"


def blocks(holder: Any, name: str) -> list[Any]:
    found = getattr(holder, name, None)
    return found if isinstance(found, list) else [found] if found else []


def declared(block: Any) -> Iterator[Declared]:
    retain = "retain" if block.retain else "non_retain" if block.nonretain else ""
    for variable in block.variable:
        kind = canonical_type(type_of(variable.type))
        address = (variable.address or "").strip()
        yield variable.name, kind, address, bool(block.constant), retain, bool(block.persistent)


def ours(variables: Iterable[VariableDeclaration]) -> list[Declared]:
    return [(v.name, v.type, v.address, v.constant, v.retain, v.persistent) for v in variables]


def spelled(found: Iterable[Declared]) -> list[Declared]:
    """Addresses compared without their spelling, which has tests of its own."""
    return [(n, t, a.replace("%IX", "%I").replace("%QX", "%Q").replace("%MX", "%M"), *r) for n, t, a, *r in found]


@pytest.fixture(scope="module", params=[*FILES, *REAL], ids=lambda p: "-".join(p.parts[-4:]).removesuffix(".xml"))
def both(request: pytest.FixtureRequest) -> tuple[Any, Any]:
    """The object model's view and ours of one file."""
    path: Path = request.param
    return parsed(path, strict=path in FILES), READER.read(path.read_bytes(), path.name).program


def standard(pous: Iterable[Pou], theirs: Any) -> dict[str, Pou]:
    """Our POUs that stand in the standard place; those in extension data are not in the object model."""
    names = [pou.name for pou in theirs.types.pous.pou]
    found = {pou.name: pou for pou in pous if pou.name in names}
    assert len(found) == len(names)
    return found


def test_the_same_pous(both: tuple[Any, Any]) -> None:
    theirs, mine = both
    found = standard(mine.pous, theirs)
    for pou in theirs.types.pous.pou:
        assert found[pou.name].kind == KINDS[pou.pou_type.value]
        result = pou.interface.return_type if pou.interface else None
        assert found[pou.name].result == (canonical_type(type_of(result)) if result else "")
        for kind in ("actions", "transitions"):
            holder = getattr(pou, kind)
            inside = getattr(holder, kind[:-1]) if holder else []
            assert [a.name for a in getattr(found[pou.name], kind)] == [a.name for a in inside]


def test_the_same_variables_in_the_same_sections(both: tuple[Any, Any]) -> None:
    theirs, mine = both
    found = standard(mine.pous, theirs)
    for pou in theirs.types.pous.pou:
        for name, section in SECTIONS.items():
            expected = [v for block in blocks(pou.interface, name) for v in declared(block)]
            here = ours(v for v in found[pou.name].variables if v.section == section)
            assert spelled(here) == spelled(expected), (pou.name, section)


def test_the_same_data_types(both: tuple[Any, Any]) -> None:
    theirs, mine = both
    found = {t.name: t for t in mine.types}
    for kind in theirs.types.data_types.data_type:
        here, base = found[kind.name], kind.base_type
        if base.enum:
            assert here.kind == "enum"
            assert [v.name for v in here.values] == [v.name for v in base.enum.values.value]
        elif base.struct:
            expected = [(v.name, canonical_type(type_of(v.type))) for v in base.struct.variable]
            assert (here.kind, [(m.name, m.type) for m in here.members]) == ("struct", expected)
        else:
            assert here.base == canonical_type(type_of(base))


def test_the_same_globals_tasks_and_instances(both: tuple[Any, Any]) -> None:
    theirs, mine = both
    configurations = theirs.instances.configurations.configuration if theirs.instances else []
    resources = [r for c in configurations for r in c.resource]
    lists = [b for holder in (*configurations, *resources) for b in holder.global_vars]
    expected = spelled(v for block in lists for v in declared(block))
    here = spelled(v for block in mine.globals for v in ours(block.variables))
    assert not [v for v in expected if v not in here]
    named = {r.name: r for r in mine.resources}
    for resource in resources:
        found = named[resource.name]
        assert [t.name for t in found.tasks][: len(resource.task)] == [t.name for t in resource.task]
        given = [(i.name, i.type_name, t.name) for t in resource.task for i in t.pou_instance]
        given += [(i.name, i.type_name, "") for i in resource.pou_instance]
        assert sorted((i.name, i.type, i.task) for i in found.instances) == sorted(given)


@pytest.mark.parametrize(
    "damage", [(' pouType="program"', ' pouType="program" own="1"'), ("<interface>", "<own/><interface>")]
)
def test_the_object_model_is_strict(damage: tuple[str, str], tmp_path: Path) -> None:
    text = FILES[0].read_text(encoding="utf-8").replace(*damage, 1)
    (tmp_path / "p.xml").write_text(text, encoding="utf-8")
    with pytest.raises(ParserError):
        parsed(tmp_path / "p.xml", strict=True)


def test_a_variable_that_one_side_misses_fails() -> None:
    theirs, mine = parsed(FILES[0], strict=True), asfound.read(FILES[0]).program
    first = next(p for p in theirs.types.pous.pou if p.interface.local_vars)
    first.interface.local_vars[0].variable.pop()
    check: Callable[[tuple[Any, Any]], None] = test_the_same_variables_in_the_same_sections
    with pytest.raises(AssertionError):
        check((theirs, mine))
