"""Finds when a limit holds: the rating, phase, gear or place its words state."""

from __future__ import annotations

from bisect import bisect_left
from operator import itemgetter

from reconcile.limits.around import conditions_around, is_shut_in
from reconcile.limits.bounds import stated_bound
from reconcile.limits.context import Context, Spot
from reconcile.limits.decks import caption_over
from reconcile.limits.items import within_item, within_subject
from reconcile.limits.terms import combined, usual_condition
from reconcile.notation.drafts import Draft
from reconcile.notation.wordsets import word_map, word_set

_DISTANCE = itemgetter(0)


def fits(spot: Spot, parameter: str, kind: str) -> bool:
    """Whether a condition can hold for that parameter."""
    if not spot.only:
        return True
    for only in spot.only:  # noqa: SIM110
        if only in parameter or only == kind:
            return True
    return False


def find_condition(ctx: Context, k: int, parameter: str, kind: str) -> str:
    """Condition of draft `k`, "" where none is stated."""
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    spots: list[tuple[float, Spot]] = []
    if "condition" not in ctx.roles and "setting" not in ctx.roles:
        return usual_condition(parameter, kind)
    if place is not None:
        grid, cell = place
        for spot in ctx.spots_in("condition", (cell.span[0], draft.start))[::-1]:
            spots.append((0.1, spot))
        for spot in ctx.spots_in("condition", (draft.end, cell.span[1])):
            if not ctx.bracketed_other(draft, spot):
                spots.append((0.3, spot))
        if (torn := _torn_off(ctx, draft)) is not None:
            spots.append((0.2, torn))
        for depth, span in enumerate(reversed(cell.row)):
            spots += [(0.4 + 0.3 * depth, s) for s in ctx.spots_in("condition", span)]
        for depth, span in enumerate(reversed(cell.column)):
            over = ctx.spots_in("condition", span)
            spots += [(0.6 + 0.3 * depth, s) for s in over if not is_shut_in(ctx, s, draft)]
        geared = "setting" in ctx.roles
        for other in ctx.row_of(grid, cell) if geared or "condition" in ctx.roles else ():
            if other is not cell:
                spots += [
                    (1.2, s) for s in ctx.spots_in("condition", other.span) if s.group == "gear"
                ]
                if geared:
                    spots += _column_gear(ctx, other)
        if grid.caption is not None:
            titles = ctx.spots_in("condition", grid.caption)
            spots += [(3.0, s) for s in titles if not is_shut_in(ctx, s, draft)]
    else:
        spots = conditions_around(ctx, draft)
        if ctx.grids and (caption := caption_over(ctx, draft)) is not None:
            spots += [(3.0, s) for s in ctx.spots_in("condition", caption)]
        if parameter not in _OF_RATINGS:
            spots = within_subject(ctx, draft, spots)
        spots = within_item(ctx, draft, spots)
    telling = parameter in _TIMELESS or parameter in _IMPLIED or parameter.endswith(" change")
    usable = [
        # a condition that is said of this very parameter goes before one said of anything
        (d - (0.05 if s.only else 0.0), s)
        for d, s in spots
        if (not s.only or fits(s, parameter, kind))
        and not (telling and _says_nothing(s, parameter))
    ]
    if not usable:
        return usual_condition(parameter, kind)
    usable.sort(key=_DISTANCE)
    if usable[0][1].value in _FULL and stated_bound(ctx, k) == "min":
        usable = [u for u in usable if u[1].value not in _FULL]  # what is left is not full
        if not usable:
            return usual_condition(parameter, kind)
    nearest, chosen = usable[0]
    if chosen.group == "quality":
        # "normal" or "desired" gives way to a condition that stands as near.
        for distance, spot in usable[1:]:
            if spot.group != "quality" and distance < nearest + 0.7:
                nearest, chosen = distance, spot
                break
    for others, reach in _yields(chosen, parameter):
        for distance, spot in usable[1:]:
            if (
                distance < nearest + reach
                and spot.value != chosen.value
                and (spot.group in others or spot.value in others)
            ):
                nearest, chosen = distance, spot
                break
    value = chosen.value
    ctx.memo["condition", k] = chosen
    if value == "flaps down" and (angle := _angle_after(ctx, chosen)):
        return angle
    if value in _SHARED_OUT and (share := _share_before(ctx, chosen)):
        return f"{share} {value}"
    for distance, spot in usable:
        if distance > nearest + 1.3:
            break
        if spot.group == "mixture" and spot.value == "weak cruising":
            continue
        joined = combined(value, spot.value)
        rated = chosen.group == spot.group == "rating"
        if joined and not (rated and place is None and _apart(ctx, chosen, spot)):
            return joined
    return value


