"""Cells of a spreadsheet whose value calamine cannot show: errors, and formulas whose result was never stored.

They are found in the XML of the container and handed back with their text, so that they are not lost. Cost: linear.
Sources, from memory: ECMA-376 part 1, 18.3.1.4 (c, f, v); ISO/IEC 26300 part 3, 19.385 (office:value-type) and 9.1.4
(table:table-cell).
"""

from __future__ import annotations

import re

from asfound.readers import xml
from asfound.readers.container import Part
from asfound.readers.xml import Element

_CELL = re.compile(rb'<c\b[^>]*?\br="([A-Z]{1,3}\d{1,7})"([^>]*)>(.*?)</c>', re.S)
_VALUES = ("value", "date-value", "time-value", "boolean-value")


def of_xlsx(part: Part) -> list[tuple[str, str]]:
    """Place and text of such cells in a sheet of an .xlsx."""
    if b't="e"' not in part.data and b"<f" not in part.data:
        return []
    sheet = part.name.rpartition("/")[2].removesuffix(".xml")
    found = []
    for reference, attributes, inner in _CELL.findall(part.data):
        error = b't="e"' in attributes
        formula = b"<f" in inner and re.search(rb"<v>[^<]|<is>", inner) is None
        if error or formula:
            text = re.sub(rb"<[^>]*>", b" ", inner).decode("utf-8", "backslashreplace")
            found.append((f"{sheet}/{reference.decode()}", " ".join(text.split())))
    return found


def of_ods(part: Part, name: str) -> list[tuple[str, str]]:
    """Place and text of such cells in the content of an .ods: a formula or an error without a value, a shown text that
    is not the stored one.
    """
    if b":formula" not in part.data and b"string-value" not in part.data and b'"error"' not in part.data:
        return []
    root = xml.parse(part.data, f"{name}, {part.name}")
    found = []
    for table in (e for e in root.iter("*") if xml.local(e) == "table"):
        number = 0
        for row in (e for e in table.iter("*") if xml.local(e) == "table-row"):
            cells = [c for c in row if xml.local(c) in ("table-cell", "covered-table-cell")]
            found += [
                (f"{_of(table, 'name')}, row {number + 1}", text) for cell in cells if (text := _lost(cell)) is not None
            ]
            number += int(_of(row, "number-rows-repeated") or 1)
    return found


def _lost(cell: Element) -> str | None:
    """Formula or shown text of a cell whose value nobody would see, else None."""
    shown = " ".join(" ".join(str(t) for p in xml.children(cell, "p") for t in p.itertext()).split())
    stored = _of(cell, "string-value") if _has(cell, "string-value") else shown
    error = _last_value_type(cell) == "error"
    valued = any(_has(cell, name) for name in _VALUES) or bool(stored)
    if error or (not valued and (_has(cell, "formula") or shown)):
        return " ".join(part for part in (_of(cell, "formula"), shown) if part)
    return None


def _last_value_type(cell: Element) -> str:
    """The value type; the one of an extension (``calcext``), which knows errors, before the plain one."""
    types = [str(v) for k, v in cell.attrib.items() if str(k).rpartition("}")[2] == "value-type"]
    return "error" if "error" in types else types[0] if types else ""


def _has(element: Element, name: str) -> bool:
    return any(str(key).rpartition("}")[2] == name for key in element.attrib)


def _of(element: Element, name: str) -> str:
    return next((str(v) for k, v in element.attrib.items() if str(k).rpartition("}")[2] == name), "")
