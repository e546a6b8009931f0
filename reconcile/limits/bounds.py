"""Finds what kind of limit a figure is: most, least, a range, about, or simply stated."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.beside import (
    all_joined,
    belongs_before,
    closes_another,
    closes_clause,
    in_brackets_behind,
    is_bracketed_after,
    is_joined,
    named_between,
    shares_bound,
    stands_off,
)
from reconcile.limits.context import Context, Spot
from reconcile.limits.flown import FLOWN, is_flown
from reconcile.limits.terms import CONTINENTAL, usual_bound
from reconcile.limits.turns import ORS, shares_negation, turned_bound
from reconcile.notation.drafts import Draft
from reconcile.notation.wordsets import word_set

_JOIN = 1.3


def find_bound(ctx: Context, k: int, parameter: str, condition: str) -> str:
    """Bound of draft `k`."""
    draft = ctx.drafts[k]
    if draft.nominal is None and (draft.lo is not None or draft.hi is not None):
        return "range"
    if draft.lo is not None:
        return "range"
    if draft.plus_minus is not None:
        return "nominal"
    if parameter.endswith(_CHANGES) and not _bounded_beside(ctx, draft):
        return "approx" if _approximate(ctx, k) else "nominal"
    said = stated_bound(ctx, k)
    if said == "max" and parameter in _NEVER_MOST:
        said = ""
    if said == "max" and condition == "warning light" and draft.kind == "pressure":
        said = "min"  # "the light glows under 10 lb": it warns of too little
    if said == "min" and parameter == "time limit":
        said = "max"  # "least, for five minutes only": the least is not of the time
    if said == "max" and condition == "warm-up" and draft.kind == "temperature":
        said = "min"  # warming up "to 40°" is to that at least
    if said:
        draft.bounded = True
        return said
    if _approximate(ctx, k):
        return "approx"
    if condition in _AS_A_RULE:
        return "nominal"
    if parameter == "stalling speed" or (
        parameter == "airspeed" and (condition in FLOWN or is_flown(ctx, k))
    ):
        return "nominal"  # speeds to fly at, or to know of, under whatever heading
    usual = usual_bound(parameter, condition)
    if usual:
        return usual
    return heading_bound(ctx, k)


_CHANGES = tuple(f" {word}" for word in word_set("names-of-changes"))


def _bounded_beside(ctx: Context, draft: Draft) -> bool:
    """Whether a bound word touches a figure; one farther off bounds no change."""
    starts = ctx.starts.get("bound", [])
    at = bisect_left(starts, draft.i) - 1
    if at >= 0 and draft.i - ctx.roles["bound"][at].j <= 1:
        return True
    return at + 1 < len(starts) and 0 <= starts[at + 1] - draft.j <= 1


def stated_bound(ctx: Context, k: int) -> str:
    """Bound that words beside the figure, or its headings, state; "" if none."""
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None:
        _, cell = place
        if draft.kind == "time" and not ctx.spots_in("bound", cell.span):
            return ""  # "(min.)" over a column of times is their unit
        own = _beside(ctx, draft)
        if own:
            return own
        if draft.kind == "time":
            return ""
        if "bound" not in ctx.roles:
            return ""
        for span in (*reversed(cell.column), *reversed(cell.row)):
            spots = [
                s
                for s in ctx.spots_in("bound", span)
                if s.group != "post"
                and (s.group != "inner" or draft.kind in _RATED)
                and (s.group != "near" or s.j >= ctx.token_range(span)[1] - 1)
                and not _of_label(ctx, s, draft)
            ]
            if spots and len({s.value for s in spots}) == 1:
                return spots[0].value
        return ""
    return _beside(ctx, draft)


def _of_label(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether a bound word in a label goes with a height, or the like, that is named there."""
    k = ctx.owner[spot.j]
    return k >= 0 and ctx.drafts[k].kind in _LABELS - {draft.kind}


_LABELS = frozenset({"altitude", "mass", "speed", "rotational_speed"})
"""Kinds that tell in a label which row or column it is."""


