"""Ditto marks: for the unit above a number, or for the whole figure above."""

from __future__ import annotations

from reconcile.limits.bare import without_unit
from reconcile.limits.context import Context
from reconcile.limits.likeness import ratio_of
from reconcile.limits.meaning import Meaning
from reconcile.limits.senses import choose_sense
from reconcile.limits.subjects import subject_choices


def repeated(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A ditto mark in a cell of its own: the figure above it once more."""
    draft = ctx.drafts[k]
    source = None
    place = ctx.cell_of[k]
    if place is not None:
        above = place[0].above(place[1])
        if above is not None:
            source = next(
                (
                    m
                    for m in meanings[max(0, k - 40) : k]
                    if m is not None and above.span[0] <= m.draft.start < above.span[1]
                ),
                None,
            )
        column, row = place[1].at[1], place[1].at[0]
        for m in range(k - 1, max(-1, k - 40), -1):
            there, other = ctx.cell_of[m], meanings[m]
            if (
                source is None
                and other is not None
                and there is not None
                and (there[0] is place[0] and there[1].at[1] == column and there[1].at[0] < row)
            ):
                source = other
    if source is None:
        source = figure_above(ctx, k, meanings)
    if source is None:
        return None
    for name in ("nominal", "lo", "hi", "plus_minus", "resolution", "sign", "void"):
        setattr(draft, name, getattr(source.draft, name))
    choices = subject_choices(ctx, k)
    sense, subject, parameter, distance = choose_sense(ctx, k, (source.sense,), choices)
    if distance > 1.6:
        subject, parameter = source.subject, source.parameter
    draft.sense, draft.kind = sense, sense.kind
    return Meaning(draft, sense, subject, parameter)


_LIKE = 3
"""How many times a figure in the same line may be what a ditto stands for."""


def with_ditto(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A figure whose unit is a ditto mark: the unit of the figure above it."""
    draft = ctx.drafts[k]
    above_it = figure_above(ctx, k, meanings)
    if above_it is None:
        above_it = next(
            (
                m
                for m in reversed(meanings[max(0, k - 4) : k])
                if m is not None
                and m.sense.kind != "time"
                and ratio_of(m.draft.value, draft.value) <= _LIKE
            ),
            None,
        )
    if above_it is None:
        return without_unit(ctx, k, meanings)
    choices = subject_choices(ctx, k)
    senses = (above_it.sense,)
    sense, subject, parameter, distance = choose_sense(ctx, k, senses, choices)
    if distance > 1.0:
        subject, parameter = above_it.subject, above_it.parameter
    draft.sense, draft.kind = sense, sense.kind
    return Meaning(draft, sense, subject, parameter)


def figure_above(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """The figure that stands nearest above draft `k`, by its place in the line."""
    draft = ctx.drafts[k]
    text = ctx.t.text
    line = text.rfind("\n", 0, draft.start) + 1
    column = draft.start - line
    best: tuple[float, Meaning] | None = None
    for m in range(k - 1, max(-1, k - 14), -1):
        other = meanings[m]
        if other is None or other.draft.end > line:
            continue
        above = text.rfind("\n", 0, other.draft.start) + 1
        there = other.draft.start - above
        lines_up = text.count("\n", other.draft.start, line)
        cost = 0.4 * abs(there - column) + 4 * (lines_up - 1)
        if draft.ditto:
            cost += 10 * (min(ratio_of(draft.value, other.draft.value), 7.0) - 1)
        if best is None or cost < best[0]:
            best = (cost, other)
    return None if best is None else best[1]
