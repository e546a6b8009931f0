"""What the headings of a table say its cells are measured in.

A column's unit stands in its own headings, or in those of its row, or over the whole
table. How a single heading is read is the subject of `reconcile.limits.decks`.
"""

from __future__ import annotations

from typing import NamedTuple

from reconcile.limits.context import Context, Deck, Spot
from reconcile.limits.decks import (
    can_be,
    deck_of,
    drafts_in,
    free_path,
    innermost,
    measures,
    over_heading,
    read_decks,
    unit_beneath,
)
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.lexicon import Sense

Span = tuple[int, int]
Senses = tuple[Sense, ...]


class Stated(NamedTuple):
    """Units that headings state: one, or one for each number of a cell in turn."""

    units: tuple[Senses, ...]
    where: str
    """ "column", "row" or "table"."""
    times: int = 1
    """What the number is to be multiplied by."""


def stated_units(ctx: Context, k: int) -> Stated | None:
    """Units that the headings over and beside draft `k` state, or None."""
    place = ctx.cell_of[k]
    if place is None:
        outer = over_heading(ctx, ctx.drafts[k])
        beneath = unit_beneath(ctx, ctx.drafts[k])
        if beneath:
            return Stated((beneath,), "column")
        deck = innermost(ctx, read_decks(ctx, outer)) if outer else None
        if deck is not None and len(deck.units) > 1:
            own = [units for units in deck.units if can_be(ctx, ctx.drafts[k].value, units)]
            deck = deck._replace(units=tuple(own[:1])) if len(own) == 1 else deck
        return _by(deck, "column")
    grid, cell = place
    over = own_headings(ctx, grid, cell)
    deck = innermost(ctx, read_decks(ctx, free_path(ctx, ctx.column_path(grid, cell))))
    if deck is not None and deck.units and _agrees(ctx, over, deck):
        return _by(deck, "column")
    if not cell.at[1]:
        return None  # a row's number goes by the heading of the rows alone
    labelled = label_heads(ctx, grid)
    deck = innermost(ctx, read_decks(ctx, tuple(span for span in cell.row if span not in labelled)))
    if deck is not None and (_agrees(ctx, cell.row, deck) or _agrees(ctx, over, deck)):
        return _by(deck, "row")
    for title in (grid.caption, *_titles(ctx, grid, cell)):
        if title is None:
            continue
        found = deck_of(ctx, (title,)).units
        if len(found) > 1 and len(found) == len(figures_in(ctx, k, cell)):
            return Stated(found, "table")  # "in. Hg / rpm" over "46/2500"
        if len(found) == 1 and _suits(ctx, grid, cell, found[0]):
            return Stated(found, "table")
    return None


def figures_in(ctx: Context, k: int, cell: GridCell) -> range:
    """Indices of the drafts that stand in the cell of draft `k`."""
    first = last = k
    while first and ctx.drafts[first - 1].start >= cell.span[0]:
        first -= 1
    while last + 1 < len(ctx.drafts) and ctx.drafts[last + 1].start < cell.span[1]:
        last += 1
    return range(first, last + 1)


def column_subjects(ctx: Context, k: int) -> frozenset[str]:
    """Subjects that the headings over draft `k`'s cell name."""
    place = ctx.cell_of[k]
    if place is None:
        return frozenset()
    spans = own_headings(ctx, *place)
    return frozenset(spot.value for span in spans for spot in _named_in(ctx, span))


def _named_in(ctx: Context, span: Span) -> list[Spot]:
    """What a heading names outright, and not only as part of a rating's name."""
    subjects = ctx.spots_in("subject", span)
    if not subjects:
        return subjects
    ratings = [s for s in ctx.spots_in("condition", span) if s.group in {"rating", "phase"}]
    return [
        spot
        for spot in subjects
        if not spot.group and not any(r.i <= spot.i < r.j for r in ratings)
    ]


