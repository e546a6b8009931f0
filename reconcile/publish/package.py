"""The limit table as a Frictionless Data Package: CSV files with a descriptor.

Text that a spreadsheet would take for a formula gets an apostrophe before it; so does text
that begins with an apostrophe, so that taking one off gives the text back.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import (
    PART_TITLES,
    PARTS,
    SCHEMA,
    SIDE_TABLES,
    Document,
    header_of,
)
from reconcile.publish.schemas import Schema, frozen_schema
from reconcile.publish.side import Cells

PROFILE = "tabular-data-package"
DESCRIPTOR = "datapackage.json"
_ESCAPED = "=+-@\t\r\n'"
_DIALECT = {"delimiter": ",", "quoteChar": '"', "doubleQuote": True, "lineTerminator": "\n"}
_NOTE = (
    "In text columns an apostrophe stands before text that begins with =, +, -, @, a tab, a "
    "line break or an apostrophe, so that no spreadsheet takes it for a formula."
)


def schema_name(resource: str) -> str:
    """Name of the frozen Table Schema of a resource."""
    if resource in PARTS:
        return "limits.table"
    return f"{resource}.table"


def file_name(resource: str) -> str:
    """Name of the CSV file of a resource."""
    return resource.replace("_", "-") + ".csv"


def _text_cell(value: str | None) -> str:
    if not value:
        return ""
    return "'" + value if value[0] in _ESCAPED else value


def _number_cell(value: float | None) -> str:
    return "" if value is None else f"{value:.15g}"


def _whole_cell(value: int | None) -> str:
    return "" if value is None else str(value)


def _truth_cell(value: bool | None) -> str:
    return "" if value is None else "true" if value else "false"


_WRITE: dict[str, Callable[[Any], str]] = {
    "string": _text_cell,
    "number": _number_cell,
    "integer": _whole_cell,
    "boolean": _truth_cell,
}


def _unescaped(cell: str) -> str:
    return cell[1:] if cell[0] == "'" else cell


_READ: dict[str, Callable[[str], Any]] = {
    "string": _unescaped,
    "number": float,
    "integer": int,
    "boolean": {"true": True, "false": False}.__getitem__,
}


def csv_text(rows: Iterable[Cells], schema: Schema) -> str:
    """Rows as CSV text with a heading."""
    fields = [(f["name"], _WRITE[f["type"]]) for f in schema["fields"]]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([name for name, _ in fields])
    writer.writerows([write(row.get(name)) for name, write in fields] for row in rows)
    return out.getvalue()


def rows_from_csv(text: str, schema: Schema, where: str) -> list[Cells]:
    """Rows of CSV text; blanks are left out.

    Raises
    ------
    ArtefactError
        The heading is not the schema's, or a cell is not of its column's type.
    """
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    fields = [(f["name"], _READ[f["type"]]) for f in schema["fields"]]
    head = next(reader, [])
    if head != [name for name, _ in fields]:
        raise ArtefactError(
            "the heading is not that of its schema version",
            where=where,
            expected=", ".join(name for name, _ in fields),
        )
    rows = []
    for cells in reader:
        try:
            rows.append(
                {n: read(cell) for (n, read), cell in zip(fields, cells, strict=True) if cell}
            )
        except (ValueError, KeyError):
            raise ArtefactError(
                "a cell is not of its column's type", where=f"{where}, line {reader.line_num}"
            ) from None
    return rows


def _digest(data: bytes) -> str:
    return "sha256:" + hashlib.sha256(data).hexdigest()


def write_package(document: Document, folder: Path) -> Path:
    """Write the document as a Data Package into `folder`.

    Returns
    -------
    path : Path
        The descriptor.
    """
    folder.mkdir(parents=True, exist_ok=True)
    version = document["schema_version"]
    titles = PART_TITLES | {table.name: table.title for table in SIDE_TABLES}
    resources = []
    for name in (*PARTS, *(table.name for table in SIDE_TABLES)):
        schema = frozen_schema(schema_name(name), version)
        data = csv_text(document[name], schema).encode()
        (folder / file_name(name)).write_bytes(data)
        resources.append(
            {
                "name": name,
                "title": titles[name],
                "profile": "tabular-data-resource",
                "path": file_name(name),
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "dialect": _DIALECT,
                "bytes": len(data),
                "hash": _digest(data),
                "schema": schema,
            }
        )
    descriptor = {
        "profile": PROFILE,
        "name": "limit-table",
        "title": document["title"],
        "description": " ".join((*document["cautions"], _NOTE)),
        "version": version,
        "sources": [
            {
                "title": s.get("title") or s["name"],
                "path": s["name"],
                "hash": f"sha256:{s['sha256']}",
            }
            for s in document["sources"]
        ],
        "limitTable": header_of(document),
        "resources": resources,
    }
    path = folder / DESCRIPTOR
    text = json.dumps(descriptor, ensure_ascii=False, indent=1) + "\n"
    path.write_text(text, encoding="utf-8", newline="\n")
    return path


def read_package(path: Path) -> Document:
    """Read a document back from the descriptor of a Data Package.

    Raises
    ------
    ArtefactError
        Not such a package, a file is missing, or a file is not what its digest says.
    """
    try:
        descriptor = json.loads(path.read_text(encoding="utf-8"))
        header = descriptor["limitTable"]
        resources = {r["name"]: r for r in descriptor["resources"]}
        if header["schema"] != SCHEMA:
            raise KeyError("schema")
    except (UnicodeDecodeError, json.JSONDecodeError, KeyError, TypeError):
        raise ArtefactError("not a package of a limit table", where=str(path)) from None
    document: Document = dict(header)
    for name, resource in resources.items():
        # The schema comes from this program's own frozen files, never from the package.
        schema = frozen_schema(schema_name(name), header["schema_version"])
        file = path.parent / Path(resource["path"]).name
        try:
            data = file.read_bytes()
        except OSError:
            raise ArtefactError(
                "a file of the package is missing", where=str(file), do="issue the table again"
            ) from None
        if _digest(data) != resource["hash"]:
            raise ArtefactError(
                "the file was changed after it was issued",
                where=str(file),
                expected=resource["hash"],
                do="issue the table again",
            )
        document[name] = rows_from_csv(data.decode(), schema, str(file))
    return document
