"""Extension data that holds what the standard part does not say, and data that only repeats it."""

from __future__ import annotations

import pytest
from drawing_kit import (
    TC6,
    URI,
    Drawing,
    attribute_list,
    chart,
    copy_of,
    data,
    normal,
    pou,
    project,
    rung,
    same,
    section,
    st,
    statements,
    text,
    variable,
)

from asfound.compare.comparison import compare


def test_step_code_that_is_named_only_in_extension_data() -> None:
    def step(main: str) -> Drawing:
        d = Drawing("SFC")
        more = attribute_list(g700a583f_b4d4_43e4_8c14_629c7cd3bec8=main) if main else ""
        s = d.step("Fill", initialStep=True, more=more)
        d.jump_to("Fill", d.transition("Done", s))
        return d

    assert chart(step("Fill_active")).startswith("INITIAL_STEP Fill:\n  Fill_active(main);\nEND_STEP")
    assert not same(step("Fill_active"), step("Fill_entry"))
    assert not same(step("Fill_active"), step(""))


KEYS = {
    "entry": "ga6b08bd8_b696_47e3_9cbf_7408b61c9ff8",
    "main": "g700a583f_b4d4_43e4_8c14_629c7cd3bec8",
    "exit": "ga2621e18_7de3_4ea6_ae6d_89e9e0b7befd",
}


@pytest.mark.parametrize("when", KEYS)
def test_entry_main_and_exit_code_of_a_step_are_told_apart(when: str) -> None:
    def step(**named: str) -> Drawing:
        d = Drawing("SFC")
        s = d.step("Fill", initialStep=True, more=attribute_list(**{KEYS[k]: v for k, v in named.items()}))
        d.jump_to("Fill", d.transition("Done", s))
        return d

    assert f"\n  Pump.Stop({when});\n" in chart(step(**{when: "Pump.Stop"})).replace('{name "Pump.Stop"}', "Pump.Stop")
    assert not same(step(**{when: "Run"}), step())
    for other in KEYS.keys() - {when}:
        assert not same(step(**{when: "Run"}), step(**{other: "Run"}))


def test_everything_in_extension_data_while_the_standard_place_is_empty() -> None:
    def nested(code: str, start: str) -> bytes:
        inside = (
            '<resource name="App"><task name="Main" priority="1" interval="PT0S">'
            '<pouInstance name="PRG" typeName=""/></task>'
            + section("globalVars", variable("Level", "INT", start), name="GVL")
            + data("pou", pou(st(code), name="PRG"))
            + "</resource>"
        )
        return project(more=data("application", inside))

    program = copy_of(nested("a := 1;", "5")).program
    assert [p.name for p in program.pous] == ["PRG"]
    assert [(g.name, g.variables[0].initial) for g in program.globals] == [("GVL", "5")]
    assert [(t.name, r.instances[0].name) for r in program.resources for t in r.tasks] == [("Main", "PRG")]
    assert not same(nested("a := 1;", "5"), nested("a := 2;", "5"))
    assert not same(nested("a := 1;", "5"), nested("a := 1;", "6"))


def task(settings: str, **more: str) -> bytes:
    given = "".join(f' {k}="{v}"' for k, v in more.items())
    inside = f'<task name="T" priority="1" interval="PT0S"{given}>{data("tasksettings", settings)}</task>'
    return project(instances=f'<configuration name="C"><resource name="R">{inside}</resource></configuration>')


def test_the_real_cycle_of_a_task_stands_in_its_settings() -> None:
    def cycle(interval: str, unit: str = "us", watchdog: str = "true") -> bytes:
        dog = f'<Watchdog Enabled="{watchdog}" TimeLimit="100"/>'
        return task(
            f'<TaskSettings KindOfTask="Cyclic" Interval="{interval}" IntervalUnit="{unit}">{dog}</TaskSettings>'
        )

    (found,) = copy_of(cycle("10000")).program.resources[0].tasks
    assert (found.kind, found.interval) == ("Cyclic", "T#10ms")
    assert [(s.name, s.value) for s in found.settings] == [("Watchdog/Enabled", "true"), ("Watchdog/TimeLimit", "100")]
    assert [(e.path, e.text) for e in found.extensions] == [("task/@interval", "T#0s")]
    assert same(cycle("10000"), cycle("10", "ms"))
    for other in (cycle("20000"), cycle("10000", "ms"), cycle("10000", watchdog="false")):
        assert not same(cycle("10000"), other)


def test_data_marked_discard_may_hold_the_device() -> None:
    def device(watchdog: str) -> bytes:
        inside = f'<Device xmlns=""><Parameter name="Watchdog">{watchdog}</Parameter></Device>'
        given = f'<addData><data name="Device" handleUnknown="discard">{inside}</data></addData>'
        return project(instances=f'<configuration name="C">{given}</configuration>')

    assert "Watchdog" in normal(device("100"))
    assert not same(device("100"), device("200"))


@pytest.mark.parametrize("place", ["vendor", "error", "unknown", "data", "attribute"])
def test_what_nobody_knows_is_kept(place: str) -> None:
    def unrecognised(value: str) -> bytes:
        d = rung()
        more = ""
        if place == "vendor":
            d.add("vendorElement", f"<alternativeText>{text(value)}</alternativeText>")
        elif place == "error":
            d.add("error", f"<content>{text(value)}</content>")
        elif place == "unknown":
            d.parts.append(f"<spark><level>{value}</level></spark>")
        elif place == "data":
            more = data("http://example.org/odd", f'<x xmlns="">{value}</x>')
        else:
            d.parts.append(f'<coil localId="99" power="{value}"><variable>Z</variable></coil>')
        return project(pou(d, more=more))

    assert not same(unrecognised("one"), unrecognised("two"))
    assert compare(copy_of(unrecognised("one")), copy_of(unrecognised("two"))).verdict in ("undecided", "behaviour")


