"""POUs of every kind in TC6, with everything they own, wherever it stands.

Methods, properties, interfaces and classes are no part of the TC6 schema: exporters put them into extension data. The
shapes here are variants of what the schema has for POUs; that they occur so is common practice.
"""

from __future__ import annotations

import pytest
from tc6_documents import (
    added,
    copy,
    declared,
    documented,
    of_interfaces,
    only_pou,
    parameters,
    pou,
    program,
    text,
    variable,
    verdict,
)

import asfound
from asfound.language.normal import normal_form, read_normal_form

KINDS = {
    "program": "program",
    "functionBlock": "function_block",
    "function": "function",
    "class": "class",
    "interface": "interface",
}


@pytest.mark.parametrize("word", KINDS)
def test_a_pou_kind(word: str) -> None:
    assert only_pou(pous=pou(kind=word)).kind == KINDS[word]
    other = "function" if word != "function" else "program"
    assert verdict({"pous": pou(kind=word)}, {"pous": pou(kind=other)}) == "behaviour"


def test_an_unknown_pou_kind_is_kept() -> None:
    (found,) = program(pous=pou(kind="macro")).pous
    assert [(e.path, e.text) for e in found.extensions] == [("pou/@pouType", "macro")]


SECTIONS = {
    "inputVars": "input",
    "outputVars": "output",
    "inOutVars": "in_out",
    "localVars": "local",
    "tempVars": "temp",
    "externalVars": "external",
    "globalVars": "global",
    "accessVars": "access",
}


@pytest.mark.parametrize("word", SECTIONS)
def test_a_section(word: str) -> None:
    (found,) = declared(f"<{word}>{variable()}</{word}>")
    assert found.section == SECTIONS[word]
    other = "localVars" if word != "localVars" else "tempVars"
    told = "undecided" if word == "externalVars" else "behaviour"  # the global that it stands for is not in the export
    assert of_interfaces(*(f"<{w}>{variable()}</{w}>" for w in (word, other))) == told


def test_where_a_section_is_split_says_nothing() -> None:
    one = f"<localVars>{variable('a')}{variable('b')}</localVars>"
    two = f"<localVars>{variable('a')}</localVars><localVars>{variable('b')}</localVars>"
    assert of_interfaces(one, two) == "noise"


FLAGS = [
    f"{c} {r} {p}"
    for c in ("", "constant")
    for r in ("", "retain", "nonretain")
    for p in ("", "persistent", "nonpersistent")
]


def flagged(flags: str, block: str = "localVars") -> str:
    attributes = " ".join(f'{flag}="true"' for flag in flags.split())
    return f"<{block} {attributes}>{variable()}</{block}>"


@pytest.mark.parametrize("flags", FLAGS)
def test_every_combination_of_attributes_of_a_block(flags: str) -> None:
    (found,) = program(pous=pou(flagged(flags))).pous[0].variables
    words = flags.split()
    retained = {"retain": "retain", "nonretain": "non_retain"}
    assert found.constant == ("constant" in words)
    assert found.retain == next((retained[w] for w in words if w in retained), "")
    assert found.persistent == ("persistent" in words)


def test_no_two_combinations_of_attributes_are_the_same() -> None:
    forms = {
        flags: str(normal_form(copy(pous=pou(flagged(flags)))))
        for flags in [*FLAGS, "retain nonretain", "persistent nonpersistent"]
    }
    assert len(set(forms.values())) == len(forms)


def test_a_variable_that_moves_to_a_retained_block_is_behaviour() -> None:
    a, b = variable("a"), variable("b")
    old = f"<localVars>{a}{b}</localVars><localVars retain='true'>{variable('c')}</localVars>"
    new = f"<localVars>{a}</localVars><localVars retain='true'>{b}{variable('c')}</localVars>"
    assert of_interfaces(old, new) == "behaviour"


