"""Sheets: CSV and workbooks, as text with bars between the cells. Nothing is executed."""

from __future__ import annotations

import csv
import datetime
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from reconcile.errors import (
    DamagedSourceError,
    EmptySourceError,
    EncryptedSourceError,
    OversizeSourceError,
)
from reconcile.records import Page
from reconcile.sources.opening import Look
from reconcile.sources.sheet_formats import UNSAVED, Formats, show_number
from reconcile.sources.text import read_lines

MAX_ROWS = 2_000
"""Rows on one page; a longer sheet goes on over more pages."""
MAX_CELLS = 2_000_000
MAX_BOOK = 200_000_000
"""Unpacked size [bytes] beyond which a workbook is refused."""


def lay_out(rows: Iterable[list[str]]) -> str:
    """Rows as lines, cells held apart by bars that stand under each other."""
    rows = [[_one_line(cell) for cell in row] for row in rows]
    width: list[int] = []
    for row in rows:
        width += [0] * (len(row) - len(width))
        for i, cell in enumerate(row):
            width[i] = max(width[i], min(len(cell), 40))
    lines = []
    for row in rows:
        filled = any(row)
        full = row + [""] * (len(width) - len(row))
        line = " | ".join(cell.ljust(w) for cell, w in zip(full, width)) if filled else ""
        lines.append(line.rstrip())
    return "\n".join(lines).rstrip("\n")


def _one_line(cell: str) -> str:
    cell = " ".join(cell.split()) if "\n" in cell or "\r" in cell or "\t" in cell else cell.strip()
    return cell.replace("|", "¦") if "|" in cell else cell


def read_csv_pages(path: Path, source_id: str, encoding: str) -> Iterator[Page]:
    """Pages of a CSV or TSV file; the separator is the one that cuts most lines alike.

    Raises
    ------
    DamagedSourceError
        A quoted cell is never closed, or a cell is absurdly long.
    EmptySourceError
        All cells are blank.
    """
    sample = []
    for line in read_lines(path, encoding):
        sample.append(line)
        if len(sample) >= 50:
            break
    separator = _separator(sample)
    reader = csv.reader(read_lines(path, encoding), delimiter=separator, strict=True)
    number, rows, seen = 0, [], False
    try:
        for row in reader:
            seen = seen or any(cell.strip() for cell in row)
            rows.append(row)
            if len(rows) == MAX_ROWS:
                number += 1
                yield Page(source_id, number, lay_out(rows), how="sheet")
                rows = []
    except csv.Error as error:
        raise DamagedSourceError(
            f"is no well-formed sheet ({error})",
            where=f"{path.name}, line {reader.line_num}",
            do="mend the line, or read it as plain text (medium text)",
        ) from None
    if not seen:
        raise EmptySourceError("all its cells are blank", where=path.name)
    if rows:
        yield Page(source_id, number + 1, lay_out(rows), how="sheet")


def _separator(sample: list[str]) -> str:
    best, best_key = ",", (0.0, 0)
    for mark in (",", ";", "\t", "|"):
        counts = [line.count(mark) for line in sample if line.strip()]
        if not counts or not max(counts):
            continue
        usual = max(set(counts), key=counts.count)
        share = counts.count(usual) / len(counts) if usual else 0.0
        # A semicolon or tab beside decimal commas is the separator, not the comma.
        key = (share + (0.2 if mark in ";\t" and usual else 0.0), usual)
        if key > best_key:
            best, best_key = mark, key
    return best


def open_book_pages(seen: Look, source_id: str) -> Iterator[Page]:
    """Pages of a workbook, one a sheet; formulas by the value stored with them.

    Raises
    ------
    DamagedSourceError, EncryptedSourceError, OversizeSourceError
    """
    from python_calamine import CalamineError, CalamineWorkbook

    name = seen.path.name
    if seen.signature == "ZIP archive":
        check_archive(seen.path)
    elif b"E\0n\0c\0r\0y\0p\0t" in seen.head + seen.tail or is_locked(seen.path):
        raise EncryptedSourceError("is locked with a password", where=name, do="save it unlocked")
    try:
        book = CalamineWorkbook.from_path(str(seen.path))
        names = list(book.sheet_names)
    except (CalamineError, OSError, ValueError) as error:
        if "assword" in str(error):
            raise EncryptedSourceError(
                "is locked with a password", where=name, do="save it unlocked"
            ) from None
        raise DamagedSourceError(
            "is damaged or no workbook", where=name, do="save it again, or as CSV"
        ) from None
    return _book_pages(book, names, seen.path, source_id)


