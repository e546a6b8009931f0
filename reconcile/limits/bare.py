"""Figures printed without their unit: by heading, ditto, neighbour, or the usage of the trade."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from typing import TYPE_CHECKING

from reconcile.limits.columns import Headed, headed, noted, unit_of_column
from reconcile.limits.context import Context
from reconcile.limits.headings import stated_units
from reconcile.limits.numbering import (
    counts_by_heading,
    counts_things,
    is_paragraph_number,
    is_register,
)
from reconcile.limits.sense import is_plausible
from reconcile.limits.settle import settle_number
from reconcile.limits.subjects import Choice, choose_sense, named, subject_choices
from reconcile.limits.terms import default_parameter, subject_kinds, usual_units
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import BLUR, KANJI, SIGN, WORD

if TYPE_CHECKING:
    from reconcile.limits.interpret import Meaning

_NONE = frozenset[str]()
_INCH_BAND = (Fraction(9), Fraction(85))
_LEAD_WORDS = frozenset({
    "to", "at", "of", "is", "=", ":", "with", "and", "or", "over", "under", "below", "above",
    "hold", "be", "than", "by", "on", "about", "was", "are", "for", "around", "exceed", "from",
    "between", "reads", "shows", "show", "read", "turn", "turns", "set", "use", "keep", "not",
    "exceeding", "in", "near", "then", "bei", "auf", "von", "mit", "bis", "zu", "à", "de", "da",
    "a", "di", "до", "при", "на", "от", "не", "with", "through", "back", "maintain", "past",
    "...", "-", "(", "/", "を", "は", "に", "の", "で", "と", "s", "it", "gives", "giving", "go", "beyond",
    "get", "gets", "see", "saw", "like", "want", "need", "roughly", "full", "as", "only", "nie",
    "sur", "con", "moins", "plus", "ou", "et", "e", "o", "и", "или", "für", "per", "al",
})  # fmt: skip
_FOLLOWERS = frozenset({
    "in", "for", "at", "and", "or", "on", "with", "to", "when", "if", "as", "is", "by", "from",
    "before", "after", "but", "while", "during", "until", "of", "should", "must", "may", "then",
    "not", "will", "can", "the", "all", "each", "i", "you", "we", "it", "that", "and", "off",
    "beim", "bei", "im", "und", "oder", "für", "nach", "vor", "au", "en", "et", "ou", "pour",
    "avec", "dans", "à", "per", "con", "e", "o", "al", "in", "a", "при", "на", "и", "или", "в",
    "до", "для", "не", "having", "are", "so", "or", "maybe", "without", "under", "unless", "per",
    "nicht", "zu", "ist", "over", "above", "below", "be", "no", "less", "more", "both", "only", "her",
    "mark", "each", "apiece", "either", "too", "also", "weak", "rich", "respectively",
    "except", "she", "they", "there", "since", "which", "old", "now", "again", "right", "boost",
})  # fmt: skip


def is_distracted(ctx: Context, k: int) -> bool:
    """Whether the words before a number make it a page, mark or part number, or a date."""
    draft = ctx.drafts[k]
    starts = ctx.starts.get("distractor")
    t = ctx.t
    if not draft.senses and not draft.sign and _inside_phrase(ctx, draft):
        return True
    if is_paragraph_number(ctx, draft):
        return True
    if (
        k
        and not draft.senses
        and t.norm[draft.i - 1] == "/"
        and ctx.drafts[k - 1].j == draft.i - 1
        and not ctx.drafts[k - 1].senses
        and is_distracted(ctx, k - 1)
    ):
        return True
    if (
        not draft.senses
        and (draft.i == 0 or t.gap[draft.i] >= 3)
        and t.norm[draft.j : draft.j + 1] in ([")"], ["."])
        and t.gap[draft.j] == 0
        and draft.j + 1 < t.n
        and t.gap[draft.j + 1] == 1
        and t.kind[draft.j + 1] == WORD
    ):
        return True  # "1) Aria nella bombola"
    glued = draft.unit_at > 0 and draft.unit_at < t.n and t.gap[draft.unit_at] == 0
    short = glued and len(t.norm[draft.unit_at]) == 1 and t.norm[draft.unit_at] not in "°\"'%#"
    if starts:
        here = bisect_left(starts, draft.i)
        for spot in ctx.roles["distractor"][max(0, here - 2) : here]:
            if spot.group == "" and spot.value == "before":
                near = draft.i - spot.j if t.gap[draft.i] < 2 else 9
                if (near == 0 or (near == 1 and t.norm[draft.i - 1] in ".:")) and (
                    not draft.senses or short or _ordinal(ctx, draft)
                ):
                    return True
    if (
        draft.i
        and t.gap[draft.i] == 0
        and t.kind[draft.i - 1] == WORD
        and not draft.sign
        and ctx.owner[draft.i - 1] < 0
        and t.norm[draft.i - 1] < "\u3000"
    ):
        before = t.norm[draft.i - 1]
        if draft.senses and draft.unit_at < draft.i:
            return False
        if not draft.senses and before not in {"n", "x"}:
            return True
    if (
        draft.i > 1
        and not draft.sign
        and t.norm[draft.i - 1] == "-"
        and not t.gap[draft.i]
        and not t.gap[draft.i - 1]
        and (not draft.senses or short)
        and ctx.owner[draft.i - 2] < 0
    ):
        return True  # "W-1240", "T-45"
    if (
        not draft.senses
        and k
        and draft.i > 1
        and t.norm[draft.i - 1] == "-"
        and not t.gap[draft.i]
        and not t.gap[draft.i - 1]
        and ctx.drafts[k - 1].j == draft.i - 1
    ):
        return True  # "12-45"
    if short and draft.i and t.norm[draft.i - 1] in "-/." and t.gap[draft.i] == 0 and not draft.sign:
        return True
    return False


def _inside_phrase(ctx: Context, draft: Draft) -> bool:
    """Whether a number is part of a phrase of the vocabulary: "tank 1", "No. 2 tank"."""
    for role in ("condition", "subject"):
        starts = ctx.starts.get(role)
        if starts:
            at = bisect_left(starts, draft.i + 1) - 1
            if at >= 0 and ctx.roles[role][at].j > draft.i:
                return True
    return False


def _ordinal(ctx: Context, draft: Draft) -> bool:
    """Whether what looks like a unit is part of a number in a series: "3°", "9-6021 A"."""
    t = ctx.t
    at = draft.unit_at
    if at < draft.i or draft.unit_end - at > 2 or len(t.norm[at]) != 1:
        return False
    return t.norm[at] == "°" or (t.raw(at).isupper() and draft.lo is not None)


def _counted(ctx: Context, draft: Draft) -> bool:
    """Whether the word after a bare number is what it counts."""
    t = ctx.t
    j = draft.j
    if j >= t.n or t.gap[j] >= 2:
        return False
    starts = ctx.starts.get("distractor")
    if starts:
        at = bisect_left(starts, j)
        spots = ctx.roles["distractor"]
        if at < len(spots) and spots[at].i == j and spots[at].value == "unit":
            return True
    if t.kind[j] != WORD:
        if t.norm[j] == "-" and t.gap[j] == 0 and j + 1 < t.n and t.gap[j + 1] == 0:
            return t.kind[j + 1] == WORD
        return False
    if t.norm[j] in _FOLLOWERS or "\u3040" <= t.norm[j] <= "\u9fff":
        return False
    if draft.resolution is not None and draft.resolution < 1 and _starts_at(ctx, "subject", j):
        return False
    return not any(_starts_at(ctx, role, j) for role in _MAY_FOLLOW)


_MAY_FOLLOW = ("condition", "bound", "approx", "to", "and", "unlimited")


def _starts_at(ctx: Context, role: str, j: int) -> bool:
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, j)
    return at < len(starts) and starts[at] == j


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
    if ctx.tradition in _MILLIMETRES:
        if value is not None and 300 <= value <= 1600 and any(
            s.unit == "mm[Hg]" and s.rank == 2 for s in draft.senses
        ):
            return sorted([*choices, (2.4, "manifold")], key=lambda c: c[0])
        return choices
    if ctx.tradition not in {"american", "unknown", "british"}:
        return choices
    if value is None or not any(s.unit == "[in_i'Hg]" and s.rank == 2 for s in draft.senses):
        return choices
    if _INCH_BAND[0] <= value <= _INCH_BAND[1]:
        return sorted([*choices, (2.4, "manifold")], key=lambda c: c[0])
    return choices


def twin_sense(senses: tuple[Sense, ...], first: Meaning) -> Sense | None:
    """Sense of a second figure that repeats the first in another unit."""
    fit = [s for s in senses if s.kind == first.sense.kind and s.unit != first.sense.unit]
    if fit:
        return fit[0]
    flows = {"mass_flow", "volume_flow"}
    if first.sense.kind in flows:
        fit = [s for s in senses if s.kind in flows and s.unit != first.sense.unit]
    return fit[0] if fit else None


def repeated(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A ditto mark in a cell of its own: the figure above it once more."""
    from reconcile.limits.interpret import Meaning

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
            if source is None and other is not None and there is not None and (
                there[0] is place[0] and there[1].at[1] == column and there[1].at[0] < row
            ):
                source = other
    if source is None:
        source = _above(ctx, k, meanings)
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


