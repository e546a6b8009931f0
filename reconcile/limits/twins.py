"""Figures in one pair of brackets that repeat as many before, in the unit behind the last.

"Normal 80, min. 65 lb./sq. in. (5.6 and 4.6 kg/cm2)": both are figures, and both are twins.
"""

from __future__ import annotations

from fractions import Fraction

from reconcile.limits.brackets import Bracket, bracket_of
from reconcile.limits.context import Context
from reconcile.limits.implied import twin_sense
from reconcile.limits.meaning import Meaning, new_meaning
from reconcile.limits.sense import si_of
from reconcile.limits.senses import named
from reconcile.notation.lexicon import Sense
from reconcile.notation.wordsets import word_set


def in_brackets(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """Meaning of a bare number that stands in brackets before another with its unit."""
    bracket = bracket_of(ctx, k)
    if bracket is None or ctx.drafts[k].senses:
        return None
    draft, closing = ctx.drafts[k], ctx.drafts[bracket.last]
    before = _counterpart(meanings, bracket, k)
    if before is not None and (sense := twin_sense(closing.senses, before)) is not None:
        far = _disagreement(before, draft.value, sense)
        if far <= _COMPARABLE:
            meaning = new_meaning(
                draft, sense, before.subject, named(before.parameter, sense, ctx.tradition, draft)
            )
            meaning.twin = before
            if far > _AGREE:
                draft.supposed.append("it differs from the figure it should repeat")
            return meaning
    last = meanings[bracket.last]
    if last is None or any(
        ctx.t.norm[ctx.drafts[m].j : ctx.drafts[m + 1].i] not in _LINKS
        for m in range(k, bracket.last)
    ):
        return None
    draft.supposed.append("unit of the figure that closes the brackets")
    return new_meaning(draft, last.sense, last.subject, last.parameter)


def join_brackets(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Tie the last figure in brackets to the one it repeats, as those before it are tied."""
    for k, meaning in enumerate(meanings):
        bracket = bracket_of(ctx, k)
        if meaning is None or bracket is None or bracket.last != k:
            continue
        before, beside = _counterpart(meanings, bracket, k), meanings[k - 1]
        if before is None or beside is None or beside.twin is None:
            continue
        if (sense := twin_sense(meaning.draft.senses, before)) is None:
            continue
        if _disagreement(before, meaning.draft.value, sense) > _COMPARABLE:
            continue
        meaning.sense, meaning.subject, meaning.twin = sense, before.subject, before
        meaning.draft.sense, meaning.draft.kind = sense, sense.kind
        meaning.parameter = named(before.parameter, sense, ctx.tradition, meaning.draft)


def _counterpart(meanings: list[Meaning | None], bracket: Bracket, k: int) -> Meaning | None:
    """The figure before the brackets that draft `k` in them repeats, if all have one."""
    start = bracket.first - bracket.size
    if start < 0:
        return None
    before = meanings[start : bracket.first]
    kinds = {None if one is None else one.sense.kind for one in before}
    return before[k - bracket.first] if len(kinds) == 1 else None


def _disagreement(before: Meaning, value: Fraction | None, sense: Sense) -> float:
    """How far apart a figure and the one it repeats are, of the greater."""
    one = before.draft.value
    if one is None or value is None:
        return 1.0
    left, right = si_of(one, before.sense.unit), si_of(value, sense.unit)
    if left is None or right is None:
        return 1.0
    most = max(abs(left), abs(right))
    return float(abs(left - right) / most) if most else 0.0


_AGREE = 0.05
"""How far two figures may be apart that are the same, rounded, in two units."""
_COMPARABLE = 0.5
"""How far they may be apart where one is misprinted; farther, they are no twins."""
_LINKS = [[word] for word in sorted(word_set("words-of-and-or") | {",", "/", ";"})]
