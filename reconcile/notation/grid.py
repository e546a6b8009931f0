"""Limit tables inside a text: cells as spans, with the headings that govern them.

A table of limits in print is a grid of short cells: set in fixed-width columns, ruled
with bars, typed with leader dots, or lettered "(a) ... (b) ...". `find_grids` finds them
and says for each cell which words head its row and its column; what the words and
numbers mean is for others to read. Spans are offsets into the text, so that nothing
is copied or altered here.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

from reconcile.notation.grid_blocks import find_blocks
from reconcile.notation.grid_lists import adopt_columns
from reconcile.notation.grid_records import Grid, GridCell

__all__ = ["Grid", "GridCell", "find_grids", "locate"]


def find_grids(text: str) -> list[Grid]:
    """Find the limit tables in `text`.

    Parameters
    ----------
    text : str
        Text that keeps its layout: columns apart by two or more blanks, tabs, leader
        dots or bars. Wide characters count one column, as they are typed.

    Returns
    -------
    grids : list of Grid, in text order; none overlap, except that a figure standing in
        two tables set side by side belongs to the one whose columns it is in

    Notes
    -----
    Time is linear in the length of the text. Plain prose gives no grid.

    Examples
    --------
    >>> text = '''            R.p.m.  Boost
    ... Take-off    3,000   +12
    ... Climb       2,850   +9'''
    >>> [grid] = find_grids(text)
    >>> for cell in grid.cells[:2]:
    ...     print([text[a:b] for a, b in (*cell.row, *cell.column, cell.span)])
    ['Take-off', 'R.p.m.', '3,000']
    ['Take-off', 'Boost', '+12']
    """
    return [adopt_columns(text, grid) for grid in find_blocks(text)]


def locate(grids: Sequence[Grid], offset: int) -> tuple[Grid, GridCell | None] | None:
    """Which grid and cell an offset falls in.

    Parameters
    ----------
    grids : sequence of Grid, as `find_grids` gave them
    offset : int

    Returns
    -------
    (grid, cell) where cell is None outside all cells; None outside all grids
    """
    last = bisect_right(grids, offset, key=lambda grid: grid.span[0])
    inside = None
    for grid in reversed(grids[max(0, last - 4) : last]):  # side-by-side grids share lines
        if grid.span[0] <= offset < grid.span[1]:
            cell = grid.cell_at(offset)
            if cell is not None:
                return grid, cell
            inside = inside or (grid, None)
    return inside
