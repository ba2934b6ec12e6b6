"""Types and initial values in TC6: every shape, and what it means when one changes.

Source of the shapes: the published TC6 2.01 schema (``dataType``, ``value``); the meaning is IEC 61131-3:2013, from
memory.
"""

from __future__ import annotations

import pytest
from tc6_documents import (
    added,
    declared,
    documented,
    of_interfaces,
    pou,
    program,
    simple,
    start,
    text,
    variable,
    verdict,
)

USED = '<derived name="T"/>'
TYPES = {
    "<BOOL/>": "BOOL",
    "<LWORD/>": "LWORD",
    "<TOD/>": "TOD",
    "<ANY_NUM/>": "ANY_NUM",
    '<derived name="Motor"/>': "Motor",
    '<derived name="ltime"/>': "LTIME",
    "<string/>": "STRING",
    '<string length="080"/>': "STRING[80]",
    '<string length="gcLength"/>': "STRING[gcLength]",
    '<wstring length="12"/>': "WSTRING[12]",
    '<array><dimension lower="1" upper="4"/><baseType><INT/></baseType></array>': "ARRAY[1..4] OF INT",
    '<array><dimension lower="0" upper="N"/><dimension lower="-1" upper="16#f"/><baseType><derived name="T"/>'
    "</baseType></array>": "ARRAY[0..N, -1..16#F] OF T",
    '<array><dimension lower="0" upper="1"/><baseType><array><dimension lower="0" upper="2"/><baseType><REAL/>'
    "</baseType></array></baseType></array>": "ARRAY[0..1] OF ARRAY[0..2] OF REAL",
    '<subrangeSigned><range lower="-5" upper="5"/><baseType><INT/></baseType></subrangeSigned>': "INT (-5..5)",
    '<subrangeUnsigned><range lower="0" upper="9"/><baseType><UINT/></baseType></subrangeUnsigned>': "UINT (0..9)",
    '<pointer><baseType><derived name="T"/></baseType></pointer>': "POINTER TO T",
    "<pointer><baseType><pointer><baseType><INT/></baseType></pointer></baseType></pointer>": "POINTER TO POINTER TO INT",
    "<reference><baseType><INT/></baseType></reference>": "REFERENCE TO INT",
    '<enum><values><value name="Off"/><value name="On" value="5"/></values></enum>': "(Off, On := 5)",
    '<enum><values><value name="Off"/></values><baseType><BYTE/></baseType></enum>': "(Off) BYTE",
    f"<struct>{variable('x')}{variable('y', inside=start(simple('1')))}</struct>": "STRUCT x : INT; y : INT := 1; END_STRUCT",
}


@pytest.mark.parametrize("written", TYPES)
def test_a_type_where_it_is_used(written: str) -> None:
    (found,) = declared(f"<localVars>{variable(type=written)}</localVars>")
    assert found.type == TYPES[written]


@pytest.mark.parametrize("written", TYPES)
def test_another_type_is_behaviour(written: str) -> None:
    old, new = (f"<localVars>{variable(type=t)}</localVars>" for t in (written, "<LREAL/>"))
    assert of_interfaces(old, new) == "behaviour"


VALUES = {
    simple("5"): ("<INT/>", "5"),
    simple("16#0ff"): ("<WORD/>", "16#FF"),
    simple("true"): ("<BOOL/>", "TRUE"),
    simple("1"): ("<BOOL/>", "TRUE"),
    simple("time#1500ms"): ("<TIME/>", "T#1s500ms"),
    simple("'it is'"): ("<string/>", "'it is'"),
    simple("it is"): ("<string/>", "'it is'"),
    simple("idle"): ("<string/>", "'idle'"),
    simple("12"): ('<string length="3"/>', "'12'"),
    simple("a$b"): ("<string/>", "a$b"),
    simple("über"): ("<wstring/>", '"über"'),
    simple("[1,2(03)]"): ('<derived name="T"/>', "[1, 2(3)]"),
    simple("(PT:=t#5000ms)"): ('<derived name="TON"/>', "(PT := T#5s)"),
    f"<arrayValue><value>{simple('1')}</value><value repetitionValue='03'>{simple('0')}</value></arrayValue>": (
        '<array><dimension lower="0" upper="3"/><baseType><BOOL/></baseType></array>',
        "[TRUE, 3(FALSE)]",
    ),
    f'<structValue><value member="PT">{simple("t#2000ms")}</value><value member="In">{simple("FALSE")}</value>'
    "</structValue>": ('<derived name="TON"/>', "(PT := T#2s, In := FALSE)"),
    f'<arrayValue><value repetitionValue="2"><structValue><value member="a"><arrayValue><value>{simple("1")}</value>'
    f"<value>{simple('2')}</value></arrayValue></value></structValue></value></arrayValue>": (
        '<array><dimension lower="0" upper="1"/><baseType><derived name="T"/></baseType></array>',
        "[2((a := [1, 2]))]",
    ),
}


