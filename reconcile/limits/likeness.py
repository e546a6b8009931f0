"""Numbers that go on with what was named: the words before them, and figures of like size."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from reconcile.limits.context import Context
from reconcile.limits.evident import is_led, is_speech
from reconcile.limits.meaning import Meaning, new_meaning
from reconcile.limits.nofigure import starts_at
from reconcile.limits.sense import is_plausible
from reconcile.limits.senses import Choice, named
from reconcile.limits.subjects import subject_choices
from reconcile.limits.terms import CONTINENTAL, company_words, subject_kinds, usual_units
from reconcile.notation.drafts import Draft
from reconcile.notation.wordsets import word_set


def ratio_of(a: Fraction | None, b: Fraction | None) -> float:
    """How many times the greater of two sizes is the smaller; infinite across zero."""
    if a is None or b is None or a.numerator * b.numerator <= 0:
        return float("inf")
    ratio = abs(a.numerator * b.denominator / (a.denominator * b.numerator))
    return ratio if ratio >= 1 else 1 / ratio


def figure_like_it(
    ctx: Context,
    k: int,
    meanings: list[Meaning | None],
    choices: list[Choice],
    most: float = 2.2,
) -> Meaning | None:
    """A number like one named just before: "undercarriage 155 knots, flaps under 125"."""
    draft = ctx.drafts[k]
    if draft.words_only and not is_speech(ctx):
        return None
    if not is_led(ctx, k) and not (most < 2 and _goes_on(ctx, k)):
        return None
    best: tuple[float, Meaning] | None = None
    rivals: list[tuple[float, Meaning]] = []
    for m in range(k - 1, max(-1, k - 9), -1):
        other = meanings[m]
        if other is None or other.draft.void or other.draft.value is None:
            continue
        if other.sense.kind == "altitude":
            if not _is_height(ctx, k):
                continue
        elif other.sense.kind in _NEVER_ALIKE and not (
            other.sense.kind == "ratio" and other.draft.resolution == draft.resolution != 1
        ):
            continue
        if not is_plausible(draft.value, other.sense.unit, other.parameter):
            continue
        far = ctx.barrier(other.draft.j, draft.i)
        if far > 15:
            break
        ratio = ratio_of(draft.value, other.draft.value)
        if ratio > most or (draft.sign and not other.draft.sign):
            continue
        if ratio > 1.25 and not _same_subject(ctx, draft, choices, other, far):
            continue
        cost = far + 2.5 * (ratio - 1)
        if _led_alike(ctx, draft, other.draft):
            cost -= 3.0
        rivals.append((cost, other))
        if best is None or cost < best[0]:
            best = (cost, other)
    if best is None:
        return None
    cost, other = best
    if other.sense.kind in AMOUNTS and at_something(ctx, draft):
        return None  # "45 gallons ... two hours at 150"
    if _at_another(ctx, k, other):
        return None  # "6 at 0 C": so many of something, at a figure of that kind
    if most < 2 and _speaks_between(ctx, k, other):
        return None  # what is named since goes first
    if choices and choices[0][0] < _RIGHT_BEFORE and not _ends_condition(ctx, draft.i):
        kinds = subject_kinds().get(choices[0][1])
        if kinds and other.sense.kind not in kinds:
            return None  # "heads 220, speed 180"
    if other.sense.kind == "speed":
        draft.likely = "speed"
        choices = subject_choices(ctx, k)
    subject, parameter = other.subject, other.parameter
    for distance, nearest in choices:
        near = subject_kinds().get(nearest, {}).get(other.sense.kind)
        if near is not None:
            if distance < cost:
                subject = nearest
                parameter = named(near, other.sense, ctx.tradition, draft)
                if not is_plausible(draft.value, other.sense.unit, parameter):
                    return None
            break
    meaning = new_meaning(draft, other.sense, subject, parameter)
    if _speaks_between(ctx, k, other):
        draft.supposed.append("something else is named since the figure whose unit it takes")
    elif other.draft.supposed:
        draft.supposed.append("unit of a figure whose own unit is supposed")
    elif cost > _FAR_BEFORE:
        draft.supposed.append("unit taken over from a figure of like size before it")
    elif any(
        rival < cost + _NEARLY and one.sense.kind != other.sense.kind for rival, one in rivals
    ) or _passes_over(ctx, k, other, meanings):
        draft.supposed.append("figures of like size, but in other units, stand as near")
    return meaning


def _ends_condition(ctx: Context, i: int) -> bool:
    """Whether the words right before token `i` say when a limit holds: "flaps", "Dauer"."""
    starts = ctx.starts.get("condition")
    at = bisect_left(starts, i) - 1 if starts else -1
    return at >= 0 and ctx.roles["condition"][at].j == i


def _speaks_between(ctx: Context, k: int, other: Meaning) -> bool:
    """Whether something that does not come in the other figure's unit is named between the two."""
    starts = ctx.starts.get("subject", [])
    first, last = (bisect_left(starts, i) for i in (other.draft.j, ctx.drafts[k].i))
    kinds = subject_kinds()
    return any(
        spot.value != other.subject and other.sense.kind not in kinds.get(spot.value, {})
        for spot in ctx.roles.get("subject", [])[first:last]
        if not spot.group
    )