def test_unknown_data_of_a_block_is_seen_when_it_moves_to_another_block() -> None:
    old = f"<localVars own='1'>{variable('a')}</localVars><localVars>{variable('b')}</localVars>"
    new = f"<localVars>{variable('a')}</localVars><localVars own='1'>{variable('b')}</localVars>"
    assert of_interfaces(old, new) == "undecided"


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("%IX0.0", "%IX0.0"),
        ("%qw 004", "%QW4"),
        ("%MD0.0", "%MD0.0"),
        ("%IW1.2.3.4.5", "%IW1.2.3.4.5"),
        ("%I1.0", "%IX1.0"),
        ("%I*", "%I*"),
        ("%qx*", "%QX*"),
        ("%ML3", "%ML3"),
        ("%B0", "%B0"),
    ],
)
def test_an_address(written: str, read: str) -> None:
    (found,) = declared(f"<localVars>{variable(address=written)}</localVars>")
    assert found.address == read
    for other in ("%MW99", ""):
        old, new = (f"<localVars>{variable(address=a)}</localVars>" for a in (written, other))
        assert of_interfaces(old, new) == "behaviour"


@pytest.mark.parametrize(
    ("old", "new"), [("%MD0.0", "%MD0"), ("%IW1.2", "%IW12"), ("%I0.0", "%Q0.0"), ("%IX*", "%IX0")]
)
def test_another_address_is_behaviour(old: str, new: str) -> None:
    assert of_interfaces(*(f"<localVars>{variable(address=a)}</localVars>" for a in (old, new))) == "behaviour"


def test_a_result_type() -> None:
    result = "<returnType><INT/></returnType>"
    assert only_pou(pous=pou(result, kind="function")).result == "INT"
    assert of_interfaces(result, "<returnType><DINT/></returnType>", "function") == "behaviour"


def test_the_order_of_all_parameters_of_a_function_is_not_lost() -> None:
    old = parameters(("inputVars", "a"), ("inOutVars", "b"), ("inputVars", "c"))
    new = parameters(("inputVars", "ac"), ("inOutVars", "b"))
    assert of_interfaces(old, new, "function") == "undecided"
    assert of_interfaces(old, new, "functionBlock") == "noise"
    assert of_interfaces(parameters(("inputVars", "ab")), parameters(("inputVars", "ba")), "function") == "behaviour"


COMMENTED = {
    "the POU": lambda c: {"pous": f'<pou name="M" pouType="program"><interface/>{text("")}{c}</pou>'},
    "the interface": lambda c: {"pous": pou(c)},
    "a variable": lambda c: {"pous": pou(f"<localVars>{variable(inside=c)}</localVars>")},
    "an action": lambda c: {"pous": pou(body=f'<actions><action name="A">{text("")}{c}</action></actions>')},
    "a transition": lambda c: {"pous": pou(body=f'<transitions><transition name="A">{text("")}{c}</transition></transitions>')},
    "a data type": lambda c: {"types": f'<dataType name="T"><baseType><INT/></baseType>{c}</dataType>'},
    "a list of globals": lambda c: {"configuration": f"<globalVars>{variable()}{c}</globalVars>"},
    "a task": lambda c: {"configuration": f'<resource name="R"><task name="T" priority="1">{c}</task></resource>'},
    "an instance": lambda c: {"configuration": f'<resource name="R"><pouInstance name="i" typeName="M">{c}</pouInstance></resource>'},
    "a resource": lambda c: {"configuration": f'<resource name="R">{c}</resource>'},
}  # fmt: skip


@pytest.mark.parametrize("what", COMMENTED)
def test_documentation_of_anything_is_documentation(what: str) -> None:
    make = COMMENTED[what]
    old, new = make(documented("fill the tank")), make(documented("empty the tank"))
    assert verdict(old, new) == "documentation"
    assert verdict(old, make("")) == "documentation"
    assert verdict(old, make(documented("\n   fill\n   the tank "))) == "noise"


def actions(*pairs: tuple[str, str], word: str = "action") -> str:
    inside = "".join(f'<{word} name="{name}">{text(code)}</{word}>' for name, code in pairs)
    return f"<{word}s>{inside}</{word}s>{text('')}"


