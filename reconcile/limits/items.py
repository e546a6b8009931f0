"""Which conditions belong to the item of a list, and to the clause, that a figure is in."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.around import opens_sentence
from reconcile.limits.context import Context, Spot
from reconcile.limits.terms import CONTINENTAL
from reconcile.notation.drafts import Draft
from reconcile.notation.wordsets import word_set


def within_item(
    ctx: Context, draft: Draft, spots: list[tuple[float, Spot]]
) -> list[tuple[float, Spot]]:
    """`spots` without what belongs to an earlier item of a list of named things.

    In "empty 4,475 kg, useful load 2,225 kg" the load is not the empty weight's.
    """
    starts = ctx.starts.get("subject", [])
    kept = []
    for cost, spot in spots:
        if spot.i < draft.i and spot.value in _OF_ONE and ctx.tradition in CONTINENTAL:
            # "Landegeschwindigkeit 130, Gipfelhöhe 8500": landing is said of the speed alone
            at = bisect_left(starts, spot.i)
            inside = at < len(starts) and starts[at] == spot.i
            at = bisect_left(starts, spot.j)
            if inside and at < len(starts) and starts[at] < draft.i:
                continue
        if spot.i < draft.i and spot.group in _OF_THINGS:
            between = ctx.drafts_between(spot.j, draft.i)
            if any(
                ctx.drafts[b].kind == draft.kind
                and (at := bisect_left(starts, ctx.drafts[b].j)) < len(starts)
                and starts[at] < draft.i
                for b in between
            ):
                continue
        kept.append((cost, spot))
    return kept


_OF_ONE = word_set("conditions-of-one")


_OF_THINGS = frozenset({"tank", "wheel", "event", "config"})


def within_subject(
    ctx: Context, draft: Draft, spots: list[tuple[float, Spot]]
) -> list[tuple[float, Spot]]:
    """`spots` without those of an earlier clause that spoke of something else.

    "Take-off 2,700 r.p.m., not over 5 min.; oil 75 lb" does not say that the oil pressure
    holds at take-off only; a speed or a boost would go on with the rating.
    """
    starts = ctx.starts.get("subject", [])
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return spots
    subject = ctx.roles["subject"][at].i
    clause = _CLAUSE
    return [
        (cost, spot)
        for cost, spot in spots
        if spot.i >= subject
        or spot.group == "quality"
        or ctx.barrier(spot.j, draft.i) < clause
        or ctx.barrier(spot.j, subject) < clause
        or (
            ctx.tradition not in CONTINENTAL
            and _comes_first(ctx, spot)
            and (ctx.barrier(spot.j, draft.i) < _SENTENCE or opens_sentence(ctx, spot, draft))
        )
    ]


def _comes_first(ctx: Context, spot: Spot) -> bool:
    """Whether a condition is said before any figure of its sentence."""
    before = ctx.drafts_between(0, spot.i)
    return not before or ctx.sentence[ctx.drafts[before[-1]].i] != ctx.sentence[spot.i]


_CLAUSE, _SENTENCE = 2.4, 5.5
