"""Signs about a figure which show that part of it was lost or misread.

A number may be read without fault from what is left of it: "1[800" is an 800, "28. 5 V" a 5.
What tells is the print about it: a bracket never closed, figures set close before or behind,
a sign that no number has, a partner in a range that could not be read. Such a figure keeps its
value, and is marked as doubtful with the reason.
"""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning
from reconcile.limits.phrases import BEFORE, FIGURES, LETTERS_FOR, begins, said_to, says_to
from reconcile.limits.strange import link_misread, odd_places, tolerance_lost, unit_lost
from reconcile.limits.torn import figures_apart, first_part_lost, next_part_lost
from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import BLUR, FRACTION, NUMBER, SIGN, WORD
from reconcile.notation.unitwords import read_unit
from reconcile.notation.wordsets import word_set

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
    drafts, speech = ctx.drafts, _speech(ctx)
    for k, meaning in enumerate(meanings):
        draft = drafts[k]
        if draft.void or draft.repeats or draft.words_only or draft.end <= draft.start:
            continue
        # what would be parts of one number stand side by side, or have one token between
        paired = (k > 0 and draft.i - drafts[k - 1].j <= 1) or (
            k + 1 < len(drafts) and drafts[k + 1].i - draft.j <= 1
        )
        reason = (
            (not gap[draft.i] and _close_before(ctx, draft))
            or (not gap[draft.j] and _close_behind(ctx, draft))
            or (draft.j - draft.i > 2 and _inside(ctx, draft))
            or next_part_lost(ctx, k, draft)
            or first_part_lost(ctx, draft)
            or (paired and link_misread(ctx, k))
        )
        if not reason and paired and not speech:
            reason = figures_apart(ctx, k, meanings)
        if not reason and meaning is not None:
            reason = odd_places(ctx, k, meaning)
        if not reason and meaning is not None:
            reason = (paired and tolerance_lost(ctx, k, meanings)) or unit_lost(ctx, meaning)
        if not reason:
            reason = _partner_lost(ctx, draft)
        if reason:
            reasons[k] = reason
    lost = [k for k, draft in enumerate(ctx.drafts) if draft.void]
    for k in [*reasons, *lost]:
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
    figures = glued and t.kind[b - 1] in FIGURES
    if t.kind[b] in FIGURES or (t.kind[b] == WORD and len(t.norm[b]) == 1 and _printed(ctx, b)):
        return BEFORE
    if t.kind[b] != SIGN:
        return ""
    if mark == "-" and glued and t.norm[b - 1] == "4" and draft.lo is None:
        return "'4-' may be a misread plus"
    if t.raw(b) == "," and glued and t.kind[b - 1] == WORD and len(t.norm[b - 1]) == 1:
        return BEFORE
    if mark in _NEVER or (mark in _OPENS and not _closed(ctx, b)):
        if mark == "_" and t.raw(b) != "_":
            return ""
        return BEFORE
    if figures and t.raw(b) not in "、。" and (mark in _POINTS or mark in '|=*"'):
        return BEFORE
    if mark in ".·" and not (
        b and not t.gap[b] and (t.kind[b - 1] == WORD and len(t.norm[b - 1]) > 1)
    ):
        return BEFORE  # a leading point is a part of the number, where it is one
    if mark == "/" and b and _no_denominator(ctx, b):
        return BEFORE
    if mark == "~" and b and any(says_to(ctx, b - n, b) for n in (1, 2)):
        return BEFORE
    if mark == "(" and glued and figures and not _closed(ctx, b):
        return BEFORE
    if mark == ")" and glued and t.norm[b - 1] == "(":
        return BEFORE
    if mark == "'" and t.text.find("'", draft.end, draft.end + _FAR) < 0:
        return BEFORE
    if mark == "|" and _line_of(ctx, t.start[b]).count("|") < 2:
        return BEFORE
    return ""


def _printed(ctx: Context, b: int) -> bool:
    """Whether the letter at token `b` may be a misread figure before a number or fraction."""
    t = ctx.t
    return t.raw(b) in LETTERS_FOR and t.kind[b + 1] in {NUMBER, FRACTION} and t.raw(b) not in "x"


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
    if t.kind[j] in FIGURES:
        return _BEHIND if bare else ""
    after = j + 1 < t.n and not t.gap[j + 1]
    figures = after and t.kind[j + 1] in FIGURES
    mark = t.norm[j]
    if t.kind[j] == WORD:
        if bare and draft.unit_at < draft.i and mark not in _ORDINALS:
            return _BEHIND if len(mark) < 3 and t.raw(j)[0] in LETTERS_FOR else ""
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
    if mark == "°" and t.norm[j - 1] in {"°", "#", "-"}:
        return _BEHIND
    if mark in ",.;" and draft.unit_at < draft.i and j + 1 < t.n and t.gap[j + 1] == 1:
        unit = read_unit(t, j + 1, ctx.tradition) if t.kind[j + 1] == WORD else None
        goes_on = unit is not None and unit.end < t.n and t.kind[unit.end] in FIGURES
        if unit is not None and not goes_on and (unit.end - j > 2 or len(t.norm[j + 1]) > 1):
            return "a mark stands between the number and its unit"
    if mark == "-" and after and t.norm[j + 1] == "°":
        return "a dash stands for a figure that is lost"
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
    for spot in said_to(ctx, j, j + 1):
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
            and t.kind[m - 1] in FIGURES
            and t.kind[m + 1] in FIGURES
            and not t.gap[m]
        ):
            return f"{t.norm[m]!r} stands in the number"
    return ""


def _partner_lost(ctx: Context, draft: Draft) -> str:
    """``22U to 300 lb``, ``220 to 3:00 lb``: the other end of a range could not be read."""
    t, i, j = ctx.t, draft.i, draft.j
    if draft.lo is None and draft.plus_minus is None and i > 1:
        b = i - 1
        said = says_to(ctx, b, i) or (t.norm[b] in _TO and not t.gap[b] and not t.gap[i])
        said = said or (begins(ctx, "and", b) and _between(ctx, b))
        if said and t.gap[b] < 2 and ctx.owner[b - 1] < 0 and _like_figures(ctx, b - 1):
            return "what stands before the number may be the other end of a range"
    if j + 1 >= t.n or t.gap[j] > 1 or draft.plus_minus is not None:
        return ""
    if begins(ctx, "to", j) or t.norm[j] in "±÷~" or (t.norm[j] in "+-" and not t.gap[j + 1]):
        k = j + 1
        if t.norm[k] in "+-" and k + 1 < t.n and not t.gap[k + 1]:
            k += 1
        digits = any(c.isdigit() for c in t.raw(k))
        if t.gap[k] < 2 and ctx.owner[k] < 0 and digits and t.kind[k] in {NUMBER, BLUR}:
            return "what the number runs to, or its tolerance, could not be read"
    return ""


def _between(ctx: Context, b: int) -> bool:
    """Whether "between" stands a few words before token `b`."""
    starts = ctx.starts.get("between", [])
    return bisect_left(starts, b) > bisect_left(starts, b - 5)


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
        t.kind[m] == WORD
        and t.gap[m]
        and not begins(ctx, "to", m)
        and not (begins(ctx, "and", m) and _between(ctx, first.i))
        for m in range(first.j, second.i)
    ):
        return False
    if any(t.gap[m] > 1 for m in range(first.j, second.i + 1)):
        return False
    middle = t.norm[first.j : second.i]
    if any(spot.j <= second.i for spot in said_to(ctx, first.j, second.i)):
        return True
    if begins(ctx, "and", second.i - 1) and _between(ctx, first.i):
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