AMOUNTS = frozenset({"volume", "mass"})
"""Kinds that are had, and that nothing is done at."""
_AT = word_set("words-of-at-a-value")


def at_something(ctx: Context, draft: Draft) -> bool:
    """Whether "at" leads to a figure: it is a speed or a height, and no amount."""
    return draft.i > 0 and ctx.t.norm[draft.i - 1] in _AT


def _passes_over(ctx: Context, k: int, other: Meaning, meanings: list[Meaning | None]) -> bool:
    """Whether a nearer figure measures the same subject in another kind of quantity."""
    nearest = next((m for m in reversed(meanings[max(0, k - 4) : k]) if m is not None), None)
    return (
        nearest is not None
        and nearest is not other
        and bool(nearest.subject)
        and nearest.status == "read"  # what is hardly possible itself is no rival
        and nearest.sense.kind != other.sense.kind
        and ratio_of(ctx.drafts[k].value, nearest.draft.value) <= _COMPARABLE
        and ctx.barrier(nearest.draft.j, ctx.drafts[k].i) < 2.5
        and ctx.tradition not in CONTINENTAL
        and not ctx.drafts[k].senses
    )


_COMPARABLE = 4
_RIGHT_BEFORE = 0.03
_FAR_BEFORE, _NEARLY = 6.0, 2.0
_VERBS = word_set("verbs-of-values")


def _led_alike(ctx: Context, draft: Draft, other: Draft) -> bool:
    """Whether the same verb leads to both: "the range is 1,060 miles; ... it is 1,540"."""
    if not draft.i or not other.i:
        return False
    verb = ctx.t.norm[draft.i - 1]
    return verb in _VERBS and verb == ctx.t.norm[other.i - 1]


_NEVER_ALIKE = frozenset({"time", "altitude", "angle", "ratio", "length"})


