"""What a TC6 document declares outside its POUs: tasks, instances, globals, paths, libraries, wherever they stand."""

from __future__ import annotations

import pytest
from tc6_documents import added, copy, data, documented, pou, program, simple, start, text, variable, verdict

import asfound


def task(attributes: str = 'interval="T#10ms" priority="1"', inside: str = "", name: str = "Fast") -> str:
    return f'<task name="{name}" {attributes}>{inside}</task>'


def resource(inside: str, name: str = "R") -> dict[str, str]:
    return {"configuration": f'<resource name="{name}">{inside}</resource>'}


def instance(name: str = "Main1", type: str = "Main") -> str:
    return f'<pouInstance name="{name}" typeName="{type}"/>'


def the_task(inside: str):
    (found,) = program(**resource(inside)).resources
    return found.tasks[0]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("T#10ms", "T#10ms"),
        ("t#0.01s", "T#10ms"),
        ("PT0.01S", "T#10ms"),
        ("PT0S", "T#0s"),
        ("P1DT2H3M4.5S", "T#1d2h3m4s500ms"),
        ("00:00:00.01", "T#10ms"),
        ("CycleTime", "CycleTime"),
        ("P", "P"),
        ("", ""),
    ],
)
def test_an_interval(written: str, read: str) -> None:
    assert the_task(task(f'interval="{written}" priority="1"')).interval == read


TASKS = {
    "interval": (task(), task('interval="T#20ms" priority="1"')),
    "interval removed": (task(), task('priority="1"')),
    "priority": (task(), task('interval="T#10ms" priority="2"')),
    "trigger": (task('single="Go" priority="1"'), task('single="Stop" priority="1"')),
    "trigger instead of interval": (task(), task('single="Go" priority="1"')),
    "instance added": (task(), task(inside=instance())),
    "type of an instance": (task(inside=instance()), task(inside=instance(type="Other"))),
    "type of an instance gone": (task(inside=instance()), task(inside=instance(type=""))),
    "instance moved out": (task(inside=instance()), task() + instance()),
    "instance moved to another task": (
        task(inside=instance()) + task(name="Slow"),
        task() + task(name="Slow", inside=instance()),
    ),
    "task added": (task(), task() + task(name="Slow")),
}


@pytest.mark.parametrize("what", TASKS)
def test_a_change_of_a_task_is_behaviour(what: str) -> None:
    old, new = TASKS[what]
    assert verdict(resource(old), resource(new)) == "behaviour"


def test_the_order_of_programs_in_a_task_is_seen() -> None:
    one, two = instance("A", "Main"), instance("B", "Main")
    assert verdict(resource(task(inside=one + two)), resource(task(inside=two + one))) == "undecided"


def test_the_order_of_tasks_is_noise() -> None:
    one, two = task(), task(name="Slow")
    assert verdict(resource(one + two), resource(two + one)) in ("noise", "documentation")


def test_the_configuration_of_a_resource_without_content_is_seen() -> None:
    one, two = ({"data": f'<data name="x"><configuration name="{n}"/></data>'} for n in "ab")
    assert verdict(one, two) == "undecided"


SETTINGS = '<TaskSettings KindOfTask="{}" Interval="{}" IntervalUnit="{}"><Watchdog Enabled="{}"/></TaskSettings>'


def cyclic(
    interval: str, unit: str, kind: str = "Cyclic", watchdog: str = "true", attribute: str = "PT0S"
) -> dict[str, str]:
    inside = added("tasksettings", SETTINGS.format(kind, interval, unit, watchdog))
    return resource(task(f'interval="{attribute}" priority="1"', inside))


def test_settings_override_the_interval() -> None:
    found = program(**cyclic("10000", "us")).resources[0].tasks[0]
    assert (found.interval, found.kind) == ("T#10ms", "Cyclic")
    assert [(s.name, s.value) for s in found.settings] == [("Watchdog/Enabled", "true")]
    assert program(**cyclic("t#50ms", "ms")).resources[0].tasks[0].interval == "T#50ms"


@pytest.mark.parametrize(
    ("other", "expected"),
    [
        (cyclic("10", "ms"), "noise"),
        (cyclic("10000", "ms"), "behaviour"),
        (cyclic("20000", "us"), "behaviour"),
        (cyclic("10000", "us", watchdog="false"), "behaviour"),
        (cyclic("10000", "us", kind="Freewheeling"), "behaviour"),
        (cyclic("10000", "us", attribute="PT1S"), "undecided"),
        (cyclic("10000", "ticks"), "behaviour"),
    ],
)
def test_a_change_of_the_settings(other: dict[str, str], expected: str) -> None:
    assert verdict(cyclic("10000", "us"), other) == expected


