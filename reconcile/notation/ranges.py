"""Ranges: "60 to 75", "5 ÷ 7", "raised from 360 to 420"."""

from __future__ import annotations

from fractions import Fraction

from reconcile.notation.drafts import Draft
from reconcile.notation.numerals import Numeral
from reconcile.notation.tokens import BLUR, CODE, NUMBER, SIGN, WORD
from reconcile.notation.unitplace import take_unit, unit_at_token
from reconcile.notation.unitwords import UnitMatch, read_unit_before
from reconcile.notation.values import RANGE_MARKS, Number, ValueReader
from reconcile.notation.wordsets import word_set

_RUIN = frozenset(".;:-~_÷,'")

_UNSURE = frozenset({BLUR, CODE})


def as_thousands(draft: Draft) -> None:
    """In English a point before three figures is likelier a comma that has lost its tail."""
    if draft.other is not None:
        printed = (draft.nominal, draft.lo, draft.hi, draft.resolution or Fraction(1))
        draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
        draft.other = printed


def is_clock(reader: ValueReader, i: int, number: Number) -> bool:
    """``09.30 hours``: a time of day, or the year of a date."""
    t = reader.t
    j = number.end
    if j < t.n and number.words and reader.speech and t.norm[j] in HOURS:
        value = number.numeral.value
        return 100 < value < 2400 and 0 < value % 100 < 60  # "fourteen thirty hours"
    if j >= t.n or t.kind[i] != NUMBER:
        return False
    after = t.norm[j]
    raw = t.norm[i]
    if after in HOURS:
        digits = raw.replace(".", "").replace(":", "")
        return len(digits) == 4 and digits.isdigit() and digits[:2] < "25" and raw[0] in "012"
    return after in YEARS and len(raw) == 4 and raw[:2] in {"18", "19"}


HOURS = word_set("clock-hours")

YEARS = word_set("years-behind")


def _other(a: Numeral, b: Numeral, signs: tuple[str, str]) -> tuple | None:
    if a.other is None or b.other is None:
        return None
    lo = -a.other if signs[0] == "-" else a.other
    hi = -b.other if signs[1] == "-" else b.other
    return (None, min(lo, hi), max(lo, hi), min(a.other_resolution, b.other_resolution))


def read_range(
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
    if is_clock(reader, k, other) and len(t.norm[draft.i]) == len(t.norm[k]):
        return False  # "0915 to 1045 hrs."
    unit2 = unit_at_token(reader, draft, other.end)
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
            and (mark not in _AT or _between(reader, draft.i))  # "8 coups à -10 °C"
        )
    ):  # fmt: skip
        return False
    if slash and (
        draft.sign or sign or low >= high or low <= 0 or high > 3 * low or t.gap[j] or t.gap[k]
        or (high > 2 * low and not 30 <= low <= 400 - high)
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
    if slash and high > 2 * low:
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
        as_thousands(draft)
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
        take_unit(reader, draft, None, other.end)
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
    unit2 = unit_at_token(reader, draft, second[1].end)
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
    if t.norm[j] == "," and t.gap[m - 1] == 1 and not t.gap[m] and m - j == 2:
        return k, ""  # "8 lb., -2 lb.": the next of a list, with its sign
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


_AT = word_set("at-and-to")
