"""The limit table as Parquet: one file of verified rows, one of all others.

Units, descriptions and the column that holds the uncertainty stand in each field's metadata,
the rest of the document in the file's, so that either file stands alone.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import PARTS, SCHEMA, Document, header_of
from reconcile.publish.schemas import frozen_schema

_KEY = b"limit_table"
_FIELD_KEYS = ("description", "unit", "unitColumn", "uncertaintyColumn")


def _arrow_schema(version: str, metadata: dict[bytes, bytes]) -> Any:
    import pyarrow as pa

    types = {
        "string": pa.string(),
        "number": pa.float64(),
        "integer": pa.int64(),
        "boolean": pa.bool_(),
    }
    fields = []
    for field in frozen_schema("limits.table", version)["fields"]:
        notes = {key: field[key] for key in _FIELD_KEYS if key in field}
        fields.append(
            pa.field(
                field["name"],
                types[field["type"]],
                nullable=not field.get("constraints", {}).get("required", False),
                metadata=notes,
            )
        )
    return pa.schema(fields, metadata=metadata)


def write_parquet(document: Document, path: Path, part: str) -> None:
    """Write one part of the document to `path`.

    Parameters
    ----------
    document : Document
    path : Path
    part : str
        "limits" for the verified rows, "not_verified" for all others.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    header = {**header_of(document), "part": part}
    metadata = {_KEY: json.dumps(header, ensure_ascii=False).encode()}
    schema = _arrow_schema(document["schema_version"], metadata)
    columns = [
        pa.array([row.get(field.name) for row in document[part]], type=field.type)
        for field in schema
    ]
    # One thread and a set compression level: the same bytes on any machine.
    pq.write_table(pa.table(columns, schema=schema), path, compression="zstd", compression_level=3)


def read_parquet(path: Path) -> Document:
    """Read one part of a document back.

    Returns
    -------
    Document
        With `part` added, and the rows of that part alone.

    Raises
    ------
    ArtefactError
        Not such a file.
    """
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        table = pq.read_table(path)
        header = json.loads((table.schema.metadata or {})[_KEY])
        if header["schema"] != SCHEMA or header["part"] not in PARTS:
            raise KeyError("schema")
    except (pa.ArrowException, KeyError, TypeError, ValueError):
        raise ArtefactError("not a limit table in Parquet", where=str(path)) from None
    names = table.column_names
    rows = [
        {name: value for name, value in zip(names, values) if value is not None}
        for values in zip(*(table.column(name).to_pylist() for name in names), strict=True)
    ]
    document: Document = {**header, header["part"]: rows}
    return document
