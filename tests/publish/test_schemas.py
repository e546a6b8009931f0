"""The frozen schemas: they are what the code writes, and outside validators accept them."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import jsonschema
import pytest

from reconcile.errors import ArtefactError
from reconcile.publish import schemas
from reconcile.publish.columns import NAMES
from reconcile.publish.document import make_document, rows_digest
from reconcile.publish.jsonfile import write_json
from reconcile.publish.load import load_table
from reconcile.publish.rows import SCHEMA_VERSION, LimitTable
from reconcile.publish.schemas import (
    column_names,
    frozen_schema,
    make_all_schemas,
    versions,
)
from reconcile.publish.tei import write_tei
from reconcile.publish.workbook import write_workbook
from reconcile.reference import tables_dir


def test_the_frozen_files_are_those_of_the_code() -> None:
    """Columns, types and rules in the code are those frozen for the current version."""
    folder = tables_dir() / "schemas" / SCHEMA_VERSION
    made = make_all_schemas(SCHEMA_VERSION)
    assert {path.stem for path in folder.glob("*.json")} == set(made)
    for name, schema in made.items():
        frozen = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
        assert json.loads(json.dumps(schema)) == frozen, name
    assert column_names(SCHEMA_VERSION) == NAMES
    assert versions()[-1] == SCHEMA_VERSION


@pytest.mark.parametrize("name", ["limit-table", "profile"])
def test_json_schemas_are_valid_themselves(name: str) -> None:
    """Each JSON Schema keeps to its own draft, 2020-12 (by jsonschema)."""
    jsonschema.Draft202012Validator.check_schema(frozen_schema(name, SCHEMA_VERSION))


def test_every_number_column_says_its_unit() -> None:
    """No number is issued without its unit or the column that holds it."""
    for field in frozen_schema("limits.table", SCHEMA_VERSION)["fields"]:
        if field["type"] == "number":
            assert ("unit" in field) != ("unitColumn" in field), field["name"]
            assert field.get("unitColumn", "unit") in NAMES
            assert field.get("uncertaintyColumn", "unit") in NAMES


@pytest.mark.parametrize("version", ["9.0.0", "", "../1.0.0", "1.0.0/.."])
def test_an_unknown_version_is_refused(version: str) -> None:
    """A file of a later release, or one that names a path for a version, is refused."""
    with pytest.raises(ArtefactError, match=re.escape(f"{version!r} is not known here")):
        frozen_schema("limits.table", version)


@pytest.mark.parametrize("name", ["../1.0.0/limits.table", "no-such", ""])
def test_an_unknown_schema_is_refused(name: str) -> None:
    """A resource that is none of ours, or whose name is a path, is refused."""
    with pytest.raises(ArtefactError, match=re.escape(f"has no {name!r}")):
        frozen_schema(name, SCHEMA_VERSION)


def test_a_table_of_an_older_version_loads_by_its_own_schema(
    table: LimitTable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A later release with more columns still reads what an earlier one issued."""
    old = "0.9.0"
    folder = tmp_path / "tables"
    shutil.copytree(tables_dir() / "schemas", folder / "schemas")
    shutil.copytree(folder / "schemas" / SCHEMA_VERSION, folder / "schemas" / old)
    path = folder / "schemas" / old / "limits.table.json"
    schema = json.loads(path.read_text(encoding="utf-8"))
    schema["fields"] = [f for f in schema["fields"] if f["name"] != "equivalents"]
    path.write_text(json.dumps(schema), encoding="utf-8")
    monkeypatch.setattr(schemas, "tables_dir", lambda: folder)
    frozen_schema.cache_clear()
    versions.cache_clear()
    try:
        document = make_document(table)
        for part in ("limits", "not_verified"):
            for row in document[part]:
                row.pop("equivalents", None)
            document["digests"][part] = rows_digest(document[part], column_names(old))
        document["schema_version"] = old
        for write, name in (
            (write_json, "limits.json"),
            (write_workbook, "limits.xlsx"),
            (write_tei, "limits.tei.xml"),
        ):
            write(document, tmp_path / name)
            frame = load_table(tmp_path / name, verified_only=False, lead_only=False)
            assert len(frame) == len(table.rows) and "equivalents" not in frame
            assert frame.attrs["schema_version"] == old
    finally:
        frozen_schema.cache_clear()
        versions.cache_clear()
