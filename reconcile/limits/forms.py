"""What a pressure is counted from, where its own words say so."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.terms import reference_form

_BEFORE, _BEHIND = 1.5, 0.6
"""Barriers up to which words before, and behind, a figure say its form."""


_SIGNED = 500
"""Numbers below which a printed sign is that of a difference."""


def form_of(ctx: Context, k: int, parameter: str, own: str) -> str:
    """Reference form of draft `k`.

    Parameters
    ----------
    ctx : Context
    k : int
    parameter : str
        What it measures.
    own : str
        The form its unit states, "" where it states none.

    Returns
    -------
    form : str
        What the words beside it say, or its unit, or the usage of the parameter.
    """
    usual = reference_form(parameter, ctx.tradition)
    if parameter.endswith(" change"):
        return "none"
    if usual in {"none", "differential"}:
        return usual  # "0,3 atü" of a cabin is counted from the air outside
    if own == "below_ambient" and usual == "gauge":
        return usual  # "atu", typed without the dots of "atü"
    form = stated_form(ctx, k) or own or usual
    draft = ctx.drafts[k]
    if form != "absolute" or own == "absolute":
        return form
    lowest = draft.lo if draft.lo is not None else draft.nominal
    signed = lowest is not None and (lowest < 0 or (draft.sign and lowest < _SIGNED))
    of_mercury = draft.sense is not None and draft.sense.unit.endswith("Hg]")
    if signed and of_mercury:
        return "unknown"  # nothing is less than none, and what is counted from it has no sign
    return form


def stated_form(ctx: Context, k: int) -> str:
    """Form that words beside draft `k` state: "absolute", "drop across the filter"."""
    starts = ctx.starts.get("form")
    if not starts:
        return ""
    draft = ctx.drafts[k]
    spots = ctx.roles["form"]
    here = bisect_left(starts, draft.j)
    if here < len(spots):
        spot = spots[here]
        near = spot.i - draft.j <= 1 and ctx.barrier(draft.j, spot.i) < _BEHIND
        if near and spot.group in {"post", "any"}:
            return spot.value
    for spot in reversed(spots[max(0, here - 2) : here]):
        if spot.group == "post" or spot.j > draft.i:
            continue
        if ctx.barrier(spot.j, draft.i) >= _BEFORE or ctx.drafts_between(spot.j, draft.i):
            return ""
        return spot.value
    return ""
