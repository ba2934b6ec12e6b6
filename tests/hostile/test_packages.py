"""Document types and depth in every place XML can be, and packages made to harm: refused in whole sentences."""

from __future__ import annotations

import io
import struct
import zipfile

import pytest

import asfound
from asfound.model.copy import Copy
from hostile.laws import outcome
from hostile.seeds import ROWS, package, seeds, workbook

PROGRAM, HARDWARE = seeds()["program0.xml"], seeds()["intake.aml"]
DOCTYPE = "has a document type declaration, which an export never needs and which is refused for safety; remove the DOCTYPE or export again."
LAUGHS = b'<!DOCTYPE p [<!ENTITY l0 "ha">' + b"".join(
    b'<!ENTITY l%d "%s">' % (i, b"&l%d;" % (i - 1) * 10) for i in range(1, 12)
)
TYPES = {
    "internal entity": b'<!DOCTYPE p [<!ENTITY a "b">]>',
    "external entity": b'<!DOCTYPE p [<!ENTITY a SYSTEM "file:///etc/hostname">]>',
    "parameter entity": b'<!DOCTYPE p [<!ENTITY % d SYSTEM "http://127.0.0.1:9/x.dtd"> %d;]>',
    "billion laughs": LAUGHS + b"]>",
    "default attribute": b'<!DOCTYPE p [<!ATTLIST pou name CDATA "x">]>',
    "external subset": b'<!DOCTYPE p SYSTEM "http://127.0.0.1:9/x.dtd">',
    "empty": b"<!DOCTYPE p>",
    "lower case": b"<!doctype p>",
    "behind a comment": b"<!-- <p> --><?pi ?>\n<!DOCTYPE p>",
}
MAIN = '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData/></worksheet>'


def typed(data: bytes, kind: str) -> bytes:
    """The document with a document type, used in an attribute where it declares an entity."""
    head, _, rest = data.partition(b"?>")
    name = b"&l11;" if kind == "billion laughs" else b"&a;" if b"ENTITY a" in TYPES[kind] else b""
    return head + b"?>" + TYPES[kind] + rest.replace(b' name="', b' name="' + name, 1)


@pytest.mark.parametrize("kind", TYPES)
def test_document_types_are_refused_everywhere(kind: str) -> None:
    assert outcome(typed(PROGRAM, kind), "p.xml") == f"p.xml: {DOCTYPE}"
    assert outcome(typed(seeds()["ten.xml"], kind), "t.xml") == f"t.xml: {DOCTYPE}"
    assert outcome(typed(HARDWARE, kind), "h.aml") == f"h.aml: {DOCTYPE}"
    assert outcome(package({"h.aml": typed(HARDWARE, kind)}), "h.amlx") == f"h.amlx: {DOCTYPE}"
    relations = b"<?xml version='1.0'?>" + TYPES[kind] + b"<Relationships/>"
    assert (
        outcome(package({"h.aml": HARDWARE, "_rels/.rels": relations}), "h.amlx") == f"h.amlx, _rels/.rels: {DOCTYPE}"
    )
    sheet = f'<?xml version="1.0"?>{TYPES[kind].decode()}{MAIN}'
    assert outcome(workbook(ROWS, sheet), "t.xlsx") == f"t.xlsx, xl/worksheets/sheet1.xml: {DOCTYPE}"


