"""The normal form as files: names, order, what a small edit touches."""

from __future__ import annotations

import difflib

from asfound.language.normal import digest, normal_form, normal_sha256
from asfound.language.parser import parse_expression
from asfound.language.paths import Folder, safe
from asfound.model import program as p
from asfound.model.copy import Copy, Finding, Source
from asfound.model.logic import Assign, Variable
from asfound.model.tags import Tag, TagTable


def rung(target: str, text: str) -> p.Network:
    return p.Network((Assign(Variable(target), parse_expression(text)),))


def ladder(*networks: p.Network) -> Copy:
    return Copy(program=p.Program(pous=(p.Pou("Main", "program", bodies=(p.Body("LD", networks=networks),)),)))


def test_a_new_rung_touches_only_its_own_lines():
    one, two, new = rung("a", "x AND y"), rung("b", "x"), rung("c", "NOT x")
    old = normal_form(ladder(one, two))["program/pous/Main.st"].splitlines()
    now = normal_form(ladder(one, new, two))["program/pous/Main.st"].splitlines()
    changed = [line for line in difflib.ndiff(old, now) if line[0] in "+-"]
    assert sorted(changed) == ["+   c := NOT x;", "+ {network}"]


def test_files_and_names():
    copy = Copy(
        program=p.Program(
            heading=p.Heading(name="Plant"),
            pous=(p.Pou("Pump", "program"), p.Pou("PUMP", "function"), p.Pou("con", "program")),
            types=(p.DataType("B", "alias", "INT"), p.DataType("A", "enum", values=(p.EnumValue("x"),))),
            globals=(p.GlobalList("G", "C/R", ()),),
            resources=(p.Resource("R", "C"),),
        ),
        tables=(
            TagTable("I/O", (Tag("b", "%IX0.1"), Tag("a", "%IX0.0", "BOOL", 'say "x", y', (p.Setting("k=1", "v"),)))),
        ),
    )
    files = normal_form(copy)
    assert list(files) == [
        "program/globals/C%2FR.G.st", "program/pous/%63on.st", "program/pous/PUMP.st", "program/pous/Pump~2.st",
        "program/project.json", "program/tasks.st", "program/types.st", "tags/I%2FO.csv",
    ]  # fmt: skip
    assert files["program/types.st"] == "{normal 1}\nTYPE\nA : (\n  x,\n);\nB : INT;\nEND_TYPE\n"
    assert files["program/tasks.st"] == '{normal 1}\nRESOURCE R\n{scope "C"}\nEND_RESOURCE\n'
    assert files["tags/I%2FO.csv"] == (
        'table,I/O\nname,address,type,comment\na,%IX0.0,BOOL,"say ""x"", y",k\\=1=v\nb,%IX0.1,,\n'
    )


def test_what_is_said_about_files_is_not_part_of_it():
    plain = ladder(rung("a", "b"))
    other = Copy(
        sources=(Source("x", "0" * 64, 1, "tc6"),),
        program=plain.program,
        findings=(Finding("note", "x", "y"),),
        limits=("z",),
    )
    assert normal_sha256(plain) == normal_sha256(other)
    assert normal_sha256(plain) != normal_sha256(ladder(rung("a", "c")))


def test_the_digest_knows_where_a_file_ends():
    assert digest({"a": "bc"}) != digest({"ab": "c"})
    assert digest({"a": "1", "b": "2"}) == digest({"b": "2", "a": "1"})


def test_names_are_safe():
    assert [safe(name) for name in ("Pump 1", "..", "a/b\\c", "LPT1.x", "é", "end.", "-x", "")] == [
        "Pump%201", "%2E%2E", "a%2Fb%5Cc", "%4CPT1.x", "%C3%A9", "end%2E", "%2Dx", "%",
    ]  # fmt: skip
    long = safe("x" * 300)
    assert len(long) < 200 and long != safe("x" * 301)
    folder = Folder("p", ".st")
    assert [folder.name(name) for name in ("A", "a", "a~2")] == ["p/A.st", "p/a~2.st", "p/a%7E2.st"]
