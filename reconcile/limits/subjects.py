"""Finds what a figure measures: the subject whose words govern it, and the unit's sense."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from operator import itemgetter

from reconcile.limits.context import Context, Spot
from reconcile.limits.decks import over_heading
from reconcile.limits.headings import own_headings, paired_subject
from reconcile.limits.senses import Choice
from reconcile.limits.terms import (
    company_words,
)
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import GridCell
from reconcile.notation.wordsets import word_set

FAR = 16.0
"""Barriers beyond which no words govern a figure, short of a heading's."""


_DISTANCE = itemgetter(0)


def subject_choices(ctx: Context, k: int) -> list[Choice]:
    """Subjects that could govern draft `k`, with their distance, nearest first."""
    draft = ctx.drafts[k]
    found: list[Choice] = []
    place = ctx.cell_of[k]
    if place is not None:
        grid, cell = place
        if pair := paired_subject(ctx, k):
            found.append((0.05, pair))
        own = (cell.span[0], draft.start)
        for rank, spot in enumerate(reversed(ctx.spots_in("subject", own))):
            found.append((0.1 + 0.3 * rank, spot.value))
        for depth, span in enumerate(reversed(own_headings(ctx, grid, cell))):
            found += [(0.5 + 0.2 * depth, s.value) for s in _headed(ctx, span)]
        spans = [] if _holds_figure(ctx, cell) else cell.row
        for depth, span in enumerate(reversed(spans)):
            found += [(0.7 + 0.3 * depth, s.value) for s in _headed(ctx, span)]
        after = (draft.end, cell.span[1])
        found += [
            (0.3 if s.i - draft.j <= 1 else 0.9, s.value)
            for s in ctx.spots_in("subject", after)[:1]
        ]
        if grid.caption is not None:
            # "Stalling speeds, m.p.h. I.A.S.": a title says first what the table holds
            titled = reversed(_headed(ctx, grid.caption))
            found += [(4.0 + 0.1 * n, s.value) for n, s in enumerate(titled)]
    else:
        for depth, span in enumerate(reversed(over_heading(ctx, draft))):
            found += [(0.5 + 0.2 * depth, s.value) for s in _headed(ctx, span)]
    if not found:
        found += _around(ctx, draft, _NOWHERE if place is None else place[0].headings)
    found.sort(key=_DISTANCE)
    return found


def _holds_figure(ctx: Context, cell: GridCell) -> bool:
    """Whether the row's label is itself a quantity, as in a table by weight or height."""
    if not cell.row:
        return False
    i, j = ctx.token_range(cell.row[-1])
    return bool(j > i and ctx.owner[i] >= 0)


def _headed(ctx: Context, span: tuple[int, int]) -> list[Spot]:
    spots = ctx.spots_in("subject", span)
    if not spots:
        return spots
    return [
        s
        for s in spots
        if not s.group or s.group in {"weak", "strong", "head"} or _named(ctx, s.group)
    ][::-1]


def _fit_to(ctx: Context, spot: Spot, draft: Draft) -> bool:
    """Whether a subject that needs something else beside it has it."""
    if spot.group == "weak":
        # "approach 90 kts" is a speed, "approach 3" is not
        return (
            bool(draft.senses)
            or draft.likely == "speed"
            or (draft.spoken and (draft.value or 0) >= _SLOWEST)
            or _before_speed(ctx, draft)
        )
    return spot.group == "strong" or _named(ctx, spot.group)


