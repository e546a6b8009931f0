"""Whether a speed is one that is flown, and not kept under."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.notation.wordsets import word_set

FLOWN = word_set("flown-conditions")
"""Conditions whose speeds are flown, and not kept under."""


def is_flown(ctx: Context, k: int) -> bool:
    """Whether the title of a list says its speeds are flown: "Approach speeds, flaps down: 110".

    A bound or the title of a list of limits in between ends what it says.
    """
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None and place[0].caption is not None:
        spots = ctx.spots_in("condition", place[0].caption)
        if any(_titles_speeds(ctx, spot) for spot in spots):
            return True
    starts = ctx.starts.get("condition")
    if not starts:
        return False
    here = bisect_left(starts, draft.i)
    for spot in reversed(ctx.roles["condition"][max(0, here - 10) : here]):
        far = ctx.barrier(spot.j, draft.i)
        if far > _TITLE or (spot.value not in FLOWN and spot.group != "config"):
            return False
        if _titles_speeds(ctx, spot):
            return not any(
                (at := bisect_left(begun := ctx.starts.get(role, []), spot.j)) < len(begun)
                and begun[at] < draft.i
                for role in ("bound", "heading")
            )
    return False


_TITLE = 16.0
"""Barriers up to which the title of a list holds for its lines."""


def _titles_speeds(ctx: Context, spot: Spot) -> bool:
    """Whether a condition stands with "speeds", as the title of a list of them."""
    if spot.value not in FLOWN:
        return False
    words = ctx.t.norm[max(0, spot.i - 2) : spot.j + 2]
    return not _SPEEDS.isdisjoint(words)


_SPEEDS = word_set("words-of-speed")
