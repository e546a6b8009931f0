"""Puts numbers, signs and units together into drafts of figures, left to right."""

from __future__ import annotations

from functools import lru_cache

from reconcile.notation.dittos import read_repeat
from reconcile.notation.drafts import Draft
from reconcile.notation.garbled import find_spoilt, is_garbled
from reconcile.notation.minima import NUMERIC, unbind_minimum
from reconcile.notation.ranges import HOURS, YEARS, as_thousands, is_clock, read_range
from reconcile.notation.ratios import read_below_zero, read_colon, read_compound, read_ratio
from reconcile.notation.stops import figure_end, unstopped_units
from reconcile.notation.tokens import BLUR, CODE, KANJI, NUMBER, SIGN, WORD, Tokens
from reconcile.notation.tolerances import SAID_SIGNS, read_tolerance
from reconcile.notation.unitplace import take_unit, unit_at_token
from reconcile.notation.unitwords import UnitMatch, compose, read_ditto, read_unit, read_unit_before
from reconcile.notation.values import ValueReader
from reconcile.notation.voids import BLOTS, find_voids
from reconcile.notation.wordsets import word_set

_ROMAN_RATIO = word_set("ones-of-ratios")


def find_drafts(reader: ValueReader) -> list[Draft]:
    """Every number of the text that could be a figure, in order.

    Parameters
    ----------
    reader : ValueReader

    Returns
    -------
    drafts : list of Draft
        Numbers with no unit are among them; the limits room decides about those.
    """
    t = reader.t
    kinds, norms, gaps = t.kind, t.norm, t.gap
    first_words = reader.word_first
    if is_garbled(t):
        return find_spoilt(t)
    drafts: list[Draft] = []
    voids = find_voids(reader)
    tabular = "\n" in t.text
    i, n = 0, t.n
    while i < n:
        kind = kinds[i]
        if voids and (draft := voids.get(i)) is not None:
            drafts.append(draft)
            i = draft.j
            continue
        if (
            tabular
            and (gaps[i] >= 2 or (i and norms[i - 1] in "|..."))
            and (draft := read_repeat(reader, i)) is not None
        ):
            drafts.append(draft)
            i = draft.j
            continue
        if kind == WORD:
            norm = norms[i]
            if norm not in first_words and (
                norm[0] not in _LETTER_FIGURES or not _like_figures(norm)
            ):
                i += 1
                continue
        elif kind == SIGN:
            if norms[i] != "{" or (draft := read_draft(reader, i)) is None:
                i += 1
                continue
            drafts.append(draft)
            i = draft.j
            continue
        elif kind == CODE:
            i += 1
            continue
        draft = read_draft(reader, i)
        if draft is None:
            i += 1
            continue
        if draft.nominal is not None or draft.lo is not None or draft.void:
            drafts.append(draft)
        i = max(draft.j, i + 1)
    unbind_minimum(reader, drafts)
    return drafts


@lru_cache(maxsize=65536)
def _like_figures(norm: str) -> bool:
    """Whether a word has only letters that figures are misread as ("lOO")."""
    return len(norm) < 7 and set(norm) <= _LETTER_FIGURES


_LETTER_FIGURES = frozenset("liosbzq")


def read_draft(reader: ValueReader, i: int) -> Draft | None:
    """The figure whose number begins at token `i`."""
    t = reader.t
    n = t.n
    if t.kind[i] == NUMBER and ":" in t.norm[i]:
        return read_colon(reader, i)
    number = reader.number_at(i)
    if (
        number is not None
        and i > 0
        and t.norm[i - 1] == "×"
        and number.numeral.value in {10, 100, 1000}
        and (i < 2 or t.kind[i - 2] not in NUMERIC)
    ):
        return Draft(i, number.end)  # "(× 100)" says how the dial is marked
    if number is None:
        return None
    if order := _firing_order(t, i):
        return Draft(i, order)
    if t.kind[i] == KANJI:
        below = reader.mentions.get(i)
        if below is not None and below.has("minus"):
            return Draft(i, below.j)  # the 零 of 零下 is no number
    at = number.end
    follows = t.norm[at] if at < n else ""
    if follows == "倍":
        return Draft(i, at + 1)  # "十倍": ten times, as a dial is marked
    if t.norm[i] == "1" and i:
        if t.norm[i + 1 : i + 2] == ["'"] and t.norm[i - 1] in _PER_MINUTE:
            return Draft(i, i + 2)  # "giri/1'" at the head of a column
        if t.norm[i - 1] == "/" and not t.gap[i]:
            return None  # "giri/1'"
    if (follows in HOURS or follows in YEARS) and is_clock(reader, i, number):
        return Draft(i, number.end) if number.words else None
    # "2 x 145 l": the count is not part of the figure
    if at < n and t.norm[at] in {"×", "x", "х"} and number.numeral.resolution == 1:
        second = reader.number_at(at + 1)
        if second is not None and number.numeral.value <= 24:
            i, number = at + 1, second
        elif second is not None and read_unit(t, second.end, reader.tradition) is None:
            return Draft(i, second.end)  # "750 × 260": the size of a wheel, no figure
    sign, begin = reader.sign_before(i)
    draft = Draft(begin, number.end)
    end = number.end
    if end < n and t.kind[end] == SIGN and not t.gap[end] and _blots(reader, end):
        draft.void = True
        draft.j = end + 1
        draft.notes.append("the figure, or part of it, is illegible")
        draft.start, draft.end = t.start[begin], t.end[end]
        return draft
    unit = unit_at_token(reader, draft, end)
    numeral = number.numeral
    if not sign and i and t.norm[i - 1] in _PLUS_REMAINS:
        sign, begin = _misprinted_plus(reader, i, unit)
        if sign:
            draft.i = begin
            draft.notes.append("the sign before the number read as +")
    draft.sign = sign
    draft.spoken = number.spoken
    draft.heard = number.heard
    draft.words_only = number.words
    if numeral.repair:
        draft.notes.append(numeral.repair)
        draft.doubtful = numeral.doubtful
    if number.heard:
        draft.notes.append("a misheard number word")
    value = -numeral.value if sign == "-" else numeral.value
    after = unit.end if unit else end
    if (
        after < n
        and (t.kind[after] != WORD or after in reader.mentions or t.norm[after] in SAID_SIGNS)
        and (
            read_tolerance(reader, draft, value, number, unit, after)
            or read_ratio(reader, draft, number)
            or read_range(reader, draft, value, number, unit, after)
        )
    ):
        return _close(reader, draft)
    draft.nominal = value
    draft.resolution = numeral.resolution
    draft.odd_mark = numeral.odd_mark or (numeral.other is not None and not reader.continental)
    if numeral.other is not None:
        other = -numeral.other if sign == "-" else numeral.other
        draft.other = (other, None, None, numeral.other_resolution)
        if not reader.continental:
            as_thousands(draft)
    take_unit(reader, draft, unit, end)
    if unit is not None:
        read_compound(reader, draft)
        read_below_zero(reader, draft)
    return _close(reader, draft)


