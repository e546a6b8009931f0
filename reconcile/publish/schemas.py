"""The schemas of issued files: made from the columns, and frozen for each version.

What is written follows the frozen files under ``tables/schemas/VERSION``; they are made
once for a version (``tables/schemas/freeze.py``) and never changed after its release. What a
file of an older version holds is read by that version's schema.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.columns import COLUMNS, Column
from reconcile.publish.document import PARTS, SCHEMA, SIDE_TABLES
from reconcile.publish.profile_schema import PROFILE_SCHEMA, make_profile_schema
from reconcile.publish.rows import STANDINGS
from reconcile.publish.side import Field, SideTable
from reconcile.reference import tables_dir

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"


@cache
def frozen_schema(name: str, version: str) -> Schema:
    """The frozen schema `name` ("limits.table", "limit-table", ...) of `version`.

    Raises
    ------
    ArtefactError
        There is no such version; the file comes from a later release or is not ours.
    """
    path = tables_dir() / "schemas" / version / f"{name}.json"
    # A version or a name out of a file is not let climb through the folders.
    known = versions()
    if version not in known or Path(name).name != name or not path.is_file():
        raise ArtefactError(
            f"schema version {version!r} is not known here, or has no {name!r}",
            expected="one of " + ", ".join(known),
            do="install a later release to read it",
        )
    schema: Schema = json.loads(path.read_text(encoding="utf-8"))
    return schema


@cache
def versions() -> tuple[str, ...]:
    """Schema versions that can be read, oldest first."""
    folder = tables_dir() / "schemas"
    found = [path.name for path in folder.iterdir() if path.is_dir() and path.name[0].isdigit()]
    return tuple(sorted(found, key=lambda v: [int(n) for n in v.split(".")]))


def column_names(version: str) -> tuple[str, ...]:
    """Names of the limit table's columns in `version`, in order."""
    return tuple(f["name"] for f in frozen_schema("limits.table", version)["fields"])


def _table_field(column: Column | Field) -> Schema:
    rules: Schema = {"required": True} if column.required else {}
    if column.enum:
        rules["enum"] = list(column.enum)
    out: Schema = {
        "name": column.name,
        "type": column.type,
        "description": column.description,
    }
    if column.unit.startswith("column:"):
        out["unitColumn"] = column.unit.removeprefix("column:")
    elif column.unit:
        out["unit"] = column.unit
    if isinstance(column, Column) and column.uncertainty:
        out["uncertaintyColumn"] = column.uncertainty
    if rules:
        out["constraints"] = rules
    return out


def make_limits_schema() -> Schema:
    """Table Schema of the limit rows."""
    return {
        "title": "Limit rows",
        "description": "One row for each figure of each limit. Units are UCUM codes.",
        "fields": [_table_field(column) for column in COLUMNS],
        "primaryKey": ["row_id"],
        "foreignKeys": [_foreign("source_id", "sources", "source_id")],
        "missingValues": [""],
    }


def make_side_schema(table: SideTable) -> Schema:
    """Table Schema of a side table."""
    out: Schema = {
        "title": table.title,
        "fields": [_table_field(field) for field in table.fields],
        "primaryKey": list(table.key),
        "missingValues": [""],
    }
    if table.foreign:
        out["foreignKeys"] = [_foreign(*key) for key in table.foreign]
    return out


def _foreign(own: str, table: str, column: str) -> Schema:
    return {"fields": [own], "reference": {"resource": table, "fields": [column]}}


def _json_property(column: Column | Field) -> Schema:
    out: Schema = {"description": column.description}
    if column.enum:
        out["enum"] = list(column.enum)
    else:
        out["type"] = column.type
    if column.unit.startswith("column:"):
        out["unitProperty"] = column.unit.removeprefix("column:")
    elif column.unit:
        out["unit"] = column.unit
    return out


def _json_row(columns: tuple[Column, ...] | tuple[Field, ...]) -> Schema:
    """A row in JSON leaves its blanks out."""
    return {
        "type": "object",
        "properties": {column.name: _json_property(column) for column in columns},
        "required": [column.name for column in columns if column.required],
        "additionalProperties": False,
    }


def make_document_schema(version: str) -> Schema:
    """JSON Schema of the limit table as one JSON file."""
    text = {"type": "string"}
    row = {"$ref": "#/$defs/limit"}
    verified = {"allOf": [row, {"properties": {"standing": {"const": "verified"}}}]}
    other = {"allOf": [row, {"properties": {"standing": {"not": {"const": "verified"}}}}]}
    lists: Schema = {
        "limits": {"type": "array", "items": verified, "description": "Verified rows alone."},
        "not_verified": {
            "type": "array",
            "items": other,
            "description": "All other rows; a program takes them only when asked to.",
        },
    }
    for table in SIDE_TABLES:
        lists[table.name] = {
            "type": "array",
            "description": table.title,
            "items": {"$ref": f"#/$defs/{table.name}"},
        }
    digest = {"type": "string", "pattern": "^sha256:[0-9a-f]{64}$"}
    return {
        "$schema": DRAFT,
        "title": "Limit table",
        "description": "Limits read from old machine manuals, with what they rest on.",
        "type": "object",
        "properties": {
            "schema": {"const": SCHEMA},
            "schema_version": {"const": version},
            "tool": {
                "type": "object",
                "properties": {"name": text, "version": text},
                "required": ["name", "version"],
            },
            "title": text,
            "cautions": {"type": "array", "items": text, "minItems": 1},
            "counts": {
                "type": "object",
                "properties": {s: {"type": "integer", "minimum": 0} for s in STANDINGS},
                "required": list(STANDINGS),
            },
            "digests": {
                "type": "object",
                "additionalProperties": digest,
                "required": list(PARTS),
            },
            "notes": {"type": "array", "items": text},
            **lists,
        },
        "required": [
            "schema",
            "schema_version",
            "tool",
            "title",
            "cautions",
            "counts",
            "digests",
            "sources",
            *PARTS,
        ],
        "additionalProperties": False,
        "$defs": {
            "limit": _json_row(COLUMNS),
            **{t.name: _json_row(t.fields) for t in SIDE_TABLES},
        },
    }


def make_all_schemas(version: str) -> dict[str, Schema]:
    """Every schema of the current version, by the name of its frozen file."""
    return {
        "limits.table": make_limits_schema(),
        **{f"{t.name}.table": make_side_schema(t) for t in SIDE_TABLES},
        "limit-table": make_document_schema(version),
        "profile": make_profile_schema(version, PROFILE_SCHEMA, DRAFT),
    }
