"""Phrases of the vocabulary by the token they begin at."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.notation.tokens import BLUR, CODE, FRACTION, NUMBER

FIGURES = frozenset({NUMBER, BLUR, CODE, FRACTION})
"""Kinds of token that hold figures."""
LETTERS_FOR = frozenset("lIOoSZBsztbgAEGTUijJ|")
"""Letters and signs that figures are misread as."""
BEFORE = "what stands close before the number may be a part of it"


def in_phrases(ctx: Context) -> set[int]:
    """Tokens that belong to phrases of the vocabulary."""
    found: set[int] | None = ctx.memo.get(("phrases",))
    if found is None:
        found = {m for spots in ctx.roles.values() for s in spots for m in range(s.i, s.j)}
        ctx.memo["phrases",] = found
    return found


def reads_on(ctx: Context, j: int) -> bool:
    """Whether a phrase of the vocabulary begins at token `j`."""
    return any(begins(ctx, role, j) for role in ctx.starts)


def begins(ctx: Context, role: str, i: int) -> bool:
    """Whether a phrase of `role` begins at token `i`."""
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, i)
    return at < len(starts) and starts[at] == i


def says_to(ctx: Context, b: int, i: int) -> bool:
    return any(spot.i == b and spot.j == i for spot in said_to(ctx, b, i))


def said_to(ctx: Context, i: int, j: int) -> list[Spot]:
    """Words for "to" that begin at tokens `i` to `j`."""
    starts = ctx.starts.get("to")
    if not starts:
        return []
    return ctx.roles["to"][bisect_left(starts, i) : bisect_left(starts, j)]
