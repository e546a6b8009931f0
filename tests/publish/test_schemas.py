"""The frozen schemas: they are what the code writes, and outside validators accept them."""

from __future__ import annotations

import json
import re

import jsonschema
import pytest

from reconcile.errors import ArtefactError
from reconcile.publish.columns import NAMES
from reconcile.publish.rows import SCHEMA_VERSION
from reconcile.publish.schemas import (
    column_names,
    frozen_schema,
    make_all_schemas,
    versions,
)
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
