"""Places of figures on the page: line, box and headings, against the paper itself."""

from __future__ import annotations

import re
from functools import cache

import pypdfium2
import pytest

from reconcile.pages import read_page
from reconcile.records import Figure, Page
from reconcile.reference import tables_dir
from reconcile.sources import read_source

HANDBOOK = tables_dir() / "demo" / "sources" / "handbook-first-edition.pdf"
SLACK = 1.0
"""How far a box may stand off its words [pt]."""


@cache
def pages() -> list[tuple[Page, tuple[Figure, ...]]]:
    """Every page of the demo's handbook with its figures."""
    _, found = read_source(HANDBOOK, tradition="british")
    return [(page, read_page(page, tradition="british").figures) for page in found]


def _plain(text: str) -> str:
    return re.sub(r"\s+", "", text)


def test_boxes_lie_on_their_figures() -> None:
    """What the PDF itself has inside a figure's box is the figure, and hardly more."""
    document = pypdfium2.PdfDocument(HANDBOOK)
    try:
        for page, figures in pages():
            sheet = document[page.number - 1]
            text = sheet.get_textpage()
            height = sheet.get_height()
            for figure in figures:
                box = figure.place.box
                assert box is not None, figure.as_written
                left, top, right, bottom = box
                inside = text.get_text_bounded(
                    left - SLACK, height - bottom - SLACK, right + SLACK, height - top + SLACK
                )
                if "\n" not in figure.as_written:
                    assert _plain(figure.as_written) in _plain(inside)
                    assert len(_plain(inside)) <= len(_plain(figure.as_written)) + 6
                else:
                    assert all(part in inside for part in figure.as_written.split())
            text.close()
            sheet.close()
    finally:
        document.close()


def test_boxes_keep_apart() -> None:
    """No two figures of a page share a box; figures of one table row stand side by side."""
    for _, figures in pages():
        boxes = [f.place.box for f in figures if "\n" not in f.as_written]
        assert len(set(boxes)) == len(boxes)


def test_spans_and_lines_are_those_of_the_page_text() -> None:
    """A figure's span cuts its text out of the page, on the line that is named."""
    for page, figures in pages():
        lines = page.text.split("\n")
        for figure in figures:
            start, end = figure.place.span or (0, 0)
            assert page.text[start:end] == figure.as_written
            first = figure.as_written.split("\n")[0]
            assert first in lines[(figure.place.line or 0) - 1]


@pytest.mark.parametrize(
    ("number", "written", "row", "column"),
    [
        (6, "+12", "Combat", "Boost lb./sq. in."),
        (6, "95", "Combat", "Temp. °C. / Oil"),
        (14, "27.82", "2,000", "Pressure / in. Hg"),
        (12, "79", "30,000", "Flaps down / 25°"),
    ],
)
def test_headings_are_part_of_the_place(number: int, written: str, row: str, column: str) -> None:
    """A figure in a table knows the headings of its row and column."""
    figures = [f for page, figures in pages() if page.number == number for f in figures]
    places = [f.place for f in figures if f.as_written == written]
    assert any(row in p.row and " / ".join(p.column) == column for p in places)
