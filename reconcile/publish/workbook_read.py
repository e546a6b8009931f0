"""Reads an issued workbook back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import CARRIED, PARTS, SCHEMA, Document
from reconcile.publish.package import schema_name
from reconcile.publish.schemas import Schema, frozen_schema
from reconcile.publish.side import Cells
from reconcile.publish.workbook import ABOUT, LONG, NOTES, SHEETS


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
        about = _labelled(sheets[ABOUT])
        facts = dict(about)
        if facts["schema"] != SCHEMA:
            raise KeyError("schema")
        version, tool = facts["schema_version"], facts["tool"]
    except (python_calamine.CalamineError, KeyError, IndexError, OSError):
        raise ArtefactError("not a workbook of a limit table", where=str(path)) from None
    long = {}
    for label, text in _labelled(sheets.get(LONG, [[]])):
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
        "notes": [text for _, text in _labelled(sheets.get(NOTES, [[]]))],
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
