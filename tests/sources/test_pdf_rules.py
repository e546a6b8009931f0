"""Rules and cells from pdfium's paths, held against pdfplumber's."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pdfplumber
import pypdfium2
import pytest

from reconcile.records import Box
from reconcile.sources.pdf_frame import PageFrame
from reconcile.sources.pdf_rules import Rule, find_cells, page_rules

XS = [40, 140, 200, 260, 330]
YS = [540, 520, 500, 480, 460, 440]


def lines(paper: Any) -> None:
    """Separate lines."""
    for y in YS:
        paper.line(XS[0], y, XS[-1], y)
    for x in XS:
        paper.line(x, YS[0], x, YS[-1])


def boxes(paper: Any) -> None:
    """A stroked box for every cell."""
    for x0, x1 in pairwise(XS):
        for y0, y1 in pairwise(YS):
            paper.rect(x0, y1, x1 - x0, y0 - y1)


def thin_boxes(paper: Any) -> None:
    """Rules as thin filled boxes, the way word processors draw them."""
    for y in YS:
        paper.rect(XS[0], y, XS[-1] - XS[0], 0.5, stroke=0, fill=1)
    for x in XS:
        paper.rect(x, YS[-1], 0.5, YS[0] - YS[-1], stroke=0, fill=1)


def one_path(paper: Any) -> None:
    """The whole table as one path."""
    path = paper.beginPath()
    for y in YS:
        path.moveTo(XS[0], y)
        path.lineTo(XS[-1], y)
    for x in XS:
        path.moveTo(x, YS[0])
        path.lineTo(x, YS[-1])
    paper.drawPath(path)


def placed(paper: Any) -> None:
    """Drawn in other coordinates and then placed."""
    paper.saveState()
    paper.translate(20, -30)
    paper.scale(1.2, 0.8)
    lines(paper)
    paper.restoreState()


def in_a_form(paper: Any) -> None:
    """Drawn as a form that the page calls up elsewhere."""
    paper.beginForm("table")
    lines(paper)
    paper.endForm()
    paper.saveState()
    paper.translate(15, 10)
    paper.doForm("table")
    paper.restoreState()


def broken_rules(paper: Any) -> None:
    """Rules in pieces that nearly touch."""
    for y in YS:
        for x0, x1 in pairwise(XS):
            paper.line(x0 + 0.7, y, x1 - 0.7, y)
    for x in XS:
        for y0, y1 in pairwise(YS):
            paper.line(x, y0 - 0.7, x, y1 + 0.7)


def two_tables(paper: Any) -> None:
    """Two tables apart from each other, and a rule under a heading."""
    paper.line(40, 580, 200, 580)
    paper.grid(XS[:3], YS[:3])
    paper.grid(XS, [y - 150 for y in YS])


def spans(paper: Any) -> None:
    """A heading over two columns, and a label over two rows."""
    for y in (540, 500, 460):
        paper.line(40, y, 260, y)
    paper.line(140, 520, 260, 520)
    paper.line(140, 480, 260, 480)
    for x in (40, 140, 260):
        paper.line(x, 540, x, 460)
    paper.line(200, 520, 200, 460)


KINDS = [lines, boxes, thin_boxes, one_path, placed, in_a_form, broken_rules, two_tables, spans]


def our_cells(path: Path) -> list[Box]:
    """Boxes of all cells this package finds on the first page."""
    document = pypdfium2.PdfDocument(path)
    page = document[0]
    tables = find_cells(*page_rules(page, PageFrame(page)))
    page.close()
    document.close()
    return sorted(box for table in tables for row in table for box in row if box)


@pytest.mark.parametrize("kind", KINDS, ids=[k.__name__ for k in KINDS])
def test_cells_agree_with_pdfplumber(
    make_pdf: Callable[..., Path], kind: Callable[[Any], None]
) -> None:
    """However the rules are drawn, both find the same cells at the same places."""
    path = make_pdf(kind)
    with pdfplumber.open(path) as pdf:
        tables = pdf.pages[0].find_tables()
        theirs = sorted(tuple(cell) for table in tables for cell in table.cells)
    ours = our_cells(path)
    assert len(ours) == len(theirs) > 0
    for mine, their in zip(ours, theirs):
        assert mine == pytest.approx(their, abs=1.0)


def test_turned_page(make_pdf: Callable[..., Path], tmp_path: Path) -> None:
    """On a turned page the cells are those of the page as shown."""
    import pypdf

    writer = pypdf.PdfWriter(clone_from=make_pdf(lines))
    writer.pages[0].rotate(90)
    path = tmp_path / "turned.pdf"
    writer.write(path)
    cells = our_cells(path)
    assert len(cells) == 20
    left, top = min(c[0] for c in cells), min(c[1] for c in cells)
    assert (left, top) == pytest.approx((440, 40), abs=1)  # its lower left corner is on top


@pytest.mark.parametrize(
    "draw_it",
    [
        lambda paper: paper.rect(20, 20, 380, 555),
        lambda paper: [paper.line(40, y, 300, y) for y in YS],
        lambda paper: paper.circle(200, 300, 80),
        lambda paper: [paper.line(40, 40 + n, 300, 90 + 2 * n) for n in range(5)],
        lambda paper: None,
    ],
    ids=["frame", "level only", "circle", "slanting", "empty"],
)
def test_what_is_no_table(make_pdf: Callable[..., Path], draw_it: Callable[[Any], Any]) -> None:
    """A frame round the page, lone rules and drawings make no table."""
    assert our_cells(make_pdf(draw_it)) == []


def test_invisible_path_is_no_rule(make_pdf: Callable[..., Path]) -> None:
    """A path neither stroked nor filled is not seen by a reader, nor here."""

    def page(paper: Any) -> None:
        for x in XS[:-1]:
            paper.rect(x, 440, 60, 100, stroke=0, fill=0)

    assert our_cells(make_pdf(page)) == []


def test_open_sides() -> None:
    """Level rules reaching past the outer uprights leave columns open, which are closed."""
    level = [Rule(y, 40, 300) for y in (10.0, 30.0, 50.0)]
    [rows] = find_cells(level, [Rule(120, 10, 50), Rule(200, 10, 50)])
    assert rows[0] == [(40, 10, 120, 30), (120, 10, 200, 30), (200, 10, 300, 30)]


def test_drawing_with_many_paths_is_left_alone(
    make_pdf: Callable[..., Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A page with more paths than any table needs is not searched for cells."""
    monkeypatch.setattr("reconcile.sources.pdf_rules.MAX_RULES", 3)
    assert our_cells(make_pdf(lines)) == []


def test_net_of_a_graph_is_no_table() -> None:
    """Squared paper behind a curve is left alone."""

    def net(count: int) -> list[Rule]:
        return [Rule(5.0 * n, 0, 5.0 * (count - 1)) for n in range(count)]

    assert find_cells(net(100), net(100)) == []
    [rows] = find_cells(net(20), net(20))
    assert [len(row) for row in rows] == [19] * 19
