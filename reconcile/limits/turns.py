"""Whether the words around a bound turn it about: "not below", "if it falls under"."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_set


def turned_bound(ctx: Context, spot: Spot, draft: Draft) -> str:
    """What a bound word comes to: "below" after "never" is a minimum."""
    if (
        spot.value == "max"
        and spot.group in {"pre", "near"}
        and draft.kind in _WATCHED
        and not _negated(ctx, spot)
        and _falls(ctx, spot)
        and not ctx.drafts_between(spot.j, draft.i)
    ):
        return "min"  # "si la pression tombe au-dessous de 3 kg"
    if spot.group not in {"turn", "near"}:
        return spot.value
    flip = draft.kind in _ALARMING and _role_before(ctx, "case", spot)
    if spot.group == "near":
        flip = flip and not _role_before(ctx, "negation", spot)
        flip = flip or _role_after(ctx, "trouble", draft) or shares_negation(ctx, spot)
        return spot.value if not flip else "min" if spot.value == "max" else "max"
    if _role_before(ctx, "negation", spot) or shares_negation(ctx, spot) or _forbidden(ctx, spot):
        flip = True
    elif (
        spot.value == "max"
        and draft.kind in _WATCHED
        and not ctx.drafts_between(spot.j, draft.i)
        and (
            _falls(ctx, spot)
            or (draft.kind == "pressure" and spot.i > 0 and ctx.t.norm[spot.i - 1] in _IF)
        )
    ):
        return "min"  # "if the pressure falls below 45 lb"
    elif _role_after(ctx, "trouble", draft):
        flip = True
    elif (
        draft.kind == "rotational_speed"
        and _THRESHOLD.intersection(ctx.t.norm[max(0, spot.i - 4) : spot.i])
    ) or (spot.value == "max" and (_opens(ctx, spot, draft) or _conditional(ctx, spot, draft))):
        return "nominal"
    else:
        before = ctx.drafts_between(max(0, spot.i - 12), spot.i)
        if before and ctx.drafts[before[-1]].kind != draft.kind:
            last = ctx.drafts[before[-1]]
            if ctx.barrier(last.j, spot.i) < 0.6 and draft.kind == "rotational_speed":
                return "nominal"
    if flip:
        return "min" if spot.value == "max" else "max"
    return spot.value


def _opens(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether "below" opens what is to be done at less: "Below 95 m.p.h. close the throttles"."""
    t = ctx.t
    first = spot.i == 0 or t.gap[spot.i] >= 3 or t.norm[spot.i - 1] in {".", ";"}
    first = first or t.norm[spot.i - 1] in _FAILING or t.norm[spot.i - 2 : spot.i] == [".", "-"]
    goes_on = draft.j < t.n and t.gap[draft.j] < 3 and t.kind[draft.j] == WORD
    return first and goes_on and draft.kind in _FLOWN_KINDS


_FAILING = word_set("words-of-failing")


_FLOWN_KINDS = frozenset({"speed"})


def _conditional(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether "with oil below 40°" tells when another limit holds, and is none itself."""
    if _THRESHOLD.isdisjoint(ctx.t.norm[max(0, spot.i - 3) : spot.i]):
        return False
    before = ctx.drafts_between(max(0, spot.i - 12), spot.i)
    if not before:
        return False
    last = ctx.drafts[before[-1]]
    return (
        last.kind == "rotational_speed"
        and last.kind != draft.kind
        and last.bounded
        and ctx.barrier(last.j, spot.i) < 0.6
    )


_WATCHED = frozenset({"pressure", "voltage", "rotational_speed", "volume"})
"""Kinds whose fall to a limit is what one watches for; of the weather one is only told."""


def _negated(ctx: Context, spot: Spot) -> bool:
    """Whether a bound word says no in itself: "not over", "ne pas dépasser"."""
    return not _NOT.isdisjoint(ctx.t.norm[spot.i : spot.j])


_NOT = word_set("words-of-not")


def _falls(ctx: Context, spot: Spot) -> bool:
    """Whether "below" goes with a fall that is spoken of as a thing that may happen."""
    norm = ctx.t.norm
    words = norm[max(0, spot.i - 2) : spot.j]
    start = spot.i
    while start > 0 and spot.i - start < 12 and ctx.sentence[start - 1] == ctx.sentence[spot.i]:
        start -= 1
    return bool(_FALLS.intersection(words) and _IF.intersection(norm[start : spot.i]))


_FALLS = word_set("words-of-falling")


_IF = word_set("words-of-if")


def _forbidden(ctx: Context, spot: Spot) -> bool:
    """Whether "with less than" goes with what is not to be done: "no flight with less than 50"."""
    if "with" not in ctx.t.norm[max(0, spot.i - 3) : spot.i + 1]:
        return False
    for role in ("negation", "trouble"):
        starts = ctx.starts.get(role)
        if not starts:
            continue
        at = bisect_left(starts, spot.i) - 1
        if at < 0:
            continue
        word = ctx.roles[role][at]
        near = spot.i - word.j <= 18 and ctx.sentence[word.i] == ctx.sentence[spot.i]
        if near and ctx.barrier(word.j, spot.i) < 2.5:
            return True
    return False


_ALARMING = frozenset({"pressure", "voltage", "current", "volume"})
"""Kinds of which "if it falls below so much" states a minimum."""


_THRESHOLD = word_set("before-a-threshold")


def shares_negation(ctx: Context, spot: Spot) -> bool:
    """Whether "or" joins a bound to one that "not" opens: "never under 60 or over 100"."""
    norm = ctx.t.norm
    starts = ctx.starts["bound"]
    at = bisect_left(starts, spot.i) - 1
    if at < 0:
        return False
    while at > 0 and starts[at] == spot.i:
        at -= 1
    first = ctx.roles["bound"][at]
    between = ctx.drafts_between(first.j, spot.i)
    if len(between) != 1 or not _NOTS.intersection(norm[max(0, first.i - 1) : first.i + 1]):
        return False
    end = ctx.drafts[between[0]].j
    words = norm[end : max(spot.i, end + 1)]
    return bool(words) and words[0] in ORS and len(words) <= 3


_NOTS = word_set("words-of-must-not")


ORS = word_set("words-of-or-nor")


def _role_before(ctx: Context, role: str, spot: Spot) -> bool:
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, spot.i) - 1
    if at < 0:
        return False
    word = ctx.roles[role][at]
    reach = 16 if role == "case" else 9
    return spot.i - word.j <= reach and ctx.barrier(word.j, spot.i) < 1.25


def _role_after(ctx: Context, role: str, draft: Draft) -> bool:
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, draft.j)
    return (
        at < len(starts)
        and starts[at] - draft.j <= 10
        and ctx.barrier(draft.j, starts[at]) < 1.3
        and all(ctx.drafts[b].kind == draft.kind for b in ctx.drafts_between(draft.j, starts[at]))
    )
