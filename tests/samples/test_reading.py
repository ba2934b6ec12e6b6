"""The samples as the readers see them: counts, and nothing but documentation between office and controller."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache

import pytest

import asfound
from asfound.model.copy import Copy
from asfound.model.hardware import Module
from samples.make_samples import RECORDS, ROOT, Record

FOLDERS = [
    f"{record.station}/{record.folder}/{path.name}"
    for record in RECORDS
    for path in sorted((ROOT / record.station / record.folder).iterdir())
]


@cache
def _read(folder: str) -> Copy:
    return asfound.read(ROOT / folder)


def _modules(modules: Iterable[Module]) -> int:
    return sum(bool(module.order_number) + _modules(module.modules) for module in modules)


def _networks(copy: Copy) -> dict[str, list[object]]:
    return {pou.name: [n.statements for body in pou.bodies for n in body.networks] for pou in copy.program.pous}


@pytest.mark.parametrize("folder", FOLDERS)
def test_everything_in_a_copy_is_understood(folder: str) -> None:
    copy = _read(folder)
    assert [finding.text for finding in copy.findings] == []
    assert [source.name for source in copy.sources if not source.format] == []
    assert [(pou.name, e.path) for pou in copy.program.pous for e in pou.extensions] == []
    networks = [n for pou in copy.program.pous for body in pou.bodies for n in body.networks]
    assert [text for network in networks for text in network.leftovers] == []
    assert [text for pou in copy.program.pous for body in pou.bodies for text in body.order.doubts] == []


def test_booster_counts() -> None:
    copy = _read("booster-1/2-as-found-2026/running")
    assert sum(map(len, _networks(copy).values())) == 121
    assert sorted(len(table.tags) for table in copy.tables) == [97, 166]
    assert sum(_modules(device.modules) for device in copy.hardware.devices) == 20
    assert len(copy.values) == 21
    assert [(force.name, force.value) for force in copy.forces] == [("Tank_LowLow_OK", "TRUE")]


def test_screens_counts() -> None:
    copy = _read("screens-1/2-as-found-2026/running")
    assert {name: len(networks) for name, networks in _networks(copy).items()} == {
        "Common": 12, "Conveyor": 11, "RakeCycle": 0, "ScreenCalls": 5,
    }  # fmt: skip
    assert sum(_modules(device.modules) for device in copy.hardware.devices) == 9


@pytest.mark.parametrize("record", RECORDS, ids=lambda r: f"{r.station} {r.folder}")
def test_only_what_was_changed_on_site_differs_between_office_and_controller(record: Record) -> None:
    folder = f"{record.station}/{record.folder}"
    office, running = _networks(_read(f"{folder}/office")), _networks(_read(f"{folder}/running"))
    changed = sorted(name for name in office if office[name] != running[name])
    expected = {"booster-1/2-as-found-2026": ["PumpControl", "Staging"]}
    assert sorted(office) == sorted(running)
    assert changed == expected.get(folder, [])