def _blots(reader: ValueReader, j: int) -> bool:
    """Whether a mark printed close after figures hides another, and asks no question."""
    t = reader.t
    if t.norm[j][0] not in BLOTS or t.norm[j] in {"□", "▢"} or t.norm[j][0] == "_":
        return False
    if t.norm[j] != "?":
        return True
    if j + 1 >= t.n or t.gap[j + 1] >= 3:
        return False
    return not (t.raw(j + 1)[0].isupper() and t.end[j + 1] - t.start[j + 1] > 1)


def _misprinted_plus(reader: ValueReader, i: int, unit: UnitMatch | None) -> tuple[str, int]:
    """``f 8 lb``, ``-f 7 lb``, ``-|-9``: what is left of a plus before a boost."""
    t = reader.t
    if t.gap[i] > 2:
        return "", i
    begin = i - 1
    if t.norm[begin] == "-" and i > 2 and t.norm[i - 3 : i - 1] == ["-", "|"]:
        begin = i - 3
    elif t.norm[begin] in {"f", "t"} and t.kind[begin] == WORD:
        if begin and t.norm[begin - 1] == "-" and not t.gap[begin]:
            begin -= 1
        if begin and not t.gap[begin]:
            return "", i
    else:
        return "", i
    if unit is not None and any(s.unit in _BOOST_UNITS for s in unit.senses):
        return "+", begin
    before = next((m for k in (1, 2) if (m := reader.mentions.get(begin - k))), None)
    if before is not None and any(term.value == "boost" for term in before.terms):
        return "+", begin
    return ("+", begin) if unit is None and read_ditto(t, i + 1) else ("", i)


_PLUS_REMAINS = frozenset({"-", "f", "t"})

_BOOST_UNITS = frozenset({"[psi]", "mm[Hg]"})

_PER_MINUTE = word_set("before-minute-mark")


def _firing_order(t: Tokens, i: int) -> int:
    """End of a row like ``1-5-3-6-2-4`` at token `i`, 0 if there is none."""
    j = i
    while (
        j + 2 < t.n
        and t.norm[j + 1] == "-"
        and t.kind[j] == NUMBER == t.kind[j + 2]
        and len(t.norm[j]) < 3
        and not t.gap[j + 1]
        and not t.gap[j + 2]
    ):
        j += 2
    return j + 1 if j - i >= 6 else 0


def _close(reader: ValueReader, draft: Draft) -> Draft:
    t = reader.t
    if not draft.senses and not draft.ditto:
        before = read_unit_before(t, draft.i, reader.tradition)
        if before is not None:
            draft.senses = before.senses
            draft.unit_at = before.end
            per = compose(t, draft.j, before.senses, reader.tradition)
            if per is not None:
                draft.senses, draft.j = per.senses, per.end  # "gr. 220 per CV/ora"
            if t.kind[before.end] == WORD and t.norm[before.end] == "時":
                draft.i = before.end
    draft.start = t.start[draft.i]
    draft.end = t.end[draft.j - 1]
    if _is_torn(t, draft):
        draft.notes.append("figures stand close beside it that could not be read with it")
        draft.doubtful = True
    if draft.unit_at > draft.i and t.norm[draft.j - 1] == ".":
        if reader.unstopped is None:
            reader.unstopped = unstopped_units(t)
        draft.end = figure_end(t, draft.i, draft.j, draft.unit_at, reader.unstopped)
    return draft


def _is_torn(t: Tokens, draft: Draft) -> bool:
    """Whether figures with a sign or mark between stand close before or behind a number."""
    i, j = draft.i, draft.j
    if j + 1 < t.n and not t.gap[j] and not t.gap[j + 1] and t.kind[j + 1] in _PRINTED:  # noqa: SIM102
        if t.norm[j] in _TEARS:
            return True
    if draft.sign and i and t.kind[i - 1] in _PRINTED and not t.gap[i] and draft.senses:
        return True  # "85+5 lb"
    if i > 1 and t.norm[i - 1] == "." and not t.gap[i - 1] and t.gap[i] == 1:
        # "46. 5 inches": the first figures end no sentence
        return (
            draft.unit_at > i
            and t.kind[i - 2] == NUMBER
            and t.norm[i].isdigit()
            and (len(t.norm[i]) < 3 and draft.senses[0].kind != "time")
        )
    return False


_PRINTED = frozenset({NUMBER, BLUR})

_TEARS = frozenset({"+", "_", "^", "~", "=", ","})