def spoken_of_again(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number that a pronoun gives to what an earlier one was of: "in the other it is 1,540"."""
    draft, norm = ctx.drafts[k], ctx.t.norm
    if draft.i < 2 or norm[draft.i - 2] not in _PRONOUNS:
        return None
    for m in range(k - 1, max(-1, k - 9), -1):
        other = meanings[m]
        if other is None or not _led_alike(ctx, draft, other.draft):
            continue
        if ratio_of(draft.value, other.draft.value) > 2.2 or not is_plausible(
            draft.value, other.sense.unit, other.parameter
        ):
            return None
        return new_meaning(draft, other.sense, other.subject, other.parameter)
    return None


def twinned_like_before(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """One of two bare numbers that stand as two units did: "212 MPH (184 KNOTS), 136 (118)"."""
    drafts, norm = ctx.drafts, ctx.t.norm
    inner = bool(k and drafts[k].i and norm[drafts[k].i - 1] == "(")
    a, b = (k - 1, k) if inner else (k, k + 1)
    if b >= len(drafts) or drafts[b].i - drafts[a].j != 1 or norm[drafts[a].j] != "(":
        return None
    if drafts[b].senses or norm[drafts[b].j : drafts[b].j + 1] != [")"]:
        return None
    here = ratio_of(drafts[a].value, drafts[b].value)
    for m in range(a - 1, max(0, a - 13), -1):
        second, first = meanings[m], meanings[m - 1]
        if second is None or first is None or second.twin is not first:
            continue
        there = ratio_of(first.draft.value, second.draft.value)
        if not 0.96 < here / there < 1.04 or (ratio_of(drafts[a].value, first.draft.value) > 6):
            continue
        source = second if inner else first
        made = new_meaning(drafts[k], source.sense, source.subject, source.parameter)
        if inner:
            made.twin = meanings[a]
        return made
    return None


def paired_like_before(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number that goes with the one before it as two figures did earlier.

    In "1,240 b.h.p. at 4,500 ft. and 1,115 at 14,250" the last is a height as well.
    """
    draft, norm = ctx.drafts[k], ctx.t.norm
    partner = meanings[k - 1] if k > 2 else None
    if partner is None or draft.sign or ctx.barrier(partner.draft.j, draft.i) > 0.9:
        return None
    link = norm[draft.i - 1]
    if link not in company_words("leads") or draft.i - partner.draft.j > 2:
        return None
    for m in range(k - 2, max(-1, k - 9), -1):
        first, second = meanings[m - 1] if m else None, meanings[m]
        if first is None or second is None or second.draft.value is None:
            continue
        if first.sense.kind != partner.sense.kind or second.sense.kind == first.sense.kind:
            continue
        if not second.draft.i or norm[second.draft.i - 1] != link:
            continue
        if (
            ratio_of(partner.draft.value, first.draft.value) > 2.2
            or ratio_of(draft.value, second.draft.value) > 6
        ):
            return None
        if not is_plausible(draft.value, second.sense.unit, second.parameter):
            return None
        if second.draft.supposed:
            draft.supposed.append("unit of a figure whose own unit is supposed")
        return new_meaning(draft, second.sense, second.subject, second.parameter)
    return None


_PRONOUNS = word_set("pronouns")


def _at_another(ctx: Context, k: int, other: Meaning) -> bool:
    draft = ctx.drafts[k]
    if k + 1 >= len(ctx.drafts):
        return False
    following = ctx.drafts[k + 1]
    return (
        following.i - draft.j == 1
        and ctx.t.norm[draft.j] in _AT
        and any(s.kind == other.sense.kind for s in following.senses)
    )


def _is_height(ctx: Context, k: int) -> bool:
    """Whether a bare number stands as a height does: "380 at 20,000"."""
    draft = ctx.drafts[k]
    value = draft.value
    return (
        value is not None
        and value >= 1000
        and value % 100 == 0
        and draft.i > 0
        and ctx.t.norm[draft.i - 1] in _HEIGHT_LEADS
    )


_HEIGHT_LEADS = word_set("before-heights")


def _same_subject(
    ctx: Context, draft: Draft, choices: list[Choice], other: Meaning, far: float
) -> bool:
    """Whether no nearer words name something the other figure does not measure."""
    kinds = subject_kinds()
    for distance, subject in choices:
        if distance >= far:
            return True
        parameter = kinds.get(subject, {}).get(other.sense.kind)
        if parameter is None and not _could_be(ctx, draft, subject):
            continue
        return parameter is not None and (
            parameter == other.parameter or subject == other.subject or distance > 3
        )
    return True


def _could_be(ctx: Context, draft: Draft, subject: str) -> bool:
    """Whether a bare number has a usual size for something a subject measures."""
    value = draft.value
    return value is not None and any(
        usual.lo <= value <= usual.hi
        for parameter in subject_kinds().get(subject, {}).values()
        for usual in usual_units(parameter, ctx.tradition)
    )


def _goes_on(ctx: Context, k: int) -> bool:
    """A number after a comma, with "above", "in", "with" after it, or one with a fraction."""
    draft = ctx.drafts[k]
    t = ctx.t
    if draft.resolution is not None and draft.resolution < 1:
        return True
    if draft.i == 0 or t.norm[draft.i - 1] not in ",;" or draft.j >= t.n:
        return False
    return t.norm[draft.j] in company_words("followers") or starts_at(ctx, "condition", draft.j)
