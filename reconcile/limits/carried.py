"""What a figure takes over from those it stands with: times, conditions and bounds."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction

from reconcile.limits.context import Context
from reconcile.limits.flown import FLOWN
from reconcile.limits.meaning import Meaning
from reconcile.limits.scope import note_about
from reconcile.limits.times import leads_to_limit
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.wordsets import word_set
from reconcile.records import Span

TIME_SCALE = {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600), "d": Fraction(86400)}


def share_times(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Give a rating's figures the time the rating may be used."""
    nearest: dict[int, int] = {}
    for k, meaning in enumerate(meanings):
        if meaning is None or meaning.parameter != "time limit" or meaning.draft.nominal is None:
            continue
        scale = TIME_SCALE.get(meaning.sense.unit)
        if scale is None:
            continue
        seconds = meaning.draft.nominal * scale
        place = ctx.cell_of[k]
        behind = meanings[k + 1] if place is None and leads_to_limit(ctx, k) else None
        if behind is not None:
            behind.time_limit = seconds  # "for 5 minutes 45 lb./sq. in."
            meaning.condition = behind.condition
            continue
        home = note_about(ctx, meaning.draft.start)
        in_label = place is None and home is None and _row_label(ctx, k)
        if place is not None:
            i, j = ctx.token_range(place[0].span)
            at: Sequence[int] = ctx.drafts_between(i, j)
        elif in_label:
            at = _under_heading(ctx, meaning.draft.start)
        else:
            at = range(max(0, k - 8), min(len(meanings), k + 9))
        for m in at:
            other = meanings[m]
            if other is None or other is meaning or other.sense.kind in _UNTIMED:
                continue
            if other.parameter in _MOMENTARY:
                continue
            if place is not None or in_label:
                if not _same_line(ctx, place, ctx.cell_of[m], meaning):
                    continue
                if place is not None and other.condition != meaning.condition:
                    continue
            else:
                a, b = (m, k) if m < k else (k, m)
                far = ctx.barrier(ctx.drafts[a].j, ctx.drafts[b].i)
                if home != note_about(ctx, other.draft.start):
                    continue  # a note's time is of what is in the note
                if m > k and _closed(ctx, meanings, k, m):
                    continue
                if any(x is not None and x.bound == "min" for x in meanings[m + 1 : k]):
                    continue  # "1,000 r.p.m., never less than 800 for longer than 2 mins."
                heads = m > k and not meaning.condition and far <= 1.7 and _opens(ctx, k)
                if far >= 5 or (
                    other.condition != meaning.condition and (m > k or far > 1.7) and not heads
                ):
                    continue
                if (
                    other.condition
                    and other.condition != meaning.condition
                    and any(
                        x is not None and x.condition == meaning.condition
                        for x in meanings[m + 1 : k]
                    )
                ):
                    continue  # the time is that of a figure between
            apart = abs(m - k) + (len(meanings) if other.condition != meaning.condition else 0)
            if m in nearest and nearest[m] <= apart:
                continue
            nearest[m] = apart
            other.time_limit = seconds
            if other.bound == "nominal" and other.twin is None and not other.draft.bounded:
                other.bound = "max"


def _opens(ctx: Context, k: int) -> bool:
    """Whether a sentence begins with a time: "For five minutes only, 3,000 r.p.m. ..."."""
    i = ctx.drafts[k].i
    return (
        i > 0
        and ctx.t.norm[i - 1] == "for"
        and (i == 1 or ctx.sentence[i - 2] != ctx.sentence[i] or ctx.t.norm[i - 2] in ".;:")
    )


def _closed(ctx: Context, meanings: list[Meaning | None], k: int, m: int) -> bool:
    """Whether a time closes a sentence about another figure: it is not of the next one's."""
    time, later = ctx.drafts[k], ctx.drafts[m]
    if ctx.sentence[time.i] == ctx.sentence[later.i] or not k:
        return False
    said = meanings[k - 1]
    if said is None or said.sense.kind in _UNTIMED or said.bound == "min":
        return False
    return ctx.sentence[time.i] == ctx.sentence[said.draft.i]


def share_with_twins(meanings: list[Meaning | None]) -> None:
    """A figure in a second unit is bounded as the one it repeats."""
    for meaning in meanings:
        if meaning is not None and meaning.twin is not None and meaning.bound == "nominal":
            meaning.bound = meaning.twin.bound if meaning.twin.bound == "max" else "nominal"


_MOMENTARY = word_set("momentary-subjects")
"""What is watched, and not held for a time."""


_UNTIMED = frozenset({"time", "altitude", "distance", "mass", "volume"})


_UNCARRIED = _UNTIMED - {"mass"}


def _same_line(
    ctx: Context,
    place: tuple[Grid, GridCell] | None,
    there: tuple[Grid, GridCell] | None,
    meaning: Meaning,
) -> bool:
    """Whether a figure in a table stands in the row or column that a time is given for."""
    if there is None:
        return False
    if place is None:
        at = meaning.draft.start
        return any(a <= at < b for a, b in (*there[1].row, *there[1].column))
    if there[0] is not place[0]:
        return False
    cell = place[1]
    across = any(
        s.value == "time limit" for span in cell.row for s in ctx.spots_in("subject", span)
    ) or (
        # the columns are ratings, and the rows are not: "Time  3 mins.  1 hr."
        any(ctx.spots_in("condition", span) for span in cell.column)
        and not any(ctx.spots_in("condition", span) for span in cell.row)
    )
    return there[1].at[1 if across else 0] == place[1].at[1 if across else 0]


def _row_label(ctx: Context, k: int) -> bool:
    start = ctx.drafts[k].start
    last = bisect_right(ctx.grid_starts, start)
    return any(start < grid.span[1] for grid in ctx.grids[max(0, last - 4) : last])


def _under_heading(ctx: Context, at: int) -> list[int]:
    """Drafts in the cells that a heading holding character `at` is over or beside."""
    under: dict[Span, list[int]] | None = ctx.memo.get(("under headings",))
    if under is None:
        under = {}
        for m, place in enumerate(ctx.cell_of):
            if place is not None:
                for span in dict.fromkeys((*place[1].row, *place[1].column)):
                    under.setdefault(span, []).append(m)
        ctx.memo["under headings",] = under
        ctx.memo["headings",] = sorted(under)
    spans: list[Span] = ctx.memo["headings",]
    here = bisect_right(spans, (at, len(ctx.t.text) + 1))
    holding = [span for span in spans[max(0, here - 8) : here] if at < span[1]]
    return sorted({m for span in holding for m in under[span]})


def carry_maxima(ctx: Context, meanings: list[Meaning | None]) -> None:
    """A maximum said once holds for the list it opens: "limited to 270; in emergency 290"."""
    previous: Meaning | None = None
    for meaning in meanings:
        if meaning is None or meaning.sense.kind in _UNCARRIED:
            continue
        if (
            previous is not None
            and meaning.bound == "nominal"
            and previous.bound == "max"
            and previous.draft.bounded
            and not meaning.draft.bounded
            and meaning.parameter == previous.parameter
            and meaning.twin is None
            and meaning.draft.plus_minus is None
            and meaning.condition not in _USUAL_STATES
            and not (meaning.parameter == "airspeed" and meaning.condition in FLOWN)
            and meaning.parameter != "stalling speed"
            and ctx.barrier(previous.draft.j, meaning.draft.i) < 5.5
        ):
            meaning.bound = "max"
            meaning.draft.bounded = True
        previous = meaning


_USUAL_STATES = word_set("unremarked-states") | {""}
