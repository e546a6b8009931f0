"""Tables are loaded whole or refused, with file and line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from reconcile import reference
from reconcile.errors import TableError
from reconcile.reference import load_rows, load_schema, near_terms, tables_dir

TABLES = sorted(
    str(path.relative_to(tables_dir()).with_suffix(""))
    for path in tables_dir().rglob("*.csv")
    if "sources" not in path.parts and "script" not in path.parts
)
SCHEMA = {
    "fields": [
        {"name": "slug", "type": "string", "constraints": {"required": True}},
        {"name": "value", "type": "string", "exact": True},
        {"name": "grade", "type": "string", "constraints": {"enum": ["exact", "measured"]}},
        {"name": "source", "type": "string", "constraints": {"required": True}},
    ],
    "primaryKey": ["slug"],
}
HEAD = "slug,value,grade,source\n"


@pytest.fixture
def write(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Put a table in place of the real ones and load it."""
    (tmp_path / "x").mkdir()

    def load(text: str, schema: dict = SCHEMA):
        (tmp_path / "x" / "t.csv").write_text(text, encoding="utf-8")
        (tmp_path / "x" / "t.schema.json").write_text(json.dumps(schema), encoding="utf-8")
        return load_rows("x/t")

    monkeypatch.setattr(reference, "tables_dir", lambda: tmp_path)
    load_rows.cache_clear()
    load_schema.cache_clear()
    yield load
    load_rows.cache_clear()
    load_schema.cache_clear()


@pytest.mark.parametrize("name", TABLES)
def test_each_table_loads(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every table of the project passes its own schema, checked now."""
    monkeypatch.setattr(reference, "_passed", dict)
    assert load_rows.__wrapped__(name)


def test_a_table_that_has_passed_is_read_as_it_is(write, tmp_path: Path) -> None:
    """A table on record is read alike without its checks; a changed one is checked again."""
    checked = write(HEAD + "a,1,exact,s\n# note\nb,2,measured,s\n")
    reference._passed.cache_clear()
    try:
        assert list(reference.check_tables(["x/t"])) == ["x/t"]
        reference._passed.cache_clear()
        load_rows.cache_clear()
        assert load_rows("x/t") == checked
        load_rows.cache_clear()
        with pytest.raises(TableError, match="stands in the table twice"):
            write(HEAD + "a,1,exact,s\na,2,exact,s\n")
    finally:
        reference._passed.cache_clear()


def test_a_table_with_loose_blanks_is_never_on_record(write) -> None:
    """Only checking takes the blanks off, so such a table is checked each time."""
    assert write(HEAD + "a, 1,exact,s\n")[0]["value"] == "1"
    assert reference.check_tables(["x/t"]) == {}


@pytest.mark.parametrize("name", TABLES)
def test_each_schema_describes_every_column(name: str) -> None:
    """A column without a description helps nobody."""
    for field in load_schema(name)["fields"]:
        assert field.get("description"), (name, field["name"])


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (HEAD + "a,1,exact,\n", "line 2: '' in column 'source'; expected a value, not a blank"),
        (HEAD + "a,1,exact,s\na,2,exact,s\n", "line 3: .*stands in the table twice"),
        (
            HEAD + "# note\na,one,exact,s\n",
            "line 3: 'one' in column 'value'; expected an exact number",
        ),
        (HEAD + "a,1/0,exact,s\n", "an exact number"),
        (HEAD + "a,1,guessed,s\n", "one of exact, measured"),
        (HEAD + "a,1,exact\n", "3 cells; expected 4"),
        ("slug,value,grade,colour\na,1,exact,s\n", "unknown column 'colour'"),
        ("slug,value,grade\na,1,exact\n", "column 'source' is missing"),
    ],
)
def test_a_faulty_table_is_refused(write, text: str, message: str) -> None:
    """Blank sources, repeats, inexact numbers and strange columns are named by line."""
    with pytest.raises(TableError, match=message):
        write(text)


def test_a_table_without_a_schema_or_with_a_strange_key_is_refused(write, tmp_path: Path) -> None:
    """The schema is part of the table."""
    with pytest.raises(TableError, match="'name' is no column"):
        write(HEAD, SCHEMA | {"primaryKey": "name"})
    with pytest.raises(TableError, match="no schema"):
        load_rows("x/missing")


def test_exact_numbers_and_comments_pass(write) -> None:
    """Fractions and decimals are exact; comment lines are no rows."""
    rows = write("# head\n" + HEAD + "a,125/36,exact,s\n# note\nb,0.3048,,s\n")
    assert [row["value"] for row in rows] == ["125/36", "0.3048"]


def test_near_terms_are_named_before_all() -> None:
    """A slip of the pen gets its near misses; a strange word gets all there is, each once."""
    known = ["climb", "take-off", "climb", "weak cruising"]
    assert near_terms("takeoff", known) == "take-off"
    assert near_terms("zz", known) == "one of climb, take-off, weak cruising"
