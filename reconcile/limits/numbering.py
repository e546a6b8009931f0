"""Numbers that count paragraphs, pages and lists, and measure nothing."""

from __future__ import annotations

from reconcile.limits.context import Context
from reconcile.limits.headings import own_headings
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.tokens import NUMBER, WORD
from reconcile.notation.wordsets import word_set

_ENDS = frozenset(".:;)!?|*-]")
"""What the line above a numbered paragraph ends in."""


def is_paragraph_number(ctx: Context, draft: Draft) -> bool:
    """Whether a number opens a paragraph: "24C. Change of gear", "45. Warning is given"."""
    t = ctx.t
    i = draft.i
    if draft.sign or (i and t.gap[i] < 3) or not _counts(ctx, i):
        return False
    j = i + 1
    n = len(t)
    if i and t.gap[i] == 3 and t.norm[i - 1][-1:] not in _ENDS and not _under_title(ctx, i):
        return False  # a line that only goes on with a number
    if j < n and t.kind[j] == WORD and not t.gap[j] and len(t.norm[j]) == 1:
        if not t.raw(j).isupper():
            return False
        j += 1
    if j + 1 >= n or t.gap[j] or t.norm[j] not in ".)":
        return False
    return bool(t.gap[j + 1]) and t.text[t.start[j + 1]].isupper()


def _under_title(ctx: Context, i: int) -> bool:
    """Whether the line above token `i` is a title in capitals."""
    text = ctx.t.text
    end = text.rfind("\n", 0, ctx.t.start[i])
    return text[text.rfind("\n", 0, end) + 1 : end].isupper()


def _counts(ctx: Context, i: int) -> bool:
    t = ctx.t
    return t.kind[i] == NUMBER and t.norm[i].isdigit() and len(t.norm[i]) <= 3


def enumerates(ctx: Context, k: int) -> bool:
    """Whether a small bare number is one of several that follow on: "tanks 1, 2, 3 and 4"."""
    if ctx.cell_of[k] is not None or not _is_small(ctx.drafts[k]):
        return False
    run = 1
    for step in (-1, 1):
        at = k
        while 0 <= at + step < len(ctx.drafts):
            here, other = ctx.drafts[at], ctx.drafts[at + step]
            a, b = (here, other) if step > 0 else (other, here)
            if not _is_small(other) or ctx.t.norm[a.j : b.i] not in _LISTED:
                break
            if other.nominal != (here.nominal or 0) + step:
                break
            run += 1
            at += step
    return run > 2


def _is_small(draft: Draft) -> bool:
    value = draft.nominal
    return (
        value is not None
        and not draft.senses
        and not draft.sign
        and value.denominator == 1
        and 0 < value.numerator <= 12
    )


_LISTED = tuple(words.split() for words in word_set("between-numbers"))


def is_register(ctx: Context, grid: Grid, cell: GridCell) -> bool:
    """Whether a cell stands in a list of contents or the like, and so is a page number."""
    if grid.caption is None or not _is_title_of_register(ctx, grid.caption):
        return False
    pages = [ctx.t.text[c.span[0] : c.span[1]] for c in grid.cells if c.at[1] == cell.at[1]]
    if not all(page.isdigit() for page in pages):
        return False
    numbers = [int(page) for page in pages]
    return len(numbers) > 1 and numbers == sorted(numbers)


def counts_by_heading(ctx: Context, cell: GridCell) -> bool:
    """Whether the heading of a cell's column says that its numbers only count or refer.

    "Para.", "Item", "A.L. No.": what stands under them measures nothing.
    """
    if not cell.column:
        return False
    span = cell.column[-1]
    if ctx.spots_in("subject", span) or ctx.units_in(span):
        return False
    i, j = ctx.token_range(span)
    if i >= j:
        return False
    norm = ctx.t.norm
    while i < j:
        spot = next(
            (s for s in ctx.spots_in("distractor", (ctx.t.start[i], ctx.t.end[j - 1])) if s.i == i),
            None,
        )
        if spot is None or spot.value != "before":
            return False
        i = spot.j
        while i < j and norm[i] in ".,":
            i += 1
    return True


def counts_things(ctx: Context, grid: Grid, cell: GridCell) -> bool:
    """Whether the nearest label of a cell names what its number counts: "Strokes, large pump"."""
    if "counted" not in ctx.roles:
        return False
    for span in (*own_headings(ctx, grid, cell)[-1:], *cell.row[-1:]):
        first, _ = ctx.token_range(span)
        if any(s.i == first for s in ctx.spots_in("counted", span)):
            return True
    return False


def _is_title_of_register(ctx: Context, caption: tuple[int, int]) -> bool:
    i, j = ctx.token_range(caption)
    return any(s.i == i and s.j >= j for s in ctx.spots_in("register", caption))
