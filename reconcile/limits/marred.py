"""Signs about a figure which show that part of it was lost or misread.

A number may be read without fault from what is left of it: "1[800" is an 800, "28. 5 V" a 5.
What tells is the print about it: a bracket never closed, figures set close before or behind,
a sign that no number has, a partner in a range that could not be read. Such a figure keeps its
value, and is marked as doubtful with the reason.
"""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context, Spot
from reconcile.limits.meaning import Meaning
from reconcile.limits.terms import subject_kinds
from reconcile.notation.drafts import Draft
from reconcile.notation.misprints import skeleton
from reconcile.notation.tokens import BLUR, CODE, FRACTION, NUMBER, SIGN, WORD
from reconcile.notation.unitwords import read_unit
from reconcile.notation.values import COMPOUNDS
from reconcile.notation.wordsets import word_set

_FIGURES = frozenset({NUMBER, BLUR, CODE, FRACTION})
_NEVER = frozenset("]}{!\\&$%^;?°_#")
"""Signs that are never set close before the first figure of a number."""
_NEVER_AFTER = frozenset("[{}&$^~\\_¤§")
"""Signs that are never set close behind the last figure of a number with no unit."""
_OPENS = {"[": "]", "(": ")", "{": "}", "<": ">"}
_POINTS = frozenset(".,·;:'")
_ADDED = frozenset({"+", "-", "±", "_", "t", "f", "†"})
_TO = frozenset({"-", "÷", "~", "..."})
_FAR = 240
"""Characters within which a bracket is closed."""
_ORDINALS = word_set("ordinal-ends")
_LETTERS_FOR = frozenset("lIOoSZBsztbgAEGTUijJ|")
_BEFORE = "what stands close before the number may be a part of it"
_BEHIND = "what stands close behind the number may be a part of it"


