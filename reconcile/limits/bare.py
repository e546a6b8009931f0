"""Figures printed without their unit: by heading, neighbour, likeness or usage of the trade."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from reconcile.limits.columns import Headed, headed, noted, unit_of_column
from reconcile.limits.context import Context
from reconcile.limits.doubts import doubt_angle, doubt_kind, doubt_neighbour, kind_of_list
from reconcile.limits.evident import is_evident
from reconcile.limits.headings import column_subjects, stated_units
from reconcile.limits.implied import (
    dial_scale,
    hinted_by_headings,
    hinted_kind,
    implied_by_company,
    listed_under_unit,
)
from reconcile.limits.likeness import (
    figure_like_it,
    paired_like_before,
    spoken_of_again,
    twinned_like_before,
)
from reconcile.limits.meaning import Meaning, new_meaning
from reconcile.limits.neighbours import neighbour_unit, unit_beside
from reconcile.limits.nofigure import (
    counts_on,
    holds_at_its_like,
    is_counted,
    is_distracted,
    is_fuel_grade,
    starts_at,
)
from reconcile.limits.numbering import counts_by_heading, counts_things, is_register
from reconcile.limits.pairs import of_pair
from reconcile.limits.sense import is_plausible
from reconcile.limits.senses import named
from reconcile.limits.settle import settle_number
from reconcile.limits.subjects import subject_choices
from reconcile.limits.terms import subject_kinds, usual_units
from reconcile.limits.twins import in_brackets
from reconcile.limits.usage import NONE, by_usage, mendable, rescale
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.numerals import VULGAR


def without_unit(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number with no unit of its own, if its place shows that it is a figure."""
    draft = ctx.drafts[k]
    if is_distracted(ctx, k) or _is_share(ctx, draft):
        return None
    place = ctx.cell_of[k]
    if place is not None:
        if is_register(ctx, *place) or counts_by_heading(ctx, place[1]):
            return None
        if starts_at(ctx, "counted", draft.j) and ctx.t.gap[draft.j] < 2:
            return None  # "6 strokes" under a line of inches
        if counts_things(ctx, *place) and not (
            stated_units(ctx, k) or unit_of_column(ctx, k, meanings)
        ):
            return None
        return _in_cell(ctx, k, meanings) or _guessed(draft, _in_text(ctx, k, meanings))
    if (
        ctx.grids
        and not draft.words_only
        and (found := headed(ctx, k, subject_choices(ctx, k))) is not None
    ):
        return _as_headed(ctx, draft, found, 1)
    if ctx.grids and (other := noted(ctx, k, meanings)) is not None:
        draft.supposed.append("unit of the figure it is a note to")
        note = new_meaning(draft, other.sense, other.subject, other.parameter)
        ctx.memo["note of", id(note)] = other
        return note
    if (repeated := in_brackets(ctx, k, meanings)) is not None:
        return repeated
    if (paired := of_pair(ctx, k, meanings)) is not None:
        return paired
    if draft.slash and (geared := _gear_teeth(ctx, k)) is not None:
        return geared
    if (timed := _minutes_of_rating(ctx, k)) is not None:
        return timed
    if is_counted(ctx, draft) or counts_on(ctx, k) or is_fuel_grade(ctx, draft):
        return None
    beside = twinned_like_before(ctx, k, meanings) or paired_like_before(ctx, k, meanings)
    if beside is not None:
        return beside
    meaning = _in_text(ctx, k, meanings)
    if meaning is not None and holds_at_its_like(ctx, k, meaning.sense.kind):
        draft.sense, draft.kind = None, ""
        return None
    if meaning is not None:
        doubt_kind(ctx, k, meaning, meanings)
        doubt_angle(ctx, meaning)
        doubt_neighbour(ctx, k, meaning)
    return meaning


def _minutes_of_rating(ctx: Context, k: int) -> Meaning | None:
    """ "Combat (5) 3,000 +18": a number in brackets behind a rating is its minutes."""
    draft, t = ctx.drafts[k], ctx.t
    i, j = draft.i, draft.j
    if i < 2 or j + 1 >= t.n or t.norm[i - 1] != "(" or t.norm[j] != ")" or draft.sign:
        return None
    starts = ctx.starts.get("condition")
    at = bisect_left(starts, i - 1) - 1 if starts else -1
    if at < 0 or ctx.roles["condition"][at].j != i - 1:
        return None
    if ctx.roles["condition"][at].group != "rating" or draft.nominal not in _LIMITS:
        return None
    if k + 1 >= len(ctx.drafts) or ctx.drafts[k + 1].i - j > 2:
        return None
    draft.supposed.append("minutes supposed: it stands in brackets behind a rating")
    return new_meaning(draft, Sense("min", "time", "", NONE, "after", 1), "", "time limit")


