"""Safe parsing, and consuming a tree without leaving anything unseen."""

from __future__ import annotations

import pytest
from lxml import etree

from asfound.model.problem import Problem
from asfound.model.program import Extension
from asfound.readers import xml
from asfound.readers.noise_paths import filter_of

DEEP = b"<a>" * 201 + b"</a>" * 201


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (
            b'<!DOCTYPE a SYSTEM "file:///etc/passwd"><a/>',
            "x.xml: has a document type declaration, which an export never needs and which is refused for safety; "
            "remove the DOCTYPE or export again.",
        ),
        (DEEP, "x.xml: nests elements more than 200 deep; check where the file comes from."),
    ],
)
def test_refused(data: bytes, text: str) -> None:
    with pytest.raises(Problem) as caught:
        xml.parse(data, "x.xml")
    assert str(caught.value) == text


@pytest.mark.parametrize("data", [b"", b"<a", b"<a><b></a>", b"<a>\x00</a>", b"text", b"<a/><b/>", b"\xff\xfe<"])
def test_damaged_xml_is_one_sentence(data: bytes) -> None:
    with pytest.raises(Problem) as caught:
        xml.parse(data, "x.xml")
    assert str(caught.value).startswith("x.xml, line 1: is not complete, well-formed XML (")
    assert str(caught.value).endswith("; export it again, or store it as it is in a folder with readable exports.")


def test_entities_are_not_expanded() -> None:
    laugh = b'<!DOCTYPE a [<!ENTITY b "' + b"b" * 1000 + b'"><!ENTITY c "' + b"&b;" * 1000 + b'">]><a>&c;</a>'
    with pytest.raises(Problem):
        xml.parse(laugh, "x.xml")


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b'<?xml version="1.0"?><!-- c --><a xmlns="urn:x"/>', ("urn:x", "a")),
        (b"\xef\xbb\xbf<a/>", ("", "a")),
        ("<a/>".encode("utf-16"), ("", "a")),
        (b"<a><b", ("", "a")),
        (b"Name;Address", None),
        (b"", None),
    ],
)
def test_root_of(data: bytes, expected: tuple[str, str] | None) -> None:
    assert xml.root_of(data) == expected


def test_what_is_not_taken_is_left_over() -> None:
    root = xml.parse(b'<a x="1" y="2">one<b/>two<c z="3"/><d>4</d></a>', "x.xml")
    assert xml.attribute(root, "x") == "1"
    taken = xml.take(root, "c")
    assert taken is not None
    assert xml.leftovers(root, filter_of(["@y"])) == (
        Extension("b", "<b></b>"),
        Extension("d", "<d>4</d>"),
        Extension("text()", "one"),
        Extension("text()", "two"),
    )


def test_cutting_keeps_the_text_behind() -> None:
    root = xml.parse(b"<a>one<b/>two<c/>three</a>", "x.xml")
    assert [xml.local(e) for e in xml.take_all(root)] == ["b", "c"]
    assert root.text == "onetwothree"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ('<a xmlns="urn:x"><b/></a>', '<p:a xmlns:p="urn:x">\n  <p:b></p:b>\n</p:a>'),
        ('<a x="1" y="2"/>', "<a y='2'   x='1'></a>"),
        ("<a><b> t </b></a>", "<a>\n<b>t</b>\n</a>"),
    ],
)
def test_canonical_text_is_the_same_for_the_same_tree(one: str, other: str) -> None:
    assert xml.canonical(etree.fromstring(one)) == xml.canonical(etree.fromstring(other))


@pytest.mark.parametrize("text", ['<a Name="x"><b>1</b></a>', '<a xmlns="urn:x"><b xmlns="">1</b></a>'])
def test_canonical_text_is_xml_again(text: str) -> None:
    once = xml.canonical(etree.fromstring(text))
    assert xml.canonical(etree.fromstring(once)) == once
    assert 'xmlns:n0=""' not in once


def test_a_cut_part_is_not_moved_out_of_the_reach_of_its_namespace() -> None:
    """Declaring it anew for a whole subtree takes time with the square of its size."""
    root = xml.parse(b'<a xmlns="urn:x"><b><c/>one</b>two</a>', "a.xml")
    taken = xml.take(root, "b")
    assert taken is not None
    assert taken.getroottree() is not None
    assert taken.getparent().tag == xml.ASIDE
    xml.cut(taken)
    assert [xml.local(child) for child in taken] == ["c"]
    assert root.text == "two"
    assert xml.canonical(taken) == '<n0:b xmlns:n0="urn:x"><n0:c></n0:c>one</n0:b>'
