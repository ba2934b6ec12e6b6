"""Files and folders become one copy. Small readers stand in for the real ones, which have tests of their own."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from asfound.model.copy import Copy, Finding, Source
from asfound.model.problem import Problem
from asfound.model.program import Heading, Pou, Program
from asfound.model.tags import TagTable
from asfound.readers import single_files
from asfound.readers.reader import Probe, Reader
from asfound.readers.reading import gather, read, read_files


def _read_pou(data: bytes, name: str) -> Copy:
    """``POU <name> <title> <tool>``, refused when it does not end with a full stop."""
    text = data.decode("utf-8")
    if not text.endswith("."):
        raise Problem("ends too early", where=name)
    _, pou, title, tool = text[:-1].split(" ")
    return Copy(program=Program(heading=Heading(name=title, tool=tool), pous=(Pou(name=pou, kind="program"),)))


def _read_table(data: bytes, name: str) -> Copy:
    return Copy(tables=(TagTable(name=data.decode().split()[1], tags=()),), limits=("a table says little",))


def _starts(word: str):
    return lambda probe: probe.text.startswith(word)


POU = Reader("pou", "POU text", "none", (".pou",), "a POU", _starts("POU"), _read_pou)
TABLE = Reader("table", "tag table", "none", (".tab",), "tags", _starts("TABLE"), _read_table)


@pytest.fixture(autouse=True)
def small_readers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(single_files, "registered", lambda: (POU, TABLE))


def problem(call) -> str:
    with pytest.raises(Problem) as caught:
        call()
    return str(caught.value)


def test_a_file_is_read_by_the_first_reader_that_recognises_it(tmp_path: Path) -> None:
    path = tmp_path / "plc.any"
    path.write_bytes(b"POU Main Plant Tool.")
    copy = read(path)
    assert [pou.name for pou in copy.program.pous] == ["Main"]
    digest = hashlib.sha256(b"POU Main Plant Tool.").hexdigest()
    assert copy.sources == (Source(name="plc.any", sha256=digest, size=20, format="pou", encoding="utf-8"),)


def test_bytes_get_the_name_given() -> None:
    assert read(b"TABLE io", "io.tab").sources[0].name == "io.tab"


def test_an_unknown_file_says_what_was_tried(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(b"call the plumber")
    assert problem(lambda: read(path)) == (
        "notes.txt: is in a format that no reader knows (tried: POU text, tag table); "
        "`asfound formats` lists what is read."
    )


def test_unknown_xml_names_its_root() -> None:
    assert problem(lambda: read(b"<recipes/>", "r.xml")) == (
        "r.xml: has the root element <recipes>, which no reader knows (tried: POU text, tag table); "
        "`asfound formats` lists what is read."
    )


def test_xml_cut_off_before_anybody_can_recognise_it_is_called_damaged() -> None:
    assert "r.xml, line 1: is not complete, well-formed XML" in problem(
        lambda: read(b"<?xml version='1.0'?><rec", "r.xml")
    )


def test_an_empty_file(tmp_path: Path) -> None:
    (tmp_path / "plc.xml").touch()
    assert problem(lambda: read(tmp_path / "plc.xml")) == "plc.xml: is empty; export it again."


def test_a_missing_file(tmp_path: Path) -> None:
    assert problem(lambda: read(tmp_path / "no.xml")).endswith("no.xml: does not exist; check the name.")


def test_a_folder_is_one_copy_and_unknown_files_are_a_limit(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / "sub" / "b.pou").write_bytes(b"POU B - -.")
    (tmp_path / "a.tab").write_bytes(b"TABLE io")
    (tmp_path / "manual.pdf").write_bytes(b"%PDF")
    (tmp_path / "void").touch()
    (tmp_path / ".hidden").write_bytes(b"POU X - -.")
    copy = read(tmp_path)
    assert [(s.name, s.format) for s in copy.sources] == [
        ("a.tab", "table"),
        ("manual.pdf", ""),
        ("sub/b.pou", "pou"),
        ("void", ""),
    ]
    assert copy.limits == (
        "a table says little",
        "manual.pdf is not understood; it is stored and compared byte by byte",
        "no export holds tasks or a configuration: what runs when is not known",
        "void is empty; it is stored and compared byte by byte",
    )


def test_a_folder_without_exports(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_bytes(b"a")
    (tmp_path / "b.txt").write_bytes(b"b")
    assert problem(lambda: read(tmp_path)) == (
        f"{tmp_path}: holds no export that is understood (2 files looked at); `asfound formats` lists what is read."
    )
    (tmp_path / "b.txt").unlink()
    assert problem(lambda: read(tmp_path)).startswith(f"{tmp_path}/a.txt: is in a format that no reader knows")
    (tmp_path / "a.txt").unlink()
    assert problem(lambda: read(tmp_path)).startswith(f"{tmp_path}: holds no files")


def test_one_damaged_export_refuses_the_whole_folder(tmp_path: Path) -> None:
    (tmp_path / "a.pou").write_bytes(b"POU A - -.")
    (tmp_path / "b.pou").write_bytes(b"POU B -")
    assert problem(lambda: read(tmp_path)) == "b.pou: ends too early."


def test_a_link_out_of_the_folder_is_refused_and_one_inside_is_read_once(tmp_path: Path) -> None:
    folder = tmp_path / "upload"
    folder.mkdir()
    (folder / "a.pou").write_bytes(b"POU A - -.")
    (folder / "again.pou").symlink_to(folder / "a.pou")
    assert [name for name, _ in gather(folder)] == ["a.pou"]
    (folder / "out").symlink_to(tmp_path)
    assert "is a link that leads out of its folder" in problem(lambda: gather(folder))


def test_order_is_by_name_whatever_the_order_given() -> None:
    files = [("b.pou", b"POU B - -."), ("a.pou", b"POU A - -.")]
    copy = read_files(files)
    assert copy == read_files(files[::-1])
    assert [pou.name for pou in copy.program.pous] == ["A", "B"]


def test_two_files_with_one_name_are_both_kept_and_named() -> None:
    copy = read_files([("a.pou", b"POU Main - -."), ("b.pou", b"POU MAIN - -.")])
    assert [pou.name for pou in copy.program.pous] == ["Main", "MAIN"]
    assert copy.findings == (
        Finding(severity="warning", where="MAIN", text="POU MAIN is in a.pou and in b.pou; both are kept"),
    )


def test_a_second_heading_is_kept_as_an_extension_without_the_tool() -> None:
    copy = read_files([("a.pou", b"POU A One T1."), ("b.pou", b"POU B One T2."), ("c.pou", b"POU C Two T1.")])
    assert copy.program.heading == Heading(name="One", tool="T1; T2")
    assert [(e.path, e.name, e.text) for e in copy.program.extensions] == [("heading", "c.pou", '{"name":"Two"}')]


def test_each_file_read_is_reported_to_the_watch() -> None:
    seen: list[str] = []
    read_files([("b", b"TABLE b"), ("a", b"TABLE a")], watch=seen.append)
    assert seen == ["a", "b"]


def test_the_encoding_of_xml_is_the_declared_one() -> None:
    xml = Reader("x", "x", "", (), "", lambda probe: bool(probe.root), lambda data, name: Copy())
    declared = read_files([("a", b"<?xml version='1.0' encoding='ISO-8859-1'?><a/>")], readers=[xml])
    assert [s.encoding for s in declared.sources] == ["iso-8859-1"]
    assert read_files([("a", b"\xef\xbb\xbf<a/>")], readers=[xml]).sources[0].encoding == "utf-8-sig"
    assert isinstance(Probe(b"", "").text, str)