def _before_speed(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number goes before a speed in a list: "gear 170, flaps 140 m.p.h."."""
    at = bisect_left(ctx.draft_starts, draft.j)
    end = draft.j
    for other in ctx.drafts[at : at + 3]:
        if ctx.barrier(end, other.i) > 1.75:
            return False
        if other.senses:
            return any(sense.kind == "speed" and sense.rank == 1 for sense in other.senses)
        end = other.j
    return False


_SLOWEST = 60
"""What in someone's talk may be a speed though no unit is said with it."""


def _named(ctx: Context, subject: str) -> bool:
    """Whether `subject` is spoken of anywhere in the text."""
    return subject in ctx.subjects


_TANKS = word_set("words-of-tanks")
_HELD = word_set("held-in-tanks")
"""What tanks hold besides fuel."""


def _tanks_of_another(ctx: Context, spot: Spot) -> bool:
    """Whether tanks are of the fluid named just before them: "Oil: two tanks of 16½ gallons"."""
    at = bisect_left(ctx.starts["subject"], spot.i) - 1
    if at < 0:
        return False
    other = ctx.roles["subject"][at]
    return (
        other.value in _HELD
        and spot.i - other.j <= 4
        and ctx.barrier(other.j, spot.i) < 1.5
        and ctx.sentence[other.i] == ctx.sentence[spot.i]
    )


def _names_figure_before(ctx: Context, spot: Spot) -> bool:
    """Whether a subject only says what the figure right before it is: "0 lb./sq. in. boost;"."""
    if not spot.i or ctx.owner[spot.i - 1] < 0 or ctx.t.gap[spot.i] > 1:
        return False
    return spot.j < ctx.t.n and ctx.t.norm[spot.j] in ".;,)"


def _is_of_figure_before(ctx: Context, spot: Spot) -> bool:
    """Whether "of" binds a subject to the figure before it: "forty pounds of oil pressure"."""
    t = ctx.t
    return spot.i > 1 and t.norm[spot.i - 1] == "of" and ctx.owner[spot.i - 2] >= 0


def _is_place_of(ctx: Context, spot: Spot) -> bool:
    """Whether a subject only says where another is measured: "petrol pressure at the pump"."""
    t = ctx.t
    i = spot.i - (spot.i > 0 and t.norm[spot.i - 1] in _THE)
    if not i or t.norm[i - 1] not in _WHERE:
        return False
    at = bisect_left(ctx.starts["subject"], i) - 1
    return at >= 0 and ctx.roles["subject"][at].j == i - 1


_THE = word_set("articles-of-places")
_WHERE = word_set("before-places")


def _names_rating(ctx: Context, spot: Spot) -> bool:
    """Whether a word for power ends the name of a rating that a figure holds at."""
    i = spot.i
    while i and not ctx.t.gap[i]:
        i -= 1
    return i > 0 and ctx.t.norm[i - 1] in _WHERE_HOLDS


_WHERE_HOLDS = word_set("before-what-holds")


def _is_height(draft: Draft) -> bool:
    return any(sense.kind in {"altitude", "length", "distance"} for sense in draft.senses)


_NOWHERE: tuple[tuple[int, int], ...] = ()


def _within(at: int, spans: Iterable[tuple[int, int]]) -> bool:
    return any(a <= at < b for a, b in spans)


def _around(ctx: Context, draft: Draft, heads: Sequence[tuple[int, int]]) -> list[Choice]:
    """Subjects in the text before and behind a figure, but for those in the headings `heads`.

    What stands over other columns is not of this cell.
    """
    found: list[Choice] = []
    starts = ctx.starts.get("subject")
    if not starts:
        return found
    norm = ctx.t.norm
    spots = ctx.roles["subject"]
    here = bisect_left(starts, draft.i)
    before, after = ctx.before[draft.i], ctx.after
    for spot in reversed(spots[max(0, here - 24) : here]):
        far = before - after[spot.j]
        if far > FAR:
            break
        if heads and _within(ctx.t.start[spot.i], heads):
            continue
        if spot.group and not _fit_to(ctx, spot, draft):
            continue
        if norm[spot.i] in _TANKS and _tanks_of_another(ctx, spot):
            continue
        cost = far + 0.03 * (draft.i - spot.j) - (0.7 if spot.group == "strong" else 0)
        if far >= 3 and _names_figure_before(ctx, spot):
            cost += 5.0
        elif (
            spot.value == "altitude"
            and spot.i
            and ctx.owner[spot.i - 1] >= 0
            and (
                ctx.drafts[ctx.owner[spot.i - 1]].kind == "altitude"
                or _is_height(ctx.drafts[ctx.owner[spot.i - 1]])
            )
        ):
            cost += 6.0  # "in 5 km Höhe 545": the noun is that of the figure before it
        elif spot.value == "power" and not draft.senses and _names_rating(ctx, spot):
            cost += 3.0  # "bei Sparleistung 215"
        elif (lead := norm[spot.i - 1]) == "of" and _is_of_figure_before(ctx, spot):
            cost += 1.2
        elif (lead in _WHERE or lead in _THE) and _is_place_of(ctx, spot):
            cost += 0.8
        found.append((cost, spot.value))
    for spot in spots[here : here + 4]:
        far = ctx.barrier(draft.j, spot.i)
        gap = spot.i - draft.j
        if far > 6:
            break
        if heads and _within(ctx.t.start[spot.i], heads):
            continue
        if spot.group and not _fit_to(ctx, spot, draft):
            continue
        if (
            spot.group == "strong"
            and gap <= 8
            and far < 1.3
            and not ctx.drafts_between(draft.j, spot.i)
        ):
            found.append((0.02 + 0.1 * far, spot.value))
            continue
        between = len(ctx.drafts_between(draft.j, spot.i))
        cost = (0.35 if gap <= 2 and far < 0.3 else 1.3) + 1.6 * far + 0.1 * gap + 2.0 * between
        if far >= 0.6 and _names_figure_behind(ctx, spot):
            cost += 8.0  # "flow 425 lb/hr, oil 78°"
        found.append((cost, spot.value))
    return found


def _names_figure_behind(ctx: Context, spot: Spot) -> bool:
    """Whether a subject stands right before a figure of its own."""
    at = bisect_left(ctx.draft_starts, spot.j)
    if at >= len(ctx.drafts):
        return False
    behind = ctx.drafts[at]
    begin = behind.unit_at if 0 <= behind.unit_at < behind.i else behind.i
    words = ctx.t.norm[spot.j : begin]
    return (
        len(words) <= 3
        and ctx.barrier(spot.j, begin) < 0.9
        and (len(words) < 2 or all(word in company_words("leads") for word in words))
    )
