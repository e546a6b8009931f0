"""The limit table as a workbook: verified rows and all others on sheets of their own.

Numbers are numbers and text is text: "+6" is written as a string into a cell formatted as
text, so that no spreadsheet makes a formula of it, even after the cell is edited.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import CARRIED, PARTS, SCHEMA, Document
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
_ABOUT, _COLUMNS, _NOTES, _LONG = "Cautions", "Columns", "Notes", "Long texts"
_MADE = datetime(2000, 1, 1)  # a fixed day: the same table gives the same bytes
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
}


class _Sheets:
    """A workbook being written, and the texts too long for one cell."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        self.text = book.add_format({"num_format": "@"})
        self.wrapped = book.add_format({"num_format": "@", "text_wrap": True, "valign": "top"})
        self.bold = book.add_format({"bold": True, "font_size": 14})
        self.long: list[tuple[str, int, int, str]] = []

    def add(self, name: str, schema: Schema, rows: list[Cells], frozen_columns: int) -> None:
        """One sheet of rows with a frozen heading and a filter."""
        sheet = self.book.add_worksheet(name)
        fields = schema["fields"]
        for at, field in enumerate(fields):
            kind = field["type"]
            width = _WIDE.get(field["name"], _WIDTHS[kind])
            sheet.set_column(at, at, width, self.text if kind == "string" else None)
        sheet.freeze_panes(1, frozen_columns)
        sheet.autofilter(0, 0, max(1, len(rows)), len(fields) - 1)
        for at, field in enumerate(fields):
            sheet.write_string(0, at, field["name"], self.head)
        write = {
            "string": sheet.write_string,
            "number": sheet.write_number,
            "integer": sheet.write_number,
            "boolean": sheet.write_boolean,
        }
        columns = [(at, f["name"], write[f["type"]]) for at, f in enumerate(fields)]
        for number, row in enumerate(rows, 1):
            for at, key, put in columns:
                value = row.get(key)
                if value is None:
                    continue
                if value.__class__ is str and len(value) > _CELL_HOLDS:
                    self.long.append((name, number, at, value))
                    value = value[:_CELL_HOLDS] + f"… [goes on in sheet {_LONG}]"
                put(number, at, value)

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
        "constant_memory": True,
    }
    version = document["schema_version"]
    with xlsxwriter.Workbook(str(path), options) as book:
        book.set_properties({"title": document["title"], "created": _MADE})
        sheets = _Sheets(book)
        sheets.add_lines(_ABOUT, _about(document), document["title"])
        for name, title in SHEETS.items():
            schema = frozen_schema(schema_name(name), version)
            sheets.add(title, schema, document[name], 1)
        columns = [
            (f["name"], f["description"] + _unit_of(f))
            for f in frozen_schema("limits.table", version)["fields"]
        ]
        sheets.add_lines(_COLUMNS, columns, "Columns of the limit sheets")
        notes = [(str(n), note) for n, note in enumerate(document["notes"], 1)]
        sheets.add_lines(_NOTES, notes, "Met while reading the sources")
        if sheets.long:
            lines = [(f"{s}!{r}!{c}", text) for s, r, c, text in sheets.long]
            sheets.add_lines(_LONG, lines, "Texts too long for one cell")


def _unit_of(field: Schema) -> str:
    if "unit" in field:
        return f" Unit: {field['unit']}."
    if "unitColumn" in field:
        return f" Unit: see column {field['unitColumn']}."
    return ""


def _labelled(sheet: list[list[Any]]) -> list[tuple[str, str]]:
    """Lines of a sheet of labelled text, those that go on put together."""
    out: list[tuple[str, str]] = []
    for cells in sheet[1:]:
        label, text = str(cells[0]), str(cells[1])
        if label or not out:
            out.append((label, text))
        else:
            out[-1] = (out[-1][0], out[-1][1] + text)
    return out


def read_workbook(path: Path) -> Document:
    """Read a document back from a workbook.

    Raises
    ------
    ArtefactError
        Not such a workbook, or a cell is not of its column's type.
    """
    import python_calamine

    try:
        book = python_calamine.CalamineWorkbook.from_path(str(path))
        sheets = {
            name: book.get_sheet_by_name(name).to_python(skip_empty_area=False)
            for name in book.sheet_names
        }
        about = _labelled(sheets[_ABOUT])
        facts = dict(about)
        if facts["schema"] != SCHEMA:
            raise KeyError("schema")
        version, tool = facts["schema_version"], facts["tool"]
    except (python_calamine.CalamineError, KeyError, IndexError, OSError):
        raise ArtefactError("not a workbook of a limit table", where=str(path)) from None
    long = {}
    for label, text in _labelled(sheets.get(_LONG, [[]])):
        name, row, column = label.split("!")
        long[name, int(row), int(column)] = text
    counts = (text.split(" ", 1) for label, text in about if label == "count")
    document: Document = {
        "schema": SCHEMA,
        "schema_version": version,
        "tool": dict(zip(("name", "version"), tool.rsplit(" ", 1))),
        "title": facts["title"],
        "cautions": [text for label, text in about if label == "caution"],
        "counts": {standing: int(n) for n, standing in counts},
        "digests": dict(text.split(" ", 1) for label, text in about if label == "digest"),
        "notes": [text for _, text in _labelled(sheets.get(_NOTES, [[]]))],
    }
    for name in (*(table.name for table in CARRIED), *PARTS):
        title = SHEETS[name]
        if title not in sheets:
            raise ArtefactError(f"sheet {title!r} is missing", where=str(path))
        schema = frozen_schema(schema_name(name), version)
        document[name] = _rows(sheets[title], schema, title, long, str(path))
    return document


def _rows(
    sheet: list[list[Any]],
    schema: Schema,
    title: str,
    long: dict[tuple[str, int, int], str],
    where: str,
) -> list[Cells]:
    fields = schema["fields"]
    if [str(cell) for cell in (sheet or [[]])[0]] != [f["name"] for f in fields]:
        raise ArtefactError(f"sheet {title!r} has another heading", where=where)
    out = []
    for number, cells in enumerate(sheet[1:], 1):
        row: Cells = {}
        for at, (field, cell) in enumerate(zip(fields, cells)):
            if cell == "" and cell is not False:
                continue
            value = long.get((title, number, at), cell)
            row[field["name"]] = _typed(value, field, f"{where}, sheet {title}, row {number + 1}")
        if row:
            out.append(row)
    return out


_TYPES: dict[str, tuple[type, ...]] = {
    "string": (str,),
    "number": (float, int),
    "integer": (float, int),
    "boolean": (bool,),
}


def _typed(value: Any, field: Schema, where: str) -> Any:
    kind = field["type"]
    right = isinstance(value, _TYPES[kind]) and isinstance(value, bool) == (kind == "boolean")
    if not right or (kind == "integer" and value != int(value)):
        raise ArtefactError(
            f"{value!r} in column {field['name']!r}", where=where, expected=f"a {kind}"
        )
    return float(value) if kind == "number" else int(value) if kind == "integer" else value
