"""The limit table as Markdown: tables for people, then the same data in full for programs."""

from __future__ import annotations

import json
import re
from pathlib import Path

from reconcile.errors import ArtefactError
from reconcile.publish.document import PART_TITLES, PARTS, SCHEMA, Document, header_of
from reconcile.publish.package import csv_text, rows_from_csv
from reconcile.publish.schemas import frozen_schema
from reconcile.publish.side import Cells
from reconcile.publish.wording import (
    place_of,
    source_names,
    time_of,
)

_SPECIAL = re.compile(r"([\\`*_\[\]|#~])")
_FENCE = re.compile(r"^(`{3,})(json|csv) (\w+)\n(.*?)^\1$", re.DOTALL | re.MULTILINE)
_HEAD = ("Limits", "When", "As written", "Bound", "In modern units", "Time", "Place", "Row")


def escape_markdown(text: object) -> str:
    """Text that Markdown, and HTML within it, shows as it is, on one line."""
    plain = str(text).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return _SPECIAL.sub(r"\\\1", plain).replace("\n", " ").strip()


def _table(head: tuple[str, ...], rows: list[list[str]]) -> list[str]:
    lines = ["| " + " | ".join(head) + " |", "|" + " --- |" * len(head)]
    return lines + ["| " + " | ".join(map(escape_markdown, row)) + " |" for row in rows]


def _fenced(kind: str, name: str, text: str) -> list[str]:
    # The fence is longer than any run of its own character inside.
    longest = max((len(run) for run in re.findall("`+", text)), default=0)
    fence = "`" * max(3, longest + 1)
    return [f"{fence}{kind} {name}", text.rstrip("\n"), fence, ""]


def _for_people(rows: list[Cells], document: Document) -> list[str]:
    names = source_names(document)
    unproved = bool(rows) and rows[0]["standing"] != "verified"
    head = (*_HEAD, "Standing", "Reason") if unproved else _HEAD
    lines = []
    led = [row for row in rows if row["lead"]]
    for row in led:
        cells = [
            row.get("parameter") or "",
            row.get("condition") or "",
            row.get("as_written") or "",
            row["bound"],
            row.get("equivalents") or "",
            time_of(row),
            place_of(row, names),
            row["row_id"],
        ]
        if unproved:
            cells += [row["standing"], row.get("reason") or ""]
        lines.append(cells)
    out = _table(head, lines) if led else ["None."]
    if more := len(rows) - len(led):
        out += ["", f"{more} more rows, of other sources, stand in the data below."]
    return out


def write_markdown(document: Document, path: Path) -> None:
    """Write the document to `path` as Markdown."""
    version = document["schema_version"]
    lines = [f"# {escape_markdown(document['title'])}", ""]
    lines += [f"> {escape_markdown(caution)}" for caution in document["cautions"]]
    counts = ", ".join(f"{n} {standing}" for standing, n in document["counts"].items())
    tool = document["tool"]
    lines += ["", f"{counts}. Schema version {version}, {tool['name']} {tool['version']}.", ""]
    for part in PARTS:
        lines += [f"## {PART_TITLES[part]}", ""]
        lines += [*_for_people(document[part], document), ""]
    lines += ["## Sources", ""]
    lines += _table(
        ("File", "Title", "Edition", "Date", "SHA-256"),
        [
            [s.get(k) or "" for k in ("name", "title", "edition", "date", "sha256")]
            for s in document["sources"]
        ],
    )
    if document["notes"]:
        lines += ["", "## Notes", "", *(f"- {escape_markdown(n)}" for n in document["notes"])]
    lines += ["", "## Data", "", "The same in full, for programs.", ""]
    head = json.dumps(header_of(document), ensure_ascii=False, indent=1)
    lines += _fenced("json", "head", head)
    schema = frozen_schema("limits.table", version)
    for part in PARTS:
        lines += _fenced("csv", part, csv_text(document[part], schema))
    path.write_text("\n".join(lines), encoding="utf-8", newline="\n")


def read_markdown(path: Path) -> Document:
    """Read a document back from Markdown.

    Raises
    ------
    ArtefactError
        No data of a limit table stand in it.
    """
    text = path.read_bytes().decode("utf-8", "replace")
    blocks = {name: body for _, _, name, body in _FENCE.findall(text)}
    try:
        document: Document = json.loads(blocks["head"])
        if document["schema"] != SCHEMA:
            raise KeyError("schema")
        schema = frozen_schema("limits.table", document["schema_version"])
        for part in PARTS:
            document[part] = rows_from_csv(blocks[part], schema, f"{path}, {part}")
    except (KeyError, TypeError, json.JSONDecodeError):
        raise ArtefactError("no limit table stands in this Markdown", where=str(path)) from None
    return document
