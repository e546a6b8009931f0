"""Numbers in running text that stand for no quantity: pages, marks, dates, things counted."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.limits.numbering import enumerates, is_paragraph_number
from reconcile.limits.terms import CONTINENTAL, company_words
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import NUMBER, WORD
from reconcile.notation.wordsets import word_set


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
                if near < 4 and spot.j <= draft.unit_at < draft.i and draft.unit_at - spot.j < 2:
                    return True  # "matricole MM. 5510-5534"
                if (near == 0 or (near == 1 and t.norm[draft.i - 1] in ".:")) and (
                    not draft.senses or short or is_ordinal(ctx, draft)
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
    if (
        short
        and t.raw(draft.unit_at).isupper()
        and draft.j + 1 < t.n
        and t.norm[draft.j] == "/"
        and not t.gap[draft.j]
        and not t.gap[draft.j + 1]
        and t.kind[draft.j + 1] == NUMBER
    ):
        return True  # "27H/1144"
    if (
        short
        and draft.i
        and t.norm[draft.i - 1] in "-/."
        and t.gap[draft.i] == 0
        and not draft.sign
    ):
        return True
    if draft.senses:
        return _is_designation(ctx, draft) or (
            is_ordinal(ctx, draft)
            and any(s.i == draft.j and s.value == "unit" for s in _at(ctx, draft.j))
        )
    return not draft.sign and (_in_reference(ctx, draft) or enumerates(ctx, k))


def _at(ctx: Context, j: int) -> list[Spot]:
    """Words that tell what is no figure, where they begin at token `j`."""
    starts = ctx.starts.get("distractor")
    if not starts:
        return []
    at = bisect_left(starts, j)
    return [s for s in ctx.roles["distractor"][at : at + 3] if s.i == j]


def _is_designation(ctx: Context, draft: Draft) -> bool:
    """Whether letters before and after a number make it the name of a type: "DB 605 A"."""
    t = ctx.t
    at, before = draft.unit_at, draft.i - 1
    if before < 0 or at < draft.i or draft.unit_end - at > 2 or len(t.norm[at]) != 1:
        return False
    if not t.raw(at).isupper() or not t.gap[at] or t.gap[draft.i] != 1 or t.kind[before] != WORD:
        return False
    raw = t.raw(before)
    around = t.text[max(0, draft.start - 40) : draft.end + 40]
    longest = 2 if not raw.isupper() else 4 if t.norm[at] in "cf" else 16
    if not (raw[0].isupper() and 1 < len(raw) <= longest) or around.isupper():
        return False
    span = (t.start[max(0, before - 3)], t.end[before])
    return not any(
        spot.i <= before < spot.j
        for role in ("subject", "bound", "condition", "generic", "approx", "and", "to")
        for spot in ctx.spots_in(role, span)
    )


def _in_reference(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number ends letters and numbers set close together: "T.3/118"."""
    t = ctx.t
    i = draft.i
    if _is_file_number(ctx, draft):
        return True
    numbers = 0
    while i > 0 and not t.gap[i] and draft.i - i < _LONGEST_REFERENCE:
        i -= 1
        if t.kind[i] == NUMBER:
            numbers += 1
        elif t.kind[i] == WORD:
            if not t.raw(i).isupper() or len(t.norm[i]) > 3:
                return False
            if len(t.norm[i]) == 1 and i and t.kind[i - 1] == NUMBER and not t.gap[i]:
                return t.norm[i + 1] == "/"  # "27H/1144"
            if ctx.owner[i] >= 0:
                return False
            if numbers or (t.norm[i + 1] == "." and ctx.tradition not in CONTINENTAL):
                return True  # "L.1099"
        elif t.norm[i] not in _JOINTS:
            return False
    return False