@pytest.mark.parametrize("word", ["action", "transition"])
def test_actions_and_transitions_of_one_name_are_all_compared(word: str) -> None:
    codes = ("a := 1;", "a := 2;", "a := 3;") if word == "action" else ("a", "b", "c")
    old = {"pous": pou(body=actions(("Act", codes[0]), ("act", codes[1]), word=word))}
    new = {"pous": pou(body=actions(("Act", codes[2]), ("act", codes[1]), word=word))}
    assert verdict(old, new) in ("behaviour", "undecided")
    less = {"pous": pou(body=actions(("Act", codes[0]), word=word))}
    assert verdict(old, less) == "behaviour"
    found = copy(**old)
    assert [a.name for p in found.program.pous for a in (*p.actions, *p.transitions)] == ["Act", "act"]
    assert [f.text for f in found.findings] == [f"Main: two {word}s are called act; both are kept"]


def test_two_pous_of_one_name_are_kept_and_said() -> None:
    found = copy(pous=pou() + pou(name="MAIN", kind="functionBlock") + pou(name="Other"))
    assert [p.name for p in found.program.pous] == ["Main", "MAIN", "Other"]
    assert [f.text for f in found.findings] == ["POU MAIN is in p.xml twice; both are kept"]


def test_pous_whose_names_differ_in_case_are_not_mixed_up_by_their_order() -> None:
    one, two = pou(body=text("a := 1;")), pou(name="MAIN", body=text("a := 2;"))
    assert verdict({"pous": one + two}, {"pous": two + one}) == "noise"
    other = pou(name="MAIN", body=text("a := 3;"))
    changes = asfound.compare(copy(pous=one + two), copy(pous=other + one)).changes
    assert [(c.where, c.kind) for c in changes] == [("MAIN / statement 1", "changed")]


# --- methods, properties, interfaces --------------------------------------------------------------------------------

CODE = text("Run := TRUE;")
INTERFACE = f"<interface><returnType><BOOL/></returnType><inputVars>{variable()}</inputVars></interface>"
ACCESSOR = f"<interface><localVars>{variable('v')}</localVars></interface>{text('P := v;')}"
PLACES = {
    "in extension data": lambda m: pou(kind="functionBlock", body=text("") + added("method", m)),
    "deeper in extension data": lambda m: pou(kind="functionBlock", body=text("") + added("own", f"<A><B>{m}</B></A>")),
    "in that of the interface": lambda m: pou(added("method", m), kind="functionBlock"),
    "directly below": lambda m: pou(kind="functionBlock", body=text("") + m),
    "in a list": lambda m: pou(kind="functionBlock", body=f"{text('')}<methods>{m}</methods>"),
}
WORDS = {"Method": "method", "method": "method", "Property": "property", "property": "property"}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("word", WORDS)
def test_a_member_is_found(word: str, place: str) -> None:
    (owner,) = program(pous=PLACES[place](f'<{word} name="Run" ObjectId="1">{INTERFACE}{CODE}</{word}>')).pous
    (found,) = owner.members
    assert (found.name, found.kind, found.result) == ("Run", WORDS[word], "BOOL")
    assert [v.name for v in found.variables] == ["a"]
    assert found.bodies[0].statements
    assert found.extensions == ()


@pytest.mark.parametrize("place", PLACES)
def test_a_changed_method_is_a_change_of_behaviour(place: str) -> None:
    old = {"pous": PLACES[place](f'<Method name="Run" ObjectId="1">{INTERFACE}{CODE}</Method>')}
    for method in (
        f'<Method name="Run" ObjectId="1">{INTERFACE}{text("Run := FALSE;")}</Method>',
        f'<Method name="Run" ObjectId="1">{INTERFACE.replace("<INT/>", "<DINT/>")}{CODE}</Method>',
        f'<Method name="Run" ObjectId="1">{INTERFACE.replace("<BOOL/>", "<INT/>")}{CODE}</Method>',
    ):
        assert verdict(old, {"pous": PLACES[place](method)}) == "behaviour"
    same = f'<Method name="Run" ObjectId="2">{INTERFACE}{CODE}</Method>'
    assert verdict(old, {"pous": PLACES[place](same)}) == "noise"


