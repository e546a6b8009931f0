"""Finds when a limit holds: the rating, phase, gear or place its words state."""

from __future__ import annotations

import re
from bisect import bisect_left
from operator import itemgetter

from reconcile.limits.bounds import stated_bound
from reconcile.limits.context import Context, Spot
from reconcile.limits.decks import caption_over
from reconcile.limits.terms import CONTINENTAL, combined, usual_condition
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_map, word_set

LEADS = word_set("leads-of-conditions")

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
            spots += [(0.6 + 0.3 * depth, s) for s in over if not _shut_in(ctx, s, draft)]
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
            spots += [(3.0, s) for s in titles if not _shut_in(ctx, s, draft)]
    else:
        spots = _around(ctx, draft)
        if ctx.grids and (caption := caption_over(ctx, draft)) is not None:
            spots += [(3.0, s) for s in ctx.spots_in("condition", caption)]
        if parameter not in _OF_RATINGS:
            spots = _within_subject(ctx, draft, spots)
        spots = _within_item(ctx, draft, spots)
    telling = (
        parameter in _TIMELESS or parameter in _IMPLIED or parameter.endswith(" change")
    )
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
            if distance < nearest + reach and spot.value != chosen.value and (
                spot.group in others or spot.value in others
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


def _within_item(
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


def _within_subject(
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
            and (ctx.barrier(spot.j, draft.i) < _SENTENCE or _opens_sentence(ctx, spot, draft))
        )
    ]


def _comes_first(ctx: Context, spot: Spot) -> bool:
    """Whether a condition is said before any figure of its sentence."""
    before = ctx.drafts_between(0, spot.i)
    return not before or ctx.sentence[ctx.drafts[before[-1]].i] != ctx.sentence[spot.i]


_CLAUSE, _SENTENCE = 2.4, 5.5
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


def _around(ctx: Context, draft: Draft) -> list[tuple[float, Spot]]:
    starts = ctx.starts.get("condition")
    if not starts:
        return []
    spots = ctx.roles["condition"]
    here = bisect_left(starts, draft.i)
    found: list[tuple[float, Spot]] = []
    drafts = ctx.drafts
    before, after = ctx.before[draft.i], ctx.after
    for spot in reversed(spots[max(0, here - 16) : here]):
        far = before - after[spot.j]
        opens = far > 3 and _opens_sentence(ctx, spot, draft)
        if far > 7 and not opens:
            break
        cost = far + 0.02 * (draft.i - spot.j)
        if opens:
            cost = min(cost, 2.9)
        if spot.j >= draft.i - 1 and ctx.t.norm[draft.i - 1] == "(":
            found.append((0.05, spot))  # "take-off (5 min.)"
            continue
        if spot.group == "quality" and (between := ctx.drafts_between(spot.j, draft.i)):  # noqa: SIM102
            # "normal" speaks of the next figure, and of its twin in another unit
            if len(between) > 1 or ctx.t.norm[draft.i - 1] != "(":
                continue
        # "260 for take-off and 232 for continuous": the words belong to the figure before them
        beside = spot.group == "event" and draft.i - spot.j <= 1
        beside = beside or (draft.i - spot.j == 1 and ctx.t.norm[spot.j] in _AT)
        if _of_figure_between(ctx, spot, draft):
            continue  # "cruise 19, never over 25"
        if _shut_in(ctx, spot, draft):
            continue  # "120 C (combat 135)", and then another line
        if _in_brackets_behind(ctx, spot):
            cost += 2.2  # "45 lb. (main wheels) and 30 lb."
        elif spot.group != "quality" and not beside and _led(ctx, spot):
            earlier = ctx.drafts_between(max(0, spot.i - 8), spot.i)
            if earlier and ctx.barrier(drafts[earlier[-1]].j, spot.i) < 0.9:
                if spot.value in _STANDS and far >= 1.0:
                    continue  # "880 hp. on the ground, always with 2,450 revs"
                cost += 2.2
        found.append((cost, spot))
    heading = _paragraph_head(ctx, draft)
    if heading is not None:
        found.append((3.4, heading))
    for spot in spots[here : here + 6]:
        if spot.i < draft.j:
            continue
        far = ctx.barrier(draft.j, spot.i)
        if far > 2.5:
            break
        crossed = ctx.drafts_between(draft.j, spot.i)
        others = [b for b in crossed if not _twin_of(ctx, draft, b)]
        if len(others) < len(crossed):
            far = max(0.0, far - 0.8)  # the brackets of its twin
        same = sum(1 for b in others if drafts[b].kind == draft.kind or not drafts[b].kind)
        if ctx.bracketed_other(draft, spot):
            continue
        if others and far >= 1.0:
            continue  # words behind a comma and another figure are that figure's
        led = _led(ctx, spot)
        gap = spot.i - draft.j
        cost = (0.25 if led else 0.9) + 1.2 * far + 0.03 * gap
        cost += (2.5 if led else 4.0) * same + 0.4 * (len(others) - same)
        if not led:
            cost += 0.6 if gap > 2 else -0.6 if gap <= 1 and far < 0.5 else 0.0
        if _speaks_of_next(ctx, spot, far):
            cost += 2.2
        if others and len(others) > same and _renamed(ctx, draft.j, drafts[others[-1]].i):
            cost += 1.5
        if cost < 2.3:
            found.append((cost, spot))
    return found


def _shut_in(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether a condition stands in closed brackets with a figure of its own, no time."""
    norm = ctx.t.norm
    for i in range(spot.j, min(draft.i, spot.j + 12)):
        if norm[i] == "(":
            return False
        if norm[i] == ")":
            inside = ctx.drafts_between(spot.j, i)
            return any(ctx.drafts[b].kind not in {"time", ""} for b in inside)
    return False


def _paragraph_head(ctx: Context, draft: Draft) -> Spot | None:
    """The condition that is all the heading of a draft's paragraph: "DILUTION. Idle at ..."."""
    heads: list[Spot] | None = ctx.memo.get(("paragraph heads", 0))
    if heads is None:
        heads = ctx.memo["paragraph heads", 0] = [
            spot for spot in ctx.roles["condition"] if _is_heading(ctx, spot)
        ]
    at = bisect_left(heads, draft.i, key=lambda spot: spot.j)
    if not at:
        return None
    last, t = heads[at - 1], ctx.t
    between = t.text[t.end[last.j - 1] : draft.start]
    if "\n\n" in between or (t.norm[last.j] == ":" and _ENTRY_END.search(between)):
        return None  # a list: "Emergency: 3,000 r.p.m." is an entry, and the next line another
    return last


_ENTRY_END = re.compile(r"\d.*[.;]\s*\n")
"""The end of a line that has told its figures."""


def _is_heading(ctx: Context, spot: Spot) -> bool:
    t = ctx.t
    if spot.group not in {"rating", "phase", "gear"} or spot.j >= t.n:
        return False
    if spot.i and (t.gap[spot.i] < 3 or t.norm[spot.i - 1] not in ".:;)"):
        return False
    words = t.text[t.start[spot.i] : t.end[spot.j - 1]]
    mark = t.norm[spot.j]
    dashed = t.norm[spot.j + 1 : spot.j + 2] == ["-"]
    return mark == ":" or (mark == "." and (words.isupper() or dashed))


def _of_figure_between(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether a condition is said of an earlier figure alone, as this one has its own bound.

    In "65 lb. when cruising, never below 50" the words stand behind the first figure; in
    "idle 6, cruise 19, never over 25" they are one of several that go with a figure each.
    """
    starts = ctx.starts.get("bound")
    if not starts or spot.group not in {"rating", "phase"} or not draft.i:
        return False
    at = bisect_left(starts, draft.i) - 1
    if at < 0 or ctx.roles["bound"][at].j != draft.i or ctx.roles["bound"][at].group == "any":
        return False
    bound = ctx.roles["bound"][at]
    between = ctx.drafts_between(spot.j, bound.i)
    before = ctx.drafts_between(max(0, spot.i - 12), spot.i)
    if not between and before and ctx.barrier(spot.j, bound.i) >= 0.6:
        first = ctx.drafts[before[-1]]
        close = ctx.barrier(first.j, spot.i) < 0.9 and bound.group == "pre"
        return close and first.kind == draft.kind
    if not between or ctx.barrier(spot.j, bound.i) < 0.9:
        return False
    # one of several: the last figure but one has a condition to itself, and so has one before
    last = ctx.drafts[between[-1]]
    conditions = ctx.starts["condition"]
    k = bisect_left(conditions, last.i) - 1
    if k < 1:
        return False
    own, earlier = ctx.roles["condition"][k], ctx.roles["condition"][k - 1]
    return (
        own.group in _STATES and earlier.group in _STATES
        and last.i - own.j <= 1
        and len(ctx.drafts_between(earlier.j, own.i)) == 1
        and ctx.barrier(earlier.j, own.i) < 2.2
    )  # fmt: skip


_STATES = frozenset({"rating", "phase"})


def _in_brackets_behind(ctx: Context, spot: Spot) -> bool:
    """Whether a condition stands in brackets right behind a figure, and so is said of that."""
    t, i = ctx.t, spot.i
    closed = spot.j < t.n and t.norm[spot.j] == ")"
    return closed and i > 1 and t.norm[i - 1] == "(" and ctx.owner[i - 2] >= 0


def _renamed(ctx: Context, i: int, j: int) -> bool:
    """Whether a fluid or the like is named between tokens `i` and `j`: what follows is of that."""
    starts = ctx.starts.get("subject")
    if not starts:
        return False
    spots = ctx.roles["subject"]
    return any(
        spots[at].value not in _SETTINGS
        for at in range(bisect_left(starts, i), bisect_left(starts, j))
    )


_SETTINGS = word_set("settings")
"""What a rating is made of: its words hold for all of these together."""


_AT = word_set("words-of-at")


_STANDS = word_set("places-of-one")
"""Places that a figure is given for, and not the one after it."""


def _twin_of(ctx: Context, draft: Draft, b: int) -> bool:
    """Whether draft `b` is `draft` once more, in brackets and another unit."""
    other = ctx.drafts[b]
    return ctx.t.norm[draft.j : other.i] == ["("]


def _opens_sentence(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether a condition heads the sentence that a figure stands in: "In the dive: ..."."""
    t = ctx.t
    if spot.j >= t.n or t.norm[spot.j] not in {":", ","}:
        return False
    i = spot.i
    while i > 0 and spot.i - i < 3 and t.kind[i - 1] == WORD:
        i -= 1
    begins = i == 0 or t.gap[i] >= 3 or t.norm[i - 1] in {".", "!", "?"}
    if not begins:
        return False
    if ctx.sentence[spot.i] == ctx.sentence[draft.i]:
        return True
    # "Run-up: prop through at 1600. Max. drop 100": a title holds to the end of its line
    titled = t.norm[spot.j] == ":" and (i == 0 or t.gap[i] >= 3)
    return titled and t.text.find("\n", t.end[spot.j], draft.start) < 0


def _speaks_of_next(ctx: Context, spot: Spot, far: float) -> bool:
    """Whether a condition after a figure opens a clause with a figure of its own."""
    at = bisect_left(ctx.draft_starts, spot.j)
    if at >= len(ctx.drafts):
        return False
    following = ctx.drafts[at]
    if far < 0.9 and ctx.t.norm[following.i - 1] == "(":
        return False  # "26,400 war emergency (5 min.)"
    near = ctx.barrier(spot.j, following.i)
    gap = following.i - spot.j
    if far >= 0.9:
        return near < 0.9 and gap <= 7
    return gap <= 1 and near < 0.5 and not _led(ctx, spot)


def _led(ctx: Context, spot: Spot) -> bool:
    i = spot.i
    norm = ctx.t.norm
    return norm[i] in LEADS or (i > 0 and norm[i - 1] in LEADS) or (i > 0 and norm[i - 1] == "(")
