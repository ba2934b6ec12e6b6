"""Workbooks as another program writes them."""

from __future__ import annotations

import io

import openpyxl


def xlsx(sheets: dict[str, list[tuple[object, ...]]]) -> bytes:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append(row)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()
