"""Times that no subject claims: how long a rating may be used, or how long a thing lasts."""

from __future__ import annotations

from reconcile.limits.bounds import stated_bound
from reconcile.limits.context import Context
from reconcile.limits.headings import label_heads
from reconcile.limits.meaning import Meaning
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.wordsets import word_set


def name_time(ctx: Context, k: int, meaning: Meaning) -> None:
    """A time with no subject: how long a rating may be used, or how long a thing lasts."""
    draft = meaning.draft
    t = ctx.t
    i = draft.i
    place = ctx.cell_of[k]
    if place is not None:
        if is_time_flown(ctx, k, meaning):
            meaning.parameter = "endurance"
        elif not _goes_by_height(ctx, *place):
            meaning.parameter = "time limit"
        return
    if meaning.subject == "elapsed":
        return
    closed = draft.j < t.n and t.norm[draft.j] in _CLOSES
    bracketed = i > 0 and t.norm[i - 1] == "(" and closed
    before = t.norm[i - 1] if i else ""
    if i > 1 and before in _ABOUT:
        before = t.norm[i - 2]
    if before in _INSIDE:
        return
    said = stated_bound(ctx, k)
    ratings: frozenset[str] | None = ctx.memo.get(("ratings",))
    if ratings is None:
        ratings = ctx.memo["ratings",] = frozenset(
            s.value
            for s in ctx.roles.get("condition", ())
            if s.group == "rating" or s.value in _TIMED
        )
    rated = meaning.condition in ratings
    labels = _labels_row(ctx, draft)
    alone = draft.j < t.n and t.norm[draft.j] in _ONLY
    if (
        (labels and (rated or (before in _FOR and alone)))
        or bracketed
        or said == "max"
        or (rated and _near_figures(ctx, k) and not _lasts(meaning))
        or (before in _FOR and t.norm[draft.j : draft.j + 1] == ["only"])
        or (before in _FOR and (_beside_limit(ctx, k) or (said and leads_to_limit(ctx, k))))
    ):
        meaning.parameter = "time limit"
    elif meaning.sense.unit == "h" and draft.value is not None and draft.value >= 2:
        meaning.parameter = "endurance"


_ABOUT = word_set("words-of-about")
_ONLY = word_set("words-of-only")


def is_time_to_height(ctx: Context, k: int) -> bool:
    """Whether a time stands in a table of heights: how long it takes to reach each."""
    place = ctx.cell_of[k]
    return place is not None and _goes_by_height(ctx, *place)


def _labels_row(ctx: Context, draft: Draft) -> bool:
    """Whether a time is part of the label of a row of a table."""
    for grid in ctx.grids:
        if grid.span[0] <= draft.start < grid.span[1]:
            return any(a <= draft.start < b for cell in grid.cells for a, b in cell.row)
    return False


def _goes_by_height(ctx: Context, grid: Grid, cell: GridCell) -> bool:
    """Whether a time in a table is one to reach the height, or the like, that its row is for.

    A rating, or a heading that speaks of a limit, makes it the time of a limit.
    """
    for span in (*cell.column, *cell.row):
        if any(s.group == "rating" for s in ctx.spots_in("condition", span)):
            return False
        if ctx.spots_in("heading", span):
            return False
    if not cell.row:
        return False
    heads = label_heads(ctx, grid)
    if any(s.value in _HEIGHTS for span in heads for s in ctx.spots_in("subject", span)):
        return True
    i, j = ctx.token_range(cell.row[-1])
    return any(
        ctx.drafts[m].kind == "altitude" or any(s.kind == "altitude" for s in ctx.drafts[m].senses)
        for m in ctx.drafts_between(i, j)
    )


_HEIGHTS = word_set("far-subjects")
_TIMED = word_set("timed-conditions")


_FOR = word_set("words-of-for")
_LIMITED = frozenset({"pressure", "temperature", "rotational_speed", "power"})


def _beside_limit(ctx: Context, k: int) -> bool:
    """Whether "for 5 mins." comes straight after a figure that can be held so long."""
    if not k:
        return False
    before = ctx.drafts[k - 1]
    return before.kind in _LIMITED and ctx.barrier(before.j, ctx.drafts[k].i) < 1.0


def leads_to_limit(ctx: Context, k: int) -> bool:
    """Whether a figure that can be held so long comes right behind: "for 5 minutes 45 lb."."""
    draft = ctx.drafts[k]
    if k + 1 >= len(ctx.drafts) or not draft.i or ctx.t.norm[draft.i - 1] not in _FOR:
        return False
    after = ctx.drafts[k + 1]
    return (
        bool({after.kind, *(sense.kind for sense in after.senses)} & _LIMITED)
        and after.i - draft.j <= 1
        and ctx.barrier(draft.j, after.i) < 1.3
        and not _beside_limit(ctx, k)
    )


def is_time_flown(ctx: Context, k: int, meaning: Meaning) -> bool:
    """Whether a time of some hours in a list is how long one flies."""
    place = ctx.cell_of[k]
    return place is not None and _lasts(meaning) and not _limits_rating(ctx, place[1])


def _limits_rating(ctx: Context, cell: GridCell) -> bool:
    """Whether the row or column of a time is of a rating, or speaks of limits."""
    return any(
        ctx.spots_in("heading", span)
        or ctx.spots_in("bound", span)
        or any(s.group == "rating" for s in ctx.spots_in("condition", span))
        for span in (*cell.row, *cell.column)
    )


def _lasts(meaning: Meaning) -> bool:
    """Whether a time is of some hours: so long one flies, and no rating is limited to it."""
    value = meaning.draft.value
    return meaning.sense.unit == "h" and value is not None and value >= 2


def _near_figures(ctx: Context, k: int) -> bool:
    for m in (k - 1, k + 1):
        if 0 <= m < len(ctx.drafts):
            a, b = (m, k) if m < k else (k, m)
            if ctx.barrier(ctx.drafts[a].j, ctx.drafts[b].i) < 2.2 and ctx.drafts[m].kind != "time":
                return True
    return False


_INSIDE = word_set("words-of-inside")
_CLOSES = word_set("behind-time-limits")