def doubt_marred(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Mark the figures about which the print shows that something of them was lost.

    Parameters
    ----------
    ctx : Context
    meanings : list of Meaning or None
        One for each draft of `ctx`, None where a draft is no figure.
    """
    reasons: dict[int, str] = {}
    gap = [*ctx.t.gap, 1]  # behind the last token nothing stands close
    for k, meaning in enumerate(meanings):
        draft = ctx.drafts[k]
        if draft.void or draft.repeats or draft.words_only or draft.end <= draft.start:
            continue
        reason = (
            (not gap[draft.i] and _close_before(ctx, draft))
            or (not gap[draft.j] and _close_behind(ctx, draft))
            or _inside(ctx, draft)
            or _next_part_lost(ctx, k, draft)
            or _link_misread(ctx, k)
        )
        if not reason and not _speech(ctx):
            reason = _figures_apart(ctx, k, meanings)
        if not reason and meaning is not None:
            reason = _odd_places(ctx, k, meaning)
        if not reason and meaning is not None:
            reason = _tolerance_lost(ctx, k, meanings) or _unit_lost(ctx, meaning)
        if not reason:
            reason = _partner_lost(ctx, draft)
        if reason:
            reasons[k] = reason
    for k in list(reasons):
        for other in (k - 1, k + 1):
            if 0 <= other < len(meanings) and other not in reasons and _linked(ctx, k, other):
                reasons[other] = "the number that it is linked with is in doubt"
    for k, reason in reasons.items():
        meaning = meanings[k]
        if meaning is not None and not (meaning.draft.notes or meaning.draft.supposed):
            meaning.draft.supposed.append(reason)


def _speech(ctx: Context) -> bool:
    return bool(getattr(ctx, "speech", False))


def _close_before(ctx: Context, draft: Draft) -> str:
    """``1[800``, ``10,()00``, ``.·25``: a sign set close before a number that belongs to none."""
    t, i = ctx.t, draft.i
    if not i or t.gap[i] or t.kind[i] == WORD:
        return ""
    b = i - 1
    mark = t.norm[b]
    glued = b > 0 and not t.gap[b]
    figures = glued and t.kind[b - 1] in _FIGURES
    if t.kind[b] in _FIGURES:
        return _BEFORE
    if t.kind[b] != SIGN:
        return ""
    if mark in _NEVER or (mark in _OPENS and not _closed(ctx, b)):
        if mark == "_" and t.raw(b) != "_":
            return ""
        return _BEFORE
    if figures and t.raw(b) not in "、。" and (mark in _POINTS or mark in '|=*"'):
        return _BEFORE
    if mark in ".·" and not (
        b and not t.gap[b] and (t.kind[b - 1] == WORD and len(t.norm[b - 1]) > 1)
    ):
        return _BEFORE  # a leading point is a part of the number, where it is one
    if mark == "/" and b and _no_denominator(ctx, b):
        return _BEFORE
    if mark == "~" and b and any(_says_to(ctx, b - n, b) for n in (1, 2)):
        return _BEFORE
    if mark == "(" and glued and figures and not _closed(ctx, b):
        return _BEFORE
    if mark == ")" and glued and t.norm[b - 1] == "(":
        return _BEFORE
    if mark == "'" and t.text.find("'", draft.end, draft.end + _FAR) < 0:
        return _BEFORE
    if mark == "|" and _line_of(ctx, t.start[b]).count("|") < 2:
        return _BEFORE
    return ""


def _no_denominator(ctx: Context, b: int) -> bool:
    """Whether what stands before the stroke at token `b` is nothing that is divided."""
    t = ctx.t
    if t.gap[b]:
        return ctx.owner[b - 1] < 0
    if t.kind[b - 1] == WORD:
        return t.raw(b - 1) in {"l", "I", "S", "Z"}
    return t.kind[b - 1] == SIGN and t.norm[b - 1] in "|!]*[;.,"


def _close_behind(ctx: Context, draft: Draft) -> str:
    """``18(0``, ``22U``, ``12} galls``: what is set close behind a number."""
    t, j = ctx.t, draft.j
    if j >= t.n or t.gap[j]:
        return ""
    bare = t.kind[j - 1] != WORD
    if t.kind[j] in _FIGURES:
        return _BEHIND if bare else ""
    after = j + 1 < t.n and not t.gap[j + 1]
    figures = after and t.kind[j + 1] in _FIGURES
    mark = t.norm[j]
    if t.kind[j] == WORD:
        if bare and draft.unit_at < draft.i and mark not in _ORDINALS:
            return _BEHIND if len(mark) < 3 and t.raw(j)[0] in _LETTERS_FOR else ""
        return ""
    if t.kind[j] != SIGN or not bare:
        return ""
    if mark in _NEVER_AFTER or (mark in "#%?!" and draft.unit_at < draft.i and after):
        return _BEHIND
    if mark in "]})" and not _opened(ctx, draft, mark):
        return _BEHIND if mark != ")" else ""
    if figures and mark in ";:·.,=|*'\"!" and t.raw(j) not in "、。":
        return _BEHIND
    if mark == "(" and after and (t.norm[j + 1] == ")" or not _closed(ctx, j)):
        return _BEHIND
    if mark in ",.;" and j + 1 < t.n and t.gap[j + 1] < 2 and _to_from(ctx, j + 1):
        return "a mark stands between the number and what it runs to"
    if mark in ",.;·" and after and t.norm[j + 1] in "°([])|":
        return _BEHIND
    if mark == "/" and not (after and t.kind[j + 1] != SIGN):
        return _BEHIND
    if mark in ",." and draft.unit_at < draft.i and j + 1 < t.n and t.gap[j + 1] == 1:
        unit = read_unit(t, j + 1, ctx.tradition) if t.kind[j + 1] == WORD else None
        goes_on = unit is not None and unit.end < t.n and t.kind[unit.end] in _FIGURES
        if unit is not None and not goes_on and (unit.end - j > 2 or len(t.norm[j + 1]) > 1):
            return "a mark stands between the number and its unit"
    if mark == "-" and draft.unit_at < draft.i and j + 1 < t.n and t.gap[j + 1] == 1:
        unit = read_unit(t, j + 1, ctx.tradition) if t.kind[j + 1] == WORD else None
        if unit is not None:
            return "a dash stands for a figure, or for a second number that is lost"
    if mark == "|" and _line_of(ctx, t.start[j]).count("|") < 2:
        return _BEHIND
    if mark == "..." and t.end[j] - t.start[j] < 4 and draft.unit_at < draft.i:
        return _BEHIND
    return ""


def _to_from(ctx: Context, j: int) -> bool:
    """Whether "to" stands at token `j`, and a number behind it."""
    for spot in _said_to(ctx, j, j + 1):
        k = bisect_left(ctx.draft_starts, spot.j)
        return k < len(ctx.drafts) and ctx.drafts[k].i == spot.j == j + 1
    return False


def _inside(ctx: Context, draft: Draft) -> str:
    """``2 7^00``: a sign within a number that none has."""
    t = ctx.t
    for m in range(draft.i + 1, min(draft.j - 1, len(t))):
        if (
            t.kind[m] == SIGN
            and t.norm[m] in "[]{}$^\\|!&"
            and t.kind[m - 1] in _FIGURES
            and t.kind[m + 1] in _FIGURES
            and not t.gap[m]
        ):
            return f"{t.norm[m]!r} stands in the number"
    return ""


def _next_part_lost(ctx: Context, k: int, draft: Draft) -> str:
    """``5 hrs. ■0 mins.``, ``52 cwt. E qrs.``: the lesser part of a compound is not read."""
    t, j = ctx.t, draft.j
    if draft.nominal is None or j + 1 >= t.n or t.gap[j] > 1 or draft.unit_at < draft.i:
        return ""
    majors = {s.unit for s in draft.senses}
    if k + 1 < len(ctx.drafts) and ctx.drafts[k + 1].i == j and ctx.drafts[k + 1].void:
        units = {s.unit for s in ctx.drafts[k + 1].senses}
    elif t.kind[j] in _FIGURES or len(t.norm[j]) == 1:
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
    if any((a, b) in COMPOUNDS for a in majors for b in units):
        return "the lesser part that follows could not be read"
    return ""


def _figures_apart(ctx: Context, k: int, meanings: list[Meaning | None]) -> str:
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
    if t.kind[i - 1] not in _FIGURES or t.kind[j] not in _FIGURES:
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
    return raw[0].isupper() and at not in _in_phrases(ctx)


def _in_phrases(ctx: Context) -> set[int]:
    """Tokens that belong to phrases of the vocabulary."""
    found: set[int] | None = ctx.memo.get(("phrases",))
    if found is None:
        found = {m for spots in ctx.roles.values() for s in spots for m in range(s.i, s.j)}
        ctx.memo["phrases",] = found
    return found


def _odd_places(ctx: Context, k: int, meaning: Meaning) -> str:
    """``180.0 r.p.m.``, ``2,0 lb``, ``.20 secs.``: decimals that are not printed so."""
    draft, t = meaning.draft, ctx.t
    if draft.spoken or draft.ditto or draft.resolution is None or draft.resolution >= 1:
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


_POINTED = frozenset({"british", "american"})
"""Traditions whose decimal mark is a point."""
_WHOLE = frozenset({
    "speed", "time", "rotational_speed", "temperature", "power", "altitude", "angle", "voltage",
    "current",
})  # fmt: skip
"""Kinds that are not printed as a decimal with nothing before its point."""


def _link_misread(ctx: Context, k: int) -> str:
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
        if t.kind[m] in {WORD, CODE, BLUR} and m not in _in_phrases(ctx):
            if skeleton(mark) in _LINKS_MISREAD:
                return f"{t.raw(m)!r} may be a word for 'to'"
        elif mark in {"=", "+", "_", "†"} and second.nominal < 4 * first.nominal:
            return f"{t.raw(m)!r} may be a sign for 'to'"
    return ""


_LINKS_MISREAD = word_set("to-misread")
"""Words for "to" as they are misread, in letters that are taken for one another."""


def _tolerance_lost(ctx: Context, k: int, meanings: list[Meaning | None]) -> str:
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


def _unit_lost(ctx: Context, meaning: Meaning) -> str:
    """``2,600 i.p.m.``, ``80 l b./sq.in.``, ``2A V``: what follows a number may be its unit."""
    t, draft = ctx.t, meaning.draft
    j = draft.j
    if draft.ditto or draft.spoken:
        return ""
    if draft.unit_at >= draft.i:
        if t.norm[draft.unit_at] in "°%" and _goes_on_as_unit(ctx, draft):
            return "another unit follows: the mark may be a part of the number"
        if draft.unit_end - draft.unit_at > 1 or len(t.norm[draft.unit_at]) > 1:
            return ""
        raw = t.raw(draft.unit_at)
        if raw in "'\"″′" and meaning.sense.kind in _OF_MARKS:
            near = t.norm[j : j + 1]
            if near and near[0] in {"c", "f", "с"} and t.gap[j] < 2:
                return "the mark behind the number may be a degree mark"
            if meaning.sense.kind != "time" and not _fits_subject(meaning):
                return "the mark behind the number may be another"
        if raw == "С" and meaning.sense.kind == "time":
            return "the letter may be a degree Celsius"
        if t.kind[draft.unit_at] == WORD and j < t.n and t.gap[j] == 1 and t.kind[j] == WORD:
            if t.norm[j] in _CONSONANTS:
                return "the letters behind the number may be one unit"
            follows = read_unit(t, j, ctx.tradition)
            if follows is not None and not t.gap[draft.unit_at] and not _reads_on(ctx, j):
                return "the letter behind the number may be a figure of it"
        if raw in _LETTERS_FOR and not t.gap[draft.unit_at] and not _fits_subject(meaning):
            return "the letter behind the number may be a figure of it"
        if raw in "tf" and j < t.n and t.kind[j] in _FIGURES and t.gap[j] < 2:
            return "the letter behind the number may be a sign"
        return ""
    if j >= t.n or t.gap[j] > 1 or t.kind[j] != WORD:
        return ""
    if _reads_on(ctx, j):
        return ""
    raw = t.raw(j)
    dotted = "." in raw[:-1] or (
        len(raw) == 1 and j + 2 < t.n and t.norm[j + 1] in "./" and t.kind[j + 2] == WORD
        and len(t.norm[j + 2]) < 4 and t.gap[j + 2] < 2
    )  # fmt: skip
    stroke = j + 2 < t.n and t.norm[j + 1] == "/" and not t.gap[j + 1] and not t.gap[j + 2]
    return "what follows may be its unit, misread" if dotted or stroke else ""


_OF_MARKS = frozenset({"length", "time", "angle", "altitude"})
"""Kinds whose units are printed as a mark close behind the number."""


def _fits_subject(meaning: Meaning) -> bool:
    """Whether what is named is measured in a quantity of that kind."""
    return meaning.sense.kind in subject_kinds().get(meaning.subject, {})


def _goes_on_as_unit(ctx: Context, draft: Draft) -> bool:
    """Whether a second unit stands behind the first, which is no scale of temperature."""
    t, j = ctx.t, draft.j
    if draft.unit_end - draft.unit_at > 1 or j >= t.n or t.gap[j] > 1 or t.kind[j] != WORD:
        return False
    unit = read_unit(t, j, ctx.tradition)
    if unit is None or _reads_on(ctx, j) or (len(t.norm[j]) < 2 and unit.end == j + 1):
        return False
    return unit.end - j > 1 or unit.end >= t.n or t.kind[unit.end] not in _FIGURES


_CONSONANTS = frozenset({*"bcdfghjklmnpqrstvwxzбгдмнпртфх", "bs"})
"""Letters that are no word by themselves."""


def _reads_on(ctx: Context, j: int) -> bool:
    """Whether a phrase of the vocabulary begins at token `j`."""
    return any(_begins(ctx, role, j) for role in ctx.starts)


def _begins(ctx: Context, role: str, i: int) -> bool:
    """Whether a phrase of `role` begins at token `i`."""
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, i)
    return at < len(starts) and starts[at] == i


def _partner_lost(ctx: Context, draft: Draft) -> str:
    """``22U to 300 lb``: the other end of a range could not be read."""
    t, i = ctx.t, draft.i
    if draft.lo is not None or draft.plus_minus is not None or i < 2:
        return ""
    b = i - 1
    said = _says_to(ctx, b, i) or (t.norm[b] in _TO and not t.gap[b] and not t.gap[i])
    if said and t.gap[b] < 2 and ctx.owner[b - 1] < 0 and _like_figures(ctx, b - 1):
        return "what stands before 'to' could not be read"
    return ""


def _says_to(ctx: Context, b: int, i: int) -> bool:
    return any(spot.i == b and spot.j == i for spot in _said_to(ctx, b, i))


def _said_to(ctx: Context, i: int, j: int) -> list[Spot]:
    """Words for "to" that begin at tokens `i` to `j`."""
    starts = ctx.starts.get("to")
    if not starts:
        return []
    return ctx.roles["to"][bisect_left(starts, i) : bisect_left(starts, j)]


def _like_figures(ctx: Context, b: int) -> bool:
    """Whether a token that no figure owns may be one misread."""
    t = ctx.t
    raw = t.raw(b)
    return (
        any(c.isdigit() for c in raw)
        or raw == "°"
        or (t.kind[b] == SIGN and raw in "?■*#}]" and b > 0 and not t.gap[b])
    )


def _linked(ctx: Context, k: int, other: int) -> bool:
    """Whether two numbers are joined as the ends of a range or a number and its tolerance."""
    a, b = sorted((k, other))
    first, second = ctx.drafts[a], ctx.drafts[b]
    t = ctx.t
    if second.i - first.j > 4 or second.i <= first.j:
        return second.i == first.j and not t.gap[second.i]
    if second.i - first.j > 2 and any(
        t.kind[m] == WORD and not _begins(ctx, "to", m) for m in range(first.j, second.i)
    ):
        return False
    if any(t.gap[m] > 1 for m in range(first.j, second.i + 1)):
        return False
    middle = t.norm[first.j : second.i]
    if any(spot.j <= second.i for spot in _said_to(ctx, first.j, second.i)):
        return True
    return any(m in _TO or m in _ADDED for m in middle) or t.gap[second.i] == 0


def _closed(ctx: Context, b: int) -> bool:
    """Whether the bracket at token `b` is closed behind it."""
    t = ctx.t
    close = _OPENS.get(t.norm[b], "")
    return close in t.text[t.end[b] : t.end[b] + _FAR] if close else True


def _opened(ctx: Context, draft: Draft, mark: str) -> bool:
    """Whether the bracket behind a figure is opened before it."""
    opening = {v: k for k, v in _OPENS.items()}[mark]
    text = ctx.t.text
    return opening in text[max(0, draft.start - _FAR) : draft.end]


def _line_of(ctx: Context, at: int) -> str:
    text = ctx.t.text
    return text[text.rfind("\n", 0, at) + 1 : (text.find("\n", at) + 1 or len(text) + 1) - 1]