# --- globals and paths ----------------------------------------------------------------------------------------------

FLAGS = ['constant="true"', 'retain="true"', 'nonretain="true"', 'persistent="true"', 'retain="true" persistent="true"']


@pytest.mark.parametrize("place", ["configuration", "resource", "extension data"])
@pytest.mark.parametrize("flags", FLAGS)
def test_a_list_of_globals_with_its_attributes(flags: str, place: str) -> None:
    def made(attributes: str) -> dict[str, str]:
        block = f'<globalVars name="Io" {attributes}>{variable(inside=start(simple("1")))}</globalVars>'
        if place == "configuration":
            return {"configuration": block}
        return resource(block) if place == "resource" else {"data": data("globalvars", block)}

    (found,) = program(**made(flags)).globals
    (only,) = found.variables
    words = {w.partition("=")[0] for w in flags.split()}
    assert {only.constant and "constant", only.persistent and "persistent", only.retain.replace("_", "")} - {
        False,
        "",
    } == words
    assert verdict(made(flags), made("")) == "behaviour"


def test_access_paths() -> None:
    def made(path: str = "R.Main1.x", direction: str = 'direction="readOnly"', alias: str = "Seen") -> dict[str, str]:
        inside = f'<accessVariable alias="{alias}" instancePathAndName="{path}" {direction}><type><INT/></type></accessVariable>'
        return {"configuration": f"<accessVars>{inside}</accessVars>"}

    ((found,),) = ((b.variables) for b in program(**made()).globals)
    assert (found.name, found.address, found.access, found.section) == ("Seen", "R.Main1.x", "READ_ONLY", "access")
    for other in (made("R.Main1.y"), made(direction='direction="readWrite"'), made(direction=""), made(alias="Other")):
        assert verdict(made(), other) == "behaviour"


def configured(*pairs: tuple[str, str, str]) -> dict[str, str]:
    inside = "".join(
        f'<configVariable instancePathAndName="{path}" address="{address}"><type><INT/></type>{start(simple(value))}</configVariable>'
        for path, address, value in pairs
    )
    return {"configuration": f"<configVars>{inside}</configVars>"}


def test_configuration_variables_are_told_apart_by_their_path() -> None:
    one, two = ("R.Main1.x", "%IW0", "1"), ("R.Main1.y", "%IW2", "2")
    ((first, second),) = (b.variables for b in program(**configured(one, two)).globals)
    assert [(v.name, v.address, v.initial, v.section, v.extensions) for v in (first, second)] == [
        ("R.Main1.x", "%IW0", "1", "config", ()),
        ("R.Main1.y", "%IW2", "2", "config", ()),
    ]
    swapped = configured(("R.Main1.x", "%IW2", "1"), ("R.Main1.y", "%IW0", "2"))
    assert verdict(configured(one, two), swapped) == "behaviour"
    assert verdict(configured(one, two), configured(two, one)) in ("noise", "documentation")
    assert verdict(configured(one), configured(("R.Main1.x", "%IW0", "3"))) == "behaviour"
    assert verdict(configured(one), configured(("R.Main2.x", "%IW0", "1"))) == "behaviour"


# --- wherever they are nested ---------------------------------------------------------------------------------------

POU = pou(name="Deep", body=text("x := 1;"))
TYPE = '<dataType name="T"><baseType><INT/></baseType></dataType>'
LIST = f'<globalVars name="G">{variable()}</globalVars>'


def wrapped(content: str, depth: int) -> str:
    for n in range(depth):
        content = f'<folder name="F{n}">{content}</folder>'
    return f'<data name="urn:x:anything" handleUnknown="discard">{content}</data>'


HOLDERS = {
    "project": lambda d: {"data": d},
    "header": lambda d: {"header": f"<addData>{d}</addData>"},
    "configuration": lambda d: {"configuration": f"<addData>{d}</addData>"},
    "resource": lambda d: resource(f"<addData>{d}</addData>"),
    "task": lambda d: resource(task(inside=f"<addData>{d}</addData>")),
    "types": lambda d: {"types": f"<addData>{d}</addData>"},
    "pous": lambda d: {"pous": f"<addData>{d}</addData>"},
}


