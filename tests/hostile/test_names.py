"""Names that are paths, devices, 300 letters, escapes or twins: stored, restored, shown and reported without harm."""

from __future__ import annotations

import json
import re
import unicodedata
from datetime import UTC, datetime
from html.parser import HTMLParser
from pathlib import Path

import msgspec
import pytest

import asfound
from asfound.language.normal import normal_form
from asfound.model.copy import Copy
from asfound.reports import html, terminal
from asfound.reports import json as document
from hostile.laws import hidden
from hostile.seeds import TAGS, seeds

NAMES = (
    "../../etc/passwd", "/etc/passwd", "C:\\Windows\\x", "..", ".", ".git", "CON", "NUL.xml", "com1", "LPT9.txt", "a/b",
    "x" * 300, "ü" * 150, "trailing.", "trailing ", " leading", "tab\there", "a\u202eb", "a\u200fb", "a\u2028b", "b\x9bm",
    "<script>alert(1)</script>", "&amp;", "\"quoted'", "{pragma}", "(*c*)", "$N", "😀", "Pümp", "Pu\u0308mp", "PÜMP", "pump",
    "Pump", "PUMP", "git~1", "-rf", "%2e%2e", "a\x7fb", "\ud83d\ude00".encode("utf-16", "surrogatepass").decode("utf-16"),
)  # fmt: skip
ESCAPE = "\x1b[31mred\x1b[0m\x07"
WHEN = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)


def program(name: str, comment: str = "") -> bytes:
    """A program of one POU of that name whose comments hold it too."""
    from lxml import etree

    root = etree.fromstring(seeds()["program0.xml"])
    for pou in root.iter("{*}pou"):
        pou.set("name", name)
    for text in root.iter("{*}xhtml"):
        text.text = comment or name
    return etree.tostring(root, xml_declaration=True, encoding="utf-8")


def table(name: str) -> bytes:
    """A tag table whose cells hold that text, which may be anything: a table has no rules for characters."""
    quoted = name.replace('"', '""')
    return f'Name;Address;Type;Comment\n"{quoted}";%Q0.1;BOOL;"{quoted}"\n'.encode()


def safe(paths: list[str]) -> None:
    assert len({path.casefold() for path in paths}) == len(paths)
    for path in paths:
        assert re.fullmatch(r"[ -~]+", path) and not path.startswith("/") and "\\" not in path and ":" not in path
        for part in path.split("/"):
            assert 0 < len(part) <= 255 and part not in (".", "..") and part[-1] not in ". "
            assert not re.fullmatch(r"(?i)(con|aux|nul|prn|com\d|lpt\d)(\..*)?", part)


@pytest.mark.parametrize("name", NAMES, ids=[ascii(n)[:20] for n in NAMES])
def test_normal_form_and_reports(name: str) -> None:
    old = asfound.read(program(name), "program.xml")
    new = asfound.read(program(name).replace(b'negated="false"', b'negated="true"'), "program.xml")
    assert old.program.pous[0].name.split() == name.split()
    safe(list(normal_form(old)))
    check_reports(old, new)
    check_reports(old, Copy())


@pytest.mark.parametrize("name", [ESCAPE, "\x9b31m", "a\rb", "a\u202eb", "a\u2066b\u2069"], ids=ascii)
def test_escapes_in_tables(name: str) -> None:
    old, new = (asfound.read(table(text), f"{text[:9]}.csv") for text in (name, name + "2"))
    safe(list(normal_form(old)))
    check_reports(old, new)
    check_reports(Copy(), new)


