"""The limit table as a workbook: verified rows and all others on sheets of their own.

Numbers are numbers and text is text: "+6" is written as a string into a cell formatted as
text, so that no spreadsheet makes a formula of it, even after the cell is edited.

xlsxwriter makes the workbook with every sheet, width, format and heading; the rows are then
set into the finished sheets as text, which takes a fifth of the time that writing them cell
by cell does.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterable
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from reconcile.publish.document import Document
from reconcile.publish.package import schema_name
from reconcile.publish.schemas import Schema, frozen_schema
from reconcile.publish.side import Cells

SHEETS = {
    "limits": "Verified",
    "not_verified": "Not verified",
    "apparatus": "Apparatus",
    "findings": "Findings",
    "emendations": "Emendations",
    "rulings": "Rulings",
    "sources": "Sources",
}
ABOUT, COLUMNS, NOTES, LONG = "Cautions", "Columns", "Notes", "Long texts"
_MADE = datetime(2000, 1, 1)  # a fixed day: the same table gives the same bytes
_STAMP = (1980, 1, 1, 0, 0, 0)
_CELL_HOLDS = 32_000
"""Characters; a spreadsheet's cell ends at 32 767."""
_WIDTHS = {"string": 14.0, "number": 12.0, "integer": 8.0, "boolean": 8.0}
_WIDE = {
    "reason": 44.0,
    "evidence": 60.0,
    "as_written": 22.0,
    "candidates": 40.0,
    "equivalents": 44.0,
    "sha256": 40.0,
    "steps": 60.0,
}
_STYLE = "\0"
"""Stands for the format of text until its number is known; no text holds it."""
_MODEL_ROW = re.compile(r'<row r="2"[^>]*>.*?</row>', re.DOTALL)
_MODEL_STYLE = re.compile(r'<c r="[A-Z]+2" s="(\d+)"')
_DIMENSION = re.compile(r'<dimension ref="[^"]*"/>')
_ESCAPED = re.compile(r"(_x[0-9a-fA-F]{4}_)")


class _Sheets:
    """A workbook being written, and the texts too long for one cell."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        self.text = book.add_format({"num_format": "@"})
        self.wrapped = book.add_format({"num_format": "@", "text_wrap": True, "valign": "top"})
        self.bold = book.add_format({"bold": True, "font_size": 14})
        self.long: list[tuple[str, int, int, str]] = []
        self.rows: dict[int, str] = {}
        """Rows to set into a sheet, by the sheet's number."""

    def add(self, name: str, schema: Schema, rows: list[Cells]) -> None:
        """One sheet of rows with a frozen heading and a filter."""
        sheet = self.book.add_worksheet(name)
        fields = schema["fields"]
        for at, field in enumerate(fields):
            kind = field["type"]
            width = _WIDE.get(field["name"], _WIDTHS[kind])
            sheet.set_column(at, at, width, self.text if kind == "string" else None)
        sheet.freeze_panes(1, 1)
        sheet.autofilter(0, 0, max(1, len(rows)), len(fields) - 1)
        for at, field in enumerate(fields):
            sheet.write_string(0, at, field["name"], self.head)
            note = field["description"] + _unit_of(field)
            sheet.write_comment(0, at, note, {"author": "reconcile", "x_scale": 1.6})
        if rows:
            # One blank cell of the second row shows which number the format of text got.
            sheet.write_blank(1, 0, None, self.text)
            self.rows[len(self.book.worksheets())] = self._rows(name, fields, rows)

    def _rows(self, sheet: str, fields: list[Schema], rows: list[Cells]) -> str:
        """All rows as SpreadsheetML, the format of text left open."""
        columns = [(n, _letters(n), f["name"], f["type"]) for n, f in enumerate(fields)]
        out = []
        for number, row in enumerate(rows, 2):
            out.append(f'<row r="{number}">')
            for at, letters, name, kind in columns:
                value = row.get(name)
                if value is None:
                    continue
                if kind == "string":
                    if len(value) > _CELL_HOLDS:
                        self.long.append((sheet, number - 1, at, value))
                        value = value[:_CELL_HOLDS] + f"… [goes on in sheet {LONG}]"
                    out.append(
                        f'<c r="{letters}{number}" s="{_STYLE}" t="inlineStr"><is>'
                        f'<t xml:space="preserve">{_escape(value)}</t></is></c>'
                    )
                elif kind == "boolean":
                    out.append(f'<c r="{letters}{number}" t="b"><v>{int(value)}</v></c>')
                else:
                    out.append(f'<c r="{letters}{number}"><v>{value:.15g}</v></c>')
            out.append("</row>")
        return "".join(out)

    def add_lines(self, name: str, lines: Iterable[tuple[str, str]], title: str) -> None:
        """A sheet of labelled lines of text."""
        sheet = self.book.add_worksheet(name)
        sheet.set_column(0, 0, 18.0, self.wrapped)
        sheet.set_column(1, 1, 100.0, self.wrapped)
        sheet.write_string(0, 0, title, self.bold)
        number = 1
        for label, text in lines:
            # A text too long for one cell goes on in the rows below it.
            for start in range(0, max(1, len(text)), _CELL_HOLDS):
                sheet.write_string(number, 0, label if not start else "")
                sheet.write_string(number, 1, text[start : start + _CELL_HOLDS])
                number += 1