@pytest.mark.parametrize("depth", [0, 1, 3])
@pytest.mark.parametrize("holder", HOLDERS)
def test_declarations_are_found_at_any_depth_of_extension_data(holder: str, depth: int) -> None:
    found = program(**HOLDERS[holder](wrapped(POU + TYPE + LIST, depth)))
    assert [p.name for p in found.pous] == ["Deep"]
    assert [t.name for t in found.types] == ["T"]
    assert [g.name for g in found.globals] == ["G"]
    for old, new in (
        ("x := 1", "x := 2"),
        ("<INT/></baseType>", "<DINT/></baseType>"),
        ("<INT/></type>", "<DINT/></type>"),
    ):
        content = (POU + TYPE + LIST).replace(old, new)
        assert verdict(
            HOLDERS[holder](wrapped(POU + TYPE + LIST, depth)), HOLDERS[holder](wrapped(content, depth))
        ) in (
            "behaviour",
            "undecided",
        )


def test_types_and_globals_in_the_data_of_a_pou_belong_to_the_program() -> None:
    found = program(pous=pou(body=text("") + f"<addData>{wrapped(TYPE + LIST, 1)}</addData>"))
    assert [t.name for t in found.types] == ["T"]
    assert [g.name for g in found.globals] == ["G"]


def test_a_pou_that_moves_to_another_folder_is_seen() -> None:
    old, new = (
        {"data": f'<data name="x"><f name="A">{a}</f><f name="B">{b}</f></data>'} for a, b in ((POU, ""), ("", POU))
    )
    assert verdict(old, new) == "documentation"


def test_the_name_of_unknown_data_around_a_pou_is_seen() -> None:
    old, new = ({"data": f'<data name="urn:x:{n}" handleUnknown="discard">{POU}</data>'} for n in "ab")
    assert verdict(old, new) == "undecided"


def test_a_task_and_an_instance_in_the_data_of_a_resource() -> None:
    (found,) = program(**resource(added("own", task(inside=instance()) + instance("Free")))).resources
    assert [t.name for t in found.tasks] == ["Fast"]
    assert [(i.name, i.task) for i in found.instances] == [("Main1", "Fast"), ("Free", "")]


def test_a_task_outside_any_resource_is_kept() -> None:
    (found,) = program(data=data("own", task())).resources
    assert [t.name for t in found.tasks] == ["Fast"]
    assert verdict({"data": data("own", task())}, {"data": data("own", task('priority="9"'))}) == "behaviour"


# --- libraries ------------------------------------------------------------------------------------------------------


def linked(version: str = "1.2", parameter: str = "10", placeholder: str = "Standard, 3.1") -> dict[str, str]:
    inside = (
        f'<Library Name="Pumps" DefaultResolution="{version}"><Parameters><Parameter Name="Max" Value="{parameter}"/>'
        f'</Parameters></Library><PlaceholderRedirection Placeholder="Std" Redirection="{placeholder}"/>'
    )
    return {"data": data("libraries", f"<Libraries>{inside}</Libraries>")}


def test_libraries() -> None:
    first, second = program(**linked()).libraries
    assert (first.name, first.version) == ("Pumps", "1.2")
    assert [(s.name, s.value) for s in first.settings] == [
        ("Parameters/Parameter[Max]/Name", "Max"),
        ("Parameters/Parameter[Max]/Value", "10"),
    ]
    assert second.name == "PlaceholderRedirection"
    for other in (linked("*"), linked(parameter="11"), linked(placeholder="Standard, 3.2"), {}):
        assert verdict(linked(), other) == "undecided"
    assert any("without a fixed version" in limit for limit in copy(**linked("*")).limits)


def test_two_placeholders_that_swap_what_they_stand_for_are_seen() -> None:
    def made(a: str, b: str) -> dict[str, str]:
        one, two = (f'<PlaceholderRedirection Placeholder="{p}" Redirection="{r}"/>' for p, r in (("A", a), ("B", b)))
        return {"data": data("libraries", f"<Libraries>{one}{two}</Libraries>")}

    assert verdict(made("x", "y"), made("y", "x")) == "undecided"


def test_documentation_of_the_project() -> None:
    old, new = (asfound.read(DOCUMENTED.replace("WORDS", w).encode(), "p.xml") for w in ("one", "two"))
    assert old.program.heading.comment == "one"
    assert asfound.compare(old, new).verdict == "documentation"


DOCUMENTED = (
    '<project xmlns="http://www.plcopen.org/xml/tc6_0201" xmlns:x="http://www.w3.org/1999/xhtml"><types><dataTypes/><pous/>'
    f"</types>{documented('WORDS')}</project>"
)
