"""Tables that go on over the page: the headings they had there, set in again."""

from __future__ import annotations

from typing import NamedTuple

from reconcile.notation.grid import find_grids
from reconcile.notation.grid_lines import is_continued, is_page_number
from reconcile.notation.grid_records import Grid

MAX_FOOT = 4
"""So many lines may follow a table that is broken at the foot of a page."""
MAX_HEAD = 5
"""So many lines may stand above its continuation: running heads, "continued"."""


class Carried(NamedTuple):
    """A page's text with the headings of the page before set in; `size` 0 where none are."""

    text: str
    at: int
    size: int

    def back(self, offset: int) -> int | None:
        """Offset in the page's own text, or None inside what was set in."""
        if offset < self.at:
            return offset
        return offset - self.size if offset >= self.at + self.size else None


def carry_headings(before: str, text: str) -> Carried:
    """Set the headings of a table that the page before ends in above its rows on this page.

    Parameters
    ----------
    before : str
        Text of the page before.
    text : str
        Text of the page; begins, but for running heads, with rows without a heading.

    Returns
    -------
    carried : Carried
        Read this text instead, leave out what was found in the part set in, and take
        offsets back with `Carried.back`.

    Examples
    --------
    >>> page_1 = "Rating      R.p.m.  Boost\\nTake-off    3,000   +12\\nClimb       2,850   +9"
    >>> page_2 = "(continued)\\n\\nCruise      2,650   +4\\nIdle        600     -4"
    >>> carried = carry_headings(page_1, page_2)
    >>> carried.text.split("\\n")[2]
    'Rating      R.p.m.  Boost'
    """
    none = Carried(text, 0, 0)
    table = _last_table(before)
    if table is None:
        return none
    grids = find_grids(text)
    if not grids or any(cell.column for cell in grids[0].cells):
        return none
    at = text.rfind("\n", 0, grids[0].span[0]) + 1
    if sum(bool(line.strip()) for line in text[:at].split("\n")) > MAX_HEAD:
        return none
    if _width(grids[0]) != _width(table):
        return none
    heading = _heading(before, table)
    if not heading:
        return none
    joined = text[:at] + heading + text[at:]
    again = find_grids(joined)
    if not again or len(again[0].cells) != len(grids[0].cells):
        return none
    if not all(cell.column or cell.at[1] == 0 for cell in again[0].cells):
        return none
    return Carried(joined, at, len(heading))


def _last_table(text: str) -> Grid | None:
    """The table that a page ends in, but for a page number or the like."""
    grids = find_grids(text)
    if not grids:
        return None
    end = text.find("\n", grids[-1].span[1])
    foot = [line for line in text[end:].split("\n") if line.strip()] if end >= 0 else []
    if len(foot) > MAX_FOOT:
        return None
    if all(is_page_number(line) or is_continued(line) or len(line.strip()) < 30 for line in foot):
        return grids[-1]
    return None


def _width(grid: Grid) -> int:
    return max(cell.at[1] for cell in grid.cells)


def _heading(text: str, table: Grid) -> str:
    """Lines of the decks of `table`."""
    row = text.rfind("\n", 0, min(cell.span[0] for cell in table.cells)) + 1
    heads = [a for cell in table.cells for a, _ in (*cell.column, *cell.row) if a < row]
    if not heads:
        return ""
    return text[text.rfind("\n", 0, min(heads)) + 1 : row]