def is_locked(path: Path) -> bool:
    """True if an old-style container holds an encrypted package."""
    # An encrypted workbook is an old-style container with this entry in its directory.
    mark = "EncryptedPackage".encode("utf-16-le")
    with path.open("rb") as stream:
        kept = b""
        while chunk := stream.read(1 << 20):
            if mark in kept + chunk:
                return True
            kept = chunk[-64:]
    return False


def check_archive(path: Path) -> None:
    """Refuse a ZIP file that is damaged, locked or swells when unpacked."""
    try:
        with zipfile.ZipFile(path) as archive:
            size = sum(info.file_size for info in archive.infolist())
            locked = any(info.flag_bits & 1 for info in archive.infolist())
    except (zipfile.BadZipFile, OSError, ValueError, EOFError):
        raise DamagedSourceError(
            "is truncated or damaged", where=path.name, do="fetch or save it again"
        ) from None
    if locked:
        raise EncryptedSourceError(
            "is locked with a password", where=path.name, do="save it unlocked"
        )
    if size > MAX_BOOK:
        raise OversizeSourceError(
            f"unpacks to {size // 1_000_000:,} MB",
            where=path.name,
            expected="a workbook of limits",
            do="save the sheets that matter as CSV",
        )


def _book_pages(book: Any, names: list[str], path: Path, source_id: str) -> Iterator[Page]:
    seen = False
    number = 0
    formats = Formats(path)
    try:
        for name in names:
            rows, unsaved = _sheet_rows(book, name, path.name, formats)
            seen = seen or any(any(row) for row in rows)
            note = f"formulas without a stored value: {unsaved}; open and save the workbook"
            for at in range(0, max(1, len(rows)), MAX_ROWS):
                number += 1
                yield Page(
                    source_id, number, lay_out(rows[at : at + MAX_ROWS]), how="sheet",
                    printed_number=name, notes=(note,) if unsaved and not at else (),
                )  # fmt: skip
    finally:
        formats.close()
    if not seen:
        raise EmptySourceError("all its sheets are blank", where=path.name)


def _sheet_rows(book: Any, name: str, where: str, formats: Formats) -> tuple[list[list[str]], int]:
    """Cells of a sheet as shown, and the number of formulas without a stored value."""
    try:
        sheet = book.get_sheet_by_name(name)
        if sheet.total_height * sheet.total_width > MAX_CELLS:
            raise OversizeSourceError(
                f"sheet {name!r} spans more than {MAX_CELLS:,} cells",
                where=where,
                do="save the part that matters as CSV",
            )
        values = sheet.to_python(skip_empty_area=False)
    except OversizeSourceError:
        raise
    except Exception as error:
        raise DamagedSourceError(
            f"sheet {name!r} cannot be read ({type(error).__name__})",
            where=where,
            do="save it again, or as CSV",
        ) from None
    shown, formulas = formats.of_sheet(name)
    unsaved = 0
    rows = []
    for i, row in enumerate(values):
        cells = []
        for j, value in enumerate(row):
            if (i, j) in formulas and (value is None or value == ""):
                unsaved += 1
                cells.append(UNSAVED)
            else:
                cells.append(_cell(value, shown.get((i, j), "")))
        rows.append(cells)
    return rows, unsaved


def _cell(value: object, number_format: str = "") -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return show_number(float(value), number_format)
    if isinstance(value, datetime.datetime) and value.time() == datetime.time():
        return value.date().isoformat()
    if isinstance(value, datetime.date | datetime.time):
        return value.isoformat()
    return str(value)
