"""Finds what kind of limit a figure is: most, least, a range, about, or simply stated."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.limits.terms import CONTINENTAL, usual_bound
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import WORD
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
        if spot.j == draft.i and spot.group == "post" and ctx.t.norm[spot.i] in _ORS:
            if _shares_negation(ctx, spot):
                return "max" if spot.value == "min" else "min"
    if (bracketed := _in_brackets_behind(ctx, draft)) is not None:
        return _turn(ctx, bracketed, draft)
    if (
        here
        and spots[here - 1].j == draft.i
        and spots[here - 1].group in {"pre", "near"}
        and (ctx.barrier(draft.i, draft.i) < 0.5)
    ):
        return _turn(ctx, spots[here - 1], draft)
    # after the figure
    for spot in spots[here : here + 2]:
        if spot.i < draft.j:
            continue
        far = ctx.barrier(draft.j, spot.i)
        gap = spot.i - draft.j
        crossed = ctx.drafts_between(draft.j, spot.i)
        if spot.group == "clause" and far < 3.2:
            return spot.value
        if not crossed and gap == 1 and spot.group in {"any", "post"} and _closes(ctx, spot):
            return _turn(ctx, spot, draft)
        if crossed or far > 0.85 or gap > 4 or ctx.bracketed_other(draft, spot):
            break
        if spot.group == "post" or (spot.group == "any" and _belongs_before(ctx, spot)):
            return _turn(ctx, spot, draft)
    if draft.i and ctx.t.norm[draft.i - 1] in _NOR:
        for spot in reversed(spots[max(0, here - 6) : here]):
            if ctx.sentence[spot.i] == ctx.sentence[draft.i] and spot.group == "pre":
                return spot.value  # "not to exceed ..., nor 455 knots"
    said_of_another = False
    for spot in reversed(spots[max(0, here - 6) : here]):
        far = ctx.barrier(spot.j, draft.i)
        if far > 2.6:
            break
        if spot.group == "pre" and ctx.tradition in CONTINENTAL and _closes_another(ctx, spot):
            continue
        if spot.group in {"post", "clause"}:
            continue
        if spot.group == "until" and draft.kind not in _UNTIL:
            continue
        if spot.group == "inner" and draft.kind not in _RATED:
            continue
        if spot.group in {"any", "inner"} and _belongs_before(ctx, spot):
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
            if ctx.barrier(last.j, draft.i) > _JOIN or not _joined(ctx, last, draft):
                continue
            if spot.group == "turn" and not _all_merely(ctx, crossed, draft):
                continue  # "falls under 45 lb. come back to 2,000 r.p.m. and 0 lb."
            if spot.group == "turn" and last.kind != draft.kind and not _merely(ctx, last, draft):
                continue  # "above 20,000 ft. reduce 2 in."
            if draft.kind == "time" and last.kind != "time" and not _merely(ctx, last, draft):
                continue  # "not more than 800 r.p.m. and warm it 2 mins."
            if last.kind == draft.kind and _named_between(ctx, last, draft):
                if not _merely(ctx, last, draft):
                    continue
                return _turn(ctx, spot, draft)  # "until the oil is 15° and the coolant 60°"
            # "maximum 3,000 and 12 in ...": another figure of the kind needs its own word,
            # unless the two are simply joined
            if (
                last.kind == draft.kind
                and not _bracketed_after(ctx, last, draft)
                and (draft.i - last.j > 6 or first is not last)
            ):
                continue
        elif draft.i - spot.j > 9:
            continue
        if _stood_off(ctx, spot, draft):
            return "nominal"
        return _turn(ctx, spot, draft)
    return ""


def _closes(ctx: Context, spot: Spot) -> bool:
    """Whether a bound word behind a comma ends what is said: "+9 lb./sq. in., maximum."."""
    t = ctx.t
    if t.norm[spot.i - 1] != ",":
        return False
    if spot.j >= t.n or t.norm[spot.j] in {";", ")"}:
        return True
    if t.norm[spot.j] != ".":
        return False
    # and is not shortened, with the figure it bounds behind it: ", max. 9 lb."
    i = spot.j + 1
    return i >= t.n or t.gap[i] >= 3 or (t.kind[i] == WORD and t.text[t.start[i]].isupper())


def _in_brackets_behind(ctx: Context, draft: Draft) -> Spot | None:
    """The bound in brackets right behind a figure: "60 psi (min.)"."""
    t = ctx.t
    if draft.j + 2 >= t.n or t.norm[draft.j] != "(":
        return None
    starts = ctx.starts["bound"]
    at = bisect_left(starts, draft.j + 1)
    if at >= len(starts) or starts[at] != draft.j + 1:
        return None
    spot = ctx.roles["bound"][at]
    closes = spot.j + (t.norm[spot.j : spot.j + 1] == ["."])
    return spot if t.norm[closes : closes + 1] == [")"] else None


_NOR = word_set("words-of-nor")


def _all_merely(ctx: Context, crossed: range, draft: Draft) -> bool:
    """Whether several figures between a bound word and a figure are of one enumeration."""
    drafts = ctx.drafts
    kinds = {drafts[b].kind for b in crossed}
    return len(kinds) < 2 or all(_merely(ctx, drafts[b], drafts[b + 1]) for b in crossed[:-1])


def _merely(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether no more than "and" and a name stands between two figures."""
    words = ctx.t.norm[first.j : second.i]
    if words[:1] == [","]:
        words = words[1:]
    if not words or words[0] not in _ANDS or len(words) > 6:
        return False
    i = second.i - len(words) + 1
    while i < second.i:
        if ctx.t.norm[i] in _ARTICLES:
            i += 1
            continue
        starts = ctx.starts.get("subject", [])
        at = bisect_left(starts, i)
        if at >= len(starts) or starts[at] != i:
            return False
        i = ctx.roles["subject"][at].j
    return True


