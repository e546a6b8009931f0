"""Tables typeset at random, ruled and unruled, and read back cell by cell."""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from reconcile.notation.grid import find_grids
from reconcile.sources import read_source

LABELS = (
    "Take-off", "Take-off to 1,000 ft.", "Climb", "Climbing (1 hr. limit)", "Rich continuous",
    "Weak continuous", "Combat (5 mins.)", "Max. cruise", "Idling",
)  # fmt: skip
COLUMNS: tuple[tuple[str, str, Callable[[random.Random], str]], ...] = (
    ("R.p.m.", "", lambda r: f"{r.randrange(1500, 3200, 50):,}"),
    ("Boost", "lb./sq.in.", lambda r: f"+{r.randint(0, 18)}"),
    ("Oil", "°C.", lambda r: str(r.randint(60, 120))),
    ("Manifold", "in. Hg.", lambda r: f"{r.uniform(25, 50):.1f}"),
    ("Time", "mins.", lambda r: r.choice(["5", "60", "No limit"])),
    ("Oil pressure", "lb./sq.in.", lambda r: f"{r.randint(40, 80)}-{r.randint(81, 110)}"),
    ("Fuel", "gals./hr.", lambda r: f"{r.randint(20, 99)}½"),
)
FONTS = ("Times-Roman", "Helvetica", "Courier")
Cell = tuple[str, tuple[str, ...], str]


class Table:
    """One table to be typeset, and what must be read from it."""

    def __init__(self, rng: random.Random) -> None:
        self.columns = rng.sample(COLUMNS, rng.randint(2, 5))
        self.labels = rng.sample(LABELS, rng.randint(3, 7))
        self.font = rng.choice(FONTS)
        self.size = rng.choice([8, 9, 10]) if self.font != "Courier" else 7
        self.ruled = rng.random() < 0.4
        self.align = rng.choice("lrc")
        self.two_decks = rng.random() < 0.5
        self.gap = rng.choice([1.5, 2.0, 3.0]) * self.size
        self.rows = []
        for _ in self.labels:
            row = [make(rng) if rng.random() > 0.08 else "-" for _, _, make in self.columns]
            self.rows.append(row)
        if self.two_decks:
            self.decks = [[n for n, _, _ in self.columns], [u for _, u, _ in self.columns]]
        else:
            self.decks = [[f"{n}, {u}".rstrip(", ") for n, u, _ in self.columns]]

    def cells(self) -> set[Cell]:
        """(row label, column headings, cell) of each filled cell."""
        return {
            (label, tuple(deck[i] for deck in self.decks if deck[i]), cell)
            for label, row in zip(self.labels, self.rows)
            for i, cell in enumerate(row)
            if cell != "-"
        }

    def draw(self, paper: Any) -> None:
        """Typeset it on a page of prose."""
        paper.setFont(self.font, self.size)
        width = [
            max(paper.stringWidth(text) for text in column)
            for column in zip(*self.decks, *self.rows)
        ]
        first = max(paper.stringWidth(label) for label in self.labels)
        lefts, x = [], 40 + first + self.gap
        for w in width:
            lefts.append(x)
            x += w + self.gap
        step = 1.6 * self.size
        y = 540.0
        paper.drawString(
            40, y, "The limits of the engine are set out in the table that follows here,"
        )
        y -= 2.5 * step
        lines = [("", deck) for deck in self.decks] + list(zip(self.labels, self.rows))
        top = y + 1.1 * self.size
        for label, cells in lines:
            paper.drawString(40, y, label)
            for left, w, cell in zip(lefts, width, cells):
                free = w - paper.stringWidth(cell)
                shift = {"l": 0.0, "r": free, "c": free / 2}[self.align]
                paper.drawString(left + shift, y, cell)
            y -= step
        if self.ruled:
            ys = [top - n * step for n in range(len(lines) + 1)]
            xs = [36, *(left - self.gap / 2 for left in lefts), x]
            paper.grid(xs, ys if len(self.decks) == 1 else [ys[0], *ys[2:]])
        paper.drawString(
            40, y - step, "and the text goes on below it with +6 lb./sq.in. for a line or so."
        )


@pytest.mark.parametrize("seed", range(4))
def test_typeset_tables_are_read_back(make_pdf: Callable[..., Path], seed: int) -> None:
    """Each cell of twenty typeset tables is found under its own headings."""
    rng = random.Random(seed)
    tables = [Table(rng) for _ in range(20)]
    _, pages = read_source(make_pdf(*[table.draw for table in tables]))
    for table, page in zip(tables, pages, strict=True):
        text = page.text
        found = {
            (text[slice(*c.row[-1])], tuple(text[slice(*s)] for s in c.column),
             text[slice(*c.span)])
            for grid in find_grids(text) for c in grid.cells
        }  # fmt: skip
        wanted = table.cells()
        if table.ruled and table.two_decks:  # one ruled cell holds both lines of a heading
            wanted = {(row, (" ".join(heads),), cell) for row, heads, cell in wanted}
        assert found == wanted, f"{vars(table)}\n{text}"
