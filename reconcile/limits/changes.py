"""Whether a figure is a change of something, and not a value of it."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.notation.drafts import Draft
from reconcile.notation.wordsets import word_set


def change_role(ctx: Context, k: int) -> str:
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None and "change-noun" in ctx.roles:
        for span in (*place[1].column[-1:], *place[1].row[-1:]):
            first, _ = ctx.token_range(span)
            if any(s.i == first for s in ctx.spots_in("change-noun", span)):
                return "change"  # "Fall on change of gear, not over ..... 12 lb./sq. in."
    starts = ctx.starts.get("step")
    t = ctx.t
    if starts:
        here = bisect_left(starts, draft.i)
        if here:
            spot = ctx.roles["step"][here - 1]
            if spot.j == draft.i or (spot.j == draft.i - 1 and t.norm[spot.j] in {"additional"}):
                return "step"
    if t.norm[draft.i - 1] in _BY and (_changes_before(ctx, draft) or _changes_as_well(ctx, k)):
        return "change"
    starts = ctx.starts.get("change")
    if starts:
        here = bisect_left(starts, draft.i)
        if here:
            spot = ctx.roles["change"][here - 1]
            words = t.norm[spot.j : draft.i]
            if (
                len(words) <= 3
                and not _REACHES & set(words)
                and ctx.barrier(spot.j, draft.i) < 0.9
                and not ctx.drafts_between(spot.j, draft.i)
            ):
                return "change"
    return ""


_BY = word_set("words-of-by")


def _changes_before(ctx: Context, draft: Draft) -> bool:
    """Whether a fall or rise is named before "by" and a figure: "Падение давления на 1"."""
    starts = ctx.starts.get("change-noun")
    if not starts:
        return False
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return False
    spot = ctx.roles["change-noun"][at]
    return (
        draft.i - spot.j <= 6
        and ctx.barrier(spot.j, draft.i) < 1.3
        and not ctx.drafts_between(spot.j, draft.i)
    )


def _changes_as_well(ctx: Context, k: int) -> bool:
    """Whether a change goes before in the clause: "to fall by 10 lb. and the speed by 50"."""
    if not k or ctx.cell_of[k - 1] is not None:
        return False
    first, norm = ctx.drafts[k - 1], ctx.t.norm
    by = first.i and _BY & set(norm[max(0, first.i - 2) : first.i])
    return bool(by) and ctx.barrier(first.j, ctx.drafts[k].i) < 2.0


def forget_size(meaning: Meaning) -> None:
    """What is hardly possible as a speed may well be a change of one."""
    notes = meaning.draft.notes
    if any(note.startswith("hardly possible") for note in notes):
        meaning.draft.notes = [n for n in notes if not n.startswith("hardly possible")]
        meaning.status = "read"


_REACHES = word_set("reached-by-falling")
"""Words after which a fall is said to reach a value, not to be one."""


def follows_change(meanings: list[Meaning | None], k: int, ctx: Context) -> bool:
    for back in (1, 2):
        if k - back >= 0:
            other = meanings[k - back]
            if other is not None and ctx.barrier(other.draft.j, ctx.drafts[k].i) < 3:
                return True
    return True