@pytest.mark.parametrize("written", VALUES)
def test_an_initial_value(written: str) -> None:
    kind, expected = VALUES[written]
    (found,) = declared(f"<localVars>{variable(type=kind, inside=start(written))}</localVars>")
    assert found.initial == expected


@pytest.mark.parametrize("written", VALUES)
def test_another_initial_value_is_behaviour(written: str) -> None:
    kind, _ = VALUES[written]
    old, new = (f"<localVars>{variable(type=kind, inside=i)}</localVars>" for i in (start(written), ""))
    assert of_interfaces(old, new) == "behaviour"


def strings(value: str, more: str = "") -> str:
    return f"<localVars>{variable(type='<string/>', inside=start(simple(value)))}{more}</localVars>"


def test_a_string_with_and_without_quotes_is_equal() -> None:
    assert of_interfaces(strings("idle"), strings("'idle'")) == "noise"
    assert of_interfaces(strings("two words"), strings("'two words'")) == "noise"


def test_the_name_of_a_constant_is_not_taken_for_the_text_of_a_string() -> None:
    constant = variable("Idle", "<string/>")
    assert of_interfaces(strings("idle", constant), strings("'idle'", constant)) != "noise"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("[0, 0, 1]", "[2(0), 1]"),
        ("[1, 2(0)]", "[1, 0, 0]"),
        ("(a := 1, b := 2)", "(b := 2, a := 1)"),
        ("(a := 16#10)", "(a := 16)"),
        ("cMax", "CMAX"),
        ("[cMax]", "[CMAX]"),
    ],
)
def test_the_same_initial_value_written_in_another_way_is_documentation(old: str, new: str) -> None:
    old, new = (f"<localVars>{variable(type=USED, inside=start(simple(v)))}</localVars>" for v in (old, new))
    assert of_interfaces(old, new) == "documentation"


@pytest.mark.parametrize(
    ("old", "new"),
    [("[0, 1]", "[1, 0]"), ("[2(0)]", "[3(0)]"), ("(a := 1, b := 2)", "(a := 2, b := 1)"), ("['a']", "['A']")],
)
def test_another_value_inside_an_initial_value_is_behaviour(old: str, new: str) -> None:
    old, new = (f"<localVars>{variable(type=USED, inside=start(simple(v)))}</localVars>" for v in (old, new))
    assert of_interfaces(old, new) == "behaviour"


def user_type(base: str, more: str = "", name: str = "T") -> dict[str, str]:
    return {"types": f'<dataType name="{name}"><baseType>{base}</baseType>{more}</dataType>'}


def enum(*values: str, base: str = "") -> str:
    based = f"<baseType>{base}</baseType>" if base else ""
    return f"<enum><values>{''.join(values)}</values>{based}</enum>"


