"""Times that no subject claims: how long a rating may be used, or how long a thing lasts."""

from __future__ import annotations

from reconcile.limits.bounds import stated_bound
from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning


def name_time(ctx: Context, k: int, meaning: Meaning) -> None:
    """A time with no subject: how long a rating may be used, or how long a thing lasts."""
    draft = meaning.draft
    t = ctx.t
    i = draft.i
    if ctx.cell_of[k] is not None:
        meaning.parameter = "time limit"
        return
    if meaning.subject == "elapsed":
        return
    closed = draft.j < t.n and t.norm[draft.j] in {")", "limit", ",", "max", "rating"}
    bracketed = i > 0 and t.norm[i - 1] == "(" and closed
    before = t.norm[i - 1] if i else ""
    if before in {"in", "inside", "within", "takes"}:
        return
    said = stated_bound(ctx, k)
    rated = any(
        s.value == meaning.condition and (s.group == "rating" or s.value in _TIMED)
        for s in ctx.roles.get("condition", ())
    )
    if bracketed or said == "max" or (rated and _near_figures(ctx, k)):
        meaning.parameter = "time limit"
    elif before in _FOR and _beside_limit(ctx, k):
        meaning.parameter = "time limit"
    elif meaning.sense.unit == "h" and draft.value is not None and draft.value >= 2:
        meaning.parameter = "endurance"


_TIMED = frozenset({"dive", "overspeed", "starting", "one engine out"})


_FOR = frozenset({"for", "pendant", "für", "per", "pour"})
_LIMITED = frozenset({"pressure", "temperature", "rotational_speed", "power"})


def _beside_limit(ctx: Context, k: int) -> bool:
    """Whether "for 5 mins." comes straight after a figure that can be held so long."""
    if not k:
        return False
    before = ctx.drafts[k - 1]
    return before.kind in _LIMITED and ctx.barrier(before.j, ctx.drafts[k].i) < 1.0


def _near_figures(ctx: Context, k: int) -> bool:
    for m in (k - 1, k + 1):
        if 0 <= m < len(ctx.drafts):
            a, b = (m, k) if m < k else (k, m)
            if ctx.barrier(ctx.drafts[a].j, ctx.drafts[b].i) < 2.2 and ctx.drafts[m].kind != "time":
                return True
    return False
