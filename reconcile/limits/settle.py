"""Decides by size what marks in a number meant: thousands, decimals, degrees, scales."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from reconcile.limits.context import Context
from reconcile.limits.sense import is_plausible, si_of
from reconcile.notation.drafts import Draft

if TYPE_CHECKING:
    from reconcile.limits.meaning import Meaning

_WEATHER = 318.15
"""Highest temperature, in kelvin, that the weather has."""
_HEADS = (423.15, 593.15)
"""Temperatures, in kelvin, that on a piston engine only cylinder heads have."""


def settle_number(ctx: Context, meaning: Meaning) -> None:
    """Decide what thousands and decimal marks, degree marks and scales meant, by sense."""
    draft, sense = meaning.draft, meaning.sense
    value = draft.value
    if value is None:
        return
    unit, kind = sense.unit, sense.kind
    parameter = meaning.parameter or kind
    if kind == "temperature" and _may_hold_degree_mark(ctx, draft, value):
        tenth = value / 10
        if is_plausible(value, unit, parameter) and is_plausible(tenth, unit, parameter):
            draft.notes.append("no degree mark, though others have one: the last 0 may be it")
            draft.doubtful = True
            if draft.sign:  # signs are printed where zero is near
                draft.nominal, draft.resolution = tenth, Fraction(1)
            return
    if draft.odd_mark and draft.other is not None:
        _settle_point(meaning, unit, kind, parameter)
        return
    if is_plausible(value, unit, parameter) and not _runs_away(draft):
        _name_heads(meaning, value)
        if kind == "temperature" and _glued_degree(ctx, draft, unit, parameter):
            meaning.status = "ambiguous"
            draft.notes.append("the last 0 may be the degree mark")
        return
    if draft.other is not None:
        other = draft.other[0] if draft.other[0] is not None else draft.other[2]
        if is_plausible(other, unit, parameter):
            draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
            draft.notes.append("the mark in the number read the other way, as the size demands")
            return
    if kind == "temperature":
        if not draft.spoken and _degree_as_zero(ctx, draft, unit, parameter):
            _name_heads(meaning, draft.value)
            return
        for other_sense in draft.senses:
            if other_sense.kind == kind and is_plausible(value, other_sense.unit, parameter):
                meaning.sense = draft.sense = other_sense
                draft.supposed.append("scale of temperature supposed from the size")
                return
    if is_plausible(value, unit, parameter):
        return
    meaning.status = "ambiguous"
    if not (kind in _POINTED and _lost_point(draft, unit, parameter)):
        draft.notes.append(f"hardly possible as {parameter}")


def _settle_point(meaning: Meaning, unit: str, kind: str, parameter: str) -> None:
    """Whether "2.850" in an English text is 2,850 misprinted, or has three decimals."""
    draft = meaning.draft
    assert draft.other is not None
    decimal = draft.other[0] if draft.other[0] is not None else draft.other[2]
    whole = draft.value
    can_be_whole = is_plausible(whole, unit, parameter)
    can_be_decimal = is_plausible(decimal, unit, parameter)
    fine = kind in _FINE or (
        kind in {"pressure", "torque"} and whole is not None and whole % 10 != 0
    )
    if can_be_decimal and (fine or not can_be_whole):
        draft.nominal, draft.lo, draft.hi, draft.resolution = draft.other
        if not fine:
            meaning.status = "ambiguous"
            draft.notes.append("three decimals, or a thousands comma misprinted")
        return
    draft.notes.append("a point before three figures read as the thousands comma")
    if not can_be_whole:
        meaning.status = "ambiguous"


_FINE = frozenset({
    "length", "ratio", "specific_consumption", "density", "other", "voltage", "current",
    "power_loading",
})  # fmt: skip
"""Kinds that are printed to three decimals."""
_POINTED = frozenset({"pressure", "ratio", "specific_consumption"})


def _lost_point(draft: Draft, unit: str, parameter: str) -> bool:
    """Put a lost decimal point back where one place alone makes the size possible."""
    value = draft.nominal
    if value is None or value.denominator != 1 or value < 10 or draft.plus_minus is not None:
        return False
    for power in (10, 100, 1000):
        if value < power:
            return False
        if is_plausible(value / power, unit, parameter):
            draft.nominal = value / power
            draft.resolution = (draft.resolution or Fraction(1)) / power
            draft.notes.append(f"decimal point lost: printed as {value}")
            return True
    return False


def _glued_degree(ctx: Context, draft: Draft, unit: str, parameter: str) -> bool:
    """``40C``: no degree mark, and a last 0 that could have been one."""
    at = draft.unit_at
    t = ctx.t
    value = draft.nominal
    return (
        value is not None
        and 0 < at < t.n
        and not t.gap[at]
        and t.norm[at] in {"c", "f", "с"}
        and value >= 10
        and value.denominator == 1
        and value % 10 == 0
        and not draft.spoken
        and is_plausible(value / 10, unit, parameter)
    )


_LETTERS = frozenset({"c", "f", "с", "0"})
"""What is printed for a scale of temperature when its degree mark is lost."""


def _runs_away(draft: Draft) -> bool:
    """Whether the upper end of a range of temperatures is out of all keeping with the lower."""
    return (
        draft.kind == "temperature"
        and draft.lo is not None
        and draft.hi is not None
        and draft.lo > 0
        and draft.hi >= 5 * draft.lo
        and draft.hi % 10 == 0
        and draft.hi / 10 > draft.lo
    )


def _degree_as_zero(ctx: Context, draft: Draft, unit: str, parameter: str) -> bool:
    """Take a last 0 that was the degree mark off the numbers it makes impossible."""
    at = draft.unit_at
    if draft.nominal is not None and 0 < at < len(ctx.t) and ctx.t.norm[at] not in _LETTERS:
        return False
    if (draft.value or 0) >= 1000 and "," in ctx.t.norm[draft.i]:
        return False  # "1,000" is a thousand, and no hundred degrees
    if _set_apart(ctx, draft):
        return False
    changed = False
    for name in ("nominal", "lo", "hi"):
        number = getattr(draft, name)
        if number is None or number % 10 or number.denominator != 1 or number == 0:
            continue
        if is_plausible(number, unit, parameter) and not (name == "hi" and _runs_away(draft)):
            continue
        if not is_plausible(number / 10, unit, parameter):
            continue
        draft.doubtful = draft.doubtful or number < _OUTRIGHT
        setattr(draft, name, number / 10)
        changed = True
    if changed:
        draft.resolution = Fraction(1)
        draft.notes.append("last 0 read as the degree mark")
    return changed


def _set_apart(ctx: Context, draft: Draft) -> bool:
    """Whether a blank parts a number of no outrageous size from its letter: "180 C".

    A mark that was taken for one of the figures leaves no blank behind it.
    """
    at = draft.unit_at
    if draft.nominal is None or not draft.i < at < len(ctx.t) or ctx.t.gap[at] == 0:
        return False
    return abs(draft.nominal) < _OUTRIGHT


_OUTRIGHT = 300
"""A number of degrees from which on none of an engine's fluids can be meant."""


def _name_heads(meaning: Meaning, value: Fraction | None) -> None:
    if meaning.parameter or meaning.sense.kind != "temperature" or value is None:
        return
    si = si_of(value, meaning.sense.unit)
    if si is None:
        return
    if _HEADS[0] <= si <= _HEADS[1]:
        meaning.parameter = "cylinder head temperature"
    elif si <= _WEATHER:
        meaning.parameter = "outside air temperature"


def _may_hold_degree_mark(ctx: Context, draft: Draft, value: Fraction) -> bool:
    """Whether a temperature of three digits ends in a 0 that stands where others have a °."""
    t, at = ctx.t, draft.unit_at
    if at <= draft.i or t.gap[at] or t.norm[at] not in {"c", "f"}:
        return False
    if draft.nominal is None or abs(value) < 100 or value.denominator != 1 or value % 10:
        return False
    marked: bool | None = ctx.memo.get(("degrees marked",))
    if marked is None:
        marked = any(d.unit_at > 0 and t.norm[d.unit_at] == "°" for d in ctx.drafts)
        ctx.memo["degrees marked",] = marked
    return marked
