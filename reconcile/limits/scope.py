"""Conditions that hold for more figures than the one they stand beside."""

from __future__ import annotations

from bisect import bisect_left, bisect_right

from reconcile.limits.conditions import fits
from reconcile.limits.context import Context, Spot
from reconcile.limits.meaning import Meaning
from reconcile.notation.wordsets import word_set
from reconcile.records import Span

_LINKS = word_set("words-of-nor-and-or")
_NEAR = 1.3
"""Barrier up to which figures stand in one clause, with no stop or comma between them."""


def share_conditions(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Give figures with no condition of their own that of the clause, or of what they note.

    Parameters
    ----------
    ctx : Context
    meanings : list of Meaning or None
        Of all drafts; their conditions are filled in here.
    """
    _back_over_links(ctx, meanings)
    _mark_superseded(ctx, meanings)


def _back_over_links(ctx: Context, meanings: list[Meaning | None]) -> None:
    """ "Not above 95 °C. nor under 75 lb. on the climb" says "on the climb" of both."""
    for k in range(len(meanings) - 2, -1, -1):
        meaning, after = meanings[k], meanings[k + 1]
        if meaning is None or after is None or meaning.condition or not after.condition:
            continue
        if ctx.cell_of[k] is not None or ctx.cell_of[k + 1] is not None:
            continue
        spot: Spot | None = ctx.memo.get(("condition", k + 1))
        if spot is None or spot.i < after.draft.j or spot.group not in _SHARED:
            continue
        i, j = meaning.draft.j, after.draft.i
        if (
            j <= i
            or ctx.barrier(i, j) > _NEAR
            or not (after.twin is meaning or _LINKS & set(ctx.t.norm[i:j]))
        ):
            continue
        if fits(spot, meaning.parameter, meaning.sense.kind):
            meaning.condition = after.condition
            ctx.memo["condition", k] = spot


_SHARED = frozenset({"rating", "phase", "gear"})


def _mark_superseded(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Of "for +4 lb. read +6 lb." the first is no longer in force."""
    for spot in ctx.roles.get("superseded", ()):
        if spot.group == "lead":
            continue
        at = bisect_left(ctx.draft_starts, spot.i)
        if not 0 < at < len(meanings):
            continue
        old, new = meanings[at - 1], meanings[at]
        if old is None or new is None or old.sense.kind != new.sense.kind:
            continue
        near = spot.i - old.draft.j <= 2 and new.draft.i - spot.j <= 2
        if not near or (spot.group == "read" and not _given_up(ctx, old)):
            continue
        old.condition = f"{old.condition}, superseded" if old.condition else "superseded"


def _given_up(ctx: Context, meaning: Meaning) -> bool:
    """Whether "for" or "amend" goes before a figure that another is to be read for."""
    i = meaning.draft.i
    span = (ctx.t.start[max(0, i - 3)], meaning.draft.start)
    return any(s.group == "lead" for s in ctx.spots_in("superseded", span))


def note_as_noted(ctx: Context, meanings: list[Meaning | None]) -> None:
    """A note to a cell holds when, and as long as, its figure does: "* 44.0 above 6,000 ft."."""
    for grid in ctx.grids:
        for mark, span in grid.notes.items():
            noted = [
                meaning
                for k in ctx.drafts_between(*ctx.token_range(grid.span))
                if (meaning := meanings[k]) is not None
                and (place := ctx.cell_of[k]) is not None
                and place[0] is grid
                and mark in place[1].note.split(" ")
            ]
            if not ctx.spots_in("subject", span):
                _name_as_noted(ctx, span, noted, meanings)
            if len({meaning.condition for meaning in noted}) != 1:
                continue
            own = ctx.spots_in("condition", span)
            for k in ctx.drafts_between(*ctx.token_range(span)):
                meaning = meanings[k]
                if meaning is None or own:
                    continue
                meaning.condition = noted[0].condition
                like = next((m for m in noted if m.parameter == meaning.parameter), None)
                if like is not None and not meaning.draft.bounded:
                    meaning.bound = like.bound
                    meaning.time_limit = meaning.time_limit or like.time_limit


def note_about(ctx: Context, at: int) -> Span | None:
    """The note to a table that character `at` stands in, None where it stands in none."""
    notes: list[Span] | None = ctx.memo.get(("note spans",))
    if notes is None:
        notes = sorted(span for grid in ctx.grids for span in grid.notes.values())
        ctx.memo["note spans",] = notes
    here = bisect_right(notes, (at, len(ctx.t.text) + 1))
    return next((span for span in notes[max(0, here - 4) : here] if at < span[1]), None)


def _name_as_noted(
    ctx: Context, span: Span, noted: list[Meaning], meanings: list[Meaning | None]
) -> None:
    """A note that names nothing is of the column whose figure bears its mark."""
    for k in ctx.drafts_between(*ctx.token_range(span)):
        meaning = meanings[k]
        if meaning is None:
            continue
        like = [m for m in noted if m.sense.kind == meaning.sense.kind]
        if len({m.parameter for m in like}) != 1:
            continue
        meaning.parameter, meaning.subject = like[0].parameter, like[0].subject
        if meaning.sense.kind == "pressure":
            meaning.form = like[0].form
        if meaning.bound == "nominal" and like[0].bound == "max":
            meaning.bound = "max"
