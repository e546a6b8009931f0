"""Conditions in the words around a figure, and how far off each is."""

from __future__ import annotations

import re
from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_set

LEADS = word_set("leads-of-conditions")


def conditions_around(ctx: Context, draft: Draft) -> list[tuple[float, Spot]]:
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
        opens = far > 3 and opens_sentence(ctx, spot, draft)
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
        if is_shut_in(ctx, spot, draft):
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


def is_shut_in(ctx: Context, spot: Spot, draft: Draft) -> bool:
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


def opens_sentence(ctx: Context, spot: Spot, draft: Draft) -> bool:
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
