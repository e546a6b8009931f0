"""The list of formats, and the one function that writes them all."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from reconcile.publish.annotations import write_annotations
from reconcile.publish.document import Document, make_document
from reconcile.publish.jsonfile import write_json
from reconcile.publish.markdown import write_markdown
from reconcile.publish.package import DESCRIPTOR, write_package
from reconcile.publish.parquet import write_parquet
from reconcile.publish.profile import write_profile
from reconcile.publish.rows import LimitTable
from reconcile.publish.tei import write_tei
from reconcile.publish.workbook import write_workbook


def write_every_format(
    table: LimitTable, folder: Path, *, source_folder: Path
) -> list[tuple[Path, str]]:
    """See `reconcile.publish.write_all`."""
    from reconcile.publish.page_files import write_reports

    folder.mkdir(parents=True, exist_ok=True)
    reports = write_reports(table, folder, source_folder=source_folder)
    return [*reports, *write_every_data_format(table, folder)]


def write_every_data_format(table: LimitTable, folder: Path) -> list[tuple[Path, str]]:
    """Write the formats that other programs load; they need the table alone."""
    folder.mkdir(parents=True, exist_ok=True)
    document = make_document(table)
    written = []
    for name, write, holds in FORMATS:
        write(document, folder / name)
        written.append((folder / name, holds))
    return written


def _write_package(document: Document, path: Path) -> None:
    write_package(document, path.parent)


FORMATS: tuple[tuple[str, Callable[[Document, Path], None], str], ...] = (
    (
        f"package/{DESCRIPTOR}",
        _write_package,
        "data package: CSV files with a schema, verified rows in limits.csv",
    ),
    ("limits.json", write_json, "the same as one JSON file"),
    ("limits.xlsx", write_workbook, "the same as a workbook"),
    ("limits.parquet", partial(write_parquet, part="limits"), "verified rows as Parquet"),
    (
        "limits-not-verified.parquet",
        partial(write_parquet, part="not_verified"),
        "all other rows as Parquet",
    ),
    ("limits.md", write_markdown, "the same as Markdown"),
    ("limits.tei.xml", write_tei, "the same as TEI, with an apparatus, for editors"),
    (
        "limits.annotations.jsonld",
        partial(write_annotations, part="limits"),
        "verified rows as Web Annotations of the sources",
    ),
    (
        "limits-not-verified.annotations.jsonld",
        partial(write_annotations, part="not_verified"),
        "all other rows as Web Annotations",
    ),
    ("profile.json", write_profile, "verified limits, drills and tables in SI, for models"),
)