def _is_file_number(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number and a year after its stroke name a letter: "W.R. 3319/44"."""
    t, i, j = ctx.t, draft.i, draft.j
    if j + 1 >= t.n or t.norm[j] != "/" or t.gap[j] or t.gap[j + 1] or t.gap[i] != 1 or i < 4:
        return False
    year = t.norm[j + 1]
    lettered = t.norm[i - 1] == "." and t.raw(i - 2).isupper() and len(t.norm[i - 2]) < 4
    return lettered and year.isdigit() and len(year) == 2


_LONGEST_REFERENCE = 8
_JOINTS = frozenset({".", "/", "-", ":"})


def _inside_phrase(ctx: Context, draft: Draft) -> bool:
    """Whether a number is part of a phrase of the vocabulary: "tank 1", "No. 2 tank"."""
    for role in ("condition", "subject"):
        starts = ctx.starts.get(role)
        if starts:
            at = bisect_left(starts, draft.i + 1) - 1
            if at >= 0 and ctx.roles[role][at].j > draft.i:
                return True
    return False


def is_ordinal(ctx: Context, draft: Draft) -> bool:
    """Whether what looks like a unit is part of a number in a series: "3°", "9-6021 A"."""
    t = ctx.t
    at = draft.unit_at
    if at < draft.i or draft.unit_end - at > 2 or len(t.norm[at]) != 1:
        return False
    return t.norm[at] == "°" or (t.raw(at).isupper() and draft.lo is not None)


def is_counted(ctx: Context, draft: Draft) -> bool:
    """Whether the word after a bare number is what it counts."""
    t = ctx.t
    j = draft.j
    if _is_year(ctx, draft):
        return True
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
    if t.norm[j] in company_words("followers") or "\u3040" <= t.norm[j] <= "\u9fff":
        return False
    if draft.other is not None and starts_at(ctx, "subject", j):
        return False
    if _labels_next(ctx, draft):
        return False
    at = bisect_left(ctx.starts.get("subject", []), j)
    spots = ctx.roles.get("subject", [])
    while at < len(spots) and spots[at].i == j:
        if spots[at].group == "strong":
            return False  # "155 IAS": the word says what the number is
        at += 1
    if draft.value in _A_FEW and t.norm[j][-1] == "s" and starts_at(ctx, "condition", j):
        at = bisect_left(ctx.starts["condition"], j)
        if ctx.roles["condition"][at].group in {"tank", "wheel"}:
            return True  # "2 mains at 206 gal."
    if draft.resolution is not None and draft.resolution < 1:
        if starts_at(ctx, "subject", j):
            return False
        if ctx.tradition in CONTINENTAL and draft.resolution.denominator in _DECIMAL:
            return False  # "im Fluge 0,15 bis 0,2 halten"
    if _is_bounded(ctx, draft) and t.norm[j][-1] != "s":
        return False  # "if it falls below 420 reset the stop"
    if _counts_tanks(ctx, draft):
        return True
    if (
        ctx.tradition in _ENGLISH
        and draft.value is not None
        and draft.value > _SMALL
        and (t.norm[j][-1] != "s" and not starts_at(ctx, "subject", j))
    ):
        return False  # "a relief valve set at 1,650 guarding the whole": things counted have an s
    return not any(starts_at(ctx, role, j) for role in _MAY_FOLLOW)


def _is_year(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number is a year: no gauge is read so finely."""
    value = draft.value
    if value is None or draft.lo is not None or draft.sign or draft.spoken:
        return False
    return ctx.t.norm[draft.i].isdigit() and 1900 < value < 1970 and value % 10 != 0


_ENGLISH = frozenset({"british", "american"})
_SMALL = 12


def _counts_tanks(ctx: Context, draft: Draft) -> bool:
    """Whether a small whole number stands before a kind of tank or wheel: "2 mains"."""
    value = draft.value
    if value is None or value > 12 or value.denominator != 1 or draft.sign or draft.lo is not None:
        return False
    starts = ctx.starts.get("condition", [])
    at = bisect_left(starts, draft.j)
    if at >= len(starts) or starts[at] != draft.j:
        return False
    return ctx.roles["condition"][at].group in {"tank", "wheel"} and not _is_named(ctx, draft)


def _is_named(ctx: Context, draft: Draft) -> bool:
    starts = ctx.starts.get("subject", [])
    at = bisect_left(starts, draft.i) - 1
    return at >= 0 and draft.i - ctx.roles["subject"][at].j <= 1


_A_FEW = frozenset(range(2, 9))
_DECIMAL = frozenset({10, 100, 1000})


def _is_bounded(ctx: Context, draft: Draft) -> bool:
    """Whether a bound stands right before a number: it bounds a quantity, not a count."""
    starts = ctx.starts.get("bound")
    if not starts:
        return False
    at = bisect_left(starts, draft.i) - 1
    return at >= 0 and ctx.roles["bound"][at].j == draft.i


_MAY_FOLLOW = ("condition", "bound", "approx", "to", "and", "unlimited")


def _labels_next(ctx: Context, draft: Draft) -> bool:
    """Whether both a number and the next have a name before them: "CHT 230 OIL T 85"."""
    starts = ctx.starts.get("subject")
    if not starts:
        return False
    spots = ctx.roles["subject"]
    at = bisect_left(starts, draft.j)
    if at >= len(starts) or starts[at] != draft.j:
        return False
    named = at > 0 and 0 <= draft.i - spots[at - 1].j <= 1
    k = bisect_left(ctx.draft_starts, spots[at].j)
    return named and k < len(ctx.drafts) and ctx.drafts[k].i - spots[at].j <= 1


def starts_at(ctx: Context, role: str, j: int) -> bool:
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, j)
    return at < len(starts) and starts[at] == j


def counts_on(ctx: Context, k: int) -> bool:
    """Whether a bare number goes on counting what the one before it counts."""
    first = ctx.drafts[k - 1] if k else None
    if first is None or first.senses or first.kind or first.sign or ctx.drafts[k].sign:
        return False
    near = ctx.barrier(first.j, ctx.drafts[k].i) < 2.2
    return near and is_counted(ctx, first) and not is_distracted(ctx, k - 1)


def holds_at_its_like(ctx: Context, k: int, kind: str) -> bool:
    """Whether a number is said to hold at a figure of the kind it was taken for.

    In "7 strokes at 0 °C, and 14 at -10 °C" the 14 is no temperature.
    """
    draft = ctx.drafts[k]
    if k + 1 >= len(ctx.drafts) or ctx.t.norm[draft.j : ctx.drafts[k + 1].i] not in _HELD_AT:
        return False
    return kind in {sense.kind for sense in ctx.drafts[k + 1].senses}


_HELD_AT = tuple(words.split() for words in word_set("holds-at"))


def is_fuel_grade(ctx: Context, draft: Draft) -> bool:
    """Whether a bare number right behind the word for fuel is its octane number."""
    starts = ctx.starts.get("subject")
    if not starts or draft.lo is not None or draft.nominal is None:
        return False
    at = bisect_left(starts, draft.i) - 1
    if at < 0 or ctx.roles["subject"][at].j != draft.i:
        return False
    return ctx.roles["subject"][at].value == "fuel" and 50 <= draft.nominal <= 150
