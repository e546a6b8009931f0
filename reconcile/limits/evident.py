"""Whether a bare number in running text plainly stands for a quantity."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.nofigure import starts_at
from reconcile.limits.senses import Choice
from reconcile.limits.terms import company_words
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import BLUR, SIGN, WORD
from reconcile.notation.wordsets import word_set


def is_led(ctx: Context, k: int) -> bool:
    """Whether the words before a bare number are such as stand before a figure."""
    draft = ctx.drafts[k]
    t = ctx.t
    i = draft.i
    if i == 0:
        return False
    if t.gap[i] == 0 and ctx.owner[i - 1] >= 0:
        return True
    if is_just_named(ctx, i):
        return True
    before = t.norm[i - 1]
    if t.kind[i - 1] == WORD:
        return before in company_words("leads")
    if before in {",", ";", "(", ":", "-", "...", "/"}:
        closed = i >= 2 and before in ",;" and t.norm[i - 2] == ")"  # "... (climb), 2,650"
        return i >= 2 and (
            ctx.owner[i - 2] >= 0 or closed or is_just_named(ctx, i - 1) or before in "(:"
        )
    return False


def is_evident(ctx: Context, k: int, choices: list[Choice]) -> bool:
    """Whether a bare number in running text plainly stands for a quantity."""
    draft = ctx.drafts[k]
    t = ctx.t
    nearest = choices[0][0]
    if draft.words_only and not is_speech(ctx):
        named = draft.i and t.norm[draft.i - 1] in _OWN
        return draft.value == 0 and nearest < 0.5 and not named  # "a gauge whose zero is"
    if draft.sign == "+":
        return True
    if draft.sign and k and ctx.drafts[k - 1].sign and nearest < 12:
        return True
    if draft.sign and draft.spoken and nearest < 2.5 and choices[0][1] in {"boost", "manifold"}:
        return True  # "minus two on the boost"
    if nearest > 7:
        return False
    i = draft.i
    if i == 0:
        return nearest < 0.6
    if is_just_named(ctx, i):
        return True
    before = t.norm[i - 1]
    if draft.spoken:
        return nearest < 4 and (before in company_words("leads") or nearest < 0.5)
    if _bounded_after(ctx, draft) and nearest < 5:
        return True
    exact = draft.other is not None or (draft.resolution is not None and draft.resolution < 1)
    if draft.lo is not None and exact and nearest < 3.0:
        return True
    if t.kind[i - 1] == SIGN and before in ",;(" and k and nearest < 7:
        # a list that goes on: "normal 60, idling 15"
        return nearest < 2 and starts_at(ctx, "condition", draft.j)  # "60-80, 25 at idle"
    if before in company_words("leads") and nearest < 4.5:
        return True
    if draft.lo is not None and nearest < 1.5:
        return True
    return t.kind[draft.i] == BLUR and nearest < 1.2


def _bounded_after(ctx: Context, draft: Draft) -> bool:
    """Whether the words right after a bare number bound it: "105 à ne pas dépasser"."""
    starts = ctx.starts.get("bound")
    if not starts:
        return False
    at = bisect_left(starts, draft.j)
    if at >= len(starts) or starts[at] > draft.j + 1:
        return False
    spots = ctx.roles["bound"]
    here = starts[at]
    while at < len(starts) and starts[at] == here:
        if spots[at].group == "post" and ctx.barrier(draft.j, here) < 0.5:
            return True
        at += 1
    return False


def is_just_named(ctx: Context, i: int) -> bool:
    t = ctx.t
    j = i
    while j > 0 and i - j < 2 and t.kind[j - 1] == SIGN and t.norm[j - 1] in ".,:=-(...":
        j -= 1
    for role in ("subject", "bound", "condition", "approx", "generic", "port"):
        starts = ctx.starts.get(role)
        if not starts:
            continue
        at = bisect_left(starts, i) - 1
        while at >= 0 and ctx.roles[role][at].j in {i, j}:
            if role != "bound" or ctx.roles[role][at].group != "post":
                return True
            at -= 1
        if (
            role == "condition"
            and at >= 0
            and i == j
            and ctx.roles[role][at].j == i - 1
            and ctx.roles[role][at].group == "config"
            and t.kind[i - 1] == WORD
        ):
            return True  # "con carrello abbassato 220"
    return False


def is_speech(ctx: Context) -> bool:
    return getattr(ctx, "speech", False)


_OWN = word_set("owners-of-zero")
