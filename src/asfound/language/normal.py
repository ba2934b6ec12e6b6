"""The normal form: everything understood of a copy as readable files, where equal files mean that only noise differs.

The order of POUs, types, global lists, tags, resources and libraries in an export is noise and sorted away; the order
of variables inside a section is kept, because it is the order of a function's inputs or a structure's members.
``sources``, ``findings`` and ``limits`` are statements about the files and not part of it. Cost: linear.
"""

from __future__ import annotations

import csv
import hashlib
import io
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeVar

import msgspec

from asfound.language import printer
from asfound.language.documents import NORMAL, parse_program
from asfound.language.paths import Folder
from asfound.model.copy import Copy
from asfound.model.hardware import Hardware
from asfound.model.logic import Node
from asfound.model.program import Extension, Heading, Library, Program, Setting
from asfound.model.tags import Tag, TagTable
from asfound.model.values import ActualValue, Force

T = TypeVar("T")


class Project(Node, frozen=True):
    """``program/project.json``: what belongs to the whole program."""

    heading: Heading = Heading()
    libraries: tuple[Library, ...] = ()
    extensions: tuple[Extension, ...] = ()


def normal_form(copy: Copy) -> dict[str, str]:
    """``{path: text}`` with ``/`` between folders and ASCII names, sorted by path; empty parts have no file."""
    files = _program(copy.program)
    folder = Folder("tags", ".csv")
    for _, name, text in sorted((t.name.lower(), t.name, _tags(t)) for t in copy.tables):
        files[folder.name(name)] = text
    if copy.hardware != Hardware():
        files["hardware.json"] = _json(copy.hardware)
    if copy.values:
        rows = ((v.name, v.actual, v.initial, v.unit, v.comment, *_cells(v.settings)) for v in copy.values)
        files["values.csv"] = _csv([("name", "actual", "initial", "unit", "comment"), *sorted(rows, key=_folded)])
    if copy.forces:
        rows = ((f.name, f.value, f.address, f.comment, *_cells(f.settings)) for f in copy.forces)
        files["forces.csv"] = _csv([("name", "value", "address", "comment"), *sorted(rows, key=_folded)])
    return dict(sorted(files.items()))


def _program(program: Program) -> dict[str, str]:
    files: dict[str, str] = {}
    project = Project(
        program.heading,
        tuple(sorted(program.libraries, key=lambda item: (item.name.lower(), _json(item)))),
        tuple(sorted(program.extensions, key=lambda e: (e.path, e.name, e.text))),
    )
    if project != Project():
        files["program/project.json"] = _json(project)
    pous = Folder("program/pous", ".st")
    for name, text in _sorted((_qualified(p.namespace, p.name), printer.pou(p)) for p in program.pous):
        files[pous.name(name)] = f"{NORMAL}\n{text}"
    types = _sorted((_qualified(t.namespace, t.name), printer.data_type(t)) for t in program.types)
    if types:
        inside = "".join(text for _, text in types)
        files["program/types.st"] = f"{NORMAL}\nTYPE\n{inside}END_TYPE\n"
    lists = Folder("program/globals", ".st")
    for name, text in _sorted((_qualified(g.scope, g.name), printer.global_list(g)) for g in program.globals):
        files[lists.name(name)] = f"{NORMAL}\n{text}"
    resources = _sorted((_qualified(r.scope, r.name), printer.resource(r)) for r in program.resources)
    if resources:
        files["program/tasks.st"] = f"{NORMAL}\n" + "".join(text for _, text in resources)
    return files


def _qualified(scope: str, name: str) -> str:
    return f"{scope}.{name}" if scope else name


def _sorted(found: Iterable[tuple[str, str]]) -> list[tuple[str, str]]:
    return sorted(found, key=lambda pair: (pair[0].lower(), *pair))


def _folded(row: Sequence[str]) -> tuple[str, tuple[str, ...]]:
    return row[0].lower(), tuple(row)


def _json(value: Node) -> str:
    return msgspec.json.format(msgspec.json.encode(value), indent=2).decode("utf-8") + "\n"


def _tags(table: TagTable) -> str:
    rows = [(t.name, t.address, t.type, t.comment, *_cells(t.settings)) for t in table.tags]
    return _csv([("table", table.name), ("name", "address", "type", "comment"), *sorted(rows, key=_folded)])


def _cells(settings: Iterable[Setting]) -> tuple[str, ...]:
    return tuple(re.sub(r"([=\\])", r"\\\1", s.name) + f"={s.value}" for s in settings)


def _settings(cells: Iterable[str]) -> tuple[Setting, ...]:
    found = []
    for cell in cells:
        match = re.match(r"((?:[^=\\]|\\.)*)=(.*)", cell, re.DOTALL)
        assert match is not None
        found.append(Setting(re.sub(r"\\(.)", r"\1", match.group(1)), match.group(2)))
    return tuple(found)


def _csv(rows: Iterable[Sequence[str]]) -> str:
    return "".join(",".join(map(_cell, row)) + "\n" for row in rows)


_QUOTED = re.compile(r'[",\r\n]|^\s|\s$')


def _cell(text: str) -> str:
    return '"' + text.replace('"', '""') + '"' if text and _QUOTED.search(text) else text


def _rows(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline="")))


def read_normal_form(files: Mapping[str, str]) -> Copy:
    """The copy that :func:`normal_form` wrote; raises :class:`~asfound.model.problem.Problem` for damaged text."""
    texts = dict(sorted(files.items()))
    parsed = [parse_program(text, path, dialect=True) for path, text in texts.items() if path.endswith(".st")]
    project = _read(texts.get("program/project.json"), Project) or Project()
    program = Program(
        project.heading,
        tuple(pou for part in parsed for pou in part.pous),
        tuple(kind for part in parsed for kind in part.types),
        tuple(block for part in parsed for block in part.globals),
        tuple(resource for part in parsed for resource in part.resources),
        project.libraries,
        project.extensions,
    )
    values = _rows(texts.get("values.csv", ""))[1:]
    forces = _rows(texts.get("forces.csv", ""))[1:]
    return Copy(
        program=program,
        tables=tuple(_table(text) for path, text in texts.items() if path.startswith("tags/")),
        hardware=_read(texts.get("hardware.json"), Hardware) or Hardware(),
        values=tuple(ActualValue(*_five(row), _settings(row[5:])) for row in values),
        forces=tuple(Force(*_four(row), _settings(row[4:])) for row in forces),
    )


def _four(row: list[str]) -> tuple[str, str, str, str]:
    name, second, third, fourth = row[:4]
    return name, second, third, fourth


def _five(row: list[str]) -> tuple[str, str, str, str, str]:
    name, second, third, fourth, fifth = row[:5]
    return name, second, third, fourth, fifth


def _read(text: str | None, kind: type[T]) -> T | None:
    return msgspec.json.decode(text, type=kind) if text is not None else None


def _table(text: str) -> TagTable:
    head, _, *rows = _rows(text)
    return TagTable(head[1], tuple(Tag(*_four(row), _settings(row[4:])) for row in rows))


def digest(files: Mapping[str, str]) -> str:
    """SHA-256 over the sorted pairs of path and text, each with its length in bytes before it."""
    total = hashlib.sha256()
    for path, text in sorted(files.items()):
        for part in (path.encode("utf-8"), text.encode("utf-8", "surrogatepass")):
            total.update(b"%d:" % len(part) + part)
    return total.hexdigest()


def normal_sha256(copy: Copy) -> str:
    """Digest of the normal form: equal for two copies that differ in noise only."""
    return digest(normal_form(copy))
