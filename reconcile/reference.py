"""Loads the tables under ``tables/``, once each, and checks every row.

A table is a CSV file (UTF-8, comma) with a Table Schema (Frictionless) of the same
name beside it: ``tables/units/units.csv`` and ``tables/units/units.schema.json``.
Lines that begin with ``#`` are comments. Besides the standard's own ``required``,
``unique``, ``enum`` and ``pattern``, a field may say ``"exact": true``: the cell then
has to be an exact number (``12``, ``0.45359237``, ``125/36``) or blank.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any

from reconcile.errors import TableError

Row = dict[str, str]


@cache
def tables_dir() -> Path:
    """Folder of the reference tables: inside an installed package, else beside it."""
    inside = Path(__file__).with_name("tables")
    return inside if inside.is_dir() else Path(__file__).parent.parent / "tables"


def table_path(name: str) -> Path:
    """File of the table `name`, e.g. ``"units/units"``."""
    return tables_dir() / f"{name}.csv"


def _lines(path: Path) -> Iterator[str]:
    # Comments are blanked, not skipped, so that line numbers stay true.
    with path.open(encoding="utf-8", newline="") as stream:
        for line in stream:
            yield "\n" if line.startswith("#") else line


def _fault(path: Path, line: int, what: str, expected: str | None = None) -> TableError:
    return TableError(
        what,
        where=f"tables/{path.parent.name}/{path.name}, line {line}",
        expected=expected,
        do="mend the row",
    )


@cache
def load_schema(name: str) -> dict[str, Any]:
    """The Table Schema beside table `name`."""
    path = tables_dir() / f"{name}.schema.json"
    try:
        schema: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise TableError(
            "no schema stands beside the table",
            where=f"tables/{name}.csv",
            expected=f"tables/{name}.schema.json",
        ) from None
    return schema


@cache
def load_rows(name: str) -> tuple[Row, ...]:
    """Rows of table `name`, checked against its schema, in file order.

    Parameters
    ----------
    name : str
        Path under ``tables/`` without ending, e.g. ``"units/units"``.

    Returns
    -------
    rows : tuple of dict, each cell a string with no outer blanks

    Raises
    ------
    TableError
        Unknown or missing column, blank required cell, repeated key, value not in
        the closed list, inexact number; names file and line.
    """
    path = table_path(name)
    if (digest := _passed().get(name)) and digest == digest_of(name):
        return _read_rows(path)
    schema = load_schema(name)
    fields = {field["name"]: field for field in schema["fields"]}
    key = schema.get("primaryKey") or []
    key = [key] if isinstance(key, str) else key
    try:
        reader = csv.reader(_lines(path), strict=True)
        head = next((row for row in reader if row), [])
    except FileNotFoundError:
        raise TableError("no such table", where=f"tables/{name}.csv") from None
    if unknown := [c for c in head if c not in fields]:
        raise _fault(path, reader.line_num, f"unknown column {unknown[0]!r}", ", ".join(fields))
    if strange := [c for c in key if c not in fields]:
        raise TableError(
            f"the schema's key {strange[0]!r} is no column",
            where=f"tables/{name}.schema.json",
            expected=", ".join(fields),
        )
    if absent := [c for c in fields if c not in head]:
        raise _fault(path, reader.line_num, f"column {absent[0]!r} is missing")
    checks = [_check_of(fields[c]) for c in head]
    unique = [i for i, c in enumerate(head) if fields[c].get("constraints", {}).get("unique")]
    key_at = [head.index(c) for c in key]
    seen: set[tuple[int, ...] | tuple[str, ...]] = set()
    # Most cells repeat one above them; each text is checked once a column.
    good: list[set[str]] = [set() for _ in head]
    rows = []
    for cells in reader:
        if not cells:
            continue
        if len(cells) != len(head):
            raise _fault(path, reader.line_num, f"{len(cells)} cells", f"{len(head)}")
        cells = [c.strip() for c in cells]
        for cell, check, passed, column in zip(cells, checks, good, head):
            if cell not in passed:
                if wanted := check(cell):
                    raise _fault(path, reader.line_num, f"{cell!r} in column {column!r}", wanted)
                passed.add(cell)
        marks: list[tuple[Any, ...]] = [(i, cells[i]) for i in unique if cells[i]]
        if key_at:
            marks.append(tuple(cells[i] for i in key_at))
        for mark in marks:
            if mark in seen:
                raise _fault(
                    path, reader.line_num, f"{mark!r} stands in the table twice", "each key once"
                )
            seen.add(mark)
        rows.append(dict(zip(head, cells)))
    return tuple(rows)


def near_terms(word: str, known: Iterable[str]) -> str:
    """What a wrong word was most likely meant for, for an error's `expected`.

    The near misses where there are any, else all that there is.

    Examples
    --------
    >>> near_terms("takeoff", ["climb", "take-off", "weak cruising"])
    'take-off'
    """
    import difflib

    terms = list(dict.fromkeys(known))
    near = difflib.get_close_matches(word, terms, 3, 0.6)
    return " or ".join(near) if near else "one of " + ", ".join(terms)


@cache
def _passed() -> dict[str, str]:
    """Digests of tables that have been checked; those that still fit need no second look."""
    try:
        found: dict[str, str] = json.loads((tables_dir() / "checked.json").read_bytes())
    except (OSError, ValueError):
        return {}
    return found


def digest_of(name: str) -> str:
    """Digest of table `name` and its schema, as they stand on disk."""
    digest = blake2b(table_path(name).read_bytes(), digest_size=16)
    digest.update((tables_dir() / f"{name}.schema.json").read_bytes())
    return digest.hexdigest()


def check_tables(names: Iterable[str]) -> dict[str, str]:
    """Check tables and write to ``tables/checked.json`` which have passed, by their digest.

    A table with blanks around its cells is checked each time: only checking takes them off.
    """
    passed = {}
    for name in names:
        if load_rows(name) == _read_rows(table_path(name)):
            passed[name] = digest_of(name)
    text = json.dumps(passed, indent=1, sort_keys=True)
    (tables_dir() / "checked.json").write_text(text + "\n", encoding="utf-8")
    return passed


def _read_rows(path: Path) -> tuple[Row, ...]:
    reader = csv.reader(_lines(path), strict=True)
    head = next(row for row in reader if row)
    return tuple([dict(zip(head, cells)) for cells in reader if cells])


def _check_of(field: dict[str, Any]) -> Any:
    """A function giving what was expected of a bad cell, or an empty string."""
    rules = field.get("constraints", {})
    required = rules.get("required", False)
    allowed = frozenset(rules.get("enum", ()))
    shape = re.compile(rules["pattern"]) if "pattern" in rules else None
    exact = field.get("exact", False)

    def check(cell: str) -> str:
        if not cell:
            return "a value, not a blank" if required else ""
        if allowed and cell not in allowed:
            return "one of " + ", ".join(sorted(allowed))
        if shape and not shape.fullmatch(cell):
            return f"text like {shape.pattern}"
        if exact:
            try:
                Fraction(cell)
            except (ValueError, ZeroDivisionError):
                return "an exact number such as 12, 0.3048 or 125/36"
        return ""

    return check
