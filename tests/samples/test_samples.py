"""The committed sample exports are what the generator writes, complete, and sensible as a program."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from samples import booster, chart_drawing, ladder_drawing, make_samples, network_drawing, screens
from samples.notation import SIGNATURES
from samples.plant import Pou, Station
from samples.shapes import Shape

STATES = {
    "booster 2025": booster.as_left_2025(),
    "booster spring": booster.spring_2026(),
    "booster found": booster.found_2026(),
    "booster 2026": booster.as_left_2026(),
    "screens 2025": screens.as_left_2025(),
    "screens found": screens.found_2026(),
    "screens 2026": screens.as_left_2026(),
}
BODIES = [
    pytest.param(pou, id=f"{name} {pou.name}")
    for name, station in STATES.items()
    for pou in station.pous
    if pou.language in ("LD", "FBD", "SFC")
]
WORDS = frozenset(
    re.findall(
        r"\w+",
        "IF THEN ELSE ELSIF END_IF FOR TO DO END_FOR AND OR NOT MOD TRUE FALSE "
        "LD ST S R ANDN ORN INT_TO_REAL REAL_TO_INT LIMIT",
    )
)


def _tree(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file() and path.name != "README.md")
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_the_committed_files_are_what_the_generator_writes(tmp_path: Path) -> None:
    make_samples.write(tmp_path)
    written, committed = _tree(tmp_path), _tree(make_samples.ROOT)
    assert sorted(written) == sorted(committed)
    assert [name for name in sorted(written) if written[name] != committed[name]] == []


def test_the_plan_of_the_demonstration_names_existing_folders() -> None:
    plan = tomllib.loads((make_samples.ROOT / "demo.toml").read_text(encoding="utf-8"))
    for record in plan["record"]:
        copies = sorted(path.name for path in (make_samples.ROOT / record["folder"]).iterdir())
        assert copies in (["card", "office", "running"], ["office", "running"])
    stored = [record["station"] for record in plan["record"]]
    for pair in plan["compare"]:
        for reference in (pair["old"], pair["new"]):
            station, number, copy = re.split("[@:]", reference)
            assert 1 <= int(number) <= stored.count(station)
            assert copy in ("running", "card", "office")


def test_the_booster_station_is_of_realistic_size() -> None:
    station = booster.as_left_2025()
    assert sum(len(pou.rungs) for pou in station.pous) >= 60
    assert len(station.tags) >= 150
    assert sum(len(rack.modules) for rack in station.racks) >= 14
    assert len(station.tasks) == 2
    assert {pou.language for pou in station.pous} == {"LD", "FBD", "ST", "IL"}


@pytest.mark.parametrize("name", STATES)
def test_tags_neither_share_a_name_nor_an_address(name: str) -> None:
    tags = STATES[name].tags
    for values in ([tag.name.upper() for tag in tags], [tag.address for tag in tags]):
        assert sorted(value for value in set(values) if values.count(value) > 1) == []


@pytest.mark.parametrize("name", STATES)
def test_every_name_in_the_program_is_declared(name: str) -> None:
    station = STATES[name]
    unknown = {pou.name: sorted(_used(pou) - _declared(pou, station)) for pou in station.pous}
    assert {pou: names for pou, names in unknown.items() if names} == {}


def _used(pou: Pou) -> set[str]:
    pins = re.compile(r"\w+=>?(?=[\w!\"])|(?<=\.)\w+")
    texts = [pins.sub(" ", rung.text.replace("S=", " ").replace("R=", " ")) for rung in pou.rungs]
    texts += [pou.text, *(a.text for a in (*pou.actions, *pou.transitions))]
    texts += re.findall(r"(?:condition|inline|name)='([^']*)'", repr(pou.chart))
    text = re.sub(r"\(\*.*?\*\)|//[^\n]*|T#\w+|\b\d[\d.]*", " ", " ".join(texts), flags=re.DOTALL)
    text = re.sub(r"([(,]\s*)\w+\s*:=", r"\1", re.sub(r"(?<=[\w\]])\.\w+", " ", text))
    return set(re.findall(r"[A-Za-z_]\w*", text)) - WORDS


def _declared(pou: Pou, station: Station) -> set[str]:
    names = {v.name for v in (*pou.variables, *station.tags, *station.globals)}
    names |= {value for data_type in station.types for value in data_type.values}
    names |= {action.name for action in (*pou.actions, *pou.transitions)}
    names |= set(re.findall(r"Step\(name='(\w+)'", repr(pou.chart)))
    return names | set(SIGNATURES) | {"GT", "LT", "GE", "LE", "ADD", "SUB", "MUL", "OR", "AND"}


@pytest.mark.parametrize("pou", BODIES)
def test_nothing_is_drawn_over_something_else(pou: Pou) -> None:
    drawn = {
        "LD": lambda: ladder_drawing.draw(pou.rungs),
        "FBD": lambda: network_drawing.draw(pou.rungs),
        "SFC": lambda: chart_drawing.draw(pou.chart),
    }[pou.language]()
    shapes = [shape for shape in drawn if "Rail" not in shape.kind]
    pairs = [(a, b) for place, a in enumerate(shapes) for b in shapes[place + 1 :] if _overlap(a, b)]
    assert [f"{a.kind} {a.text} and {b.kind} {b.text}" for a, b in pairs] == []


def _overlap(a: Shape, b: Shape) -> bool:
    return all(a.at[k] < b.at[k] + b.size[k] and b.at[k] < a.at[k] + a.size[k] for k in (0, 1))
