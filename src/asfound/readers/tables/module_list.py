"""Module lists: the hardware of a station that can export nothing better, one module in each row.

A station holds racks, a rack holds modules. Lengths count bytes unless their heading says bits. A cell that should be
a number and is none is kept as a setting, with a finding.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import partial

import msgspec

from asfound.model.copy import Copy, Finding
from asfound.model.hardware import AddressRange, Device, Hardware, Module
from asfound.model.program import Setting
from asfound.readers.reader import Noise, Reader
from asfound.readers.tables import headings
from asfound.readers.tables.columns import unit_of
from asfound.readers.tables.spreadsheet import Line

CURRENT = "Current draw"
"""Name of the setting that holds the current a module draws, with its unit when the heading states one."""


def read(data: bytes, name: str) -> Copy:
    """The stations of a file, each with its racks, and the tables of other kinds in the same workbook."""
    from asfound.readers.tables import sheets

    return sheets.read(data, name, headings.MODULES)


def from_tables(opened: headings.Opened) -> Copy:
    """The stations in opened tables."""
    findings = list(opened.findings)
    rows: list[tuple[str, str, Module]] = []
    for table in opened.tables:
        findings += _unit_notes(table)
        taken: dict[tuple[str, str, int], str] = {}
        for line in table.lines:
            station = table.cell(line, "station") or table.name
            rack = table.cell(line, "rack")
            module = _module(table, line, findings)
            rows.append((station, rack, module))
            if module.slot is not None:
                where = table.where(line, "slot")
                earlier = taken.setdefault((station, rack, module.slot), where)
                if earlier is not where:
                    text = f"slot {module.slot} was used before ({earlier}); both modules are kept"
                    findings.append(Finding("warning", where, text))
    return Copy(
        hardware=Hardware(devices=_devices(rows), extensions=opened.extensions),
        findings=tuple(findings),
        limits=opened.limits,
    )


def _devices(rows: Iterable[tuple[str, str, Module]]) -> tuple[Device, ...]:
    stations: dict[str, dict[str, list[Module]]] = {}
    for station, rack, module in rows:
        stations.setdefault(station, {}).setdefault(rack, []).append(module)
    return tuple(
        Device(name, modules=tuple(_rack(rack, racks[rack]) for rack in sorted(racks, key=_rack_order)))
        for name, racks in sorted(stations.items())
    )


def _rack(name: str, modules: list[Module]) -> Module:
    title = f"Rack {name}" if name.isdecimal() else name or "Rack"
    slot = int(name) if re.fullmatch(r"[0-9]{1,6}", name) else None
    return Module(title, slot=slot, kind="rack", modules=modules_in_order(modules))


def _rack_order(name: str) -> tuple[bool, int, str]:
    number = re.fullmatch(r"[0-9]{1,6}", name)
    return (number is None, int(name) if number else 0, name)


def modules_in_order(modules: Iterable[Module]) -> tuple[Module, ...]:
    """Modules by slot (those without one last), then by name, then by all they hold."""
    return tuple(sorted(modules, key=lambda m: (m.slot is None, m.slot or 0, m.name.lower(), msgspec.json.encode(m))))


def _module(table: headings.Table, line: Line, findings: list[Finding]) -> Module:
    more: list[Setting] = []

    def number(role: str) -> int | None:
        text = table.cell(line, role)
        if re.fullmatch(r"[0-9]{1,9}", text):
            return int(text)
        if text:
            heading = table.headings[table.roles[role]]
            more.append(Setting(heading, text))
            findings.append(Finding("error", table.where(line, role), f"'{text}' is not a whole number; it is kept"))
        return None

    name = table.cell(line, "module")
    if not name and "module" in table.roles:
        findings.append(Finding("warning", table.where(line, "module"), "the row names no module; it is kept"))
    slot = number("slot")
    addresses = tuple(
        found
        for direction in ("input", "output")
        if (found := _range(table, direction, number(f"{direction} start"), number(f"{direction} length")))
    )
    current = table.cell(line, "current")
    if current:
        unit = unit_of(table.headings[table.roles["current"]])
        more.append(Setting(CURRENT, f"{current} {unit}" if unit else current))
    return Module(
        name=name,
        slot=slot,
        order_number=table.cell(line, "order number"),
        firmware=table.cell(line, "firmware"),
        comment=table.cell(line, "comment"),
        addresses=addresses,
        settings=table.settings(line, more),
    )


def _range(table: headings.Table, direction: str, start: int | None, length: int | None) -> AddressRange | None:
    if start is None and length is None:
        return None
    at = table.roles.get(f"{direction} length")
    bits = at is not None and unit_of(table.headings[at]) == "bit"
    return AddressRange(
        "input" if direction == "input" else "output", start, length if length is None or bits else length * 8
    )


def _unit_notes(table: headings.Table) -> list[Finding]:
    """A note for each column whose heading leaves the unit open."""
    found = []
    for role, text in (
        ("input length", "the heading states no unit; lengths are read as bytes"),
        ("output length", "the heading states no unit; lengths are read as bytes"),
        ("current", "the heading states no unit; the current is kept as written"),
    ):
        at = table.roles.get(role)
        if at is not None and not unit_of(table.headings[at]):
            found.append(Finding("note", f"{table.place}, column {at + 1} ({table.headings[at]})", text))
    return found


READER = Reader(
    name="module-list",
    title="List of modules (CSV, TSV, .xlsx, .ods)",
    standard="RFC 4180, ECMA-376, ISO/IEC 26300",
    suffixes=(".csv", ".tsv", ".txt", ".xlsx", ".ods"),
    holds="racks and modules with part number, firmware, addresses and current draw",
    recognise=partial(headings.recognise, kind=headings.MODULES),
    read=read,
    noise=(*headings.NOISE, Noise("row/number/leading zeros()", "leading zeros of slots, starts and lengths")),
)