@pytest.mark.parametrize("words", [("get", "set"), ("Get", "Set"), ("GetAccessor", "SetAccessor")])
def test_a_property_with_its_accessors(words: tuple[str, str]) -> None:
    accessors = "".join(f"<{word}>{ACCESSOR}</{word}>" for word in words)
    (owner,) = program(pous=PLACES["in extension data"](f'<Property name="P">{INTERFACE}{accessors}</Property>')).pous
    (found,) = owner.members
    assert [(m.name, m.kind, [v.name for v in m.variables]) for m in found.members] == [
        ("GET", "get", ["v"]),
        ("SET", "set", ["v"]),
    ]
    assert all(m.bodies[0].statements and m.extensions == () for m in found.members)


def test_a_lost_accessor_is_behaviour() -> None:
    both = f'<Property name="P">{INTERFACE}<Get>{ACCESSOR}</Get><Set>{ACCESSOR}</Set></Property>'
    one = f'<Property name="P">{INTERFACE}<Get>{ACCESSOR}</Get></Property>'
    old, new = ({"pous": PLACES["in extension data"](p)} for p in (both, one))
    assert verdict(old, new) == "behaviour"


def test_what_a_block_extends_and_implements() -> None:
    heritage = "<Inheritance><Extends>Base</Extends><Implements>IOne, ITwo</Implements></Inheritance>"
    made = pou(kind="functionBlock", body=text("") + added("inheritance", heritage))
    found = only_pou(pous=made)
    assert (found.extends, found.implements) == ("Base", ("IOne", "ITwo"))
    for other in (heritage.replace("Base", "Other"), heritage.replace("IOne, ", ""), ""):
        new = pou(kind="functionBlock", body=text("") + added("inheritance", other))
        assert verdict({"pous": made}, {"pous": new}) == "behaviour"


def test_a_pou_inside_a_pou() -> None:
    inner = pou(name="Inner", kind="functionBlock", body=text("x := 1;"))
    found = only_pou(pous=pou(body=text("") + added("pou", inner)))
    assert [(m.name, m.kind) for m in found.members] == [("Inner", "function_block")]
    other = inner.replace("x := 1", "x := 2")
    old, new = ({"pous": pou(body=text("") + added("pou", i))} for i in (inner, other))
    assert verdict(old, new) == "behaviour"


def test_actions_in_extension_data() -> None:
    action = f'<Action name="Fill">{text("x := 1;")}</Action>'
    found = only_pou(pous=pou(body=text("") + added("action", action)))
    assert [a.name for a in found.actions] == ["Fill"]


def test_the_name_of_a_pou_in_unknown_data_is_no_pou() -> None:
    (found,) = program(pous=pou(body=text("") + added("own", '<pou name="Other"/><Method name="M"/>'))).pous
    assert found.members == ()
    assert [e.path for e in found.extensions] == ["pou/data[own]"]


def test_an_empty_entry_of_extension_data_is_a_flag() -> None:
    flag = '<addData><data name="urn:x:failsafe" handleUnknown="discard"/></addData>'
    assert verdict({"pous": pou()}, {"pous": pou(body=text("") + flag)}) == "undecided"


@pytest.mark.parametrize("kind", ["functionBlock", "function", "interface", "class"])
def test_the_normal_form_of_any_pou_can_be_read_again(kind: str) -> None:
    method = (
        f'<Method name="Run">{INTERFACE}{CODE}</Method><Property name="P">{INTERFACE}<Get>{ACCESSOR}</Get></Property>'
    )
    made = copy(pous=pou(flagged("retain persistent"), kind=kind, body=actions(("A", "a := 1;")) + added("m", method)))
    form = normal_form(made)
    assert normal_form(read_normal_form(form)) == form
    assert made.program.pous[0].members
