"""Figures kept within the cell or heading they are printed in."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid
from reconcile.notation.tokens import Tokens

Span = tuple[int, int]


def clip_units(tokens: Tokens, drafts: list[Draft], grids: list[Grid]) -> None:
    """Take from numbers the units that stand in another cell or heading of their table.

    In running text a unit may follow on the next line; at the end of a table's line the
    next line is another row.
    """
    starts = [grid.span[0] for grid in grids]
    repeats = [found for d in drafts if d.ditto and (found := _parted(tokens, d, grids, starts))]
    if repeats:
        drafts[:] = sorted([*drafts, *repeats], key=_begin)
    for draft in drafts:
        at = draft.unit_at
        if not 0 <= at < tokens.n or not draft.senses or draft.void:
            continue
        if at < draft.i:
            _drop_label_unit(tokens, draft, grids, starts)
            continue
        if tokens.gap[at] == 2 and tokens.start[at] - tokens.end[at - 1] <= 2:
            continue  # two blanks may be a typist's
        at = bisect_right(starts, draft.start)
        for grid in reversed(grids[max(0, at - 4) : at]):
            if not grid.span[0] <= draft.start < grid.span[1]:
                continue
            place = _segment(grid, tokens.start[draft.unit_at - 1])
            if place is not None and tokens.start[draft.unit_at] >= place[1]:
                _clip(tokens, draft)
                break


def _begin(draft: Draft) -> int:
    return draft.i


def _parted(tokens: Tokens, draft: Draft, grids: list[Grid], starts: list[int]) -> Draft | None:
    """The ditto mark after a number as a cell of its own, where it stands under figures."""
    last = bisect_right(starts, draft.start)
    for grid in reversed(grids[max(0, last - 4) : last]):
        home = grid.cell_at(draft.start) if draft.start < grid.span[1] else None
        cell = grid.cell_at(draft.end - 1) if home is not None else None
        if home is None or cell is None:
            continue
        if cell.span[0] <= home.span[0] or not cell.ditto:
            return None
        above = grid.above(cell)
        text = "" if above is None else tokens.text[slice(*above.span)]
        if not any(c.isdigit() for c in text) or any(c.isalpha() or c in '"”„' for c in text):
            return None
        at = bisect_left(tokens.start, cell.span[0])
        if not draft.i < at < draft.j:
            return None
        mark = Draft(at, draft.j)
        mark.repeats = True
        mark.start, mark.end = cell.span[0], draft.end
        draft.ditto = False
        draft.j, draft.end = at, tokens.end[at - 1]
        return mark
    return None


def _drop_label_unit(tokens: Tokens, draft: Draft, grids: list[Grid], starts: list[int]) -> None:
    """Give a unit before the number back to the label it stands in: it is all the row's."""
    last = bisect_right(starts, draft.start)
    for grid in reversed(grids[max(0, last - 4) : last]):
        cell = grid.cell_at(draft.start) if draft.start < grid.span[1] else None
        if cell is not None:
            if tokens.start[draft.unit_at] < cell.span[0]:
                draft.senses, draft.unit_at, draft.unit_end = (), -1, -1
            return


def _segment(grid: Grid, offset: int) -> Span | None:
    cell = grid.cell_at(offset)
    if cell is not None:
        return cell.span
    i = bisect_right(grid.headings, (offset, 1 << 62)) - 1
    if i >= 0 and offset < grid.headings[i][1]:
        return grid.headings[i]
    return None


def _clip(tokens: Tokens, draft: Draft) -> None:
    draft.notes = [note for note in draft.notes if not note.startswith("misprinted unit")]
    draft.j = draft.unit_at
    draft.senses = ()
    draft.unit_at = draft.unit_end = -1
    while draft.j > draft.i + 1 and tokens.norm[draft.j - 1] == "*":
        draft.j -= 1
    draft.end = tokens.end[draft.j - 1]
