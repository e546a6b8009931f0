"""An issued limit table as one plain document, from which every format is written.

The document keeps verified rows and all others in two lists that are never one: a format
that holds both names the part, and a program that opens the first part has verified rows
alone. `digests` says what each list holds, so that a reader of any format can tell whether
a cell was changed after issue.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import Any

from reconcile.publish.columns import NAMES, View, cells_of, printable
from reconcile.publish.equivalent_table import EQUIVALENTS, OTHER_EQUIVALENTS, equivalent_rows
from reconcile.publish.rows import LimitTable
from reconcile.publish.side import (
    APPARATUS,
    EMENDATIONS,
    FINDINGS,
    RULINGS,
    SOURCES,
    Cells,
    SideTable,
    apparatus_rows,
    finding_rows,
    ruling_rows,
    source_rows,
)

SCHEMA = "reconcile limit table"
PARTS = ("limits", "not_verified")
PART_TITLES = {
    "limits": "Verified limits",
    "not_verified": "Limits that are not verified; each row's reason says why",
}

CARRIED: tuple[SideTable, ...] = (SOURCES, FINDINGS, EMENDATIONS, RULINGS, APPARATUS)
"""Side tables of the formats that carry the findings: package, JSON, workbook, TEI. The
others (Parquet, annotations, Markdown) carry the sources alone."""
SIDE_TABLES: tuple[SideTable, ...] = (*CARRIED, EQUIVALENTS, OTHER_EQUIVALENTS)
"""All side tables. Equivalents number by number are in the package and the JSON alone; the
column `equivalents` says the same in words in every format."""

Document = dict[str, Any]
"""Keys: schema, schema_version, tool, title, cautions, counts, digests, notes, then a list
of rows for each side table, then `limits` and `not_verified`. A row leaves its blanks out."""


def rows_digest(rows: Iterable[Cells], names: Sequence[str]) -> str:
    """SHA-256 of rows as values: the same whichever format they were read from.

    Parameters
    ----------
    rows : iterable of dict
    names : sequence of str
        Columns, in order; a missing one counts as None.

    Returns
    -------
    digest : str
        "sha256:" and 64 hexadecimal digits.
    """
    encode = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), allow_nan=False).encode
    seal = hashlib.sha256()
    for row in rows:
        seal.update(encode([row.get(name) for name in names]).encode() + b"\n")
    return "sha256:" + seal.hexdigest()


def make_document(table: LimitTable) -> Document:
    """The table as a document.

    Parameters
    ----------
    table : LimitTable

    Returns
    -------
    Document
    """
    from reconcile.version import __version__

    parts: dict[str, list[Cells]] = {part: [] for part in PARTS}
    equivalents: dict[str, list[Cells]] = {part: [] for part in PARTS}
    for position, row in enumerate(table.rows, 1):
        view = View(row, position)
        part = "limits" if row.standing == "verified" else "not_verified"
        parts[part].append(cells_of(view))
        equivalents[part] += equivalent_rows(row.id, view.equivalents)
    findings, emendations = finding_rows(table)
    side = {
        SOURCES.name: source_rows(table),
        FINDINGS.name: findings,
        EMENDATIONS.name: emendations,
        RULINGS.name: ruling_rows(table),
        APPARATUS.name: apparatus_rows(table),
        EQUIVALENTS.name: equivalents["limits"],
        OTHER_EQUIVALENTS.name: equivalents["not_verified"],
    }
    digests = {part: rows_digest(parts[part], NAMES) for part in PARTS}
    for side_table in SIDE_TABLES:
        digests[side_table.name] = rows_digest(
            side[side_table.name], [f.name for f in side_table.fields]
        )
    return {
        "schema": SCHEMA,
        "schema_version": table.schema_version,
        "tool": {"name": "reconcile", "version": __version__},
        "title": printable(table.title) or "Limit table",
        "cautions": list(table.cautions),
        "counts": table.count(),
        "digests": digests,
        "notes": [printable(note) or "" for note in table.notes],
        **{name: [compact(row) for row in rows] for name, rows in side.items()},
        **parts,
    }


def header_of(document: Document, *, side: bool = False) -> Document:
    """The document without its rows: with its sources alone, or all that is carried."""
    keep = CARRIED if side else (SOURCES,)
    drop = {*PARTS, *(t.name for t in SIDE_TABLES)} - {t.name for t in keep}
    return {key: value for key, value in document.items() if key not in drop}


def compact(row: Cells) -> Cells:
    """A row without its blanks."""
    return {key: value for key, value in row.items() if value is not None}