_LIMITS = frozenset(Fraction(n) for n in (1, 2, 3, 5, 10, 15, 20, 30, 60))
"""Minutes that ratings are limited to."""


def _gear_teeth(ctx: Context, k: int) -> Meaning | None:
    """ "Reduction 21/34": the teeth of two wheels, and so a ratio."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    if not choices or choices[0][1] != "gear ratio" or not draft.lo or not draft.hi:
        return None
    draft.nominal, draft.lo, draft.hi = draft.lo / draft.hi, None, None
    draft.resolution = Fraction(1, 1000)
    return new_meaning(draft, Sense("1", "ratio", "", NONE, "after", 1), "gear ratio", "gear ratio")


def _guessed(draft: Draft, meaning: Meaning | None) -> Meaning | None:
    """A number in a table whose headings do not say its unit is never given out as certain."""
    if meaning is not None and not draft.supposed:
        draft.supposed.append("unit not in the headings, taken from the text around")
    return meaning


_INSIDE = 0.5
"""Distance below which a subject stands in the cell itself."""


def _in_cell(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number in a table: its headings say what it is and in which unit."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    if draft.sign == "+" and ctx.tradition in {"british", "japanese", "unknown"}:
        choices = sorted([*choices, (0.8, "boost")], key=lambda c: c[0])
    implied = implied_by_company(ctx, k)
    if implied:
        choices = sorted([*choices, *implied], key=lambda c: c[0])
    scale = dial_scale(ctx, k)
    found = headed(ctx, k, choices)
    if found is not None:
        return _as_headed(ctx, draft, found, scale)
    over = column_subjects(ctx, k)
    if over:  # what the rows are named for does not change what the column holds
        choices = [c for c in choices if c[1] in over or c[0] < _INSIDE]
    kinds = subject_kinds()
    hinted = hinted_by_headings(ctx, k)
    for _, subject in choices:
        allowed = kinds.get(subject)
        if not allowed:
            continue
        if hinted in allowed:
            allowed = {hinted: allowed[hinted]}
        beside = unit_beside(ctx, k, meanings, allowed)
        if beside is not None:
            made = _made(ctx, draft, subject, beside.sense, scale)
            if made is not None:
                draft.supposed += beside.draft.supposed
                return made
    shared = unit_of_column(ctx, k, meanings)
    for hint in dict.fromkeys((hinted, "")):
        for _, subject in choices:
            allowed = kinds.get(subject, {})
            if hint in allowed:
                allowed = {hint: allowed[hint]}
            made = None
            if shared is not None and shared.kind in allowed:
                made = _made(ctx, draft, subject, shared, scale)
                if made is not None:
                    draft.supposed.append("unit of the other figures in the column")
            made = made or by_usage(ctx, draft, subject, allowed, scale, tabled=True)
            if made is not None:
                return made
    return None


def _as_headed(ctx: Context, draft: Draft, found: Headed, scale: int) -> Meaning:
    """The meaning of a bare number whose unit its headings state."""
    sense = found.sense
    if found.times > 1:
        rescale(draft, found.times)
    elif scale > 1 and sense.kind in _SCALED and (scale == 10 or sense.kind in _BY_HUNDREDS):
        rescale(draft, scale)
    meaning = new_meaning(draft, sense, found.subject, found.parameter)
    settle_number(ctx, meaning)
    return meaning


def _in_text(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number in running text: its company shows what it is."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    boosts = draft.sign == "+" or bool(draft.sign and k and ctx.drafts[k - 1].sign == "+")
    if boosts and (ctx.tradition in {"british", "japanese", "unknown"} or draft.spoken):
        choices = sorted([*choices, (0.8, "boost")], key=lambda c: c[0])
    implied = implied_by_company(ctx, k)
    if implied:
        choices = sorted([*choices, *implied], key=lambda c: c[0])
    if _goes_with_turns(ctx, k, meanings):
        choices = [c for c in choices if c[1] != "engine speed"]
    kinds = subject_kinds()
    scale = dial_scale(ctx, k)
    listed = listed_under_unit(ctx, k, choices)
    if listed is not None:
        made = _made(ctx, draft, *listed, 1)
        if made is not None:
            return made
    if draft.sign == "+":
        choices = [c for c in choices if c[1] in {"boost", "manifold", "load factor"}]
    if (again := spoken_of_again(ctx, k, meanings)) is not None:
        return again
    evident = bool(implied) or (bool(choices) and is_evident(ctx, k, choices)) or scale > 1
    hinted = hinted_kind(ctx, k, choices)
    doubts = list(draft.supposed)
    twinned = figure_like_it(ctx, k, meanings, choices, 1.25)
    if twinned is not None and hinted and twinned.sense.kind != hinted:
        twinned = None
    if twinned is not None and not implied and scale == 1:
        return twinned
    if twinned is not None:
        draft.supposed[:] = doubts  # of what it was not taken for
    listed_with = None if hinted or implied else kind_of_list(ctx, k, choices, meanings)
    if listed_with is not None and scale == 1:
        made = _made(ctx, draft, choices[0][1], listed_with.sense, 1)
        if made is not None:
            draft.supposed.append("unit of the figure before it in the list")
            return made
    if evident:
        hinted = hinted_kind(ctx, k, choices)
        for distance, subject in choices:
            allowed = kinds.get(subject)
            if not allowed:
                continue
            if hinted in allowed:
                allowed = {hinted: allowed[hinted]}
            sense = neighbour_unit(ctx, k, allowed, meanings)
            if sense is not None:
                if implied and distance < 1 and subject == implied[0][1]:
                    draft.supposed[:] = doubts  # its company says what it is
                made = _made(ctx, draft, subject, sense, scale)
                if made is not None:
                    return made
                draft.supposed[:] = doubts
            if distance < 2.0 and scale == 1:
                alike = figure_like_it(ctx, k, meanings, choices)
                if alike is not None and alike.parameter in allowed.values():
                    return alike
                draft.supposed[:] = doubts
                made = by_usage(ctx, draft, subject, allowed, scale)
                if made is not None:
                    return made
            if distance > 6:
                break
    alike = figure_like_it(ctx, k, meanings, choices)
    if alike is not None and not (hinted and alike.sense.kind != hinted):
        return alike
    if alike is not None:
        draft.supposed[:] = doubts  # "oil 70-90 psi; temp. 60-75"
    if not evident:
        return None
    for distance, subject in choices:
        allowed = kinds.get(subject)
        if not allowed:
            continue
        if distance > 6:
            break
        hinted = hinted_kind(ctx, k, choices)
        if hinted in allowed:
            allowed = {hinted: allowed[hinted]}
        made = by_usage(ctx, draft, subject, allowed, scale)
        if made is not None:
            return made
    return None


def _goes_with_turns(ctx: Context, k: int, meanings: list[Meaning | None]) -> bool:
    """Whether a bare number goes with an engine speed just before, and is none itself.

    In "2400 and 1000" the second is the pressure that goes with the first.
    """
    previous, draft = (meanings[k - 1] if k else None), ctx.drafts[k]
    if previous is None or previous.sense.kind != "rotational_speed" or draft.spoken:
        return False
    if draft.i - previous.draft.j != 1 or ctx.barrier(previous.draft.j, draft.i) > 1.5:
        return False
    first, value = previous.draft.value, draft.value
    return first is not None and value is not None and 9 * value < 5 * first


def _made(ctx: Context, draft: Draft, subject: str, sense: Sense, scale: int) -> Meaning | None:
    """The meaning of a bare number with that subject and unit, if its size allows it."""
    parameter = subject_kinds()[subject][sense.kind]
    parameter = named(parameter, sense, ctx.tradition, draft)
    value = draft.value
    if value is None:
        return None
    if (
        scale == 100
        and sense.kind == "pressure"
        and any(spot.value == "tens" and spot.i < draft.i for spot in ctx.roles.get("multiple", ()))
    ):
        scale = 10  # the other dial's
    scaled = (
        scale > 1 and sense.kind in _SCALED and (sense.kind == "rotational_speed" or scale == 10)
    )
    if scaled:
        if not is_plausible(value * scale, sense.unit, parameter):
            return None
        rescale(draft, scale)
    elif not is_plausible(value, sense.unit, parameter) and not mendable(draft, sense, parameter):
        return None
    meaning = new_meaning(draft, sense, subject, parameter)
    settle_number(ctx, meaning)
    return meaning


_BY_HUNDREDS = frozenset({"rotational_speed", "altitude"})


_SCALED = frozenset({"rotational_speed", "pressure", "speed", "altitude"})


def _is_share(ctx: Context, draft: Draft) -> bool:
    """Whether a bare fraction is a share of something: "1/8 of it empty", "½ open"."""
    value = draft.nominal
    if value is None or value.denominator == 1 or not 0 < value < 1 or draft.sign:
        return False
    last = ctx.t.norm[draft.j - 1]
    return last in VULGAR or (draft.j - draft.i >= 3 and ctx.t.norm[draft.j - 2] == "/")


def void_without_unit(ctx: Context, k: int) -> Meaning | None:
    """An illegible number with no unit, where the words before it name a quantity."""
    draft = ctx.drafts[k]
    near = 6.0 if ctx.cell_of[k] is not None else 2.0
    for distance, subject in subject_choices(ctx, k):
        if distance > near:
            return None
        for kind, parameter in subject_kinds().get(subject, {}).items():
            for usual in usual_units(parameter, ctx.tradition):
                if usual.kind == kind:
                    sense = Sense(usual.unit, kind, "", NONE, "after", 1)
                    draft.sense, draft.kind = sense, kind
                    return Meaning(draft, sense, subject, parameter)
    return None
