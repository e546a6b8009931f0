"""What else a bare number may be, where its subject is measured in several kinds of quantity."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.implied import hinted_kind
from reconcile.limits.meaning import Meaning
from reconcile.limits.subjects import Choice, subject_choices
from reconcile.limits.terms import subject_kinds, usual_units
from reconcile.notation.tokens import SIGN

_JOINED = 1.75
"""Barrier up to which the items of a list hang together."""


def doubt_kind(ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]) -> None:
    """Say so where a bare number could as well be another quantity of the same subject.

    "Oil 70" may be a pressure or a temperature; "oil pressure 70" may not, nor may the 45
    of "oil 80 lb, 45 minimum".
    """
    if meaning.draft.supposed or not meaning.subject:
        return
    if _follows_its_like(ctx, k, meaning, meanings):
        return
    if hinted_kind(ctx, k, subject_choices(ctx, k)) == meaning.sense.kind:
        return
    other = _other_kind(ctx, meaning)
    if other:
        meaning.draft.supposed.append(f"no unit: it may be {other} as well")


def _follows_its_like(
    ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]
) -> bool:
    draft = meaning.draft
    starts = ctx.starts.get("subject", [])
    for m in range(k - 1, max(-1, k - 9), -1):
        other = meanings[m]
        if other is None or other.parameter != meaning.parameter:
            continue
        between = bisect_left(starts, draft.i) - bisect_left(starts, other.draft.j)
        if between:
            return False
        t = ctx.t
        ends = draft.j >= t.n or t.kind[draft.j] == SIGN
        return not (t.norm[other.draft.j : draft.i] in _ANDS and ends)
    return False


_ANDS = (["and"], ["und"], ["et"], ["e"], ["и"], ["&"])


def _other_kind(ctx: Context, meaning: Meaning) -> str:
    value = meaning.draft.value
    for kind, parameter in subject_kinds().get(meaning.subject, {}).items():
        if kind == meaning.sense.kind or value is None:
            continue
        for usual in usual_units(parameter, ctx.tradition):
            if usual.kind == kind and usual.lo <= value <= usual.hi:
                return parameter
    return ""


def kind_of_list(
    ctx: Context, k: int, choices: list[Choice], meanings: list[Meaning | None]
) -> Meaning | None:
    """The figure before, where both are items of one list: "fuel 96 gallons, oil 7½"."""
    previous = meanings[k - 1] if k else None
    if previous is None or previous.draft.void or not choices or not previous.subject:
        return None
    draft = ctx.drafts[k]
    if previous.draft.sign or draft.sign or ctx.barrier(previous.draft.j, draft.i) > _JOINED:
        return None
    starts = ctx.starts.get("subject", [])
    if bisect_left(starts, draft.i) - bisect_left(starts, previous.draft.j) != 1:
        return None
    subject = choices[0][1]
    if subject == previous.subject or choices[0][0] > 1:
        return None
    return previous if previous.sense.kind in subject_kinds().get(subject, {}) else None
