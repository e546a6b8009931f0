"""Numbers and units that are not printed as they stand: a part of them was misread."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.phrases import FIGURES, LETTERS_FOR, reads_on
from reconcile.limits.terms import subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.misprints import skeleton
from reconcile.notation.tokens import BLUR, CODE, NUMBER, WORD
from reconcile.notation.unitwords import read_unit
from reconcile.notation.values import COMPOUNDS
from reconcile.notation.wordsets import word_set

_ADDED = frozenset({"+", "-", "±", "_", "t", "f", "†"})
_WARM = 20
"""Minutes or seconds that could as well be degrees, where a mark is all their unit."""


def odd_places(ctx: Context, k: int, meaning: Meaning) -> str:
    """``180.0 r.p.m.``, ``2,0 lb``, ``.20 secs.``: decimals that are not printed so."""
    draft, t = meaning.draft, ctx.t
    unit = meaning.sense.unit
    raw = t.text[draft.start : draft.end]
    if raw.startswith("4-") and (meaning.subject == "boost" or meaning.sense.kind == "temperature"):
        return "'4-' may be a misread plus"
    if meaning.sense.kind == "time" and draft.sign and draft.unit_at >= draft.i:
        return "no time has a sign: the unit may be misread"
    long = unit == "h" and draft.value is not None and draft.value >= _AGES and draft.senses
    if long and meaning.parameter in {"", "time limit", "duration"}:
        return "hardly so many hours: the unit may be misread"
    if unit == "%" and draft.unit_at >= draft.i and draft.sign == "+":
        return "the sign of per cent may be a fraction"
    if unit == "m" and draft.value is not None and 0 < abs(draft.value) < _SHORT:
        return "so short a length is hardly given in metres: it may be inches"
    step = draft.resolution
    if draft.spoken or draft.ditto or step is None or step.denominator == 1 or step >= 1:
        return ""
    marks = [t.norm[m] for m in range(draft.i, draft.j) if t.kind[m] == NUMBER]
    turns = meaning.sense.unit == "{rev}/min" and ctx.cell_of[k] is None and draft.senses
    if turns and any(not m.isdigit() for m in marks):
        return "revolutions are not printed with decimals"
    if ctx.tradition in _POINTED and any("," in m for m in marks):
        return "a comma for the decimal point, or a stray mark"
    if meaning.sense.kind in _WHOLE and any(m[0] in ".·," for m in marks):
        return "a point before the number may be a stray mark"
    return ""


_AGES = 2000
"""Hours that no limit runs to."""
_SHORT = Fraction(1, 10)
"""Metres below which a length is given in another unit."""
_POINTED = frozenset({"british", "american"})
"""Traditions whose decimal mark is a point."""
_WHOLE = frozenset({
    "speed", "time", "rotational_speed", "temperature", "power", "altitude", "angle", "voltage",
    "current",
})  # fmt: skip
"""Kinds that are not printed as a decimal with nothing before its point."""


def _is_link(ctx: Context, m: int) -> bool:
    """Whether the word at token `m` is one for "to" as it stands: "raised from 360 to 420"."""
    starts = ctx.starts.get("to", [])
    at = bisect_left(starts, m)
    return at < len(starts) and starts[at] == m


def link_misread(ctx: Context, k: int) -> str:
    """``220 lo 300 lb``, ``5,5 + 6 Kg/cmq``: a sign or word for "to" that was misread."""
    for a in (k - 1, k):
        if not 0 <= a < len(ctx.drafts) - 1:
            continue
        first, second = ctx.drafts[a], ctx.drafts[a + 1]
        t = ctx.t
        if second.i - first.j > 1 or first.nominal is None or second.nominal is None:
            continue
        if second.unit_at < second.i or first.unit_at >= first.i or first.sign:
            continue
        m = second.i if second.sign else first.j
        if m == second.i and not second.sign:
            continue
        if t.gap[m] > 1 or t.gap[second.i] > 1 or not 0 < first.nominal < second.nominal:
            continue
        mark = t.norm[m]
        if t.kind[m] in {WORD, CODE, BLUR}:
            if skeleton(mark) in _LINKS_MISREAD and not _is_link(ctx, m):
                return f"{t.raw(m)!r} may be a word for 'to'"
        elif mark in {"=", "+", "_", "†"} and second.nominal < 4 * first.nominal:
            return f"{t.raw(m)!r} may be a sign for 'to'"
    return ""


_LINKS_MISREAD = word_set("to-misread")
"""Words for "to" as they are misread, in letters that are taken for one another."""


def tolerance_lost(ctx: Context, k: int, meanings: list[Meaning | None]) -> str:
    """``28·5 volts - 0·25``, ``22° - 1°``: a sign that may have been plus or minus."""
    t = ctx.t
    draft = ctx.drafts[k]
    here = meanings[k]
    if here is None:
        return ""
    for a, b in ((k, k + 1), (k - 1, k)):
        if not 0 <= a < b < len(meanings):
            continue
        first, second = ctx.drafts[a], ctx.drafts[b]
        one, two = meanings[a], meanings[b]
        if first.nominal is None or second.nominal is None or second.spoken:
            continue
        between = list(range(first.j, second.i))
        begin = second.i
        if second.sign:
            between = [*between, begin]
        if first.unit_at >= first.i and first.j == second.i and not second.sign:
            pass  # "28·5 volts 0·25"
        elif len(between) != 1 or t.norm[between[0]] not in _ADDED:
            continue
        if t.gap[first.j] > 1 or t.gap[second.j - 1] > 1 or ctx.cell_of[a] != ctx.cell_of[b]:
            continue
        small = abs(second.nominal) * 2 < abs(first.nominal)
        if not small or _pair(first, second):
            continue
        units = {one.sense.unit if one else "", two.sense.unit if two else ""} - {""}
        if len(units) == 1 and (one is None or two is None or one.parameter == two.parameter):
            if one is None and (first.unit_at >= 0 or draft is first):
                continue
            if two is None and not second.sign and t.norm[between[0]] in "tf" if between else False:
                continue
            return "it may be a number and its tolerance, the sign misread"
    return ""


def _pair(first: Draft, second: Draft) -> bool:
    """Whether the numbers are the parts of a compound or of a power setting."""
    return bool(first.senses and second.senses) and any(
        (a.unit, b.unit) in COMPOUNDS for a in first.senses for b in second.senses
    )


def unit_lost(ctx: Context, meaning: Meaning) -> str:
    """``2,600 i.p.m.``, ``80 l b./sq.in.``, ``2A V``: what follows a number may be its unit."""
    t, draft = ctx.t, meaning.draft
    j = draft.j
    if draft.ditto or draft.spoken:
        return ""
    if draft.unit_at >= draft.i:
        if t.norm[draft.unit_at] in "°%" and _goes_on_as_unit(ctx, draft):
            return "another unit follows: the mark may be a part of the number"
        if t.norm[draft.unit_at] == "m" == meaning.sense.unit and _head_of_mercury(ctx, draft):
            return "mercury is not measured in metres: it may be inches"
        if draft.unit_end - draft.unit_at > 1 or len(t.norm[draft.unit_at]) > 1:
            return ""
        raw = t.raw(draft.unit_at)
        if raw in "'\"″′" and meaning.sense.kind in _OF_MARKS:
            near = t.norm[j : j + 1]
            if near and near[0] in {"c", "f", "с"} and t.gap[j] < 2:
                return "the mark behind the number may be a degree mark"
            size = meaning.draft.value or 0
            warm = size >= _WARM and "temperature" in subject_kinds().get(meaning.subject, {})
            if (meaning.sense.kind != "time" or warm) and not _fits_subject(meaning):
                return "the mark behind the number may be another"
        if raw in "'\"″′" and _among_degrees(ctx, meaning):
            return "others have a degree mark: the mark behind the number may be one"
        load = raw in "Gg" and meaning.sense.unit == "[g]" and not t.gap[draft.unit_at]
        if load and meaning.subject not in ctx.subjects:
            return "the letter behind the number may be a figure of it"
        if raw == "С" and meaning.sense.kind == "time":
            return "the letter may be a degree Celsius"
        if t.kind[draft.unit_at] == WORD and j < t.n and t.gap[j] == 1 and t.kind[j] == WORD:
            if t.norm[j] in _CONSONANTS:
                return "the letters behind the number may be one unit"
            follows = read_unit(t, j, ctx.tradition)
            if follows is not None and not t.gap[draft.unit_at] and not reads_on(ctx, j):
                return "the letter behind the number may be a figure of it"
        if raw in LETTERS_FOR and not t.gap[draft.unit_at] and not _fits_subject(meaning):
            return "the letter behind the number may be a figure of it"
        if raw in "tf" and j < t.n and t.kind[j] in FIGURES and t.gap[j] < 2:
            return "the letter behind the number may be a sign"
        return ""
    if j < t.n and t.gap[j] == 3 and t.kind[j] == WORD and _unit_below(ctx, meaning):
        return "the unit at the head of the next line may be its own"
    if j >= t.n or t.gap[j] > 1 or t.kind[j] != WORD:
        return ""
    if reads_on(ctx, j):
        return ""
    raw = t.raw(j)
    dotted = "." in raw[:-1] or (
        len(raw) == 1 and j + 2 < t.n and t.norm[j + 1] in "./" and t.kind[j + 2] == WORD
        and len(t.norm[j + 2]) < 4 and t.gap[j + 2] < 2
    )  # fmt: skip
    stroke = j + 2 < t.n and t.norm[j + 1] == "/" and not t.gap[j + 1] and not t.gap[j + 2]
    return "what follows may be its unit, misread" if dotted or stroke else ""


def _unit_below(ctx: Context, meaning: Meaning) -> bool:
    """Whether the next line begins with a unit that is not the one a bare number was given."""
    k = bisect_left(ctx.draft_starts, meaning.draft.i)
    if ctx.cell_of[k] is not None or meaning.draft.ditto:
        return False
    unit = read_unit(ctx.t, meaning.draft.j, ctx.tradition, apart=True)
    return unit is not None and all(s.unit != meaning.sense.unit for s in unit.senses)


_OF_MARKS = frozenset({"length", "time", "angle", "altitude"})
"""Kinds whose units are printed as a mark close behind the number."""


def _among_degrees(ctx: Context, meaning: Meaning) -> bool:
    """Whether a mark stands alone of its kind among degree marks, behind no small number."""
    t, draft = ctx.t, meaning.draft
    if draft.value is None or draft.value < _WARM or "°" not in t.text:
        return False
    if meaning.subject in ctx.subjects and _fits_subject(meaning):
        return False
    paired = draft.j < t.n and t.norm[draft.j] == "/"
    if meaning.sense.kind == "pressure" and (paired or meaning.subject in ctx.subjects):
        return False
    mark = t.raw(draft.unit_at)
    return ctx.cell_of[bisect_left(ctx.draft_starts, draft.i)] is None and t.text.count(mark) == 1


def _head_of_mercury(ctx: Context, draft: Draft) -> bool:
    """Whether "Hg" stands behind a unit that has none."""
    t, j = ctx.t, draft.j
    if j < t.n and t.norm[j] == "." and not t.gap[j]:
        j += 1
    return j < t.n and t.norm[j] == "hg" and t.gap[j] < 2


def _fits_subject(meaning: Meaning) -> bool:
    """Whether what is named is measured in a quantity of that kind."""
    return meaning.sense.kind in subject_kinds().get(meaning.subject, {})


def _goes_on_as_unit(ctx: Context, draft: Draft) -> bool:
    """Whether a second unit stands behind the first, which is no scale of temperature."""
    t, j = ctx.t, draft.j
    if draft.unit_end - draft.unit_at > 1 or j >= t.n or t.gap[j] > 1 or t.kind[j] != WORD:
        return False
    unit = read_unit(t, j, ctx.tradition)
    if unit is None or reads_on(ctx, j) or (len(t.norm[j]) < 2 and unit.end == j + 1):
        return False
    return unit.end - j > 1 or unit.end >= t.n or t.kind[unit.end] not in FIGURES


_CONSONANTS = frozenset({*"bcdfghjklmnpqrstvwxzбгдмнпртфх", "bs"})
"""Letters that are no word by themselves."""
