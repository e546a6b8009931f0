"""The list of formats, and the one function that writes them all."""

from __future__ import annotations

from collections.abc import Callable
from importlib.util import find_spec
from pathlib import Path

from reconcile.publish.document import Document, make_document
from reconcile.publish.jsonfile import write_json
from reconcile.publish.package import write_package
from reconcile.publish.rows import LimitTable


def write_every_format(
    table: LimitTable, folder: Path, *, source_folder: Path
) -> list[tuple[Path, str]]:
    """See `reconcile.publish.write_all`."""
    folder.mkdir(parents=True, exist_ok=True)
    written: list[tuple[Path, str]] = []
    if find_spec("reconcile.publish.page"):
        from reconcile.publish.page import write_page

        path = folder / "report.html"
        write_page(table, path, source_folder=source_folder)
        written.append((path, "the report for people: open it in a browser"))
    return written + write_every_data_format(table, folder)


def write_every_data_format(table: LimitTable, folder: Path) -> list[tuple[Path, str]]:
    """Write the formats that other programs load; they need the table alone."""
    folder.mkdir(parents=True, exist_ok=True)
    document = make_document(table)
    written = [(write_package(document, folder / "package"), "data package: CSV with a schema")]
    for name, write, holds in _FILES:
        write(document, folder / name)
        written.append((folder / name, holds))
    return written


_FILES: tuple[tuple[str, Callable[[Document, Path], None], str], ...] = (
    ("limits.json", write_json, "the same as one JSON file"),
)
