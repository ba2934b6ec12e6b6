"""Hardware in AutomationML with its logic: in the same package, or in files beside it that it links to.

Facts of IEC 62714-1 and 62714-4 (``PLCopenXMLInterface``, ``refURI``) and of OPC containers: from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import asfound
from asfound.model.copy import Copy
from asfound.readers.reading import read_files, with_linked
from hostile.linked_plants import LOGIC, RELATIONS, hardware, logic, package

NOWHERE = "which leads out of its folder and is not followed"


def links(found: Copy) -> list[str]:
    return [limit for limit in found.limits if " links to " in limit]


def held(found: Copy) -> tuple[list[str], list[str]]:
    return [d.name for d in found.hardware.devices], [p.name for p in found.program.pous]


def folder(at: Path, files: dict[str, bytes]) -> Path:
    for name, data in files.items():
        (at / name).parent.mkdir(parents=True, exist_ok=True)
        (at / name).write_bytes(data)
    return at


PLANT = {"plant.aml": hardware("logic/main.xml#Main"), "logic/main.xml": logic()}


# --- in a package -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("caex3", [False, True])
@pytest.mark.parametrize("uri", ["logic/main.xml#Main", "./logic/./main.xml", "/logic/main.xml", "Logic\\main%2Exml"])
def test_hardware_and_logic_of_a_package_are_one_copy(uri: str, caex3: bool) -> None:
    found = asfound.read(package({**PLANT, "plant.aml": hardware(uri, caex3=caex3)}), "p.amlx")
    assert held(found) == (["mixer-1"], ["Main"])
    assert [source.name for source in found.sources] == ["p.amlx"]
    assert links(found) == []


def test_a_rung_changed_in_the_logic_of_a_package_is_told() -> None:
    new = package({**PLANT, "logic/main.xml": logic(stop=False)})
    (change,) = asfound.compare(asfound.read(package(PLANT), "p.amlx"), asfound.read(new, "q.amlx")).changes
    assert (change.where, change.effect) == ("Main / rung 1", "behaviour")
    assert "contact Stop removed from the series" in change.summary


def test_what_nobody_links_to_is_read_too_and_what_nobody_knows_is_kept() -> None:
    tags = b"Name;Address;Type\nLamp;%QX0.1;BOOL\n"
    parts = {
        "plant.aml": hardware(),
        "main.xml": logic(),
        "t/tags.csv": tags,
        "a.bin": b"\x00\x01",
        "p.zip": package({}),
    }
    found = asfound.read(package(parts), "p.amlx")
    assert held(found) == (["mixer-1"], ["Main"])
    assert [table.tags[0].name for table in found.tables] == ["Lamp"]
    assert [e.path for e in found.hardware.extensions] == ["part/a.bin", "part/p.zip"]
    other = asfound.read(package({**parts, "a.bin": b"\x00\x02"}), "p.amlx")
    assert asfound.compare(found, other).verdict == "undecided"


def test_relations_between_parts_count_by_type_and_target() -> None:
    def plant(id: str, target: str) -> Copy:
        relation = f'<Relationship Id="{id}" Type="http://example.org/Logic" Target="{target}"/>'
        rels = f'<Relationships xmlns="{RELATIONS}">{relation}</Relationships>'.encode()
        return asfound.read(package({**PLANT, "_rels/plant.aml.rels": rels}), "p.amlx")

    old = plant("R1", "/logic/main.xml")
    assert asfound.compare(old, plant("R2", "/logic/main.xml")).changes == ()
    assert asfound.compare(old, plant("R1", "/logic/more.xml")).verdict == "undecided"


@pytest.mark.parametrize("more", [' More="1"/>', ">text</Relationship>", "><x/></Relationship>", "/>text"])
def test_what_a_list_of_relations_holds_besides_is_compared(more: str) -> None:
    def plant(ending: str) -> Copy:
        relation = f'<Relationship Id="R1" Type="http://example.org/Logic" Target="/main.xml"{ending}'
        rels = f'<Relationships xmlns="{RELATIONS}">{relation}</Relationships>'.encode()
        return asfound.read(package({**PLANT, "_rels/plant.aml.rels": rels}), "p.amlx")

    assert asfound.compare(plant("/>"), plant(more)).changes


def test_a_part_called_like_a_list_of_relations_is_kept() -> None:
    found = asfound.read(package({**PLANT, "notes.rels": b"plain"}), "p.amlx")
    assert [e.path for e in found.hardware.extensions] == ["part/notes.rels"]


def test_a_profile_for_tables_in_a_package_is_kept() -> None:
    parts = {**PLANT, "p.toml": b'schema = "asfound/profile/1"\n'}
    assert [e.path for e in asfound.read(package(parts), "p.amlx").hardware.extensions] == ["part/p.toml"]


def test_the_name_of_a_package_means_nothing() -> None:
    parts = {
        **PLANT,
        "a/tags.csv": b"Name;Address;Type\nA;%QX0.1;BOOL\n",
        "b/tags.csv": b"Name;Address;Type\nB;%QX0.2;BOOL\n",
    }
    old, new = (asfound.read(package(parts), name) for name in ("old.amlx", "new.amlx"))
    assert [table.name for table in old.tables] == ["a/tags", "b/tags"]
    assert asfound.compare(old, new).changes == ()


def test_a_part_that_cannot_be_read_is_named() -> None:
    broken = package({**PLANT, "logic/main.xml": logic()[:-20]})
    with pytest.raises(asfound.Problem, match=r"^p\.amlx/logic/main\.xml, line \d+: is not complete"):
        asfound.read(broken, "p.amlx")


def test_one_part_linked_twice_or_by_itself_is_read_once() -> None:
    uris = ("main.xml#Main", "main.xml#Main", "main.xml", "plant.aml", "#CPU 1", "/plant.aml")
    found = asfound.read(package({"plant.aml": hardware(*uris), "main.xml": logic()}), "p.amlx")
    assert held(found) == (["mixer-1"], ["Main"]) and links(found) == []
    assert not [f for f in found.findings if "twice" in f.text]


# --- beside a file ----------------------------------------------------------------------------------------------


def test_logic_beside_a_file_is_read_with_it_and_stored_with_it(tmp_path: Path) -> None:
    plant = folder(tmp_path, {**PLANT, "other.st": b"PROGRAM Other END_PROGRAM"}) / "plant.aml"
    found = asfound.read(plant)
    assert held(found) == (["mixer-1"], ["Main"]) and links(found) == []
    assert [name for name, _ in with_linked(plant)] == ["plant.aml", "logic/main.xml"]
    assert held(asfound.read(plant, "x/y.aml")) == held(found)
    assert links(asfound.read(plant, "x/y.aml")) == []
    (tmp_path / "other.st").unlink()
    assert asfound.compare(found, asfound.read(tmp_path)).verdict == "identical"


def test_links_go_on_from_file_to_file_and_each_is_read_once(tmp_path: Path) -> None:
    files = {
        "plant.aml": hardware("cell/cell.aml", "logic/main.xml"),
        "cell/cell.aml": hardware("../plant.aml", "cell.aml", "../logic/main.xml", "../../out.xml"),
        "logic/main.xml": logic(),
    }
    plant = folder(tmp_path / "in", files) / "plant.aml"
    folder(tmp_path, {"out.xml": logic()})
    assert [name for name, _ in with_linked(plant)] == ["plant.aml", "cell/cell.aml", "logic/main.xml"]
    found = asfound.read(plant)
    assert held(found)[1] == ["Main"]
    assert links(found) == [f"cell/cell.aml links to '../../out.xml', {NOWHERE}"]


def test_one_file_spelled_in_two_ways_is_read_once(tmp_path: Path) -> None:
    folder(tmp_path, {"plant.aml": hardware("main.xml", "Main.xml"), "main.xml": logic()})
    if not (tmp_path / "Main.xml").exists():
        (tmp_path / "Main.xml").symlink_to(tmp_path / "main.xml")
    assert len(with_linked(tmp_path / "plant.aml")) == 2


def test_bytes_have_nothing_beside_them() -> None:
    assert links(asfound.read(hardware("main.xml"), "plant.aml")) == [
        "plant.aml links to main.xml, which is not there; the logic in it is missing"
    ]


def test_files_of_a_copy_are_found_whoever_is_named(tmp_path: Path) -> None:
    files = [("a/plant.aml", hardware("../b/MAIN.xml")), ("b/main.xml", logic())]
    assert links(read_files(files)) == []


# --- ids ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("packed", [True, False])
def test_ids_made_anew_by_both_files_are_no_difference(packed: bool) -> None:
    def plant(first: str, second: str, swapped: bool = False) -> Copy:
        pou = f'<pou name="Main" globalId="{first}"'
        text = (
            logic()
            .decode()
            .replace('<pou name="Main"', pou)
            .replace('<variable name="Stop"', f'<variable name="Stop" globalId="{second}"')
        )
        ends = (f"main.xml#{second}", f"main.xml#{first}") if swapped else (f"main.xml#{first}", f"main.xml#{second}")
        files = {"plant.aml": hardware(*ends), "main.xml": text.encode()}
        return asfound.read(package(files), "p.amlx") if packed else read_files(list(files.items()))

    old = plant("1b1f-1", "1b1f-2")
    assert links(old) == []
    assert asfound.compare(old, plant("2c2f-1", "2c2f-2")).changes == ()
    (change,) = asfound.compare(old, plant("2c2f-1", "2c2f-2", swapped=True)).changes
    assert "main.xml#Main -> main.xml#Main/Stop" in "".join(change.details)


# --- that lead nowhere ------------------------------------------------------------------------------------------


def test_a_link_that_leads_nowhere_is_one_sentence_in_every_comparison(tmp_path: Path) -> None:
    uris = ("gone.xml#a", "gone.xml#b", "main.xml#Main", "main.xml#Mein", "main.xml#Moin")
    files = {"plant.aml": hardware(*uris), "main.xml": logic()}
    said = [
        "links to 2 objects of main.xml, the first is 'Mein', which are not there",
        "links to gone.xml, which is not there; the logic in it is missing",
    ]
    loose = asfound.read(folder(tmp_path, files) / "plant.aml")
    assert links(loose) == [f"plant.aml {text}" for text in said]
    packed = asfound.read(package(files), "p.amlx")
    assert links(packed) == [f"p.amlx {text}" for text in said]
    assert set(links(packed)) <= set(asfound.compare(packed, packed).limits)
    assert asfound.compare(packed, packed).changes == ()


def test_one_object_that_is_not_there() -> None:
    found = asfound.read(package({"plant.aml": hardware("main.xml#Mein"), "main.xml": logic()}), "p.amlx")
    assert links(found) == ["p.amlx links to 'Mein' of main.xml, which is not there"]


@pytest.mark.parametrize("kind", ["Lib/ExternalDataConnector/COLLADAInterface", "Lib/Terminal", ""])
def test_links_to_what_is_no_logic_are_left_alone(kind: str) -> None:
    assert links(asfound.read(hardware("shape.dae", kind=kind), "plant.aml")) == []


@pytest.mark.parametrize(
    "kind", [f"{LOGIC}/SequencingLogicInterface", "PLCopenXMLInterface", "Lib/InterlockingLogicInterface"]
)
def test_classes_derived_from_the_interface_of_logic(kind: str) -> None:
    assert len(links(asfound.read(hardware("main.xml", kind=kind), "plant.aml"))) == 1


# --- what an id means -------------------------------------------------------------------------------------------


def linked(target: str, *uris: str) -> Copy:
    return read_files([("plant.aml", hardware(*uris)), ("main.xml", target.encode())])


def shown(found: Copy) -> list[str]:
    (device,) = found.hardware.devices
    return [s.value for m in device.modules for s in m.settings if s.name.endswith("/refURI")]


def test_an_object_in_a_remark_is_none() -> None:
    text = logic().decode().replace("<pous>", '<pous><!-- <pou name="Old" globalId="g-1"/> -->')
    assert shown(linked(text, "main.xml#g-1")) == ["main.xml#g-1"]
    assert links(linked(text, "main.xml#g-1")) == ["plant.aml links to 'g-1' of main.xml, which is not there"]


def test_part_of_an_id_is_no_object() -> None:
    text = logic().decode().replace('<pou name="Main"', '<pou name="Main" globalId="g-12"')
    assert links(linked(text, "main.xml#g-1")) == ["plant.aml links to 'g-1' of main.xml, which is not there"]


@pytest.mark.parametrize("codec", ["utf-8", "utf-16"])
def test_names_are_read_as_xml_in_any_encoding(codec: str) -> None:
    text = logic().decode().replace('<pou name="Main"', '<pou name="M&#252;hle" globalId="g&#45;1"')
    data = text.replace('encoding="utf-8"', f'encoding="{codec}"').encode(codec)
    found = read_files([("plant.aml", hardware("main.xml#g-1")), ("main.xml", data)])
    assert (shown(found), links(found)) == (["main.xml#Mühle"], [])


def test_objects_of_one_name_are_told_apart() -> None:
    steps = "".join(f'<x globalId="g-{n}" name="S"/>' for n in (1, 2))
    text = logic().decode().replace("</contentHeader>", f"{steps}</contentHeader>")
    old, new = (linked(text, f"main.xml#g-{n}") for n in (1, 2))
    assert asfound.compare(old, new).changes


def test_one_address_in_two_folders_is_two_objects() -> None:
    def plant(first: str, second: str) -> Copy:
        def pou(name: str, id: str) -> bytes:
            return logic().decode().replace('<pou name="Main"', f'<pou name="{name}" globalId="{id}"').encode()

        files = [("a/plant.aml", hardware("l.xml#g-1")), ("a/l.xml", pou(first, "g-1"))]
        return read_files([*files, ("b/plant.aml", hardware("l.xml#g-1")), ("b/l.xml", pou(second, "g-1"))])

    values = {s.value for d in plant("A", "B").hardware.devices for m in d.modules for s in m.settings}
    assert "l.xml#g-1" in values and not values & {"l.xml#A", "l.xml#B"}
