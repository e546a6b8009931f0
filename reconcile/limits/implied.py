"""What company says about a number: "46/2500", "+8", inches of a manifold, a list's heading."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from reconcile.limits.context import Context
from reconcile.limits.evident import is_just_named, is_speech
from reconcile.limits.meaning import Meaning
from reconcile.limits.neighbours import fitting_sense
from reconcile.limits.senses import Choice
from reconcile.limits.terms import (
    CONTINENTAL,
    company_words,
    default_parameter,
    subject_kinds,
    usual_units,
)
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.wordsets import word_meanings, word_set

_BESIDE = 0.3
_TYRES = word_set("not-boosted")
_INCH_BAND = (Fraction(9), Fraction(85))


def signed_choices(draft: Draft, choices: list[Choice]) -> list[Choice]:
    """A signed pressure is a boost, unless nearer words say otherwise."""
    if any(s.unit in {"[psi]", "mm[Hg]"} for s in draft.senses):
        return sorted([*choices, (0.6, "boost")], key=lambda c: c[0])
    return choices


_MILLIMETRES = frozenset({"soviet", "french", "italian"})


def implied_choices(ctx: Context, k: int, choices: list[Choice]) -> list[Choice]:
    """Subjects that a unit implies by its size: inches of a manifold, not of a ruler."""
    draft = ctx.drafts[k]
    value = draft.value
    for sense in draft.senses:
        if sense.kind == "temperature" and value is not None and value.numerator < 0:
            return sorted([*choices, (1.1, "outside air")], key=lambda c: c[0])
        if sense.kind == "altitude":
            return sorted([*choices, (1.6, "altitude")], key=lambda c: c[0])
    if ctx.tradition in _MILLIMETRES:
        if (
            value is not None
            and any(s.unit == "mm[Hg]" and s.rank == 2 for s in draft.senses)
            and 300 <= value <= 1600
        ):
            return sorted([*choices, (2.4, "manifold")], key=lambda c: c[0])
        return choices
    if (
        value is not None
        and any(s.unit in {"atm", "att"} and not s.form for s in draft.senses)
        and _ATMOSPHERES[0] <= value <= _ATMOSPHERES[1]
        and _beside_revolutions(ctx, k)
    ):
        return sorted([*choices, (2.4, "manifold")], key=lambda c: c[0])
    if ctx.tradition not in {"american", "unknown", "british"}:
        return choices
    if value is None or not any(s.unit == "[in_i'Hg]" and s.rank == 2 for s in draft.senses):
        return choices
    if choices and choices[0][0] < _BESIDE and choices[0][1] in _TYRES:
        return choices  # "tyre 22 in. dia."
    if _INCH_BAND[0] <= value <= _INCH_BAND[1]:
        return sorted([*choices, (2.4, "manifold")], key=lambda c: c[0])
    return choices


_ATMOSPHERES = (Fraction(9, 10), Fraction(9, 5))
"""Pressures in atmospheres that engines are worked with."""


def _beside_revolutions(ctx: Context, k: int) -> bool:
    """Whether a figure of engine speed stands by draft `k`, or by its like before it."""
    return any(
        any(s.kind == "rotational_speed" for s in other.senses)
        and ctx.barrier(min(other.j, ctx.drafts[k].j), max(other.i, ctx.drafts[k].i)) < 3
        for other in ctx.drafts[max(0, k - 2) : k + 2]
        if other is not ctx.drafts[k]
    )


def twin_sense(senses: tuple[Sense, ...], first: Meaning) -> Sense | None:
    """Sense of a second figure that repeats the first in another unit."""
    fit = [s for s in senses if s.kind == first.sense.kind and s.unit != first.sense.unit]
    if fit:
        return fit[0]
    flows = {"mass_flow", "volume_flow"}
    if first.sense.kind in flows:
        fit = [s for s in senses if s.kind in flows and s.unit != first.sense.unit]
    return fit[0] if fit else None


def implied_by_company(ctx: Context, k: int) -> list[Choice]:
    """Subjects a bare number has by its company: "46/2500", "seventeen hundred"."""
    draft = ctx.drafts[k]
    t = ctx.t
    value = draft.value
    if value is None or draft.lo is not None:
        return []
    if draft.j < t.n and t.norm[draft.j] in _PAIRS and k + 1 < len(ctx.drafts):
        other = ctx.drafts[k + 1]
        if other.i == draft.j + 1:
            return _paired(ctx, draft, other)
    if k + 1 < len(ctx.drafts) and not draft.senses:
        other = ctx.drafts[k + 1]
        if other.i == draft.j and other.sign == "+" and t.gap[other.i] <= 2:
            return _paired(ctx, draft, other)
    if draft.i and t.norm[draft.i - 1] in _PAIRS and k:
        other = ctx.drafts[k - 1]
        if other.j == draft.i - 1:
            return _paired(ctx, draft, other)
    if (
        k
        and ctx.drafts[k - 1].kind == "speed"
        and value >= 1000
        and value % 500 == 0
        and draft.i
        and t.norm[draft.i - 1] in _UP_TO
        and draft.i - ctx.drafts[k - 1].j <= 2
        and ctx.tradition not in CONTINENTAL
    ):
        return [(0.3, "altitude")]  # "155 IAS to 10,000"
    if _beside_boost(ctx, k, value):
        return [(0.6, "engine speed")]
    if ctx.tradition in {"british", "unknown"} and _beside_speed(ctx, k):
        return [(0.6, "boost")]
    if (
        is_speech(ctx)
        and draft.spoken
        and not draft.sign
        and 1000 <= value <= 3600
        and draft.resolution is not None
        and draft.resolution >= 10
    ):
        return [(0.9, "engine speed")]
    if (
        not draft.sign
        and _turns(value)
        and draft.i
        and t.norm[draft.i - 1] in company_words("leads")
        and is_turning(ctx, k)
    ):
        return [(2.6, "engine speed")]
    return []


def is_turning(ctx: Context, k: int) -> bool:
    """Whether engine speed or its company is spoken of near draft `k`."""
    for m in range(max(0, k - 4), min(len(ctx.drafts), k + 4)):
        other = ctx.drafts[m]
        if m != k and (
            other.kind == "rotational_speed"
            or (other.sense is not None and other.sense.unit in _COMPANY)
        ):
            return True
    spoken_of: bool | None = ctx.memo.get(("turning",))
    if spoken_of is None:
        spoken_of = ctx.memo["turning",] = any(
            s.value in {"engine speed", "magneto drop"} and ctx.t.norm[s.i] != "mag"
            for s in ctx.roles.get("subject", ())
        )
    return spoken_of


_COMPANY = frozenset({"[in_i'Hg]", "mm[Hg]", "att"})


_UP_TO = word_set("before-limits-in-english")
_PAIRS = frozenset({"/", "&", "@"})


def _beside_boost(ctx: Context, k: int, value: Fraction) -> bool:
    """Whether a number of the size of an engine speed goes with a boost: "1,800 and +2"."""
    if ctx.drafts[k].sign or not _turns(value):
        return False
    draft, t = ctx.drafts[k], ctx.t
    for other in ctx.drafts[max(0, k - 1) : k] + ctx.drafts[k + 1 : k + 2]:
        first, second = (other, draft) if other.i < draft.i else (draft, other)
        if t.norm[first.j : second.i] not in _WITH:
            continue
        boosted = other.j < t.n and any(
            spot.i == other.j and spot.value == "boost"
            for spot in ctx.spots_in("subject", (other.end, other.end + _BOOST_WORD))
        )
        if other.sign == "+" or boosted or _is_manifold(other):
            return True
    return False


def _is_manifold(draft: Draft) -> bool:
    """Whether a figure can be the pressure in a manifold, by its unit and size."""
    value = draft.value
    return value is not None and any(
        lo <= value <= hi
        for unit, lo, hi in _MANIFOLDS
        if any(sense.unit == unit for sense in draft.senses)
    )


_MANIFOLDS = (("[in_i'Hg]", 14, 85), ("mm[Hg]", 350, 1500), ("att", Fraction(1, 2), 2))


def _beside_speed(ctx: Context, k: int) -> bool:
    """Whether a signed number stands beside one of the size of an engine speed: "-2, 1,700"."""
    draft = ctx.drafts[k]
    if draft.value == 0 and draft.words_only and k:
        before = ctx.drafts[k - 1]
        size = before.value or 0
        return 1000 <= size <= 3600 and ctx.t.norm[before.j : draft.i] == ["and"]
    if k + 1 >= len(ctx.drafts) or not draft.sign:
        return False
    other = ctx.drafts[k + 1]
    value = other.value
    if value is None or other.sign or ctx.t.norm[draft.j : other.i] not in _WITH:
        return False
    speed = not other.senses or any(s.kind == "rotational_speed" for s in other.senses)
    return speed and _turns(value)


def _turns(value: Fraction) -> bool:
    """Whether a number has the size, and the roundness, of an engine speed."""
    return value.denominator == 1 and 1000 <= (n := value.numerator) <= 3600 and n % 10 == 0


_WITH = tuple(words.split() for words in word_set("between-settings"))
_BOOST_WORD = 12


def _paired(ctx: Context, draft: Draft, other: Draft) -> list[Choice]:
    value, beside = draft.value, other.value
    if value is None or beside is None:
        return []
    if 1000 <= value <= 3600 and (other.sign == "+" or 8 <= beside <= 90):
        return [(0.3, "engine speed")]
    if 1000 <= beside <= 3600 and (draft.sign == "+" or 15 <= value <= 90):
        british = draft.sign == "+" or ctx.tradition == "british"
        return [(0.3, "boost" if british else "manifold")]
    if ctx.tradition in CONTINENTAL:
        for usual in usual_units("manifold pressure", ctx.tradition)[:1]:
            if 1000 <= value <= 3600 and usual.lo <= beside <= usual.hi and beside < value:
                return [(0.3, "engine speed")]
            if 1000 <= beside <= 3600 and usual.lo <= value <= usual.hi and value < beside:
                return [(0.3, "manifold")]
    return []


def listed_under_unit(ctx: Context, k: int, choices: list[Choice]) -> tuple[str, Sense] | None:
    """Subject and unit of a number in a list whose heading names both: "Limits (knots): ..."."""
    draft = ctx.drafts[k]
    t = ctx.t
    i = draft.i
    if i == 0 or not (t.norm[i - 1] in ",:;=-(..." or is_just_named(ctx, i)):
        return None
    kinds = subject_kinds()
    for units in ctx.units_near(draft, 24, 13):
        bracketed = units.i > 0 and (
            t.norm[units.i - 1] == "("
            or "all" in t.norm[max(0, units.i - 3) : units.i]
            or (units.i > 1 and t.norm[units.i - 1] == "," and t.norm[units.i - 3] == "(")
            or (t.norm[units.i - 1] in _MEASURED_IN and t.norm[units.j : units.j + 1] == [":"])
        )
        if not bracketed:
            continue
        before = units.i < i
        far = ctx.barrier(units.j, i) if before else ctx.barrier(draft.j, units.i)
        if before and not _heads(ctx, units.j, i):
            continue
        for _, subject in choices:
            allowed = kinds.get(subject, {})
            sense = fitting_sense(units.senses, allowed)
            if sense is not None:
                return subject, sense
        lone = min(units.senses, key=lambda s: s.rank)
        parameter = default_parameter(lone.kind, lone.unit, ctx.tradition)
        if lone.kind in {"speed", "temperature"} or far < 8:
            for subject, kinds_of in kinds.items():
                if parameter and kinds_of.get(lone.kind) == parameter:
                    return subject, lone
    return None


_MEASURED_IN = word_set("before-list-units")
"""Words before the unit that a list is in: "Manomètre en hpz : ..."."""


def _heads(ctx: Context, j: int, i: int) -> bool:
    """Whether the unit that ends before token `j` closes a heading: ")" and ":"."""
    t = ctx.t
    if j < t.n and (t.norm[j] == ":" or t.norm[j : j + 2] in ([")", ":"], [")", "."])):
        return True
    if t.norm[j : j + 1] != [")"]:
        return False
    # "速度(節) 上昇 一一〇、降下 三〇〇": items go on behind the bracket
    starts = ctx.starts.get("condition", [])
    at = bisect_left(starts, j + 1)
    return at < len(starts) and starts[at] == j + 1 and ctx.barrier(j + 1, i) < 5


def dial_scale(ctx: Context, k: int) -> int:
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    starts = ctx.starts.get("multiple")
    if not starts:
        return 1
    if place is not None:
        for span in (*place[1].column, *place[1].row):
            for spot in ctx.spots_in("multiple", span):
                return _SCALES.get(spot.value, 1)
        return 1
    here = bisect_left(starts, draft.i)
    spots = ctx.roles["multiple"]
    if here < len(spots) and spots[here].i - draft.j <= 1 and ctx.t.norm[draft.j] == "(":
        return _SCALES.get(spots[here].value, 1)  # "26 (x 100)"
    for spot in reversed(spots[max(0, here - 2) : here]):
        if ctx.barrier(spot.j, draft.i) < 12:
            return _SCALES.get(spot.value, 1)
    return 1


_SCALES = {word: int(of) for word, of in word_meanings("words-of-scale").items()}


def hinted_kind(ctx: Context, k: int, choices: list[Choice]) -> str:
    """Kind that "temperature" or "pressure" just before a bare number gives it."""
    starts = ctx.starts.get("generic")
    if not starts:
        return ""
    draft = ctx.drafts[k]
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return ""
    spot = ctx.roles["generic"][at]
    if ctx.barrier(spot.j, draft.i) >= 4:
        return ""
    subjects = ctx.starts.get("subject", [])
    here = bisect_left(subjects, spot.j) - 1
    if here >= 0 and choices:
        named = ctx.roles["subject"][here]
        if (
            named.i <= spot.i < named.j
            and named.value != choices[0][1]
            and (ctx.drafts_between(spot.j, draft.i) or ctx.owner[max(0, named.i - 2)] >= 0)
        ):
            return ""  # "pounds of oil pressure and 105 on the coolant"
    return spot.value


def hinted_by_headings(ctx: Context, k: int) -> str:
    place = ctx.cell_of[k]
    if place is None:
        return ""
    for span in (*reversed(place[1].column), *reversed(place[1].row)):
        spots = ctx.spots_in("generic", span)
        if len(place[1].row) > 1 and span == place[1].row[0]:
            spots = [s for s in spots if ctx.t.norm[s.i] != "gauge"]  # any instrument
        if spots:
            return spots[-1].value
    return ""