def test_an_unknown_kind_of_pou_is_kept() -> None:
    assert "gadget" in normal(pou(rung(), kind="gadget"))


def execute(code: str, enable: bool = True, call: str = "execute") -> Drawing:
    d = Drawing("FBD")
    more = (
        '<addData><data name="' + URI + 'fbdcalltype" handleUnknown="implementation">'
        f'<CallType xmlns="">{call}</CallType></data>'
        f'<data name="{URI}stcode" handleUnknown="implementation"><STCode xmlns="">{code}</STCode></data></addData>'
    )
    d.block("EXECUTE", {"EN": d.value("Go") if enable else None}, "ENO", more=more)
    return d


def test_code_of_an_execute_block_stands_only_in_extension_data() -> None:
    assert statements(execute("a := b + 1;\nc := 2;")) == "IF Go THEN\n  a := b + 1;\n  c := 2;\nEND_IF;"
    assert statements(execute("a := b + 1;", enable=False)) == "a := b + 1;"
    assert not same(execute("a := b + 1;"), execute("a := b + 2;"))
    assert not same(execute("a := 1;"), execute("a := 1;", call="operator"))


def test_libraries_and_settings_of_charts() -> None:
    def linked(version: str, size: str) -> bytes:
        inside = (
            f'<Libraries xmlns=""><Library Name="Util" DefaultResolution="{version}">'
            f'<Parameters><Parameter name="SIZE">{size}</Parameter></Parameters></Library></Libraries>'
        )
        return project(
            instances='<configuration name="C"><resource name="R">'
            + data("libraries", inside)
            + "</resource></configuration>"
        )

    found = copy_of(linked("*", "80"))
    assert [(x.name, x.version) for x in found.program.libraries] == [("Util", "*")]
    assert any("which one is linked is not known: Util" in limit for limit in found.limits)
    assert not same(linked("*", "80"), linked("1.2", "80"))
    assert not same(linked("*", "80"), linked("*", "255"))
    flags = [
        pou(rung(), more=data("sfcsettings", f'<SFCSettings xmlns=""><Init Use="{u}"/></SFCSettings>'))
        for u in ("True", "False")
    ]
    assert not same(flags[0], flags[1])


def test_payloads_without_a_namespace_and_other_prefixes() -> None:
    old = project(pou(rung()), more=data("objects", '<Box xmlns="" size="1"/>'))
    assert not same(old, old.replace(b'size="1"', b'size="2"'))
    prefixed = project(pou(rung())).decode().replace(f'xmlns="{TC6}"', f'xmlns:p="{TC6}"')
    for tag in ("project", "types", "pous", "pou", "body", "LD", "coil", "contact", "variable", "connection"):
        for edge in ("<", "</"):
            for end in (" ", ">", "/"):
                prefixed = prefixed.replace(f"{edge}{tag}{end}", f"{edge}p:{tag}{end}")
    assert statements(prefixed.encode()) == "Q := A;"


def test_duplicates_in_extension_data() -> None:
    def drawn(repeated: bool) -> Drawing:
        d = Drawing("SFC")
        name = attribute_list(
            g38391c6d_6d4a_42f8_8ee7_9f45e5adafa8="\n   S\n  ", g6844a48e_46c2_4cc8_a185_a478f3b99cc0="TRUE"
        )
        s = d.step("S", initialStep=True, more=name if repeated else "")
        condition = attribute_list(g38391c6d_6d4a_42f8_8ee7_9f45e5adafa8="a  >  3")
        d.jump_to("S", d.transition("A > 3" if not repeated else "a > 3", s, more=condition if repeated else ""))
        return d

    text_ = chart(drawn(True))
    assert "extension" not in text_
    assert text_.casefold() == chart(drawn(False)).casefold()


def test_a_duplicate_that_disagrees_is_kept() -> None:
    d = Drawing("SFC")
    s = d.step("S", initialStep=True, more=attribute_list(g38391c6d_6d4a_42f8_8ee7_9f45e5adafa8="Other"))
    d.jump_to("S", d.transition("A", s))
    assert "Other" in chart(d)


def test_declaration_text_beside_the_structure() -> None:
    plain = data(
        "interfaceasplaintext",
        "<InterfaceAsPlainText>" + text("PROGRAM Main\nVAR\n a : int;\nEND_VAR\n") + "</InterfaceAsPlainText>",
    )
    declared = section("localVars", variable("a", "INT"))
    assert same(pou(rung(), declared), pou(rung(), declared, more=plain))
    wrong = plain.replace("int", "dint")
    assert not same(pou(rung(), declared), pou(rung(), declared, more=wrong))


def test_a_renamed_application() -> None:
    def application(name: str) -> bytes:
        return project(
            more=data("application", f'<resource name="{name}">' + data("pou", pou(rung(), name="P")) + "</resource>")
        )

    found = compare(copy_of(application("Plant_7")), copy_of(application("Plant_8")))
    assert [c.kind for c in found.changes] in (["renamed"], ["changed"])
