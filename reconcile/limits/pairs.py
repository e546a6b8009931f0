"""Figures in two units that only the first pair prints: "212 m.p.h. (184 knots), 136 (118)"."""

from __future__ import annotations

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning, new_meaning
from reconcile.limits.sense import si_of
from reconcile.limits.senses import named
from reconcile.limits.subjects import subject_choices
from reconcile.limits.terms import subject_kinds

_BACK = 12
"""How many figures back the pair with its units may stand."""
_AGREE = 0.04
"""How far the two of a pair may be apart, of their size: both are rounded."""


def of_pair(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """Meaning of a bare number that is one of two in two units, as a pair before it shows.

    The second of the two is the first once more.
    """
    first = k if _bracketed(ctx, k) else k - 1 if k and _bracketed(ctx, k - 1) else None
    if first is None:
        return None
    a, b = ctx.drafts[first], ctx.drafts[first + 1]
    if a.senses or b.senses or a.value is None or b.value is None:
        return None
    for m in range(first - 2, max(-1, first - _BACK), -1):
        one, other = meanings[m], meanings[m + 1]
        if one is None or other is None or not _bracketed(ctx, m):
            continue
        if one.sense.kind != other.sense.kind or one.sense.unit == other.sense.unit:
            continue
        left, right = si_of(a.value, one.sense.unit), si_of(b.value, other.sense.unit)
        if left is None or right is None or abs(left - right) > _AGREE * max(left, right):
            continue
        if k == first:
            return _like(ctx, k, one)
        meaning = new_meaning(b, other.sense, other.subject, other.parameter)
        before = meanings[first]
        if before is not None:
            meaning.twin, meaning.subject = before, before.subject
            meaning.parameter = before.parameter
        return meaning
    return None


def _bracketed(ctx: Context, k: int) -> bool:
    """Whether the figure behind draft `k` stands in brackets right after it."""
    if k + 1 >= len(ctx.drafts):
        return False
    first, second = ctx.drafts[k], ctx.drafts[k + 1]
    return ctx.t.norm[first.j : second.i] == ["("]


def _like(ctx: Context, k: int, one: Meaning) -> Meaning:
    draft = ctx.drafts[k]
    subject, parameter = one.subject, one.parameter
    for distance, nearest in subject_choices(ctx, k):
        near = subject_kinds().get(nearest, {}).get(one.sense.kind)
        if near is not None:
            if distance < 1.5:
                subject, parameter = nearest, named(near, one.sense, ctx.tradition, draft)
            break
    return new_meaning(draft, one.sense, subject, parameter)
