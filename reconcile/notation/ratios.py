"""Ratios, and figures in two units: "7.6:1", "5 h 30", "3 cwt. 2 qr.", "15 degrees below zero"."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.numerals import read_numeral
from reconcile.notation.tokens import BLUR, FRACTION, KANJI, NUMBER, WORD
from reconcile.notation.unitwords import UnitMatch, read_unit
from reconcile.notation.values import COMPOUNDS, Number, ValueReader
from reconcile.notation.wordsets import word_set

_COUNTED = frozenset({NUMBER, BLUR, FRACTION, KANJI, WORD})

_HEADS = frozenset(a for a, _ in COMPOUNDS) | {"m"}


class _Part(NamedTuple):
    sign: str
    number: Number


_COMPOUND_LINKS = word_set("compound-links")

_AND_A_HALF = word_set("before-and-a-half")


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


def read_colon(reader: ValueReader, i: int) -> Draft | None:
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


_RATIOS = word_set("subjects-of-ratios")

_RATIO = (Sense("1", "ratio", "", frozenset(), "after", 1),)


def read_ratio(reader: ValueReader, draft: Draft, number: Number) -> bool:
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


def read_compound(reader: ValueReader, draft: Draft) -> None:
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
        if t.kind[j] == BLUR and _add_seconds(reader, draft, j):
            return
        number = reader.number_at(j)
        if number is None:
            return
        match = read_unit(t, number.end, reader.tradition)
        if match is not None and _add_seconds(reader, draft, j, match):
            return
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


def _add_seconds(reader: ValueReader, draft: Draft, j: int, match: UnitMatch | None = None) -> bool:
    """``8m 50s``, ``8 m. 50 s.``: seconds make the letter before them minutes, and no metres."""
    t = reader.t
    if draft.nominal is None or not any(sense.unit in _MINUTES for sense in draft.senses):
        return False
    if match is None:
        digits, end = t.norm[j][:-1], j + 1
        if t.norm[j][-1:] != "s":
            return False
    else:
        digits, end = t.norm[j], match.end
        if not all(sense.unit == "s" for sense in match.senses):
            return False
    if not digits.isdigit() or int(digits) >= 60 or draft.nominal >= 100:
        return False
    draft.nominal += Fraction(int(digits), 60)
    draft.resolution = Fraction(1, 60)
    draft.senses = (_MINUTE,)
    draft.j = end
    return True


_MINUTES = frozenset({"m", "min"})
_MINUTE = Sense("min", "time", "", frozenset(), "after", 1)


def read_below_zero(reader: ValueReader, draft: Draft) -> None:
    """``15° unter Null``, ``10° мороза``: words that stand for the minus sign."""
    found = reader.mentions.get(draft.j) if "below" in reader.roles else None
    if found is None or not found.has("below") or draft.sign or not draft.nominal:
        return
    if draft.senses and draft.senses[0].kind == "temperature" and reader.t.gap[draft.j] < 2:
        draft.nominal = -draft.nominal


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


_CLOCK_LEADS = word_set("before-clock-times")
