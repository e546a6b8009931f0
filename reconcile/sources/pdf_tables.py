"""Ruled tables of a PDF page: cells by pdfplumber, their words by place."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any, BinaryIO

from reconcile.sources.pdf_layout import RuledRow, RuledTable, group_lines
from reconcile.sources.pdf_words import PdfWord

if TYPE_CHECKING:
    import pypdfium2

THIN = 3.0
"""A drawn box thinner than this [pt] is a rule."""
LONG = 12.0
"""... if it is longer than this [pt]."""


def has_rules(page: pypdfium2.PdfPage) -> bool:
    """True if the page holds both upright and level rules, so that it may hold a ruled table.

    Costs a fraction of a millisecond, so that pages without rules never see pdfplumber.
    """
    import pypdfium2.raw as raw

    level = upright = 0
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=4):
        try:
            left, low, right, high = item.get_bounds()
        except Exception:  # pdfium has no bounds for an empty path
            continue
        wide, tall = right - left, high - low
        if tall < THIN:
            level += wide > LONG
        elif wide < THIN:
            upright += tall > LONG / 2
        elif wide > LONG and tall > LONG / 2:
            level += 2
            upright += 2
        if level >= 2 and upright >= 1:
            return True
    return False


class RuledTables:
    """pdfplumber kept open over one file; opened at the first page that needs it."""

    def __init__(self, path: str) -> None:
        self._path = path
        self._pdf: Any = None
        self._stream: BinaryIO | None = None
        self.broken = False

    def on_page(
        self, index: int, words: Sequence[PdfWord]
    ) -> tuple[list[RuledTable], list[PdfWord]]:
        """Tables of page `index` (from 0), and the words outside them."""
        if self.broken:
            return [], list(words)
        try:
            found = self._find(index)
        except Exception:  # pdfminer stumbles over files that pdfium reads
            self.broken = True
            self.close()
            return [], list(words)
        tables: list[RuledTable] = []
        rest = list(words)
        for rows in found:
            table, rest = _fill(rows, rest)
            if table is not None:
                tables.append(table)
        return tables, rest

    def _find(self, index: int) -> list[list[list[tuple[float, ...] | None]]]:
        if self._pdf is None:
            import pdfplumber

            logging.getLogger("pdfminer").setLevel(logging.ERROR)
            # Our own stream: pdfplumber does not close its own when a file is faulty.
            self._stream = open(self._path, "rb")  # noqa: SIM115
            self._pdf = pdfplumber.open(self._stream)
        page = self._pdf.pages[index]
        try:
            found = []
            for settings in ({}, _open_sides(page)):
                if settings is None:
                    continue
                tables = page.find_tables(settings)
                found = [[list(row.cells) for row in table.rows] for table in tables]
            x0, top = page.bbox[0], page.bbox[1]
            return [
                [
                    [c and (c[0] - x0, c[1] - top, c[2] - x0, c[3] - top) for c in cells]
                    for cells in rows
                ]
                for rows in found
            ]
        finally:
            page.close()

    def close(self) -> None:
        """Let the file go."""
        if self._pdf is not None:
            with suppress(Exception):  # it walks the pages once more, faulty ones too
                self._pdf.close()
            self._pdf = None
        if self._stream is not None:
            self._stream.close()
            self._stream = None


def _open_sides(page: Any) -> dict[str, Any] | None:
    """Settings that close a table whose outer sides were left without rules."""
    level = [e for e in page.edges if e["orientation"] == "h" and e["x1"] - e["x0"] > LONG]
    upright = [e for e in page.edges if e["orientation"] == "v"]
    if not level or not upright:
        return None
    x0, x1 = min(e["x0"] for e in level), max(e["x1"] for e in level)
    added = []
    for x in (x0, x1):
        if all(abs(e["x0"] - x) > THIN for e in upright):
            added.append(x)
    return {"explicit_vertical_lines": added} if added else None


def _fill(
    rows: list[list[tuple[float, ...] | None]], words: list[PdfWord]
) -> tuple[RuledTable | None, list[PdfWord]]:
    """A table with its words put into its cells, and the words left over."""
    boxes = [cell for row in rows for cell in row if cell]
    columns = max((sum(cell is not None for cell in row) for row in rows), default=0)
    if columns < 2:
        return None, words
    left, top = min(b[0] for b in boxes), min(b[1] for b in boxes)
    right, bottom = max(b[2] for b in boxes), max(b[3] for b in boxes)
    inside: list[PdfWord] = []
    rest: list[PdfWord] = []
    for word in words:
        x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
        (inside if left <= x <= right and top <= y <= bottom else rest).append(word)
    if not inside:
        return None, words
    out: list[RuledRow] = []
    lost: list[PdfWord] = []
    taken: set[int] = set()
    for row in rows:
        cells: list[list[PdfWord]] = []
        for box in row:
            cell: list[PdfWord] = []
            if box:
                for n, word in enumerate(inside):
                    x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
                    if n not in taken and box[0] <= x <= box[2] and box[1] <= y <= box[3]:
                        taken.add(n)
                        cell.append(word)
            cells.append(cell)
        out.extend(_lines_of(cells))
    lost = [word for n, word in enumerate(inside) if n not in taken]
    if len(lost) > len(taken):
        return None, words
    return RuledTable(out, top, bottom), rest + lost


def _lines_of(cells: list[list[PdfWord]]) -> list[RuledRow]:
    """Text lines of one ruled row: several where figures stand under each other in it."""
    lined = [group_lines(cell) for cell in cells]
    if max((len(lines) for lines in lined), default=0) < 2:
        return [RuledRow([_flat(lines) for lines in lined])]
    levels = group_lines([word for cell in cells for word in cell])
    figured = 0
    for level in levels:
        ids = {id(word) for word in level.words}
        figured += sum(
            any(
                id(w) in ids and any(c.isdigit() for c in w.text)
                for line in lines
                for w in line.words
            )
            for lines in lined[1:]
        ) >= min(2, max(1, len(lined) - 1))
    if figured < 2:
        return [RuledRow([_flat(lines) for lines in lined])]
    rows = []
    for level in levels:
        ids = {id(word) for word in level.words}
        rows.append(
            RuledRow([[w for line in lines for w in line.words if id(w) in ids] for lines in lined])
        )
    return rows


def _flat(lines: Sequence[Any]) -> list[PdfWord]:
    return [word for line in lines for word in line.words]
