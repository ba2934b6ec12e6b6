"""Declarations that two exports could write almost alike although something differs: each pair must be seen."""

from __future__ import annotations

import pytest
from tc6_documents import added, pou, simple, start, text, variable, verdict


def of(type: str = "<INT/>", inside: str = "", name: str = "a") -> str:
    return pou(f"<localVars>{variable(name, type, inside)}</localVars>")


def attributes(*inside: str) -> str:
    listed = "".join(f"<Attribute {each}/>" for each in inside)
    return of(inside=added("attributes", f"<Attributes>{listed}</Attributes>"))


def string(value: str) -> str:
    return of("<string/>", start(simple(value)))


def values(*inside: str) -> str:
    listed = "".join(f"<value {own}>{simple('1')}</value>" for own in inside)
    return of(inside=start(f"<arrayValue>{listed}</arrayValue>"))


def actions(one: str, two: str) -> str:
    return pou(
        body=f'<actions><action name="A" {one}>{text("")}</action><action name="B" {two}>{text("")}</action></actions>'
    )


PAIRS = {
    "values of two attributes swapped": (attributes("Name='a' Value='1'", "Name='b' Value='2'"), attributes("Name='a' Value='2'", "Name='b' Value='1'")),
    "unknown part of an attribute": (attributes("Name='a' own='1'"), attributes("Name='a' own='2'")),
    "unknown parts of two attributes swapped": (attributes("Name='a' own='1'", "Name='b'"), attributes("Name='a'", "Name='b' own='1'")),
    "an attribute twice": (attributes("Name='a'"), attributes("Name='a'", "Name='a'")),
    "unknown part of a value in a list": (values("own='1'", ""), values("", "own='1'")),
    "a string of a blank": (string(" "), of("<string/>")),
    "a blank before a string": (string(" abc"), string("abc")),
    "blanks inside quotes": (string("&apos; &apos;"), string("&apos;&apos;")),
    "case of a string": (string("abc"), string("ABC")),
    "a comment in a start value": (of(inside=start(simple("[1, 2 (* a *)]"))), of(inside=start(simple("[1, 2 (* b *)]")))),
    "unknown parts of two actions swapped": (actions("own='1'", ""), actions("", "own='1'")),
    "two start values": (of(inside=start(simple("1")) + start(simple("2"))), of(inside=start(simple("1")) + start(simple("3")))),
    "two types": (of("<INT/><BOOL/>"), of("<INT/>")),
    "two results": (pou("<returnType><INT/></returnType><returnType><BOOL/></returnType>"), pou("<returnType><INT/></returnType>")),
    "two interfaces": (pou() .replace("<interface></interface>", f"<interface></interface><interface><localVars>{variable()}</localVars></interface>"), pou()),
    "a flag in extension data": (of(inside='<addData><data name="urn:x:safe" handleUnknown="discard"/></addData>'), of()),
    "text between elements": (pou("own"), pou()),
    "a small difference of a real": (of("<REAL/>", start(simple("1.00000001"))), of("<REAL/>", start(simple("1.0")))),
    "a range written with a name": (of("<subrangeSigned><range lower='0' upper='N'/><baseType><INT/></baseType></subrangeSigned>"), of("<subrangeSigned><range lower='0' upper='M'/><baseType><INT/></baseType></subrangeSigned>")),
}  # fmt: skip


@pytest.mark.parametrize("what", PAIRS)
def test_a_small_difference_is_seen(what: str) -> None:
    old, new = ({"pous": each} for each in PAIRS[what])
    assert verdict(old, new) not in ("identical", "noise")
    assert verdict(new, old) not in ("identical", "noise")


SAME = {
    "case of a literal": (of("<BOOL/>", start(simple("true"))), of("<BOOL/>", start(simple("TRUE")))),
    "a number for a truth value": (of("<BOOL/>", start(simple("1"))), of("<BOOL/>", start(simple("TRUE")))),
    "exponent of a real": (of("<REAL/>", start(simple("1E3"))), of("<REAL/>", start(simple("1000.0")))),
    "an empty list": (pou("<localVars/>"), pou()),
    "an empty list with attributes": (pou('<localVars retain="true"/>'), pou()),
    "an attribute that is false": (pou(f'<localVars retain="false" constant="0">{variable()}</localVars>'), of()),
    "case of the kind of POU": (pou(kind="Program"), pou()),
    "empty documentation": (of(inside="<documentation><x:p> </x:p></documentation>"), of()),
    "digits of a string": (string("5"), string("&apos;5&apos;")),
}


@pytest.mark.parametrize("what", SAME)
def test_another_way_of_writing_is_noise(what: str) -> None:
    old, new = ({"pous": each} for each in SAME[what])
    assert verdict(old, new) == "noise"
