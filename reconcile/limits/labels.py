"""Cards that print a unit as the label of the number behind it: "MP 42.5 RPM 2550 CHT 230"."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.sense import is_plausible
from reconcile.limits.terms import default_parameter
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense


def give_units_forward(ctx: Context) -> None:
    """Take from numbers the units that are the labels of the next.

    Of "42.5 RPM 2550" the first number has a name of its own right before it, is no engine
    speed by its size, and the second is one.

    Parameters
    ----------
    ctx : Context
        Its drafts are changed.
    """
    for k in range(len(ctx.drafts) - 1):
        first, second = ctx.drafts[k], ctx.drafts[k + 1]
        if not first.senses or second.senses or first.unit_at < first.i or first.void:
            continue
        if second.i != first.unit_end or second.sign or ctx.t.gap[second.i] > 2:
            continue
        if ctx.cell_of[k] is not None or not _is_named(ctx, first):
            continue
        sense = first.senses[0]
        if sense.kind not in _LABELS:
            continue
        if _can_be(ctx, first, sense) or not _can_be(ctx, second, sense):
            continue
        _give(ctx, k, first, second)


_LABELS = frozenset({"rotational_speed", "power", "volume_flow", "mass_flow", "speed"})
"""Kinds that go by the name of their unit: RPM, BHP, GPH, MPH."""


def _is_named(ctx: Context, draft: Draft) -> bool:
    """Whether something is named right before a number."""
    starts = ctx.starts.get("subject")
    at = bisect_left(starts, draft.i) - 1 if starts else -1
    return at >= 0 and ctx.roles["subject"][at].j == draft.i


def _can_be(ctx: Context, draft: Draft, sense: Sense) -> bool:
    parameter = default_parameter(sense.kind, sense.unit, ctx.tradition)
    return bool(parameter) and is_plausible(draft.value, sense.unit, parameter)


def _give(ctx: Context, k: int, first: Draft, second: Draft) -> None:
    second.senses = first.senses
    second.unit_at, second.unit_end = first.unit_at, first.unit_end
    for i in range(first.unit_at, first.unit_end):
        ctx.owner[i] = k + 1
    first.j, first.senses = first.unit_at, ()
    first.unit_at = first.unit_end = -1
    first.end = ctx.t.end[first.j - 1]
