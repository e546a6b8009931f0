"""What a table found in a text is: cells as spans, under headings as spans."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass, field

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class GridCell:
    """One filled cell."""

    span: Span
    row: tuple[Span, ...]
    """Headings of its row, outermost first: stub head, group, label, sub-label."""
    column: tuple[Span, ...]
    """Headings of its column, outermost deck first."""
    ditto: bool = False
    """The cell only repeats the one above; see `Grid.above`."""
    note: str = ""
    """Note marks on the cell, its row or its column ("*", "†"), blank between several."""
    at: tuple[int, int] = (0, 0)
    """Row and column number in the grid, from 0; column 0 is that of the row labels."""


@dataclass(frozen=True, slots=True)
class Grid:
    """One table; `cells` in reading order."""

    span: Span
    cells: tuple[GridCell, ...]
    caption: Span | None = None
    notes: dict[str, Span] = field(default_factory=dict)
    """Explanation under the table by its mark."""
    headings: tuple[Span, ...] = ()
    """All spans that serve as headings or row labels, ascending."""

    def above(self, cell: GridCell) -> GridCell | None:
        """The nearest cell above `cell` in its column that is not itself a ditto mark."""
        for i in range(bisect_left(self.cells, cell.span, key=_span) - 1, -1, -1):
            other = self.cells[i]
            if other.at[1] == cell.at[1] and not other.ditto:
                return other
        return None

    def row_cells(self, cell: GridCell) -> tuple[GridCell, ...]:
        """All cells of the row `cell` stands in, itself included."""
        here = bisect_left(self.cells, cell.span, key=_span)
        lo = hi = here
        while lo > 0 and self.cells[lo - 1].at[0] == cell.at[0]:
            lo -= 1
        while hi < len(self.cells) and self.cells[hi].at[0] == cell.at[0]:
            hi += 1
        return self.cells[lo:hi]

    def cell_at(self, offset: int) -> GridCell | None:
        """The cell that `offset` falls in, or None."""
        i = bisect_right(self.cells, offset, key=_start) - 1
        if i >= 0 and offset < self.cells[i].span[1]:
            return self.cells[i]
        return None


def _span(cell: GridCell) -> Span:
    return cell.span


def _start(cell: GridCell) -> int:
    return cell.span[0]
