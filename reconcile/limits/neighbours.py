"""The unit of a bare number from a figure of the same parameter, or one printed apart."""

from __future__ import annotations

from reconcile.limits.brackets import bracket_of
from reconcile.limits.context import Context
from reconcile.limits.likeness import AMOUNTS, at_something, ratio_of
from reconcile.limits.meaning import Meaning
from reconcile.limits.senses import named
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense


def unit_beside(
    ctx: Context, k: int, meanings: list[Meaning | None], allowed: dict[str, str]
) -> Meaning | None:
    """The figure above in the column, or before in the row, whose unit a bare number shares."""
    place = ctx.cell_of[k]
    if place is None:
        return None
    grid, (row, column) = place[0], place[1].at
    for m in range(k - 1, max(-1, k - 40), -1):
        there, other = ctx.cell_of[m], meanings[m]
        if there is None or there[0] is not grid or other is None:
            continue
        if there[1].at[1] != column and (there[1].at[0] != row or not column):
            continue
        if allowed.get(other.sense.kind) == other.parameter:
            alike = ratio_of(ctx.drafts[k].value, other.draft.value) <= 12
            return other if alike else None
    return None


def neighbour_unit(
    ctx: Context, k: int, allowed: dict[str, str], meanings: list[Meaning | None]
) -> Sense | None:
    """Unit of the nearest figure of the same parameter, or one printed apart."""
    draft = ctx.drafts[k]
    best: tuple[float, Sense] | None = None
    doubt: list[str] = []
    for m in range(max(0, k - 8), min(len(meanings), k + 9)):
        other = meanings[m]
        if other is None or other.sense.kind not in allowed or m == k:
            continue
        if m > k and bracket_of(ctx, m) is not None and bracket_of(ctx, k) is None:
            continue  # "main 100, reserve 20 gallons (455 and 91 litres)"
        if m < k:
            far = ctx.barrier(other.draft.j, draft.i)
        else:
            far = ctx.barrier(draft.j, other.draft.i) + 0.5
        parameter = named(allowed[other.sense.kind], other.sense, ctx.tradition, draft)
        if far > 12 or parameter != other.parameter:
            continue
        ratio = ratio_of(draft.value, other.draft.value)
        if ratio > 3 and other.sense.kind == "speed":
            continue
        if other.sense.kind in AMOUNTS and m < k and at_something(ctx, draft):
            continue
        if ratio > 15 and draft.value and other.draft.value:
            continue
        if ratio > 3:
            far += 1.5
        if best is None or far < best[0]:
            best = (far, other.sense)
            doubt = other.draft.supposed
    units = _detached(ctx, draft, allowed)
    if units is not None and (best is None or units[0] <= best[0]):
        return units[1]
    if best is not None and doubt:
        draft.supposed.append("unit of a figure whose own unit is supposed")
    elif best is not None and _nearer_in_another(ctx, k, best, meanings):
        draft.supposed.append("a nearer figure of like size is in another unit")
    return None if best is None else best[1]


def _nearer_in_another(
    ctx: Context, k: int, best: tuple[float, Sense], meanings: list[Meaning | None]
) -> bool:
    """Whether a figure nearer than the one whose unit is taken over is as like in size."""
    nearest = next((m for m in reversed(meanings[max(0, k - 3) : k]) if m is not None), None)
    return (
        nearest is not None
        and nearest.sense.kind != best[1].kind
        and ctx.barrier(nearest.draft.j, ctx.drafts[k].i) < best[0]
        and ratio_of(ctx.drafts[k].value, nearest.draft.value) <= _LIKE
    )


_LIKE = 2.0


def _detached(ctx: Context, draft: Draft, allowed: dict[str, str]) -> tuple[float, Sense] | None:
    best: tuple[float, Sense] | None = None
    for units in ctx.units_near(draft, 8, 8):
        before = units.i < draft.i
        far = ctx.barrier(units.j, draft.i) if before else ctx.barrier(draft.j, units.i) + 0.6
        if far > 8 or (best is not None and far >= best[0]):
            continue
        sense = fitting_sense(units.senses, allowed)
        if sense is not None:
            best = (far, sense)
    return best


def fitting_sense(senses: tuple[Sense, ...], allowed: dict[str, str]) -> Sense | None:
    for sense in sorted(senses, key=lambda s: s.rank):
        if sense.kind in allowed:
            return sense
    return None