_ANDS = word_set("words-of-and-or")
_ARTICLES = word_set("articles")
_RATED = frozenset({"rotational_speed", "pressure", "temperature", "power", "time", "mass"})
_UNTIL = frozenset({"temperature"})
_APART = word_set("parts-a-clause")


_AS_A_RULE = word_set("usual-states")
_NEVER_MOST = word_set("never-most")


def _closes_another(ctx: Context, spot: Spot) -> bool:
    """Whether "au plus" stands right behind a figure, where it may be said of that one."""
    at = bisect_left(ctx.draft_starts, spot.i) - 1
    if at < 0 or not 0 <= spot.i - ctx.drafts[at].j <= 0:
        return False
    starts = ctx.starts["bound"]
    m = bisect_left(starts, spot.i)
    spots = ctx.roles["bound"]
    while m < len(starts) and starts[m] == spot.i:
        if spots[m].group == "post":
            return True
        m += 1
    return False


def _named_between(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether the second of two figures is of something that has a name of its own."""
    starts = ctx.starts.get("subject")
    if not starts:
        return False
    at = bisect_left(starts, first.j)
    return at < len(starts) and starts[at] < second.i


def _joined(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether the second of two figures shares the words that bound the first."""
    return not _APART.intersection(ctx.t.norm[first.j : second.i])


def _stood_off(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether "normal" or its like stands between a bound word and the figure."""
    starts = ctx.starts.get("condition")
    if not starts:
        return False
    at = bisect_left(starts, draft.i) - 1
    while at >= 0 and starts[at] >= spot.j:
        if ctx.roles["condition"][at].group == "quality" and draft.i - starts[at] <= 3:
            return True
        at -= 1
    return False


def _turn(ctx: Context, spot: Spot, draft: Draft) -> str:
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
        flip = flip or _role_after(ctx, "trouble", draft) or _shares_negation(ctx, spot)
        return spot.value if not flip else "min" if spot.value == "max" else "max"
    if (
        _role_before(ctx, "negation", spot)
        or _shares_negation(ctx, spot)
        or _forbidden(ctx, spot)
    ):
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
    elif (draft.kind == "rotational_speed" and _THRESHOLD.intersection(
        ctx.t.norm[max(0, spot.i - 4) : spot.i]
    )) or (spot.value == "max" and (_opens(ctx, spot, draft) or _conditional(ctx, spot, draft))):
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


def _shares_negation(ctx: Context, spot: Spot) -> bool:
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
    return bool(words) and words[0] in _ORS and len(words) <= 3


_NOTS = word_set("words-of-must-not")
_ORS = word_set("words-of-or-nor")


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


def _bracketed_after(ctx: Context, first: Draft, second: Draft) -> bool:
    return ctx.t.norm[first.j : second.i] in _ALONE_BETWEEN


def _belongs_before(ctx: Context, spot: Spot) -> bool:
    """Whether "max." between two figures belongs to the one before it."""
    drafts = ctx.drafts
    starts = ctx.draft_starts
    at = bisect_left(starts, spot.i)
    before = drafts[at - 1] if at else None
    after = drafts[at] if at < len(drafts) else None
    if before is None or spot.i - before.j > 2 or ctx.barrier(before.j, spot.i) > 0.85:
        return False
    if after is None or after.i - spot.j > 3 or ctx.barrier(spot.j, after.i) > 0.5:
        return True
    if ctx.bracketed_other(before, spot):
        return False
    if _out_of_order(ctx, spot, before, after):
        return False
    # Both are near: as the line began, so it goes on.
    first = at - 1
    while first > 0 and ctx.barrier(drafts[first - 1].j, drafts[first].i) < 2.9:
        first -= 1
    opening = drafts[first]
    for role in ("bound", "condition"):
        spots = ctx.roles.get(role, [])
        here = bisect_left(ctx.starts.get(role, []), opening.i)
        if here:
            lead = spots[here - 1]
            if (
                (role == "bound" or lead.group == "quality")
                and ctx.barrier(lead.j, opening.i) <= 0.85
                and opening.i - lead.j <= 2
            ):
                return False
    return True


def _out_of_order(ctx: Context, spot: Spot, before: Draft, after: Draft) -> bool:
    """Whether a bound cannot be of the first of two figures of one thing.

    No least is more than what stands beside it, and no most less: "75-90 min 55 lb".
    """
    if before.kind != after.kind or before.kind not in _GAUGED or _named_between(
        ctx, before, after
    ):  # fmt: skip
        return False
    if before.value is None or after.value is None or before.value == after.value:
        return False
    if spot.value not in {"min", "max"} or before.sense != after.sense:
        return False
    return before.nominal is None or (spot.value == "min") == (before.value > after.value)


_GAUGED = frozenset({"pressure", "temperature"})
"""Kinds that have a least and a most side by side."""


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


_ALONE_BETWEEN = tuple(words.split() for words in word_set("alone-between-equals"))
