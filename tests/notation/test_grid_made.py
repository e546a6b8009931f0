"""Tables made at random in the ways they were typed, and read back cell by cell."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from reconcile.notation.grid import find_grids

LABELS = (
    "Take-off", "Take-off to 1,000 ft.", "Climb", "Climbing (1 hr. limit)", "Rich continuous",
    "Weak continuous", "Combat (5 mins.)", "Max. cruise", "Idling", "Dauerleistung", "Взлётный",
)  # fmt: skip
Column = tuple[str, str, Callable[[random.Random], str]]
COLUMNS: tuple[Column, ...] = (
    ("R.p.m.", "", lambda r: f"{r.randrange(1500, 3200, 50):,}"),
    ("Boost", "lb./sq.in.", lambda r: f"+{r.randint(0, 18)}"),
    ("Boost", "lb.", lambda r: f"+ {r.randint(0, 18)}"),
    ("Oil", "°C.", lambda r: str(r.randint(60, 120))),
    ("Manifold pressure", "in. Hg.", lambda r: f"{r.uniform(25, 50):.1f}"),
    ("Time limit", "mins.", lambda r: r.choice(["5", "60", "No limit", "5 mins."])),
    ("Ladedruck", "ata", lambda r: f"1,{r.randint(10, 50)}"),
    ("Oil pressure", "lb./sq.in.", lambda r: f"{r.randint(40, 80)}-{r.randint(81, 110)}"),
    ("I.A.S.", "m.p.h.", lambda r: f"{r.randint(100, 300)} m.p.h."),
    ("Fuel", "gals./hr.", lambda r: f"{r.randint(20, 99)}½"),
)
Cell = tuple[tuple[str, ...], tuple[str, ...], str]


def aligned(text: str, width: int, how: str) -> str:
    """Text in a column, flush left, flush right or centred."""
    return {"l": text.ljust, "r": text.rjust, "c": text.center}[how](width)


def make_table(rng: random.Random) -> tuple[str, set[Cell]]:
    """A table and its cells as (row headings, column headings, cell)."""
    columns = rng.sample(COLUMNS, rng.randint(1, 6))
    labels = rng.sample(LABELS, rng.randint(2, 7))
    body = []
    for number, _ in enumerate(labels):
        row = [make(rng) for _, _, make in columns]
        for i in range(len(row)):
            if number and rng.random() < 0.06:
                row[i] = rng.choice(["do.", ",,", '"'])
            elif rng.random() < 0.08:
                row[i] = rng.choice(["-", "—", ""])
        if not any(any(c.isdigit() for c in cell) for cell in row):
            row[0] = "5"
        body.append(row)
    if rng.random() < 0.4 and any(unit for _, unit, _ in columns):
        decks = [[name for name, _, _ in columns], [unit for _, unit, _ in columns]]
    else:
        decks = [[f"{name}, {unit}".rstrip(", ") for name, unit, _ in columns]]
    width = [max(len(row[i]) for row in (*decks, *body)) for i in range(len(columns))]
    gap = rng.choice([2, 2, 3, 4, 6])
    stub = rng.choice(["", "", "Condition", "Rating"])
    first = max(map(len, (*labels, stub)))
    how = rng.choice("lllrc")
    how_heads = how if rng.random() < 0.6 else rng.choice("lrc")
    span: tuple[int, str] | None = None
    if len(columns) >= 3 and rng.random() < 0.4:
        at = rng.randrange(len(columns) - 1)
        span = at, rng.choice(["Low gear M.S.", "Temperatures", "Moderate supercharge, normal"])
        width[at + 1] += max(0, len(span[1]) + 2 - width[at] - gap - width[at + 1])

    def line(label: str, cells: list[str], how: str) -> str:
        parts = [aligned(cell, w, how) for cell, w in zip(cells, width)]
        return (label.ljust(first) + " " * gap + (" " * gap).join(parts)).rstrip()

    out = ["ENGINE LIMITATIONS"] if rng.random() < 0.5 else []
    if span:
        at, words = span
        before = first + gap + sum(w + gap for w in width[:at])
        both = width[at] + gap + width[at + 1]
        # A printer's brace of dashes, so that a short heading plainly covers both columns.
        out.append(" " * before + f" {words} ".center(both, "-") if rng.random() < 0.5
                   else " " * before + words.center(both))  # fmt: skip
        if len(words) < width[at] + gap + 2 and "-" not in out[-1]:
            out.pop()
            span = None
    out += [line("" if n else stub, deck, how_heads) for n, deck in enumerate(decks)]
    if rng.random() < 0.2:
        out.append("-" * len(out[-1]))
    leaders = rng.random() < 0.15
    apart = "\n\n" if rng.random() < 0.15 else "\n"
    rows = []
    cells: set[Cell] = set()
    for label, row in zip(labels, body):
        dotted = (label + " ").ljust(first, ".") if first - len(label) > 2 else label
        rows.append(line(dotted if leaders and row[0] else label, row, how))
        for i, cell in enumerate(row):
            if cell not in ("", "-", "—"):
                heads = [deck[i] for deck in decks if deck[i]]
                if span and i in (span[0], span[0] + 1):
                    heads.insert(0, span[1])
                cells.add((((stub,) if stub else ()) + (label,), tuple(heads), cell))
    return "\n".join([*out, apart.join(rows)]), cells


def read_table(text: str) -> set[Cell]:
    """Cells of all grids in `text`, labels aside."""

    def words(spans: tuple[tuple[int, int], ...]) -> tuple[str, ...]:
        return tuple(text[a:b].strip("- ") for a, b in spans)

    return {
        (words(c.row), words(c.column), text[c.span[0] : c.span[1]])
        for grid in find_grids(text)
        for c in grid.cells
    }


@pytest.mark.parametrize("seed", range(12))
def test_made_tables_are_read_back(seed: int) -> None:
    """Each cell of fifty made tables is found under just the headings it was typed under."""
    rng = random.Random(seed)
    for _ in range(50):
        text, cells = make_table(rng)
        assert read_table(text) == cells, "\n" + text
