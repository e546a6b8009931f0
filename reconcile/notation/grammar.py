"""Puts numbers, signs and units together into drafts of figures, left to right."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from reconcile.notation.drafts import Draft
from reconcile.notation.garbled import find_spoilt, is_garbled
from reconcile.notation.lexicon import Sense
from reconcile.notation.misprints import GOES_ON, read_misprinted_unit
from reconcile.notation.numerals import Numeral, read_numeral
from reconcile.notation.stops import figure_end, unstopped_units
from reconcile.notation.tokens import BLUR, CODE, FRACTION, KANJI, NUMBER, SIGN, WORD, Tokens
from reconcile.notation.unitwords import (
    UnitMatch,
    compose,
    read_ditto,
    read_unit,
    read_unit_before,
)
from reconcile.notation.values import COMPOUNDS, RANGE_MARKS, Number, ValueReader
from reconcile.notation.voids import BLOTS, find_voids
from reconcile.reference import load_rows

_RUIN = frozenset(".;:-~_÷,'")
_COUNTED = frozenset({NUMBER, BLUR, FRACTION, KANJI, WORD})
_HEADS = frozenset(a for a, _ in COMPOUNDS)
_UNSURE = frozenset({BLUR, CODE})
_NUMERIC = frozenset({NUMBER, BLUR, FRACTION, KANJI})
SAID_SIGNS = {
    "plus": "+", "minus": "-", "più": "+", "meno": "-", "плюс": "+", "минус": "-", "moins": "-",
}  # fmt: skip
"""Words for the signs of a tolerance: "600 psi plus 25 minus 0"."""
_ROMAN_RATIO = frozenset({"1", "one", "unity"})


class _Part(NamedTuple):
    sign: str
    number: Number


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


def read_repeat(reader: ValueReader, i: int) -> Draft | None:
    """A ditto mark at the head of a cell that is all it holds: it repeats the figure above."""
    t = reader.t
    end = _ditto_end(reader, i)
    if not end or not _figure_above(t, i):
        return None
    draft = Draft(i, end)
    draft.repeats = True
    draft.start, draft.end = t.start[i], t.end[end - 1]
    return draft


def _ditto_end(reader: ValueReader, i: int) -> int:
    """End of a ditto mark that fills its cell, at token `i`; 0 where there is none."""
    t = reader.t
    n = t.n
    end = 0
    if t.norm[i] in _REPEATS:
        end = i + 1
    elif t.norm[i] == "d" and i + 1 < n and t.norm[i + 1] == "°":
        end = i + 2
    else:
        found = reader.mentions.get(i) if "ditto" in reader.roles else None
        if found is not None and found.has("ditto"):
            end = found.j
    if not end:
        return 0
    if end < n and t.norm[end] == "." and t.gap[end] == 0:
        end += 1
    return 0 if end < n and t.gap[end] < 2 and t.norm[end] != "|" else end


def _figure_above(t: Tokens, i: int) -> bool:
    """Whether a figure, and not a unit, stands in the lines above token `i`."""
    text = t.text
    line = text.rfind("\n", 0, t.start[i]) + 1
    column = t.start[i] - line
    for _ in range(6):
        if not line:
            return False
        above = text.rfind("\n", 0, line - 1) + 1
        row = text[above : line - 1]
        line = above
        cell = ""
        for margin in (0, 2, 5):
            found = [
                m.group()
                for m in _CELL.finditer(row)
                if m.start() <= column + margin and m.end() > column - margin
            ]
            if found:
                cell = found[-1]
                break
        if any(c.isdigit() or c in "〇一二三四五六七八九十" for c in cell):
            return True
        if cell.strip(" .") and cell.strip(" .").lower() not in _MARKS_AND_WORDS:
            return False
    return False


_CELL = re.compile(r"то же|\S+")
_MARKS_AND_WORDS = frozenset({
    '"', "''", "”", "“", "″", ",,", "„", "〃", "々", "仝", "同上", "»", "«", "do", "id", "idem", "dito",  # noqa: E501
    "dto", "desgl", "dgl", "desgleichen", "то же", "тоже", "d°", "ditto",
})  # fmt: skip
_REPEATS = frozenset({'"', ",,", "〃", "々", "仝", "»", "«", "do", "id", "idem", "dito", "dto"})


def read_draft(reader: ValueReader, i: int) -> Draft | None:
    """The figure whose number begins at token `i`."""
    t = reader.t
    n = t.n
    if t.kind[i] == NUMBER and ":" in t.norm[i]:
        return _colon(reader, i)
    number = reader.number_at(i)
    if (
        number is not None
        and i > 0
        and t.norm[i - 1] == "×"
        and number.numeral.value in {10, 100, 1000}
        and (i < 2 or t.kind[i - 2] not in _NUMERIC)
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
    if (follows in _HOURS or follows in _YEARS) and _is_clock(reader, i, number):
        return None
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
    unit = _unit_at(reader, draft, end)
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
            _tolerance(reader, draft, value, number, unit, after)
            or _ratio(reader, draft, number)
            or _range(reader, draft, value, number, unit, after)
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
            _as_thousands(draft)
    _take_unit(reader, draft, unit, end)
    if unit is not None:
        _compound(reader, draft)
        _below_zero(reader, draft)
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


def _as_thousands(draft: Draft) -> None:
    """In English a point before three figures is likelier a comma that has lost its tail."""
    if draft.other is not None:
        printed = (draft.nominal, draft.lo, draft.hi, draft.resolution or Fraction(1))
        draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
        draft.other = printed


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


def _is_clock(reader: ValueReader, i: int, number: Number) -> bool:
    """``09.30 hours``: a time of day, or the year of a date."""
    t = reader.t
    j = number.end
    if j >= t.n or t.kind[i] != NUMBER:
        return False
    after = t.norm[j]
    raw = t.norm[i]
    if after in _HOURS:
        digits = raw.replace(".", "").replace(":", "")
        return len(digits) == 4 and digits.isdigit() and digits[:2] < "25" and raw[0] in "012"
    return after in _YEARS and len(raw) == 4 and raw[:2] in {"18", "19"}


_COMPOUND_LINKS = frozenset({",", "and", "&", "e", "et", "und", "и"})
_PER_MINUTE = frozenset({"/", "al", "giri"})
_AND_A_HALF = frozenset({"et", "e", "und", "и", "and"})
_REMARKS = frozenset({"?", "!", "sic"})
_HOURS = frozenset({"hours", "hrs", "h", "uhr", "hour", "hr", "час"})
_YEARS = frozenset({"г", "гг", "года", "год", "году"})


def unbind_minimum(reader: ValueReader, drafts: list[Draft]) -> None:
    """Give "min" back as a bound where it stands beside "max": "40 min - 95 max"."""
    t = reader.t
    for k, draft in enumerate(drafts):
        at = draft.unit_at
        if at < draft.i or not draft.senses or t.norm[at] != "min" or t.norm[at - 1] == "-":
            continue
        if draft.unit_end - at > 2 or draft.senses[0].kind != "time":
            continue
        if bounding := _bounds_next(reader, draft):
            draft.senses = bounding.senses if bounding is not _BARE else ()
            draft.j = at
            draft.end = t.end[at - 1]
            draft.unit_at = draft.unit_end = -1
            continue
        if draft.i and (t.norm[draft.i - 1] == "(" or t.norm[draft.i - 1] in _MAXIMA):
            continue
        follow = range(draft.unit_end, min(t.n, draft.unit_end + 3))
        bare = any(t.kind[m] in _NUMERIC for m in follow if t.gap[m] < 3)
        window = range(draft.unit_end, min(t.n, draft.unit_end + 5))
        opened = draft.i and t.norm[draft.i - 1] in _NORMAL
        if k and not drafts[k - 1].senses and draft.i - drafts[k - 1].j <= 3:
            # "70-85 desired, 40 min. for take-off, 100 max."
            ahead = range(draft.unit_end + 1, min(t.n, draft.unit_end + 9))
            if any(t.norm[m] in _MAXIMA and t.kind[m - 1] in _NUMERIC for m in ahead):
                bare = opened = True
        behind = read_unit(t, draft.unit_end, reader.tradition)
        if behind is not None and behind.end - draft.unit_end > 2 and "per" not in t.norm[at]:
            draft.senses = behind.senses  # "20 min. lb./sq. in."
            draft.j = at
            draft.unit_at, draft.unit_end = draft.unit_end, behind.end
            draft.end = t.end[at - 1]
        elif bare and (opened or any(t.norm[m] in _MAXIMA for m in window)):
            draft.senses = ()
            draft.j = at
            draft.unit_at = draft.unit_end = -1
            draft.end = t.end[at - 1]


_NORMAL = frozenset({"desired", "norm", "normal", "des"})
_MAXIMA = frozenset({"max", "maxi", "maximum"})


def _bounds_next(reader: ValueReader, draft: Draft) -> UnitMatch | None:
    """Unit of the less that "min" puts behind a figure: "max. 90 min. 60 lb", "75-90 MIN 55".

    What is named before must be a pressure or a temperature, and what follows no more than
    the figure itself; else it is minutes. `_BARE` where the less has no unit either.
    """
    t = reader.t
    j = draft.unit_end
    if j >= t.n or t.gap[j] >= 3 or not _of_gauge(reader, draft):
        return None
    signed = reader.signed_at(j)
    if signed is None:
        return None
    _, number = signed
    most = draft.hi if draft.hi is not None else draft.nominal
    if most is None or number.numeral.value > most:
        return None
    unit = read_unit(t, number.end, reader.tradition)
    if unit is None:
        return _BARE
    kinds = {sense.kind for sense in unit.senses}
    return unit if kinds & _GAUGED else None


_BARE = UnitMatch(0, ())
_GAUGED = frozenset({"pressure", "temperature"})
"""Kinds that have a least on a gauge."""


def _of_gauge(reader: ValueReader, draft: Draft) -> bool:
    """Whether a pressure or temperature, and no rating, is named right before a figure."""
    t = reader.t
    for i in range(draft.i - 1, max(-1, draft.i - 9), -1):
        if t.gap[i + 1] >= 3 or t.kind[i] in _NUMERIC or t.norm[i] in _LASTING:
            return False
        found = reader.mentions.get(i)
        if found is None:
            continue
        for term in found.terms:
            if term.role == "subject" and term.value in _gauged_subjects():
                return True
            if term.role == "condition":
                return False
    return False


_LASTING = frozenset({"for", "after", "in", "within", "(", "every"})
"""Words before a time."""


@lru_cache(maxsize=1)
def _gauged_subjects() -> frozenset[str]:
    """Subjects that have a pressure or a temperature, and no time."""
    rows = load_rows("notation/subjects")
    timed = {row["subject"] for row in rows if row["kind"] == "time"}
    return frozenset(
        row["subject"] for row in rows if row["kind"] in _GAUGED and row["subject"] not in timed
    )


def _unit_at(reader: ValueReader, draft: Draft, i: int) -> UnitMatch | None:
    t = reader.t
    n = t.n
    if i >= n:
        return None
    j = i
    # transcriber's marks round a number: "^[[88]] MPH"
    while j < n and t.norm[j] == "]" and j - i < 2 and t.gap[j] == 0:
        j += 1
    if j < n and t.norm[j] == "*" and t.gap[j] < 2:
        j += 1
    if (
        j + 3 < n
        and t.norm[j] in {"(", "["}
        and t.gap[j] < 2
        and t.norm[j + 1] in _REMARKS
        and (t.norm[j + 2] in {")", "]"})
    ):
        if t.norm[j + 1] == "?":
            draft.doubtful = True
            draft.notes.append("marked as doubtful in the copy")
        j += 3
    if (
        j < n
        and t.norm[j] in {"an", "a"}
        and draft.i < i
        and not reader.continental
        and (t.norm[j - 1] in _PARTS or t.kind[j - 1] == FRACTION or t.norm[j - 2] == "/")
    ):
        match = read_unit(t, j + 1, reader.tradition)  # "half an hour"
        if match is not None:
            return match
    if j + 1 < n and t.norm[j] == "0" and t.gap[j] <= 1 and not t.gap[j + 1] and draft.i < i:
        match = read_unit(t, j + 1, reader.tradition)  # "85 0C"
        if match is not None and match.senses[0].kind == "temperature":
            return match._replace(note="0 before the letter read as the degree mark")
    if t.norm[j : j + 1] == ['"'] and t.gap[j] and _ditto_end(reader, j) and "\n" in t.text:  # noqa: SIM102
        if not _figure_above(t, j):
            return None  # a ditto under a unit, and no inches
    match = read_unit(t, j, reader.tradition)
    if match is None and j in reader.mentions and len(t.norm[j]) > 2:
        return None
    if (
        match is not None
        and not reader.speech
        and (match.end >= n or t.gap[match.end] > 1 or t.norm[match.end] not in GOES_ON)
    ):
        return match
    misprint = read_misprinted_unit(t, j, reader.tradition, match, speech=reader.speech)
    return match if misprint is None else misprint


_PARTS = frozenset({"half", "quarter", "quarters", "third", "thirds"})


def _dash_for_unit(t: Tokens, i: int) -> bool:
    """Whether a dash at token `i` closes a line and stands for the unit over it: "12 —"."""
    return (
        0 < i < t.n
        and t.norm[i] == "-"
        and t.raw(i) in "—–"
        and t.gap[i] in {1, 2}
        and t.start[i] - t.end[i - 1] <= _UNIT_OFF
        and (i + 1 >= t.n or t.gap[i + 1] >= 3)
        and t.text.rfind("\n", 0, t.start[i]) >= 0
    )


_UNIT_OFF = 3
"""Blanks that a unit may stand off its number; a dash farther off is a cell of its own."""


def _take_unit(reader: ValueReader, draft: Draft, unit: UnitMatch | None, end: int) -> None:
    if unit is not None:
        draft.senses = unit.senses
        draft.unit_at = end
        draft.unit_end = unit.end
        draft.j = max(draft.j, unit.end)
        if unit.note:
            draft.notes.append(unit.note)
        return
    draft.j = max(draft.j, end)
    ditto = read_ditto(reader.t, end)
    if (
        not ditto
        and end < reader.t.n
        and reader.t.gap[end] == 2
        and reader.t.start[end] - reader.t.end[end - 1] <= 4
    ):
        far = _ditto_end(reader, end)
        if far and not _figure_above(reader.t, end):
            ditto = far
    if not ditto and _dash_for_unit(reader.t, end):
        ditto = end + 1
    if ditto:
        draft.ditto = True
        draft.j = ditto


def _other(a: Numeral, b: Numeral, signs: tuple[str, str]) -> tuple | None:
    if a.other is None or b.other is None:
        return None
    lo = -a.other if signs[0] == "-" else a.other
    hi = -b.other if signs[1] == "-" else b.other
    return (None, min(lo, hi), max(lo, hi), min(a.other_resolution, b.other_resolution))


def _range(
    reader: ValueReader,
    draft: Draft,
    value: Fraction,
    number: Number,
    unit: UnitMatch | None,
    j: int,
) -> bool:
    t = reader.t
    n = t.n
    if j >= n or t.gap[j] > 3:
        return False
    mark = t.norm[j]
    ruined = ""
    word = ""
    k = 0
    if t.kind[j] == SIGN and mark in RANGE_MARKS:
        k = j + 1
        if k < n and t.gap[j] >= 2 and t.gap[k] >= 2:
            return False  # a dash in a cell of its own
        if mark == "-":
            if k < n and t.norm[k] == "-" and t.gap[k] == 0:
                k += 1
            k, ruined = _past_ruin(reader, j, k, number)
            if k < n and t.gap[j] >= 2 and t.gap[k] < 1:
                return False  # "60    -5": two cells
    elif t.kind[j] == SIGN and mark[:2] == "-:" and t.gap[j] <= 1:
        k, ruined = j + 1, t.raw(j)  # the Italian sign for "to" as scanning leaves it
    elif t.kind[j] == SIGN and mark in _RUIN and t.gap[j] <= 1:
        k, ruined = _past_ruin(reader, j, j, number)
        if not ruined:
            return False
    else:
        found = reader.mentions.get(j)
        if found is None:
            return False
        if (found.has("to") and _altered(reader, draft.i)) or (
            found.has("altered-to") and _between(reader, draft.i)
        ):
            return _old_value(reader, draft, value, number, unit, found.j)
        if found.has("to"):
            word, k = "to", found.j
        elif found.has("and") and _between(reader, draft.i):
            word, k = "and", found.j
        else:
            return False
    second = reader.signed_at(k)
    if second is None:
        if k < n and t.kind[k] in _UNSURE and (word or mark in "~÷"):
            draft.notes.append(f"what follows {t.raw(j)!r} could not be read")
            draft.doubtful = True
        return False
    sign, other = second
    if other.words and not number.words:
        return False
    if k < n and t.gap[k] > 2 and mark != "-" and not word:
        return False
    high = -other.numeral.value if sign == "-" else other.numeral.value
    if _is_clock(reader, k, other) and len(t.norm[draft.i]) == len(t.norm[k]):
        return False  # "0915 to 1045 hrs."
    unit2 = _unit_at(reader, draft, other.end)
    if unit is not None and unit2 is not None and not _share(unit, unit2):
        return False
    if unit is None and unit2 is not None:
        before = read_unit_before(t, draft.i, reader.tradition)
        if before is not None and not _share(before, unit2):
            return False  # "Cv. 750 a 2.200 giri/1'"
    if word == "to" and high > 20 * value >= 400 and not _between(reader, draft.i):
        return False  # "150 to 12,000 ft.": a speed up to a height
    slash = mark in {"/", "//"}
    low = value
    if (
        word == "to"
        and unit is not None
        and unit2 is None
        and _far_apart(low, high, named=_between(reader, draft.i))
        and not any(sense.kind == "temperature" for sense in unit.senses)
    ):
        return False  # "155 mph to 5000"
    if high < low and not (
        ruined or mark == "÷" or (draft.sign == "-" and sign == "-")
        or (
            word == "to"
            and sign == "-"
            and _below_nought(low, unit2)
            and (mark not in {"a", "à"} or _between(reader, draft.i))  # "8 coups à -10 °C"
        )
    ):  # fmt: skip
        return False
    if slash and (
        draft.sign or sign or low >= high or low <= 0 or high > 2 * low or t.gap[j] or t.gap[k]
        or (unit is not None and unit2 is None)
    ):  # fmt: skip
        return False
    if low == high and not word:
        return False
    if word == "to" and unit is not None and unit2 is None and not _between(reader, draft.i):
        follows = other.end < n and t.kind[other.end] == WORD and t.gap[other.end] < 3
        if follows and other.end not in reader.mentions:
            return False
    if mark == "-" and unit is not None and unit2 is None and t.gap[j] and not sign:
        return False
    lost = t.norm[other.end - 1]
    if (
        high > 30 * max(low, Fraction(1, 100))
        and number.numeral.resolution < 1
        and (len(lost) > 1 and lost[0] == "0" and lost.isdigit())
    ):
        # "0,25-035": the comma is lost
        high = Fraction(int(lost), 10 ** (len(lost) - 1))
        draft.notes.append(f"{lost!r} read with a decimal mark after its 0")
        if high <= low:
            return False
    draft.lo, draft.hi = (low, high) if low <= high else (high, low)
    if _far_apart(low, high, named=_between(reader, draft.i) or mark in "-÷~"):
        draft.notes.append("the ends of the range are far apart: it may be two figures")
        draft.doubtful = True
    draft.slash = slash
    draft.resolution = min(number.numeral.resolution, other.numeral.resolution)
    draft.other = _other(number.numeral, other.numeral, (draft.sign, sign))
    draft.odd_mark = (
        number.numeral.odd_mark
        or other.numeral.odd_mark
        or (draft.other is not None and not reader.continental)
    )
    if draft.other is not None and not reader.continental:
        _as_thousands(draft)
    if sign and not draft.sign and draft.lo == value:
        draft.sign = draft.sign or ("+" if sign == "+" else "")
    if other.numeral.repair:
        draft.notes.append(other.numeral.repair)
        draft.doubtful = draft.doubtful or other.numeral.doubtful
    if other.heard:
        draft.notes.append("a misheard number word")
    if ruined:
        draft.notes.append(f"{ruined!r} read as the sign for 'to'")
    draft.spoken = draft.spoken or other.spoken
    chosen = unit2 if unit2 is not None else unit
    draft.j = other.end
    if chosen is not None:
        draft.senses = chosen.senses
        if unit2 is not None and unit is not None:
            draft.senses = (
                tuple(s for s in unit2.senses if any(s.unit == r.unit for r in unit.senses))
                or unit2.senses
            )
        draft.unit_at = other.end if unit2 is not None else number.end
        draft.unit_end = chosen.end
        if chosen.note:
            draft.notes.append(chosen.note)
        draft.j = max(draft.j, chosen.end)
    else:
        _take_unit(reader, draft, None, other.end)
    return True


def _below_nought(low: Fraction, unit: UnitMatch | None) -> bool:
    """Whether "0 to -12 °C", "+5 to -5 °C" run down past nought, in a unit that can."""
    return 0 <= low <= 60 and unit is not None and unit.senses[0].kind == "temperature"


def _far_apart(low: Fraction, high: Fraction, *, named: bool) -> bool:
    """Whether the ends of a range are farther apart than one quantity is likely to run.

    `named`: it is said, or printed, that this is a range.
    """
    return low > 0 and high > (_WIDEST if named else _WIDE) * low


_WIDE, _WIDEST = 4, 12
"""How many times its lower end the upper end of a range may be."""


def _altered(reader: ValueReader, i: int) -> bool:
    """Whether words before the number at token `i` say that it gave way to another."""
    t = reader.t
    for back in range(1, 9):
        k = i - back
        if k < 0 or t.norm[k] in ".;" or t.kind[k] == NUMBER:
            return False
        found = reader.mentions.get(k)
        if found is not None and found.has("altered"):
            return found.j <= i and (found.j == i or _between(reader, i))
    return False


def _old_value(
    reader: ValueReader,
    draft: Draft,
    value: Fraction,
    number: Number,
    unit: UnitMatch | None,
    k: int,
) -> bool:
    """``raised from 360 to 420 hours``: two figures, of which the first shares the unit."""
    second = reader.signed_at(k)
    if second is None:
        return False
    unit2 = _unit_at(reader, draft, second[1].end)
    if unit is not None or unit2 is None:
        return False
    draft.nominal = value
    draft.resolution = number.numeral.resolution
    draft.senses = unit2.senses
    draft.j = number.end
    return True


def _share(a: UnitMatch, b: UnitMatch) -> bool:
    kinds = {s.kind for s in a.senses}
    units = {s.unit for s in a.senses}
    plain = {s.unit for s in a.senses if s.rank == 1}
    ours = {s.unit for s in b.senses if s.rank == 1}
    if plain and ours and not plain & ours and not any(s.kind == "temperature" for s in b.senses):
        return False  # "in 5 km — 590 km/h"
    return any(s.unit in units or (s.kind in kinds and s.kind == "temperature") for s in b.senses)


def _past_ruin(reader: ValueReader, j: int, k: int, number: Number) -> tuple[int, str]:
    """Past what is left of an Italian sign for "to"; the ruin itself, or nothing."""
    t = reader.t
    n = t.n
    m = j
    dashes = 0
    while m < n and m - j < 6 and t.kind[m] == SIGN and t.norm[m] in _RUIN:
        if m > j and t.gap[m] > 1:
            return k, ""
        dashes += t.norm[m] == "-"
        m += 1
    if m >= n:
        return k, ""
    if dashes and m - j >= 2 and t.kind[m] in {NUMBER, BLUR} and t.norm[m - 1] == "-":
        return m, t.text[t.start[j] : t.end[m - 1]]
    if (
        dashes == 1
        and m == j + 1
        and m + 2 < n
        and t.norm[m] in {"7", "i", "1", "r", "t", "l", "j"}
        and t.norm[m + 1] == "-"
        and t.kind[m + 2] in {NUMBER, BLUR}
    ):
        third = reader.number_at(m + 2)
        if third is not None and third.numeral.value > number.numeral.value:
            return m + 2, t.text[t.start[j] : t.end[m + 1]]
    return k, ""


def _between(reader: ValueReader, i: int) -> bool:
    if "between" not in reader.roles:
        return False
    for back in range(1, 5):
        found = reader.mentions.get(i - back)
        if found is not None and any(term.role == "between" for term in found.terms):
            return True
    return False


def _tolerance(
    reader: ValueReader,
    draft: Draft,
    value: Fraction,
    number: Number,
    unit: UnitMatch | None,
    j: int,
) -> bool:
    t = reader.t
    n = t.n
    if j >= n or t.gap[j] > 3:
        return False
    mark = t.norm[j]
    said = SAID_SIGNS.get(mark, "") if unit is not None else ""
    k = 0
    note = ""
    opened = False
    if mark == "(" and j + 1 < n and t.norm[j + 1] in {"±", "+"}:
        j += 1
        mark = t.norm[j]
        opened = True
    if mark == "±":
        k = j + 1
    elif t.kind[j] == SIGN and mark[0] == "_" and unit is not None:
        k = j + 1
        note = f"{mark!r} typed for a missing sign, read as plus or minus"
    elif t.kind[j] == WORD and "plus-minus" in reader.roles:
        found = reader.mentions.get(j)
        if found is not None and found.has("plus-minus"):
            k = found.j
    if k:
        part = reader.number_at(k)
        if part is None:
            return False
        unit2 = _unit_at(reader, draft, part.end)
        if note and (unit2 is None or abs(part.numeral.value) * 2 > abs(value)):
            return False
        draft.nominal = value
        draft.plus_minus = part.numeral.value
        draft.resolution = min(number.numeral.resolution, part.numeral.resolution)
        if number.numeral.other is not None and part.numeral.value >= number.numeral.resolution:
            draft.other = (number.numeral.other, None, None, number.numeral.other_resolution)
        draft.notes += [x for x in (note, part.numeral.repair) if x]
        return _finish(draft, reader, unit, unit2, number.end, part.end, opened)
    if said or (mark in {"+", "-"} and t.kind[j] == SIGN):
        mark = said or mark
        if t.gap[j] == 2 and t.start[j] - t.end[j - 1] > 2:
            return False  # another cell
        first = reader.number_at(j + 1)
        if first is None:
            return False
        unit1 = read_unit(t, first.end, reader.tradition)
        after = unit1.end if unit1 else first.end
        if after < n and t.norm[after] in {",", "/"} and t.gap[after] == 0:
            after += 1
        if after < n and t.gap[after] == 2 and t.start[after] - t.end[after - 1] > 2:
            return False
        opposite = SAID_SIGNS.get(t.norm[after], "") if said and after < n else ""
        opposite = opposite or (t.norm[after] if after < n else "")
        if after + 1 >= n or opposite not in {"+", "-"} or opposite == mark:
            close = t.gap[j] == t.gap[j + 1] and (
                t.gap[j] == 1 or (not t.gap[j] and number.numeral.resolution < 1)
            )
            if not said and mark == "+" and unit is None and close:
                size = abs(value)
                if 0 < first.numeral.value * 2 < size and unit1 is not None and not draft.sign:
                    draft.nominal, draft.lo, draft.hi = value, value, value + first.numeral.value
                    draft.resolution = min(number.numeral.resolution, first.numeral.resolution)
                    draft.notes.append("a lone + read as a one-sided tolerance")
                    draft.doubtful = True
                    return _finish(draft, reader, unit, unit1, number.end, first.end, opened)
            return False
        second = reader.number_at(after + 1)
        if second is None or (unit is None and draft.sign and mark == "-"):
            return False
        up, down = (first, second) if mark == "+" else (second, first)
        size = abs(value)
        if max(up.numeral.value, down.numeral.value) * 2 > max(size, Fraction(1)):
            return False
        unit2 = _unit_at(reader, draft, second.end) or unit1
        draft.nominal = value
        draft.hi = value + up.numeral.value
        draft.lo = value - down.numeral.value
        draft.resolution = min(number.numeral.resolution, first.numeral.resolution)
        return _finish(draft, reader, unit, unit2, number.end, second.end, opened)
    return False


def _finish(
    draft: Draft,
    reader: ValueReader,
    unit: UnitMatch | None,
    unit2: UnitMatch | None,
    first_end: int,
    end: int,
    opened: bool,
) -> bool:
    chosen = unit2 if unit2 is not None else unit
    draft.j = end
    if chosen is not None:
        draft.senses = chosen.senses
        draft.unit_at = end if unit2 is not None else first_end
        draft.unit_end = chosen.end
        draft.j = max(draft.j, chosen.end)
        if chosen.note:
            draft.notes.append(chosen.note)
    t = reader.t
    if opened and draft.j < t.n and t.norm[draft.j] == ")":
        draft.j += 1
        if chosen is None or chosen is unit:
            late = read_unit(t, draft.j, reader.tradition)
            if late is not None and chosen is None:
                draft.senses, draft.unit_at, draft.unit_end = late.senses, draft.j, late.end
                draft.j = late.end
    return True


def _one_to(reader: ValueReader, draft: Draft, number: Number) -> bool:
    """``1 : 6,8``: one to so many."""
    t = reader.t
    j = number.end
    if t.norm[j] != ":" or number.numeral.value != 1 or t.gap[j] > 1 or draft.sign:
        return False
    second = reader.number_at(j + 1)
    if second is None or t.gap[j + 1] > 1 or second.numeral.value <= 1:
        return False
    draft.nominal = second.numeral.value
    draft.resolution = second.numeral.resolution
    draft.senses = _RATIO
    draft.unit_at, draft.unit_end, draft.j = number.end, second.end, second.end
    return True


def _colon(reader: ValueReader, i: int) -> Draft | None:
    """``7.6:1``, ``16:9``, ``4:78 to 1``: a ratio, or a colon for the decimal point."""
    t = reader.t
    left, _, right = t.norm[i].partition(":")
    draft = Draft(i, i + 1)
    first, second = (read_numeral(x, reader.continental) for x in (left, right))
    if first is None or second is None or not first.value or not second.value:
        return None
    unit = read_unit(t, i + 1, reader.tradition)
    if unit is not None and unit.senses[0].kind == "ratio" and right.isdigit():
        draft.nominal = Fraction(f"{left}.{right}") if left.isdigit() else first.value
        draft.resolution = Fraction(1, 10 ** len(right))
        draft.notes.append("a colon read as the decimal point")
        draft.j = unit.end
    elif second.value == 1:
        draft.nominal, draft.resolution = first.value, first.resolution
    elif not _names_ratio(reader, i):
        return None
    elif first.value == 1:
        draft.nominal, draft.resolution = second.value, second.resolution
    else:
        draft.nominal = first.value / second.value
        draft.notes.append("a ratio of two whole numbers, worked out")
        draft.doubtful = True
    draft.senses = _RATIO
    draft.unit_at = draft.i
    draft.unit_end = draft.j
    draft.start, draft.end = t.start[i], t.end[draft.j - 1]
    return draft


def _names_ratio(reader: ValueReader, i: int) -> bool:
    """Whether a gear or compression ratio is named just before token `i`."""
    for back in range(1, 9):
        found = reader.mentions.get(i - back)
        if found is not None and any(
            term.role == "subject" and term.value in _RATIOS for term in found.terms
        ):
            return True
    return False


_RATIOS = frozenset({"gear ratio", "compression ratio", "supercharger", "fuel-air ratio"})
_RATIO = (Sense("1", "ratio", "", frozenset(), "after", 1),)


def _ratio(reader: ValueReader, draft: Draft, number: Number) -> bool:
    t = reader.t
    j = number.end
    if (
        j + 1 < t.n
        and t.norm[j] == ":"
        and t.norm[j + 1] == "1"
        and t.gap[j] <= 1
        and t.gap[j + 1] <= 1
    ):
        draft.nominal = number.numeral.value
        draft.resolution = number.numeral.resolution
        draft.senses = _RATIO
        draft.unit_at, draft.unit_end, draft.j = j, j + 2, j + 2
        return True
    return j < t.n and reader.continental and _one_to(reader, draft, number)


def _compound(reader: ValueReader, draft: Draft) -> None:
    unit = draft.senses
    if draft.nominal is None or not any([s.unit in _HEADS for s in unit]):  # noqa: C419
        return
    t = reader.t
    step = Fraction(1)
    for _ in range(3):
        j = draft.j
        if j < t.n and t.norm[j] in _COMPOUND_LINKS and t.gap[j] <= 1:
            j += 1
        if j >= t.n or t.gap[j] > 2 or t.kind[j] not in _COUNTED:
            return
        number = reader.number_at(j)
        if number is None:
            return
        match = read_unit(t, number.end, reader.tradition)
        if match is None:
            _minutes(reader, draft, number, j)
            return
        pairs = [
            (a, b, COMPOUNDS[a.unit, b.unit])
            for a in unit
            for b in match.senses
            if (a.unit, b.unit) in COMPOUNDS
        ]
        if not pairs:
            return
        size = pairs[0][2]
        if number.numeral.value * size >= 1:
            return
        if t.norm[j][0] in ".·" and t.norm[draft.unit_at] == "'":
            draft.notes.append("the mark before the point may be no foot mark")
            draft.doubtful = True
        step *= size
        draft.nominal += number.numeral.value * step
        draft.resolution = number.numeral.resolution * step
        draft.senses = tuple(s for s in draft.senses if any(s is p[0] for p in pairs)) or (
            draft.senses
        )
        draft.j = match.end
        unit = tuple(p[1] for p in pairs)


def _below_zero(reader: ValueReader, draft: Draft) -> None:
    """``15° unter Null``, ``10° мороза``: words that stand for the minus sign."""
    found = reader.mentions.get(draft.j) if "below" in reader.roles else None
    if found is None or not found.has("below") or draft.sign or not draft.nominal:
        return
    if draft.senses and draft.senses[0].kind == "temperature" and reader.t.gap[draft.j] < 2:
        draft.nominal = -draft.nominal


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


def _minutes(reader: ValueReader, draft: Draft, number: Number, j: int) -> None:
    """``5 h 30``: minutes after hours need no unit; after "à" it is a time of day."""
    t = reader.t
    if draft.nominal is None:
        return
    part = number.numeral.value
    if number.words and part.denominator in {2, 4} and part < 1 and t.norm[j - 1] in _AND_A_HALF:
        draft.nominal += part  # "deux minutes et demie"
        draft.resolution = Fraction(1, part.denominator)
        draft.j = number.end
        return
    if any(s.unit == "kg" for s in draft.senses) and reader.continental:
        # "3 kg 500"
        raw = t.norm[j]
        if len(raw) == 3 and raw.isdigit() and t.gap[j] == 1 and draft.nominal.denominator == 1:
            draft.nominal += Fraction(int(raw), 1000)
            draft.resolution = Fraction(1, 1000)
            draft.j = number.end
        return
    if not any(s.unit == "h" for s in draft.senses):
        return
    if t.gap[j] > 1 or len(t.norm[j]) != 2 or not t.norm[j].isdigit() or int(t.norm[j]) > 59:
        return
    if draft.i and t.norm[draft.i - 1] in _CLOCK_LEADS and draft.nominal <= 24:
        draft.nominal = None
        draft.j = number.end
        return
    draft.nominal += number.numeral.value / 60
    draft.resolution = Fraction(1, 60)
    draft.senses = tuple(s for s in draft.senses if s.unit == "h")
    draft.j = number.end


_CLOCK_LEADS = frozenset({"à", "vers", "um", "alle", "dalle", "gegen", "dès", "seit", "ab"})


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
