"""Tolerances: "45 ± 1", "40 + 5 - 0", "600 psi plus 25 minus 0"."""

from __future__ import annotations

from fractions import Fraction

from reconcile.notation.drafts import Draft
from reconcile.notation.tokens import SIGN, WORD
from reconcile.notation.unitplace import unit_at_token
from reconcile.notation.unitwords import UnitMatch, read_unit
from reconcile.notation.values import Number, ValueReader
from reconcile.notation.wordsets import word_meanings

SAID_SIGNS = word_meanings("said-signs")
"""Words for the signs of a tolerance: "600 psi plus 25 minus 0"."""


def read_tolerance(
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
        unit2 = unit_at_token(reader, draft, part.end)
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
        unit2 = unit_at_token(reader, draft, second.end) or unit1
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