@pytest.mark.parametrize("codec", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
def test_document_types_in_wide_characters(codec: str) -> None:
    declared = "utf-8" if codec == "utf-8-sig" else "utf-16"
    text = PROGRAM.decode().partition("?>")[2]
    data = f'<?xml version="1.0" encoding="{declared}"?><!DOCTYPE p>{text}'.encode(codec)
    assert outcome(data, "p.xml") == f"p.xml: {DOCTYPE}"


def test_the_word_in_a_comment_or_text_is_none() -> None:
    text = PROGRAM.replace(b"<project", b"<!-- <!DOCTYPE p> --><project", 1)
    assert isinstance(outcome(text, "p.xml"), Copy)
    page = b"PROGRAM p VAR s : STRING := '<!DOCTYPE html>'; END_VAR END_PROGRAM"
    assert isinstance(outcome(page, "p.st"), Copy)


@pytest.mark.parametrize("depth", [300, 3000, 100_000])
def test_depth(depth: int) -> None:
    sentence = "nests elements more than 200 deep; check where the file comes from."
    deep = b"<addData>" * depth + b"</addData>" * depth
    assert outcome(PROGRAM.replace(b"</project>", deep + b"</project>"), "p.xml") == f"p.xml: {sentence}"
    deep = deep.replace(b"addData", b"InternalElement")
    assert outcome(HARDWARE.replace(b"</CAEXFile>", deep + b"</CAEXFile>"), "h.aml") == f"h.aml: {sentence}"


def test_depth_within_the_limit_is_read() -> None:
    deep = b"<addData>" * 150 + b"</addData>" * 150
    assert isinstance(outcome(PROGRAM.replace(b"</project>", deep + b"</project>"), "p.xml"), Copy)


def altered(data: bytes, at: int, layout: str, value: int) -> bytes:
    """A package with one number of its central directory replaced (offsets: APPNOTE.TXT 4.3.12)."""
    changed = bytearray(data)
    struct.pack_into(layout, changed, changed.find(b"PK\x01\x02") + at, value)
    return bytes(changed)


def doubled() -> bytes:
    """A package whose two names lead to the same packed bytes."""
    data = package({"h.aml": HARDWARE, "i.aml": HARDWARE})
    second = data.rfind(b"PK\x01\x02")
    changed = bytearray(data)
    struct.pack_into("<I", changed, second + 42, 0)
    return bytes(changed)


def twice() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as container:
        container.writestr("h.aml", HARDWARE)
        with pytest.warns(UserWarning, match="Duplicate name"):
            container.writestr("h.aml", HARDWARE)
    return stream.getvalue()


GOOD = package({"h.aml": HARDWARE})
CHECK = "check where the file comes from."
HARMFUL = {
    "ratio": (lambda: package({"h.aml": b"<CAEXFile>" + b" " * 30_000_000}), f"unpacks to more than 200 times its size, which no export does; {CHECK}"),
    "size": (lambda: altered(GOOD, 24, "<I", 300_000_000), f"unpacks to more than 200 MB; {CHECK}"),
    "count": (lambda: package({f"{i}.txt": b"" for i in range(10_001)}), f"holds more than 10000 files; {CHECK}"),
    "overlapping": (doubled, f"holds parts that overlap each other; {CHECK}"),
    "twice": (twice, "holds 'h.aml' twice; export it again."),
    "encrypted": (lambda: altered(GOOD, 8, "<H", 1), "is an encrypted zip container; export it again without a password."),
    "truncated": (lambda: GOOD[:-30], "is a damaged zip container; export it again."),
    "half": (lambda: GOOD[: len(GOOD) // 2], "is a damaged zip container; export it again."),
    "wrong sum": (lambda: altered(GOOD, 16, "<I", 1), "is a damaged zip container; export it again."),
    "too small a size": (lambda: altered(GOOD, 24, "<I", 10), "is a damaged zip container; export it again."),
    "unknown method": (lambda: altered(GOOD, 10, "<H", 77), "is a damaged zip container; export it again."),
    "no name": (lambda: altered(GOOD, 28, "<H", 0), "is a damaged zip container; export it again."),
    "two documents": (lambda: package({"a.aml": HARDWARE, "b.aml": HARDWARE}), "holds 2 AutomationML documents that could be the main one; give the .aml file itself."),
}  # fmt: skip


@pytest.mark.parametrize("kind", HARMFUL)
def test_packages(kind: str) -> None:
    make, sentence = HARMFUL[kind]
    assert outcome(make(), "h.amlx") == f"h.amlx: {sentence}"


@pytest.mark.parametrize("name", ["/etc/x", "../../x", "C:\\x", "a\x1b[2Jb", "CON", "x" * 3000, "in.amlx"])
def test_parts_with_odd_names_are_kept_by_their_digest(name: str) -> None:
    inner = GOOD if name == "in.amlx" else b"1"
    found = outcome(package({"h.aml": HARDWARE, name: inner}), "h.amlx")
    assert isinstance(found, Copy)
    assert [e.path for e in found.hardware.extensions if e.path.startswith("part/")] == [f"part/{name}"]
    other = asfound.read(package({"h.aml": HARDWARE, name: inner + b"2"}), "h.amlx")
    assert asfound.compare(found, other).verdict == "undecided"


def sheet(rows: str) -> bytes:
    """An .ods with one table."""
    spaces = "".join(f' xmlns:{n}="urn:oasis:names:tc:opendocument:xmlns:{n}:1.0"' for n in ("office", "table", "text"))
    content = f"<office:document-content{spaces}><office:body><office:spreadsheet><table:table table:name='T'>{rows}</table:table></office:spreadsheet></office:body></office:document-content>"
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    manifest = f'<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/></manifest:manifest>'
    return package(
        {"mimetype": kind.encode(), "META-INF/manifest.xml": manifest.encode(), "content.xml": content.encode()}
    )


def cells(*texts: str, repeat: str = "") -> str:
    return "".join(
        f'<table:table-cell {repeat} office:value-type="string"><text:p>{t}</text:p></table:table-cell>' for t in texts
    )


def row(inside: str, repeat: int = 1) -> str:
    return f'<table:table-row table:number-rows-repeated="{repeat}">{inside}</table:table-row>'


TABLE = row(cells(*ROWS[0])) + row(cells(*ROWS[1]))
FILLER = row('<table:table-cell table:number-columns-repeated="16384"/>', 1_048_000)


def test_an_ods_filled_up_with_empty_rows_is_read() -> None:
    found = outcome(sheet(TABLE + FILLER), "t.ods")
    assert isinstance(found, Copy)
    assert [tag.name for tag in found.tables[0].tags] == ["Pump"]


@pytest.mark.parametrize(
    ("rows", "span"),
    [
        (
            TABLE + row(cells("x", repeat='table:number-columns-repeated="16384"'), 1_000_000),
            "16384 columns and 1000002 rows",
        ),
        (TABLE + FILLER + row(cells(*ROWS[1])), "4 columns and 1048003 rows"),
    ],
    ids=["repeated", "far away"],
)
def test_an_ods_that_grows_is_refused(rows: str, span: str) -> None:
    assert outcome(sheet(rows), "t.ods") == (
        f"t.ods: has a cell so far from the others that the sheet spans {span}; delete the stray cell."
    )
