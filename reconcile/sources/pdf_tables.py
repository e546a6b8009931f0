"""Ruled tables of a PDF page: the words of each cell, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain

from reconcile.sources.pdf_frame import PdfWord
from reconcile.sources.pdf_layout import RuledRow, RuledTable
from reconcile.sources.pdf_lines import TextLine, cluster_lines, group_lines
from reconcile.sources.pdf_rules import Cells

MAX_WORDS = 80
"""A cell with more words than this is a framed page, not a table."""


def fill_tables(
    tables: Sequence[Cells], words: Sequence[PdfWord]
) -> tuple[list[RuledTable], list[PdfWord]]:
    """Put words into the cells of ruled tables.

    Parameters
    ----------
    tables : sequence of Cells, from `reconcile.sources.pdf_rules.find_cells`
    words : sequence of PdfWord

    Returns
    -------
    tables, rest : the tables that hold words, and the words outside them
    """
    filled: list[RuledTable] = []
    rest = list(words)
    for cells in tables:
        table, rest = _fill(cells, rest)
        if table is not None:
            filled.append(table)
    return filled, rest


def _fill(cells: Cells, words: list[PdfWord]) -> tuple[RuledTable | None, list[PdfWord]]:
    boxes = [box for row in cells for box in row if box]
    left, right = min(b[0] for b in boxes), max(b[2] for b in boxes)
    top, bottom = min(b[1] for b in boxes), max(b[3] for b in boxes)
    places = [[(box, []) for box in row] for row in cells]  # type: ignore[var-annotated]
    rest: list[PdfWord] = []
    inside = 0
    for word in words:
        x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
        home: list[PdfWord] = rest
        if left <= x <= right and top <= y <= bottom:
            home = next(
                (held for row in places for box, held in row
                 if box and box[0] <= x <= box[2] and box[1] <= y <= box[3]),
                rest,
            )  # fmt: skip
            inside += home is not rest
        home.append(word)
    if not inside or any(len(held) > MAX_WORDS for row in places for _, held in row):
        return None, words
    rows = [line for row in places for line in _lines_of([held for _, held in row])]
    rows = [row for row in rows if any(row.cells)]
    if len(rows) < 2 and not any(map(_has_digit, chain.from_iterable(rows[0].cells))):
        return None, words  # a box round the headings of a table without rules
    return RuledTable(rows, top, bottom), rest


def _lines_of(cells: list[list[PdfWord]]) -> list[RuledRow]:
    """Text lines of one ruled row: several where figures stand under each other in it."""
    lined = [group_lines(cell) for cell in cells]
    if max((len(lines) for lines in lined), default=0) < 2:
        return [RuledRow([_flat(lines) for lines in lined])]
    levels = cluster_lines([word for lines in lined for word in _flat(lines)])
    ids = [{id(word) for word in level.words} for level in levels]
    figured = sum(
        sum(any(id(w) in level and _has_digit(w) for w in _flat(lines)) for lines in lined[1:])
        >= min(2, max(1, len(lined) - 1))
        for level in ids
    )
    if figured < 2:
        return [RuledRow([_flat(lines) for lines in lined])]
    rows = [RuledRow([[w for w in _flat(lines) if id(w) in level] for lines in lined])
            for level in ids]  # fmt: skip
    if rows[0].cells[0] and not any(rows[0].cells[1:]):  # a heading over the lines below it
        for row in rows[1:]:
            row.under = True
    return rows


def _has_digit(word: PdfWord) -> bool:
    return any(char.isdigit() for char in word.text)


def _flat(lines: Sequence[TextLine]) -> list[PdfWord]:
    return [word for line in lines for word in line.words]
