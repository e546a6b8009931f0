"""The limit table as one JSON file."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from reconcile.errors import ArtefactError
from reconcile.publish.document import PARTS, SCHEMA, SIDE_TABLES, Document


def document_text(document: Document) -> str:
    """The document as JSON text, a row a line; blanks are left out of a row."""
    encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode
    rows_of = {*PARTS, *(table.name for table in SIDE_TABLES)}
    parts = []
    for key, value in document.items():
        if key in rows_of:
            body = ",\n  ".join(encode(row) for row in value)
            text = f"[\n  {body}\n ]" if value else "[]"
        else:
            text = json.dumps(value, ensure_ascii=False, indent=1).replace("\n", "\n ")
        parts.append(f" {encode(key)}: {text}")
    return "{\n" + ",\n".join(parts) + "\n}\n"


def write_json(document: Document, path: Path) -> None:
    """Write the document to `path` as JSON."""
    path.write_text(document_text(document), encoding="utf-8", newline="\n")


def read_json(path: Path) -> Document:
    """Read a document back from JSON; blanks come back as absent keys.

    Raises
    ------
    ArtefactError
        Not JSON, or not a limit table.
    """
    try:
        data: Any = json.loads(path.read_text(encoding="utf-8"))
    except (UnicodeDecodeError, json.JSONDecodeError) as fault:
        raise ArtefactError(f"not JSON ({fault})", where=str(path)) from None
    if not isinstance(data, dict) or data.get("schema") != SCHEMA:
        raise ArtefactError("not a limit table", where=str(path), expected=f'"schema": "{SCHEMA}"')
    document: Document = data
    return document
