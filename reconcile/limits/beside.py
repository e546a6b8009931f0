"""How two figures and the bound between or around them stand to one another."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_set


def closes_clause(ctx: Context, spot: Spot) -> bool:
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


def in_brackets_behind(ctx: Context, draft: Draft) -> Spot | None:
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


def all_joined(ctx: Context, crossed: range, draft: Draft) -> bool:
    """Whether several figures between a bound word and a figure are of one enumeration."""
    drafts = ctx.drafts
    kinds = {drafts[b].kind for b in crossed}
    return len(kinds) < 2 or all(is_joined(ctx, drafts[b], drafts[b + 1]) for b in crossed[:-1])


def is_joined(ctx: Context, first: Draft, second: Draft) -> bool:
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


_APART = word_set("parts-a-clause")


def closes_another(ctx: Context, spot: Spot) -> bool:
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


def named_between(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether the second of two figures is of something that has a name of its own."""
    starts = ctx.starts.get("subject")
    if not starts:
        return False
    at = bisect_left(starts, first.j)
    return at < len(starts) and starts[at] < second.i


def shares_bound(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether the second of two figures shares the words that bound the first."""
    return not _APART.intersection(ctx.t.norm[first.j : second.i])


def stands_off(ctx: Context, spot: Spot, draft: Draft) -> bool:
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


def is_bracketed_after(ctx: Context, first: Draft, second: Draft) -> bool:
    return ctx.t.norm[first.j : second.i] in _ALONE_BETWEEN


def belongs_before(ctx: Context, spot: Spot) -> bool:
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
    if before.kind != after.kind or before.kind not in _GAUGED or named_between(
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


_ALONE_BETWEEN = tuple(words.split() for words in word_set("alone-between-equals"))