def paired_subject(ctx: Context, k: int) -> str:
    """What the heading names for draft `k` alone: "R.p.m. / Boost" over "3,000 / +12"."""
    place = ctx.cell_of[k]
    if place is None:
        return ""
    grid, cell = place
    figures = figures_in(ctx, k, cell)
    if len(figures) < 2 or not (own := own_headings(ctx, grid, cell)):
        return ""
    named = [spot.value for spot in ctx.spots_in("subject", own[-1]) if not spot.group]
    return named[k - figures[0]] if len(named) == len(figures) else ""


def _agrees(ctx: Context, own: tuple[Span, ...], deck: Deck) -> bool:
    """Whether what a column is headed can come in the units found for it.

    "Boost" under "Low gear (M)" is not in metres.
    """
    kinds = {sense.kind for senses in deck.units for sense in senses}
    named = [span for span in own if _named_in(ctx, span)]
    return not named or any(measures(ctx, span, kinds) for span in named)


def _titles(ctx: Context, grid: Grid, cell: GridCell) -> list[Span]:
    """Words in a first line that was taken for a row, though it only heads the others.

    It holds no figure, or such only as bring their own units.
    """
    if not grid.cells or cell.at[0] == grid.cells[0].at[0]:
        return []
    first = grid.row_cells(grid.cells[0])
    figures = [ctx.drafts[m] for c in first for m in drafts_in(ctx, c.span)]
    if not figures:
        return [c.span for c in first]
    if all(draft.senses for draft in figures) and first[0].row:
        return [first[0].row[-1]]
    return []


def unit_of(ctx: Context, k: int, stated: Stated) -> Senses:
    """Of the units a heading states, that of draft `k`: the second number takes the second."""
    units = stated.units
    place = ctx.cell_of[k]
    if len(units) == 1 or place is None:
        return units[0]
    return units[min(k - figures_in(ctx, k, place[1])[0], len(units) - 1)]


def own_headings(ctx: Context, grid: Grid, cell: GridCell) -> tuple[Span, ...]:
    """Column headings of a cell, without those that only say what a number under them is.

    Of "30,000" under "Weight, lb." neither measures the cell: both say when it holds.
    """
    path = ctx.column_path(grid, cell)
    found: tuple[Span, ...] | None = ctx.memo.get(("own", path))
    if found is None:
        found = ctx.memo["own", path] = _own_headings(ctx, path)
    return found


def _own_headings(ctx: Context, path: tuple[Span, ...]) -> tuple[Span, ...]:
    kept: list[Span] = []
    owed = False
    for span in reversed(free_path(ctx, path)):
        deck = deck_of(ctx, (span,))
        if deck.bare:
            owed = True
        elif not owed:
            kept.append(span)
        elif deck.units or ctx.spots_in("subject", span):
            owed = False
    return tuple(reversed(kept))


def _by(deck: Deck | None, where: str) -> Stated | None:
    return None if deck is None else Stated(deck.units, where, deck.times)


def label_heads(ctx: Context, grid: Grid) -> frozenset[Span]:
    """Headings over the row labels, where those are numbers: their unit is the labels' own."""
    key = ("label heads", id(grid))
    found: frozenset[Span] | None = ctx.memo.get(key)
    if found is None:
        found = frozenset(span for cell in grid.cells if cell.at[1] == 0 for span in cell.column)
        ctx.memo[key] = found
    return found


def _suits(ctx: Context, grid: Grid, cell: GridCell, senses: Senses) -> bool:
    """Whether a unit over the whole table can be a cell's: no heading speaks against it."""
    kinds = {sense.kind for sense in senses}
    caption = grid.caption or (0, 0)
    generic = any(s.value in kinds for s in ctx.spots_in("generic", caption))
    if generic or measures(ctx, caption, kinds):
        return True
    for span in (*reversed(own_headings(ctx, grid, cell)), *reversed(cell.row)):
        if ctx.spots_in("subject", span):
            return measures(ctx, span, kinds)
    return True