def _beside(ctx: Context, draft: Draft) -> str:
    starts = ctx.starts.get("bound")
    if not starts:
        return ""
    spots = ctx.roles["bound"]
    here = bisect_left(starts, draft.i)
    for spot in spots[max(0, here - 2) : here]:
        if (
            spot.j == draft.i
            and spot.group == "post"
            and ctx.t.norm[spot.i] in ORS
            and shares_negation(ctx, spot)
        ):
            return "max" if spot.value == "min" else "min"
    if (bracketed := in_brackets_behind(ctx, draft)) is not None:
        return turned_bound(ctx, bracketed, draft)
    if (
        here
        and spots[here - 1].j == draft.i
        and spots[here - 1].group in {"pre", "near"}
        and (ctx.barrier(draft.i, draft.i) < 0.5)
    ):
        return turned_bound(ctx, spots[here - 1], draft)
    # after the figure
    for spot in spots[here : here + 2]:
        if spot.i < draft.j:
            continue
        far = ctx.barrier(draft.j, spot.i)
        gap = spot.i - draft.j
        crossed = ctx.drafts_between(draft.j, spot.i)
        if spot.group == "clause" and far < 3.2:
            return spot.value
        if not crossed and gap == 1 and spot.group in {"any", "post"} and closes_clause(ctx, spot):
            return turned_bound(ctx, spot, draft)
        if crossed or far > 0.85 or gap > 4 or ctx.bracketed_other(draft, spot):
            break
        if spot.group == "post" or (spot.group == "any" and belongs_before(ctx, spot)):
            return turned_bound(ctx, spot, draft)
    if draft.i and ctx.t.norm[draft.i - 1] in _NOR:
        for spot in reversed(spots[max(0, here - 6) : here]):
            if ctx.sentence[spot.i] == ctx.sentence[draft.i] and spot.group == "pre":
                return spot.value  # "not to exceed ..., nor 455 knots"
    said_of_another = False
    for spot in reversed(spots[max(0, here - 6) : here]):
        far = ctx.barrier(spot.j, draft.i)
        if far > 2.6:
            break
        if spot.group == "pre" and ctx.tradition in CONTINENTAL and closes_another(ctx, spot):
            continue
        if spot.group in {"post", "clause"}:
            continue
        if spot.group == "until" and draft.kind not in _UNTIL:
            continue
        if spot.group == "inner" and draft.kind not in _RATED:
            continue
        if spot.group in {"any", "inner"} and belongs_before(ctx, spot):
            said_of_another = True
            continue
        crossed = ctx.drafts_between(spot.j, draft.i)
        if crossed and said_of_another:
            break  # "min 50  temp 90 max  revs 2600"
        if spot.group == "near" and (crossed or draft.i - spot.j > 3):
            continue
        if crossed:
            first = ctx.drafts[crossed[0]]
            last = ctx.drafts[crossed[-1]]
            if ctx.barrier(last.j, draft.i) > _JOIN or not shares_bound(ctx, last, draft):
                continue
            if spot.group == "turn" and not all_joined(ctx, crossed, draft):
                continue  # "falls under 45 lb. come back to 2,000 r.p.m. and 0 lb."
            if spot.group == "turn" and last.kind != draft.kind and not is_joined(ctx, last, draft):
                continue  # "above 20,000 ft. reduce 2 in."
            if draft.kind == "time" and last.kind != "time" and not is_joined(ctx, last, draft):
                continue  # "not more than 800 r.p.m. and warm it 2 mins."
            if last.kind == draft.kind and named_between(ctx, last, draft):
                if not is_joined(ctx, last, draft):
                    continue
                return turned_bound(ctx, spot, draft)  # "until the oil is 15° and the coolant 60°"
            # "maximum 3,000 and 12 in ...": another figure of the kind needs its own word,
            # unless the two are simply joined
            if (
                last.kind == draft.kind
                and not is_bracketed_after(ctx, last, draft)
                and (draft.i - last.j > 6 or first is not last)
            ):
                continue
        elif draft.i - spot.j > 9:
            continue
        if stands_off(ctx, spot, draft):
            return "nominal"
        return turned_bound(ctx, spot, draft)
    return ""


_NOR = word_set("words-of-nor")


_RATED = frozenset({"rotational_speed", "pressure", "temperature", "power", "time", "mass"})
_UNTIL = frozenset({"temperature"})


_AS_A_RULE = word_set("usual-states")
_NEVER_MOST = word_set("never-most")


def _approximate(ctx: Context, k: int) -> bool:
    draft = ctx.drafts[k]
    starts = ctx.starts.get("approx")
    if not starts:
        return False
    spots = ctx.roles["approx"]
    here = bisect_left(starts, draft.i)
    if here:
        spot = spots[here - 1]
        begin = draft.unit_at if 0 <= draft.unit_at < draft.i else draft.i
        far = ctx.barrier(spot.j, begin)
        crossed = ctx.drafts_between(spot.j, draft.i)
        if far <= 0.7 and begin - spot.j <= 3 and not crossed:
            return True
        if crossed and len(crossed) == 1:
            first = ctx.drafts[crossed[0]]
            if (
                ctx.barrier(spot.j, first.i) <= 0.7
                and draft.i - first.j <= 2
                and ctx.barrier(first.j, draft.i) <= 0.8
            ):
                return True
    if here < len(spots):
        spot = spots[here]
        if spot.group == "post" and spot.i - draft.j <= 1 and ctx.barrier(draft.j, spot.i) < 0.5:
            return True
    place = ctx.cell_of[k]
    if place is not None:
        _, cell = place
        return any(ctx.spots_in("approx", span) for span in (*cell.column, *cell.row))
    return False


def heading_bound(ctx: Context, k: int) -> str:
    """Bound that a heading over the figure gives it: "limits" are maxima."""
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None:
        grid, cell = place
        if "heading" in ctx.roles:
            spans = [*cell.row, *cell.column]
            if grid.caption is not None:
                spans.append(grid.caption)
            for span in spans:
                if ctx.spots_in("heading", span):
                    return "max"
        if "condition" not in ctx.roles:
            return "nominal"
        rated = any(
            s.group == "rating" for span in cell.row for s in ctx.spots_in("condition", span)
        ) or any(
            s.group == "rating" for span in cell.column for s in ctx.spots_in("condition", span)
        )
        if rated and draft.kind in {"rotational_speed", "pressure", "temperature", "power", "time"}:
            return "max"
        return "nominal"
    starts = ctx.starts.get("heading")
    if starts:
        here = bisect_left(starts, draft.i)
        for spot in reversed(ctx.roles["heading"][max(0, here - 3) : here]):
            if ctx.barrier(spot.j, draft.i) < 9:
                return "max"
    return "nominal"
