"""Units finished elsewhere: "per B.H.P. hour" in a heading, "for the same power" after it."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense, compositions, denominator_trie, walk
from reconcile.notation.tokens import WORD
from reconcile.notation.unitwords import PER
from reconcile.notation.wordsets import word_set

_PER = PER - word_set("per-but-hung")
_KINDS = frozenset({"mass", "volume"})


def hung_units(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    """`senses` of draft `k`, divided by what the words around it say they are per."""
    for sense in senses:
        if sense.kind in _KINDS:
            break
    else:
        return _each_minute(ctx, k, senses)
    draft = ctx.drafts[k]
    slug = ""
    place = ctx.cell_of[k]
    if place is not None:
        for span in (*place[1].column, *place[1].row):
            i, j = ctx.token_range(span)
            slug = slug or _denominators(ctx, i, j)
        caption = place[0].caption
        if (
            not slug
            and caption is not None
            and any("consumption" in spot.value for spot in ctx.spots_in("subject", caption))
        ):
            slug = _denominators(ctx, *ctx.token_range(caption))
    else:
        begin = max(0, draft.i - 9)
        while begin < draft.i and (ctx.owner[begin] >= 0 or ctx.barrier(begin, draft.i) > 5.5):
            begin += 1
        slug = (
            _denominators(ctx, begin, draft.i) or _after(ctx, draft) or _rate(ctx, begin, draft.i)
        )
    if not slug and place is not None and not _in_one_cell(ctx, k):
        return senses  # the cell before has its own headings
    if not slug and k:
        slug = _as_before(ctx, k)
    if not slug:
        return (
            _like_before(ctx, k, senses)
            or _twin_rate(ctx, k, senses)
            or _same_basis(ctx, k, senses)
        )
    table = compositions()
    composed = [
        Sense(*found, "", s.traditions, "after", 1)
        for s in senses
        if (found := table.get((s.unit, slug))) is not None
    ]
    return tuple(composed) or senses


def _in_one_cell(ctx: Context, k: int) -> bool:
    """Whether the figure before stands in the same cell."""
    here, before = ctx.cell_of[k], ctx.cell_of[k - 1] if k else None
    return here is not None and before is not None and here[1] is before[1]


def _each_minute(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    """Feet that "every minute" behind them makes a rate of climb; other units as they are."""
    if ctx.cell_of[k] is not None or not any(s.kind == "altitude" for s in senses):
        return senses
    if _after(ctx, ctx.drafts[k]) != "min":
        return senses
    table = compositions()
    return (
        tuple(
            Sense(*found, "", s.traditions, "after", 1)
            for s in senses
            if (found := table.get((s.unit, "min"))) is not None
        )
        or senses
    )


def _rate(ctx: Context, i: int, j: int) -> str:
    """ "Hourly" and its like between tokens `i` and `j`, as a denominator."""
    starts = ctx.starts.get("rate")
    if not starts:
        return ""
    at = bisect_left(starts, j) - 1
    return ctx.roles["rate"][at].value if at >= 0 and starts[at] >= i else ""


def _as_before(ctx: Context, k: int) -> str:
    """What the figure before is per, where this one goes on in the same unit."""
    first, draft = ctx.drafts[k - 1], ctx.drafts[k]
    if first.sense is None or not first.senses or not draft.senses:
        return ""
    over = first.sense.unit.removeprefix(draft.senses[0].unit)
    if over.endswith("/h") and over == first.sense.unit and _of_oil(ctx, draft):
        over = f"/{over.partition('/')[2]}"  # "Consumo orario: benzina lt. 190, olio kg. 5,5"
    printed = ctx.t.norm[first.unit_at : first.unit_end]
    if (
        over in {"/h", "/min", "/s"}
        and not _PER & set(printed)
        and "/" not in printed
        and (ctx.barrier(first.j, draft.i) < 2.5)
    ):
        return over[1:]
    return ""


def _after(ctx: Context, draft: Draft) -> str:
    """What "in the hour" or "an hour" some words after a figure makes it per."""
    end = draft.j
    while end < ctx.t.n and end - draft.j < 16 and ctx.barrier(draft.j, end) < 1.7:
        end += 1
    t = ctx.t
    if draft.j < t.n and t.norm[draft.j] in _ADVERBS and ctx.barrier(draft.j, draft.j) < 1:
        return "h"
    powers = ""
    for i in range(draft.j, end - 1):
        if ctx.owner[i] >= 0:
            continue
        at = i + 1
        while at < end and t.norm[at] in _THE:
            at += 1
        if t.norm[i] in _EACH or (t.norm[i] in _HOURLY and at > i + 1):
            match = walk(denominator_trie(), t, at) if at < t.n else None
            if match is not None and match.what[0] in _PERIODS:
                return f"{powers}{match.what[0]}"
            if match is not None and match.what[0] in {"HP", "PS"}:
                powers = f"{match.what[0]} "  # "for every b.h.p. each hour"
    if powers:
        draft.supposed.append("what the figure is per goes on and could not be read")
    return ""


_PERIODS = frozenset({"h", "min", "PS h", "HP h"})
_EACH = word_set("words-of-each")
_ADVERBS = word_set("words-of-hourly")
_HOURLY = word_set("before-the-hour")
_THE = word_set("articles-of-times")


def _denominators(ctx: Context, i: int, j: int) -> str:
    t = ctx.t
    slugs = []
    while i < j:
        if t.kind[i] == WORD and t.norm[i] in _PER and ctx.owner[i] < 0 and i + 1 < j:
            match = walk(denominator_trie(), t, i + 1)
            elided = match is not None and t.norm[match.end : match.end + 1] == ["'"]
            if match is not None and match.end <= j + 1 and not elided:
                slugs.append(match.what[0])
                i = match.end
                continue
        i += 1
    return " ".join(slugs)


def _like_before(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    """``7·3 lb. per gallon and oil 9 lb.``: a like figure just before says per what."""
    if not k or any(s.rank > 1 and s.kind == "time" for s in senses):
        return ()
    draft, first = ctx.drafts[k], ctx.drafts[k - 1]
    sense = first.sense
    if sense is None or "/" not in sense.unit or draft.value is None or first.value is None:
        return ()
    if ctx.barrier(first.j, draft.i) > 2.2 or first.value <= 0 or draft.value <= 0:
        return ()
    if not 0.5 <= float(draft.value / first.value) <= 2.0:
        return ()
    numerator = sense.unit.partition("/")[0]
    if not any(s.unit == numerator for s in senses):
        return ()
    draft.supposed.append("taken to be per the same as the figure before it")
    return (sense,)


def _twin_rate(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    """A flow said once more by mass ("96 gallons hourly, which is 690 lb."), or that of the oil.

    What is only joined ("0.5 lb/b.h.p./hr. and oil 0.02 lb.") is taken so, and said to be.
    """
    if not k or ctx.cell_of[k] is not None:
        return ()
    draft, first = ctx.drafts[k], ctx.drafts[k - 1]
    per = "" if first.sense is None else first.sense.unit.partition("/")[2]
    if not per or first.sense is None or first.sense.kind not in _RATES:
        return ()
    found = [
        Sense(unit, kind, "", s.traditions, "after", 1)
        for (numerator, _), (unit, kind) in compositions().items()
        for s in senses
        if s.unit == numerator and unit == f"{s.unit}/{per}"
    ]
    far = ctx.barrier(first.j, draft.i)
    between = ctx.t.norm[first.j : draft.i]
    if len(between) < 3 and not {".", ";"} & set(between):
        far = min(far, 1.0)  # "kg/PS-Std. Benzin und 70 g Öl": a unit's stop, a noun's capital
    if not found or far > _TOGETHER:
        return ()
    if _equated(ctx, first.j, draft.i):
        return tuple(found)
    if far < _JOINED and (_AND & set(between)) and _of_oil(ctx, draft):
        draft.supposed.append("taken to be per the same as the figure before it")
        return tuple(found)
    return ()


_RATES = frozenset({"volume_flow", "mass_flow", "specific_consumption"})
_TOGETHER, _JOINED = 2.6, 1.8
_AND = word_set("words-of-together")


def _equated(ctx: Context, i: int, j: int) -> bool:
    """Whether what stands between two figures says that they are one: "(", "that is"."""
    norm = ctx.t.norm
    if norm[i:j] in _EQUALS:
        return True
    span = (ctx.t.end[i - 1], ctx.t.start[j])
    return bool(ctx.roles.get("equals")) and bool(ctx.spots_in("equals", span))


def _of_oil(ctx: Context, draft: Draft) -> bool:
    """Whether oil or fuel, and no tank of it, is named right before or behind a figure."""
    begin = draft.unit_at if 0 <= draft.unit_at < draft.i else draft.i
    span = (ctx.t.start[max(0, begin - 2)], ctx.t.end[min(ctx.t.n - 1, draft.j + 1)])
    return any(
        spot.value in {"oil", "fuel"} and (spot.j == begin or spot.i - draft.j in {0, 1})
        for spot in ctx.spots_in("subject", span)
    )


def _same_basis(ctx: Context, k: int, senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    starts = ctx.starts.get("same")
    if not starts or k == 0:
        return senses
    draft = ctx.drafts[k]
    at = bisect_left(starts, draft.j)
    if at >= len(starts) or ctx.barrier(draft.j, starts[at]) > 2:
        return senses
    first = ctx.drafts[k - 1].sense
    if first is None or first.kind != "specific_consumption":
        return senses
    per = first.unit[first.unit.index("/") :]
    table = {
        numerator: unit
        for (numerator, _), (unit, _kind) in compositions().items()
        if unit.endswith(per) and unit[: -len(per)] == numerator
    }
    found = [
        Sense(table[s.unit], "specific_consumption", "", s.traditions, "after", 1)
        for s in senses
        if s.unit in table
    ]
    return tuple(found) or senses


_EQUALS = tuple(words.split() for words in word_set("between-equals"))
