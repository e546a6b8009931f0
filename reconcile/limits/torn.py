"""Numbers torn apart: figures with a blank between, compounds with a part that is not read."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.phrases import BEFORE, FIGURES, in_phrases
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import NUMBER, SIGN, WORD
from reconcile.notation.unitwords import read_unit
from reconcile.notation.values import COMPOUNDS

_POINTED = frozenset({"british", "american"})
"""Traditions whose decimal mark is a point."""


def first_part_lost(ctx: Context, draft: Draft) -> str:
    """``g mins. 20 secs.``, ``E 320 кг``, ``g,000 ft``: what comes before is not read."""
    t, i = ctx.t, draft.i
    if t.kind[i] != NUMBER:
        return ""
    raw = t.norm[i]
    if len(raw) > 1 and not raw.strip("0") and draft.lo is None:
        return "noughts alone: the figures before them may be lost"
    b = i - 1
    if b < 1 or t.gap[i] != 1:
        return ""
    if len(raw) == 3 and t.kind[b] == WORD and t.gap[b] and t.raw(b) in _CAPITALS:
        return BEFORE if ctx.tradition not in _POINTED else ""
    if t.kind[b] == SIGN and t.norm[b] == "." and not t.gap[b]:
        b -= 1
    if not draft.senses or draft.unit_at < i or t.kind[b] != WORD or ctx.owner[b] >= 0:
        return ""
    if b and t.gap[b] < 2 and len(t.norm[b - 1]) == 1 and ctx.owner[b - 1] < 0:
        unit = read_unit(t, b, ctx.tradition)
        if unit is not None and _parts(unit.senses, draft.senses):
            return "the greater part before it could not be read"
    return ""


def _parts(greater: tuple[Sense, ...], lesser: tuple[Sense, ...]) -> bool:
    """Whether two units make up compounds: hours and minutes, feet and inches."""
    return any((a.unit, b.unit) in COMPOUNDS for a in greater for b in lesser)


_CAPITALS = frozenset("lISZBEGTOA")
"""Letters that figures are misread as, where a number's thousands stand apart."""


def next_part_lost(ctx: Context, k: int, draft: Draft) -> str:
    """``5 hrs. ■0 mins.``, ``52 cwt. E qrs.``: the lesser part of a compound is not read."""
    t, j = ctx.t, draft.j
    if draft.nominal is None or j + 1 >= t.n or t.gap[j] > 1 or draft.unit_at < draft.i:
        return ""
    if k + 1 < len(ctx.drafts) and ctx.drafts[k + 1].i == j and ctx.drafts[k + 1].void:
        units = {s.unit for s in ctx.drafts[k + 1].senses}
    elif t.kind[j] in FIGURES or len(t.norm[j]) == 1:
        last = j + 1
        while last < t.n and last < j + 3 and t.kind[last] in {SIGN, NUMBER} and not t.gap[last]:
            last += 1
        if t.kind[j] == SIGN and last == j + 1:
            return ""
        unit = read_unit(t, last, ctx.tradition)
        if unit is None or (t.kind[last] == WORD and len(t.norm[last]) < 2):
            return ""
        units = {s.unit for s in unit.senses}
    else:
        return ""
    if any((a, b) in COMPOUNDS for a in {s.unit for s in draft.senses} for b in units):
        return "the lesser part that follows could not be read"
    return ""


def figures_apart(ctx: Context, k: int, meanings: list[Meaning | None]) -> str:
    """``28. 5 V``, ``2 8·5 volts``, ``180 0 об/мин``: one number, or two, with a blank between."""
    if k and _parted(ctx, k - 1, k, meanings):
        return "it may be one number with the figures before it"
    if k + 1 < len(meanings) and _parted(ctx, k, k + 1, meanings):
        return "it may be one number with the figures behind it"
    return ""


def _parted(ctx: Context, a: int, b: int, meanings: list[Meaning | None]) -> bool:
    t = ctx.t
    first, second = ctx.drafts[a], ctx.drafts[b]
    if first.void or second.void or first.repeats or second.repeats:
        return False
    if first.spoken or second.spoken or first.ditto or first.unit_at >= first.i:
        return False
    if first.sign and not (t.norm[second.i][0] == "0" and first.j == second.i):
        return False
    if first.lo is not None and first.unit_at >= 0:
        return False
    i, j = first.j, second.i
    if t.kind[i - 1] not in FIGURES or t.kind[j] not in FIGURES:
        return False
    if t.gap[j] != 1:
        return False
    if i == j:  # a blank alone
        if ctx.cell_of[a] != ctx.cell_of[b]:
            return False
        return meanings[a] is not None or not _is_name(ctx, first)
    if j != i + 1 or t.gap[i] > 1:
        return False
    mark = t.norm[i]
    last, rest = t.norm[i - 1], t.norm[j]
    if not (last.isdigit() and rest.isdigit() and len(last) < 4 and len(rest) < 4):
        return False
    if mark == "." or mark == "·":
        return first.i > 0 and t.gap[first.i] < 3 and not _is_name(ctx, first)
    if mark == ",":
        decimal = ctx.tradition in _COMMAS and not _listed(ctx, a, b)
        return (decimal or len(rest) == 3) and not _is_name(ctx, first)
    return False


_COMMAS = frozenset({"german", "french", "italian", "soviet"})
"""Traditions whose decimal mark is a comma."""


def _listed(ctx: Context, a: int, b: int) -> bool:
    """Whether the numbers are items of a list: "5, 10 e 15", "1, 2, 3"."""
    t = ctx.t
    drafts = ctx.drafts
    j = drafts[b].j
    if b + 1 < len(drafts) and drafts[b + 1].i == j + 1 and drafts[b].unit_at < drafts[b].i:
        return True
    return bool(a) and drafts[a].i - drafts[a - 1].j == 1 and t.norm[drafts[a].i - 1] == ","


def _is_name(ctx: Context, draft: Draft) -> bool:
    """Whether a number belongs to a name: "Type 66", "Fig. 12", "Merrow 12"."""
    t, i = ctx.t, draft.i
    if not i:
        return True
    at = i - 1
    if t.norm[at] == "." and at:
        at -= 1
    if t.kind[at] != WORD:
        return False
    if ctx.owner[at] >= 0:
        return False
    raw = t.raw(at)
    found = ctx.starts.get("distractor")
    if found:
        here = bisect_left(found, i)  # phrases of one role hardly overlap: the last will do
        if any(s.j >= i - 1 for s in ctx.roles["distractor"][max(0, here - 4) : here]):
            return True
    if len(raw) == 1 and raw.isupper():
        return True  # "C 3", a fuel
    return raw[0].isupper() and at not in in_phrases(ctx)