class Tags(HTMLParser):
    """The names of the elements of a page, and whether a script was opened that is not ours."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.found.append(tag)


def check_reports(old: Copy, new: Copy) -> None:
    result = asfound.compare(old, new)
    for line, _ in terminal.lines(result, 100):
        assert not hidden(line), ascii(line)
    assert json.loads(document.write(result))["verdict"] == result.verdict
    page = html.write(result, old, new)
    assert "<script>alert(1)" not in page
    assert not [sign for sign in hidden(page) if sign not in "\n\t"], [
        ascii(s) for s in hidden(page) if s not in "\n\t"
    ]
    reader = Tags()
    reader.feed(page)
    assert reader.found.count("html") == 1
    assert msgspec.json.decode(msgspec.json.encode(result))


TWINS = (
    "Pump.csv",
    "pump.csv",
    "PUMP.csv",
    unicodedata.normalize("NFC", "pümp.csv"),
    unicodedata.normalize("NFD", "pümp.csv"),
)
FILES = (
    *TWINS, "CON.csv", "nul", "COM1.csv", "dot..csv", "x" * 240 + ".csv", "ü" * 100 + ".csv", "a\u202eb.csv", "esc\x1b[2J.csv",
    "sub/aux/tags.csv", "sub/.hidden.csv", "trail .csv ", "trail.",
)  # fmt: skip


def test_file_names_are_stored_safely_and_restored_exactly(tmp_path: Path) -> None:
    files = [(name, TAGS + name.encode().hex().encode()) for name in FILES]
    with asfound.Archive.create(tmp_path / "plant.git") as archive:
        record = archive.store("pump", "routine", {"running": files}, person="Ada Lind", time=WHEN)
        assert sorted(archive.files(record, "running")) == sorted(files)
        stored = archive._git.files(archive._commit(record), "originals")
        paths = [path for path, _ in stored]
        folded = {unicodedata.normalize("NFC", path).casefold() for path in paths}
        assert len(folded) == len(FILES)
        for path in paths:
            assert not hidden(path) and ".." not in path.split("/")
        done = archive.restore(record, tmp_path / "back")
        assert len(done) == len(FILES)
    found = {p.read_bytes() for p in (tmp_path / "back").rglob("*") if p.is_file()}
    assert found == {data for _, data in files}
    outside = [
        p for p in tmp_path.rglob("*") if p.is_file() and p.relative_to(tmp_path).parts[0] not in ("back", "plant.git")
    ]
    assert outside == []


@pytest.mark.parametrize("station", ["../up", "/abs", "a\\b", "a:b", "esc\x1b[2J", "nul\0", "a\u202eb", ".", "..", "-x", "x" * 300, "", "trail.", "trail "])  # fmt: skip
def test_stations_that_are_paths_are_refused(station: str, tmp_path: Path) -> None:
    with asfound.Archive.create(tmp_path / "plant.git") as archive:
        with pytest.raises(asfound.Problem) as caught:
            archive.store(station, "routine", {"running": [("t.csv", TAGS)]}, person="Ada Lind", time=WHEN)
        assert not hidden(str(caught.value)) and str(caught.value).endswith(".")
        assert archive.stations() == ()


@pytest.mark.parametrize("station", ["CON", "nul.x", "COM1", "Pümp 1", "Pu\u0308mp 1", "x.lock", "a..b", "😀", "[x]"])
def test_odd_stations_are_stored_and_found(station: str, tmp_path: Path) -> None:
    with asfound.Archive.create(tmp_path / "plant.git") as archive:
        archive.store(station, "routine", {"running": [("t.csv", TAGS)]}, person="Ada Lind", time=WHEN)
        assert archive.stations() == (station,)
        assert archive.record(station).station == station
    for path in (tmp_path / "plant.git" / "refs").rglob("*"):
        assert not re.fullmatch(r"(?i)(con|aux|nul|prn|com\d|lpt\d)(\..*)?", path.name)


def test_thousands_of_one_name_each_get_a_file() -> None:
    from asfound.language.paths import Folder

    folder = Folder("p", ".st")
    names = [folder.name(text) for text in ("Pump", "PUMP", "Pump~2") * 7000]
    assert len({name.lower() for name in names}) == len(names)
    assert names[:4] == ["p/Pump.st", "p/PUMP~2.st", "p/Pump%7E2.st", "p/Pump~3.st"]