def _letters(column: int) -> str:
    """Letters of a column counted from 0."""
    letters, rest = "", column + 1
    while rest:
        rest, last = divmod(rest - 1, 26)
        letters = chr(65 + last) + letters
    return letters


def _escape(text: str) -> str:
    """Text for a cell; what looks like an escaped character is kept from being one."""
    if "_x" in text:
        text = _ESCAPED.sub(r"_x005F\1", text)
    return escape(text)


def _about(document: Document) -> list[tuple[str, str]]:
    return [
        *(("caution", caution) for caution in document["cautions"]),
        ("schema", document["schema"]),
        ("schema_version", document["schema_version"]),
        ("tool", f"{document['tool']['name']} {document['tool']['version']}"),
        ("title", document["title"]),
        *(("count", f"{n} {standing}") for standing, n in document["counts"].items()),
        *(("digest", f"{part} {digest}") for part, digest in document["digests"].items()),
    ]


def write_workbook(document: Document, path: Path) -> None:
    """Write the document to `path` as an XLSX workbook."""
    import xlsxwriter

    options = {
        "strings_to_formulas": False,
        "strings_to_numbers": False,
        "strings_to_urls": False,
        "in_memory": True,
    }
    version = document["schema_version"]
    frame = BytesIO()
    with xlsxwriter.Workbook(frame, options) as book:
        book.set_properties({"title": document["title"][:255], "created": _MADE})
        sheets = _Sheets(book)
        sheets.add_lines(ABOUT, _about(document), document["title"])
        for name, title in SHEETS.items():
            sheets.add(title, frozen_schema(schema_name(name), version), document[name])
        columns = [
            (f["name"], f["description"] + _unit_of(f))
            for f in frozen_schema("limits.table", version)["fields"]
        ]
        sheets.add_lines(COLUMNS, columns, "Columns of the limit sheets")
        notes = [(str(n), note) for n, note in enumerate(document["notes"], 1)]
        sheets.add_lines(NOTES, notes, "Met while reading the sources")
        if sheets.long:
            lines = [(f"{s}!{r}!{c}", text) for s, r, c, text in sheets.long]
            sheets.add_lines(LONG, lines, "Texts too long for one cell")
    _set_rows(frame, sheets.rows, path)


def _set_rows(frame: BytesIO, rows: dict[int, str], path: Path) -> None:
    """Copy a workbook to `path`, the rows put where each sheet's model row stands."""
    with zipfile.ZipFile(frame) as old, zipfile.ZipFile(path, "w") as new:
        for entry in old.infolist():
            data = old.read(entry)
            sheet = re.fullmatch(r"xl/worksheets/sheet(\d+)\.xml", entry.filename)
            if sheet and int(sheet[1]) in rows:
                data = _with_rows(data.decode(), rows[int(sheet[1])]).encode()
            copy = zipfile.ZipInfo(entry.filename, _STAMP)
            copy.compress_type = zipfile.ZIP_DEFLATED
            copy.external_attr = entry.external_attr
            new.writestr(copy, data, compresslevel=6)


def _with_rows(xml: str, rows: str) -> str:
    model = _MODEL_ROW.search(xml)
    style = _MODEL_STYLE.search(model[0]) if model else None
    if model is None or style is None:
        raise AssertionError("the sheet has no model row")
    # The extent is left out, as the format allows, rather than left wrong.
    before = _DIMENSION.sub("", xml[: model.start()])
    return before + rows.replace(_STYLE, style[1]) + xml[model.end() :]


def _unit_of(field: Schema) -> str:
    if "unit" in field:
        return f" Unit: {field['unit']}."
    if "unitColumn" in field:
        return f" Unit: see column {field['unitColumn']}."
    return ""
