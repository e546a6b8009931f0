"""Small made-up files for the source tests."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

MakePdf = Callable[..., Path]


@pytest.fixture
def make_pdf(tmp_path: Path) -> MakePdf:
    """Make a PDF: each page a function that draws on a reportlab canvas of `size`."""

    def make(*pages: Callable[[Any], None], name: str = "manual.pdf", **options: Any) -> Path:
        from reportlab.pdfgen import canvas

        path = tmp_path / name
        paper = canvas.Canvas(str(path), pagesize=options.pop("size", (420, 595)), **options)
        for draw in pages:
            paper.setFont("Times-Roman", 10)
            draw(paper)
            paper.showPage()
        paper.save()
        return path

    return make


def draw_prose(paper: Any) -> None:
    """A page of prose with figures."""
    for n, line in enumerate(
        (
            "12. The engine is to be opened up to 2,850 r.p.m. and the boost must not",
            "exceed +6 lb./sq.in. for more than 5 minutes. Oil pressure is 80 lb./sq.in.,",
            "and suction 4½ in. Hg. Coolant is not to exceed 125°C. on the climb.",
        )
    ):
        paper.drawString(40, 540 - 13 * n, line)


ROWS = (
    ("Condition", "R.p.m.", "Boost", "Oil °C."),
    ("Take-off to 1,000 ft.", "3,000", "+12", "-"),
    ("Climbing (1 hr. limit)", "2,850", "+9", "90"),
    ("Weak continuous", "2,650", "+4", "85"),
)
LEFTS = (40, 170, 240, 310)


def draw_unruled(paper: Any, *, right: bool = False) -> None:
    """A table set in type without rules."""
    paper.drawString(40, 540, "ENGINE LIMITATIONS")
    for n, row in enumerate(ROWS):
        for m, (x, cell) in enumerate(zip(LEFTS, row)):
            if right and m and n:
                paper.drawRightString(x + 30, 520 - 14 * n, cell)
            else:
                paper.drawString(x, 520 - 14 * n, cell)


def draw_ruled(paper: Any) -> None:
    """A table with rules round every cell, words above and below."""
    paper.drawString(40, 560, "The limits are these.")
    xs = [36, 160, 230, 300, 370]
    ys = [530 - 18 * n for n in range(len(ROWS) + 1)]
    paper.grid(xs, ys)
    for n, row in enumerate(ROWS):
        for x, cell in zip(xs, row):
            paper.drawString(x + 4, ys[n + 1] + 5, cell)
    paper.drawString(40, 430, "Below the table the text goes on with 60 lb./sq.in.")


@pytest.fixture
def draw() -> SimpleNamespace:
    """The pages drawn above, and the rows in their tables."""
    return SimpleNamespace(prose=draw_prose, unruled=draw_unruled, ruled=draw_ruled, rows=ROWS)