def _yields(spot: Spot, parameter: str) -> list[tuple[frozenset[str], float]]:
    """Groups and values that go before a condition, as far as so much farther off.

    "Maximum continuous, sea level": the rating goes before where it holds. A loaded weight,
    a mixture and the climb of a rate of climb say little that the words have not said.
    """
    if spot.value == "ground level":
        return [(_RATINGS, 1.3)]
    if spot.value in _FLAPS and parameter == "airspeed":
        return [(_FLOWN, 2.5)]  # "on the approach, with flaps down"
    if spot.value == "loaded":
        return [(_PHASES, 2.5)]
    if spot.group == "mixture" and spot.value == "weak cruising":
        return [(_CRUISES, 3.5)]
    if spot.value == "climb" and parameter == "rate of climb":
        return [(_PLACES, 2.5)]
    return []


_RATINGS = frozenset({"rating"})
_FLAPS = word_set("lowered-conditions")
_FLOWN = word_set("flown-lowered")
_PHASES = word_set("phases-loaded")
_CRUISES = frozenset({"cruise"})
_PLACES = word_set("places-of-climb")


def _torn_off(ctx: Context, draft: Draft) -> Spot | None:
    """The condition before a figure in the same brackets, though columns part the two."""
    t = ctx.t
    if draft.j >= t.n or t.norm[draft.j] != ")":
        return None
    starts = ctx.starts.get("condition", [])
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return None
    spot = ctx.roles["condition"][at]
    opened = spot.i and t.norm[spot.i - 1] == "("
    return spot if opened and spot.j == draft.i and t.gap[draft.i] < 3 else None


def _apart(ctx: Context, a: Spot, b: Spot) -> bool:
    """Whether a figure stands between two conditions: they do not belong together."""
    first, last = (a, b) if a.i <= b.i else (b, a)
    return bool(ctx.drafts_between(first.j, last.i))


def _says_nothing(spot: Spot, parameter: str) -> bool:
    """Whether a condition cannot, or need not, be said of a parameter."""
    if parameter.endswith(" change") and spot.value == "emergency":
        return True  # "falls for a moment by 0.5"
    if parameter in _TIMELESS:
        return not spot.only and spot.group in {"rating", "gear", "phase"}
    return spot.value in _IMPLIED.get(parameter, ())


_TIMELESS = word_set("timeless-subjects")
_IMPLIED = word_map("implied-conditions")
"""Conditions that a parameter has by its name, and that say nothing new of it."""


_FULL = word_set("full-conditions")
_SHARED_OUT = word_set("shared-ratings")


def _share_before(ctx: Context, spot: Spot) -> str:
    """The share of a rating said right before its name: "0.75 nominal"."""
    at = bisect_left(ctx.draft_starts, spot.i) - 1
    if at < 0:
        return ""
    share = ctx.drafts[at]
    near = share.j == spot.i and not share.sign and not share.senses
    if not near or share.nominal is None or not 0 < share.nominal < 1:
        return ""
    return f"{float(share.nominal):g}"


def _angle_after(ctx: Context, spot: Spot) -> str:
    """ "Flaps 15°": how far they are down is part of the condition."""
    at = bisect_left(ctx.draft_starts, spot.j)
    angle = ctx.drafts[at] if at < len(ctx.drafts) else None
    if angle is not None and angle.i - spot.j > 2:
        angle = None
    before = ctx.drafts[at - 1] if at else None
    if angle is None and before is not None and ctx.t.norm[before.j : spot.i] == ["of"]:
        angle = before  # "25° of flap"
    if angle is not None and angle.kind == "angle" and angle.nominal is not None:
        return f"flaps {angle.nominal} deg"
    return ""


_OF_RATINGS = word_set("subjects-of-ratings")


def _column_gear(ctx: Context, cell) -> list[tuple[float, Spot]]:  # type: ignore[no-untyped-def]
    """ "LOW" under a heading "BLOWER" is a gear."""
    words = ctx.spots_in("setting", cell.span)
    if not words:
        return []
    for span in cell.column:
        for gear in ctx.spots_in("setting-of", span):
            for word in words:
                value = f"{word.value} {gear.value}".strip()
                return [(1.2, Spot(word.i, word.j, value, "gear", ()))]
    return []