def with_ditto(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A figure whose unit is a ditto mark: the unit of the figure above it."""
    from reconcile.limits.interpret import Meaning

    draft = ctx.drafts[k]
    above_it = _above(ctx, k, meanings)
    if above_it is None:
        return without_unit(ctx, k, meanings)
    choices = subject_choices(ctx, k)
    senses = (above_it.sense,)
    sense, subject, parameter, distance = choose_sense(ctx, k, senses, choices)
    if distance > 1.0:
        subject, parameter = above_it.subject, above_it.parameter
    draft.sense, draft.kind = sense, sense.kind
    return Meaning(draft, sense, subject, parameter)


def _above(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
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
            cost += 10 * (min(_ratio_of(draft.value, other.draft.value), 7.0) - 1)
        if best is None or cost < best[0]:
            best = (cost, other)
    return None if best is None else best[1]


def without_unit(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number with no unit of its own, if its place shows that it is a figure."""
    draft = ctx.drafts[k]
    if is_distracted(ctx, k):
        return None
    place = ctx.cell_of[k]
    if place is not None:
        if is_register(ctx, *place) or counts_by_heading(ctx, place[1]):
            return None
        if counts_things(ctx, *place) and not (
            stated_units(ctx, k) or unit_of_column(ctx, k, meanings)
        ):
            return None
        return _in_cell(ctx, k, meanings) or _guessed(draft, _in_text(ctx, k, meanings))
    if ctx.grids and not draft.words_only and (found := headed(ctx, k, subject_choices(ctx, k))) is not None:
        return _as_headed(ctx, draft, found, 1)
    if ctx.grids and (other := noted(ctx, k, meanings)) is not None:
        draft.supposed.append("unit of the figure it is a note to")
        return _new(draft, other.sense, other.subject, other.parameter)
    if draft.slash and (geared := _gear_teeth(ctx, k)) is not None:
        return geared
    if _counted(ctx, draft) or _counted_on(ctx, k) or _fuel_grade(ctx, draft):
        return None
    return _in_text(ctx, k, meanings)


def _gear_teeth(ctx: Context, k: int) -> Meaning | None:
    """"Reduction 21/34": the teeth of two wheels, and so a ratio."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    if not choices or choices[0][1] != "gear ratio" or not draft.lo or not draft.hi:
        return None
    draft.nominal, draft.lo, draft.hi = draft.lo / draft.hi, None, None
    draft.resolution = Fraction(1, 1000)
    return _new(draft, Sense("1", "ratio", "", _NONE, "after", 1), "gear ratio", "gear ratio")


def _counted_on(ctx: Context, k: int) -> bool:
    """Whether a bare number goes on counting what the one before it counts."""
    first = ctx.drafts[k - 1] if k else None
    if first is None or first.senses or first.kind or first.sign or ctx.drafts[k].sign:
        return False
    near = ctx.barrier(first.j, ctx.drafts[k].i) < 2.2
    return near and _counted(ctx, first) and not is_distracted(ctx, k - 1)


def _fuel_grade(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number right behind the word for fuel is its octane number."""
    starts = ctx.starts.get("subject")
    if not starts or draft.lo is not None or draft.nominal is None:
        return False
    at = bisect_left(starts, draft.i) - 1
    if at < 0 or ctx.roles["subject"][at].j != draft.i:
        return False
    return ctx.roles["subject"][at].value == "fuel" and 50 <= draft.nominal <= 150


def _guessed(draft: Draft, meaning: Meaning | None) -> Meaning | None:
    """A number in a table whose headings do not say its unit is never given out as certain."""
    if meaning is not None and not draft.supposed:
        draft.supposed.append("unit not in the headings, taken from the text around")
    return meaning


def _in_cell(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number in a table: its headings say what it is and in which unit."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    if draft.sign == "+" and ctx.tradition in {"british", "japanese", "unknown"}:
        choices = sorted([*choices, (0.8, "boost")], key=lambda c: c[0])
    implied = _implied(ctx, k)
    if implied:
        choices = sorted([*choices, *implied], key=lambda c: c[0])
    scale = _scale(ctx, k)
    found = headed(ctx, k, choices)
    if found is not None:
        return _as_headed(ctx, draft, found, scale)
    kinds = subject_kinds()
    hinted = _hinted_by_headings(ctx, k)
    for _, subject in choices:
        allowed = kinds.get(subject)
        if not allowed:
            continue
        if hinted in allowed:
            allowed = {hinted: allowed[hinted]}
        beside = _unit_beside(ctx, k, meanings, allowed)
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
            made = made or _by_usage(ctx, draft, subject, allowed, scale, tabled=True)
            if made is not None:
                return made
    return None


def _as_headed(ctx: Context, draft: Draft, found: Headed, scale: int) -> Meaning:
    """The meaning of a bare number whose unit its headings state."""
    sense = found.sense
    if found.times > 1:
        _rescale(draft, found.times)
    elif scale > 1 and sense.kind in _SCALED and (scale == 10 or sense.kind in _BY_HUNDREDS):
        _rescale(draft, scale)
    meaning = _new(draft, sense, found.subject, found.parameter)
    settle_number(ctx, meaning)
    return meaning


def _in_text(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    """A number in running text: its company shows what it is."""
    draft = ctx.drafts[k]
    choices = subject_choices(ctx, k)
    if draft.sign == "+" and (
        ctx.tradition in {"british", "japanese", "unknown"} or draft.spoken
    ):
        choices = sorted([*choices, (0.8, "boost")], key=lambda c: c[0])
    implied = _implied(ctx, k)
    if implied:
        choices = sorted([*choices, *implied], key=lambda c: c[0])
    kinds = subject_kinds()
    scale = _scale(ctx, k)
    listed = _listed(ctx, k, choices)
    if listed is not None:
        made = _made(ctx, draft, *listed, 1)
        if made is not None:
            return made
    if draft.sign == "+":
        choices = [c for c in choices if c[1] in {"boost", "manifold"}]
    evident = bool(implied) or (bool(choices) and _evident(ctx, k, choices)) or scale > 1
    hinted = _hinted(ctx, k)
    twinned = _alike(ctx, k, meanings, choices, 1.25)
    if twinned is not None and hinted and twinned.sense.kind != hinted:
        twinned = None
    if twinned is not None and not implied and scale == 1:
        return twinned
    if evident:
        hinted = _hinted(ctx, k)
        for distance, subject in choices:
            allowed = kinds.get(subject)
            if not allowed:
                continue
            if hinted in allowed:
                allowed = {hinted: allowed[hinted]}
            sense = _neighbour_unit(ctx, k, allowed, meanings)
            if sense is not None:
                made = _made(ctx, draft, subject, sense, scale)
                if made is not None:
                    return made
            if distance < 2.0 and scale == 1:
                alike = _alike(ctx, k, meanings, choices)
                if alike is not None and alike.parameter in allowed.values():
                    return alike
                made = _by_usage(ctx, draft, subject, allowed, scale)
                if made is not None:
                    return made
            if distance > 6:
                break
    alike = _alike(ctx, k, meanings, choices)
    if alike is not None:
        return alike
    if not evident:
        return None
    for distance, subject in choices:
        allowed = kinds.get(subject)
        if not allowed:
            continue
        if distance > 6:
            break
        hinted = _hinted(ctx, k)
        if hinted in allowed:
            allowed = {hinted: allowed[hinted]}
        made = _by_usage(ctx, draft, subject, allowed, scale)
        if made is not None:
            return made
    return None


def _new(draft: Draft, sense: Sense, subject: str, parameter: str) -> Meaning:
    from reconcile.limits.interpret import Meaning

    draft.sense, draft.kind = sense, sense.kind
    return Meaning(draft, sense, subject, parameter)


def _made(ctx: Context, draft: Draft, subject: str, sense: Sense, scale: int) -> Meaning | None:
    """The meaning of a bare number with that subject and unit, if its size allows it."""
    parameter = subject_kinds()[subject][sense.kind]
    parameter = named(parameter, sense, ctx.tradition, draft)
    value = draft.value
    if value is None:
        return None
    scaled = scale > 1 and sense.kind in _SCALED and (
        sense.kind == "rotational_speed" or scale == 10
    )
    if scaled:
        if not is_plausible(value * scale, sense.unit, parameter):
            return None
        _rescale(draft, scale)
    elif not is_plausible(value, sense.unit, parameter) and not _mendable(
        draft, sense, parameter
    ):
        return None
    meaning = _new(draft, sense, subject, parameter)
    settle_number(ctx, meaning)
    return meaning


def _mendable(draft: Draft, sense: Sense, parameter: str) -> bool:
    """Whether the number marks or the degree mark, read otherwise, make the size possible."""
    other = draft.other
    if other is not None:
        swapped = other[0] if other[0] is not None else other[2]
        if is_plausible(swapped, sense.unit, parameter):
            return True
    value = draft.value
    return (
        sense.kind == "temperature"
        and value is not None
        and value % 10 == 0
        and is_plausible(value / 10, sense.unit, parameter)
    )


_BY_HUNDREDS = frozenset({"rotational_speed", "altitude"})
_SCALED = frozenset({"rotational_speed", "pressure", "speed", "altitude"})


def _by_usage(
    ctx: Context, draft: Draft, subject: str, allowed: dict[str, str], scale: int,
    *, tabled: bool = False,
) -> Meaning | None:  # fmt: skip
    """The meaning a bare number has by the usage of the trade, in the usual unit."""
    value = draft.value
    if value is None:
        return None
    for kind, parameter in allowed.items():
        if scale > 1 and not (kind == "rotational_speed" or (scale == 10 and kind == "pressure")):
            continue
        for usual in usual_units(parameter, ctx.tradition, tabled=tabled):
            if usual.kind != kind:
                continue
            sense = Sense(usual.unit, kind, "", _NONE, "after", 1)
            size = value * scale
            if not usual.lo <= size <= usual.hi and not (
                scale == 1 and _mendable(draft, sense, parameter)
            ):
                continue
            if scale > 1:
                _rescale(draft, scale)
            meaning = _new(draft, sense, subject, named(parameter, sense, ctx.tradition, draft))
            settle_number(ctx, meaning)
            if kind not in {"rotational_speed", "ratio"}:
                draft.supposed.append(f"unit {usual.unit} supposed, as usual for {parameter}")
            return meaning
    return None


def _ratio_of(a: Fraction | None, b: Fraction | None) -> float:
    """How many times the greater of two sizes is the smaller; infinite across zero."""
    if a is None or b is None or a.numerator * b.numerator <= 0:
        return float("inf")
    ratio = abs(a.numerator * b.denominator / (a.denominator * b.numerator))
    return ratio if ratio >= 1 else 1 / ratio


def _alike(
    ctx: Context,
    k: int,
    meanings: list[Meaning | None],
    choices: list[Choice],
    most: float = 2.2,
) -> Meaning | None:
    """A number like one named just before: "undercarriage 155 knots, flaps under 125"."""
    draft = ctx.drafts[k]
    if draft.words_only and not _speech(ctx):
        return None
    if not _led(ctx, k) and not (most < 2 and _goes_on(ctx, k)):
        return None
    best: tuple[float, Meaning] | None = None
    for m in range(k - 1, max(-1, k - 9), -1):
        other = meanings[m]
        if other is None or other.draft.void or other.draft.value is None:
            continue
        if other.sense.kind in _NEVER_ALIKE and not (
            other.sense.kind == "ratio" and other.draft.resolution == draft.resolution != 1
        ):
            continue
        if not is_plausible(draft.value, other.sense.unit, other.parameter):
            continue
        far = ctx.barrier(other.draft.j, draft.i)
        if far > 15:
            break
        ratio = _ratio_of(draft.value, other.draft.value)
        if ratio > most or bool(draft.sign) != bool(other.draft.sign) and draft.sign:
            continue
        if ratio > 1.25 and not _same_subject(ctx, draft, choices, other, far):
            continue
        cost = far + 2.5 * (ratio - 1)
        if best is None or cost < best[0]:
            best = (cost, other)
    if best is None:
        return None
    cost, other = best
    subject, parameter = other.subject, other.parameter
    for distance, nearest in choices:
        near = subject_kinds().get(nearest, {}).get(other.sense.kind)
        if near is not None:
            if distance < cost:
                subject = nearest
                parameter = named(near, other.sense, ctx.tradition, draft)
            break
    meaning = _new(draft, other.sense, subject, parameter)
    if cost > 8.5:
        draft.supposed.append("unit taken over from a figure of like size before it")
    return meaning


_NEVER_ALIKE = frozenset({"time", "altitude", "angle", "ratio", "length"})


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
    return t.norm[draft.j] in _FOLLOWERS or _starts_at(ctx, "condition", draft.j)


def _led(ctx: Context, k: int) -> bool:
    """Whether the words before a bare number are such as stand before a figure."""
    draft = ctx.drafts[k]
    t = ctx.t
    i = draft.i
    if i == 0:
        return False
    if t.gap[i] == 0 and ctx.owner[i - 1] >= 0:
        return True
    if _just_named(ctx, i):
        return True
    before = t.norm[i - 1]
    if t.kind[i - 1] == WORD:
        return before in _LEAD_WORDS
    if before in {",", ";", "(", ":", "-", "...", "/"}:
        return i >= 2 and (ctx.owner[i - 2] >= 0 or _just_named(ctx, i - 1) or before in "(:")
    return False


def void_without_unit(ctx: Context, k: int) -> Meaning | None:
    """An illegible number with no unit, where the words before it name a quantity."""
    from reconcile.limits.interpret import Meaning

    draft = ctx.drafts[k]
    near = 6.0 if ctx.cell_of[k] is not None else 2.0
    for distance, subject in subject_choices(ctx, k):
        if distance > near:
            return None
        for kind, parameter in subject_kinds().get(subject, {}).items():
            for usual in usual_units(parameter, ctx.tradition):
                if usual.kind == kind:
                    sense = Sense(usual.unit, kind, "", _NONE, "after", 1)
                    draft.sense, draft.kind = sense, kind
                    return Meaning(draft, sense, subject, parameter)
    return None


def _scale(ctx: Context, k: int) -> int:
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None:
        for span in (*place[1].column, *place[1].row):
            for spot in ctx.spots_in("multiple", span):
                return _SCALES.get(spot.value, 1)
        return 1
    starts = ctx.starts.get("multiple")
    if not starts:
        return 1
    here = bisect_left(starts, draft.i)
    spots = ctx.roles["multiple"]
    if here < len(spots) and spots[here].i - draft.j <= 1 and ctx.t.norm[draft.j] == "(":
        return _SCALES.get(spots[here].value, 1)  # "26 (x 100)"
    for spot in reversed(spots[max(0, here - 2) : here]):
        if ctx.barrier(spot.j, draft.i) < 12:
            return _SCALES.get(spot.value, 1)
    return 1


_SCALES = {"tens": 10, "hundreds": 100, "thousands": 1000}


def _rescale(draft: Draft, scale: int) -> None:
    for name in ("nominal", "lo", "hi", "plus_minus", "resolution"):
        number = getattr(draft, name)
        if number is not None:
            setattr(draft, name, number * scale)


def _hinted(ctx: Context, k: int) -> str:
    """Kind that "temperature" or "pressure" just before a bare number gives it."""
    starts = ctx.starts.get("generic")
    if not starts:
        return ""
    draft = ctx.drafts[k]
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return ""
    spot = ctx.roles["generic"][at]
    return spot.value if ctx.barrier(spot.j, draft.i) < 4 else ""


def _hinted_by_headings(ctx: Context, k: int) -> str:
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


def _implied(ctx: Context, k: int) -> list[Choice]:
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
    if draft.i and t.norm[draft.i - 1] in _PAIRS and k:
        other = ctx.drafts[k - 1]
        if other.j == draft.i - 1:
            return _paired(ctx, draft, other)
    if (
        _speech(ctx)
        and draft.spoken
        and not draft.sign
        and 1000 <= value <= 3600
        and draft.resolution is not None
        and draft.resolution >= 10
    ):
        return [(0.9, "engine speed")]
    if (
        1000 <= value <= 3600
        and not draft.sign
        and value % 10 == 0
        and draft.i
        and t.norm[draft.i - 1] in _LEAD_WORDS
        and _turning(ctx, k)
    ):
        return [(2.6, "engine speed")]
    return []


def _turning(ctx: Context, k: int) -> bool:
    """Whether engine speed or its company is spoken of near draft `k`."""
    for m in range(max(0, k - 4), min(len(ctx.drafts), k + 4)):
        if m != k and ctx.drafts[m].kind in {"rotational_speed"}:
            return True
        if m != k and ctx.drafts[m].sense is not None and ctx.drafts[m].sense.unit in _COMPANY:
            return True
    return any(
        s.value in {"engine speed", "magneto drop"} and ctx.t.norm[s.i] != "mag"
        for s in ctx.roles.get("subject", ())
    )


_COMPANY = frozenset({"[in_i'Hg]", "mm[Hg]", "att"})


_PAIRS = frozenset({"/", "&"})


def _paired(ctx: Context, draft: Draft, other: Draft) -> list[Choice]:
    value, beside = draft.value, other.value
    if value is None or beside is None:
        return []
    if 1000 <= value <= 3600 and (other.sign == "+" or 8 <= beside <= 90):
        return [(0.3, "engine speed")]
    if 1000 <= beside <= 3600 and (draft.sign == "+" or 15 <= value <= 90):
        british = draft.sign == "+" or ctx.tradition == "british"
        return [(0.3, "boost" if british else "manifold")]
    return []


def _listed(ctx: Context, k: int, choices: list[Choice]) -> tuple[str, Sense] | None:
    """Subject and unit of a number in a list whose heading names both: "Limits (knots): ..."."""
    draft = ctx.drafts[k]
    t = ctx.t
    i = draft.i
    if i == 0 or not (t.norm[i - 1] in ",:;=-(..." or _just_named(ctx, i)):
        return None
    kinds = subject_kinds()
    for units in ctx.units:
        bracketed = units.i > 0 and (
            t.norm[units.i - 1] == "("
            or "all" in t.norm[max(0, units.i - 3) : units.i]
            or (units.i > 1 and t.norm[units.i - 1] == "," and t.norm[units.i - 3] == "(")
        )
        if not bracketed:
            continue
        before = units.i < i
        far = ctx.barrier(units.j, i) if before else ctx.barrier(draft.j, units.i)
        if far > 24 or (not before and far > 13):
            continue
        if before and not _heads(ctx, units.j, i):
            continue
        for _, subject in choices:
            allowed = kinds.get(subject, {})
            sense = _fit(units.senses, allowed)
            if sense is not None:
                return subject, sense
        lone = min(units.senses, key=lambda s: s.rank)
        parameter = default_parameter(lone.kind, lone.unit, ctx.tradition)
        if lone.kind in {"speed", "temperature"} or far < 8:
            for subject, kinds_of in kinds.items():
                if parameter and kinds_of.get(lone.kind) == parameter:
                    return subject, lone
    return None


def _heads(ctx: Context, j: int, i: int) -> bool:
    """Whether the unit that ends before token `j` closes a heading: ")" and ":"."""
    t = ctx.t
    return j < t.n and (t.norm[j] == ":" or t.norm[j : j + 2] in ([")", ":"], [")", "."]))


def _evident(ctx: Context, k: int, choices: list[Choice]) -> bool:
    """Whether a bare number in running text plainly stands for a quantity."""
    draft = ctx.drafts[k]
    t = ctx.t
    nearest = choices[0][0]
    if draft.words_only and not _speech(ctx):
        named = draft.i and t.norm[draft.i - 1] in {"whose", "its", "the", "their", "this"}
        return draft.value == 0 and nearest < 0.5 and not named  # "a gauge whose zero is"
    if draft.sign == "+":
        return True
    if draft.sign and k and ctx.drafts[k - 1].sign and nearest < 12:
        return True
    if nearest > 7:
        return False
    i = draft.i
    if i == 0:
        return nearest < 0.6
    if _just_named(ctx, i):
        return True
    before = t.norm[i - 1]
    if draft.spoken:
        return nearest < 4 and (before in _LEAD_WORDS or nearest < 0.5)
    if _bounded_after(ctx, draft) and nearest < 5:
        return True
    exact = draft.other is not None or (draft.resolution is not None and draft.resolution < 1)
    if draft.lo is not None and exact and nearest < 3.0:
        return True
    if t.kind[i - 1] == SIGN and before in ",;(" and k and nearest < 7:
        # a list that goes on: "normal 60, idling 15"
        return False
    if before in _LEAD_WORDS and nearest < 4.5:
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


def _just_named(ctx: Context, i: int) -> bool:
    t = ctx.t
    j = i
    while j > 0 and i - j < 2 and t.kind[j - 1] == SIGN and t.norm[j - 1] in ".,:=-(...":
        j -= 1
    for role in ("subject", "bound", "condition", "approx", "generic"):
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


def _speech(ctx: Context) -> bool:
    return getattr(ctx, "speech", False)


def _unit_beside(
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
            alike = _ratio_of(ctx.drafts[k].value, other.draft.value) <= 12
            return other if alike else None
    return None


def _neighbour_unit(
    ctx: Context, k: int, allowed: dict[str, str], meanings: list[Meaning | None]
) -> Sense | None:
    """Unit of the nearest figure of the same parameter, or one printed apart."""
    draft = ctx.drafts[k]
    best: tuple[float, Sense] | None = None
    for m in range(max(0, k - 8), min(len(meanings), k + 9)):
        other = meanings[m]
        if other is None or other.sense.kind not in allowed or m == k:
            continue
        if m < k:
            far = ctx.barrier(other.draft.j, draft.i)
        else:
            far = ctx.barrier(draft.j, other.draft.i) + 0.5
        parameter = named(allowed[other.sense.kind], other.sense, ctx.tradition, draft)
        if far > 12 or parameter != other.parameter:
            continue
        ratio = _ratio_of(draft.value, other.draft.value)
        if ratio > 15 and draft.value and other.draft.value:
            continue
        if ratio > 3:
            far += 1.5
        if best is None or far < best[0]:
            best = (far, other.sense)
    units = _detached(ctx, draft, allowed)
    if units is not None and (best is None or units[0] <= best[0]):
        return units[1]
    return None if best is None else best[1]


def _detached(ctx: Context, draft: Draft, allowed: dict[str, str]) -> tuple[float, Sense] | None:
    best: tuple[float, Sense] | None = None
    for units in ctx.units:
        before = units.i < draft.i
        far = ctx.barrier(units.j, draft.i) if before else ctx.barrier(draft.j, units.i) + 0.6
        if far > 8 or (best is not None and far >= best[0]):
            continue
        sense = _fit(units.senses, allowed)
        if sense is not None:
            best = (far, sense)
    return best


def _fit(senses: tuple[Sense, ...], allowed: dict[str, str]) -> Sense | None:
    for sense in sorted(senses, key=lambda s: s.rank):
        if sense.kind in allowed:
            return sense
    return None


def name_time(ctx: Context, k: int, meaning: Meaning) -> None:
    """A time with no subject: how long a rating may be used, or how long a thing lasts."""
    from reconcile.limits.bounds import stated_bound

    draft = meaning.draft
    t = ctx.t
    i = draft.i
    if ctx.cell_of[k] is not None:
        meaning.parameter = "time limit"
        return
    if meaning.subject == "elapsed":
        return
    closed = draft.j < t.n and t.norm[draft.j] in {")", "limit", ",", "max", "rating"}
    bracketed = i > 0 and t.norm[i - 1] == "(" and closed
    before = t.norm[i - 1] if i else ""
    if before in {"in", "inside", "within", "takes"}:
        return
    said = stated_bound(ctx, k)
    rated = any(
        s.value == meaning.condition and (s.group == "rating" or s.value in _TIMED)
        for s in ctx.roles.get("condition", ())
    )
    if bracketed or said == "max" or (rated and _near_figures(ctx, k)):
        meaning.parameter = "time limit"
    elif meaning.sense.unit == "h" and draft.value is not None and draft.value >= 2:
        meaning.parameter = "endurance"


_TIMED = frozenset({"dive", "overspeed", "starting", "one engine out"})


def _near_figures(ctx: Context, k: int) -> bool:
    for m in (k - 1, k + 1):
        if 0 <= m < len(ctx.drafts):
            a, b = (m, k) if m < k else (k, m)
            if ctx.barrier(ctx.drafts[a].j, ctx.drafts[b].i) < 2.2 and ctx.drafts[m].kind != "time":
                return True
    return False


_ = (KANJI,)