def test_user_types_of_every_kind() -> None:
    pieces = [
        user_type(enum('<value name="Off"/>', '<value name="On" value="5"/>', base="<INT/>"), start(simple("On")), "E"),
        user_type(
            f"<struct>{variable('x', address='%IX0.0')}{variable('y', inside=documented('way'))}</struct>", "", "S"
        ),
        user_type(f"<union>{variable('x')}</union>", "", "U"),
        user_type(next(t for t in TYPES if "16#f" in t), "", "A"),
        user_type(next(t for t in TYPES if "subrangeSigned" in t), start(simple("-1")), "R"),
        user_type('<string length="20"/>', documented("a name"), "N"),
        user_type('<pointer><baseType><derived name="S"/></baseType></pointer>', "", "P"),
    ]
    found = program(types="".join(p["types"] for p in pieces)).types
    assert [(t.name, t.kind, t.base, t.initial) for t in found] == [
        ("E", "enum", "INT", "On"),
        ("S", "struct", "", ""),
        ("U", "union", "", ""),
        ("A", "array", "ARRAY[0..N, -1..16#F] OF T", ""),
        ("R", "subrange", "INT (-5..5)", "-1"),
        ("N", "alias", "STRING[20]", ""),
        ("P", "alias", "POINTER TO S", ""),
    ]
    assert [(v.name, v.value) for v in found[0].values] == [("Off", ""), ("On", "5")]
    assert [(m.name, m.address, m.comment) for m in found[1].members] == [("x", "%IX0.0", ""), ("y", "", "way")]
    assert found[5].comment == "a name"
    assert all(t.extensions == () for t in found)


def member(name: str, kind: str = "<INT/>", inside: str = "") -> str:
    return variable(name, kind, inside)


TYPE_CHANGES = {
    "order of members": (f"<struct>{member('x')}{member('y')}</struct>", f"<struct>{member('y')}{member('x')}</struct>"),
    "start value of a member": (
        f"<struct>{member('x')}</struct>",
        f"<struct>{member('x', inside=start(simple('1')))}</struct>",
    ),
    "struct to union": (f"<struct>{member('x')}</struct>", f"<union>{member('x')}</union>"),
    "order of values": (enum('<value name="A"/>', '<value name="B"/>'), enum('<value name="B"/>', '<value name="A"/>')),
    "number of a value": (enum('<value name="A" value="1"/>'), enum('<value name="A" value="2"/>')),
    "base of an enumeration": (enum('<value name="A"/>', base="<INT/>"), enum('<value name="A"/>', base="<BYTE/>")),
    "length": ('<string length="20"/>', '<string length="21"/>'),
    "pointer": ("<INT/>", "<pointer><baseType><INT/></baseType></pointer>"),
    "signed range": tuple(
        f'<subrangeSigned><range lower="{n}" upper="5"/><baseType><INT/></baseType></subrangeSigned>' for n in (0, -5)
    ),
    "dimension": tuple(
        f'<array><dimension lower="0" upper="{n}"/><baseType><INT/></baseType></array>' for n in (4, 5)
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", TYPE_CHANGES)
def test_a_change_of_a_user_type_is_behaviour(what: str) -> None:
    uses = pou(f"<localVars>{variable(type=USED)}</localVars>", text("a := a;"))
    old, new = TYPE_CHANGES[what]
    assert verdict(user_type(old) | {"pous": uses}, user_type(new) | {"pous": uses}) == "behaviour"


def test_what_a_structure_or_enumeration_without_a_name_carries_is_seen() -> None:
    plain = f"<struct>{member('x')}{member('y')}</struct>"
    for inside in (documented("way"), added("unknown", "<own/>")):
        marked = f"<struct>{member('x')}{member('y', inside=inside)}</struct>"
        other = f"<struct>{member('x', inside=inside)}{member('y')}</struct>"
        old, new, third = (f"<localVars>{variable(type=t)}</localVars>" for t in (plain, marked, other))
        assert of_interfaces(old, new) != "noise"
        assert of_interfaces(new, third) != "noise"


@pytest.mark.parametrize("inside", ['own="1"', ""])
def test_unknown_data_of_a_value_or_dimension_is_seen_when_it_moves_to_the_next(inside: str) -> None:
    given = [f'<value name="A" {inside}/>', '<value name="B" own="1"/>']
    swapped = ['<value name="A" own="1"/>', f'<value name="B" {inside}/>']
    assert (verdict(user_type(enum(*given)), user_type(enum(*swapped))) == "identical") == bool(inside)
    ranges = [f'<dimension lower="0" upper="1" {inside}/>', '<dimension lower="0" upper="1" own="1"/>']
    old, new = (user_type(f"<array>{''.join(r)}<baseType><INT/></baseType></array>") for r in (ranges, ranges[::-1]))
    assert (verdict(old, new) == "identical") == bool(inside)
