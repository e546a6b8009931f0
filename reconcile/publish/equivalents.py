"""Equivalents in modern units, rounded so that no limit grows by it.

A maximum is rounded down, a minimum up, a range inwards; only a nominal or approximate value
is rounded to the nearest, and says so. The step is the largest power of ten that does not
exceed the printed step, so that rounding adds less than the paper's own rounding did.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor, log10
from typing import TYPE_CHECKING, Any

from reconcile.errors import MeasureError
from reconcile.measure.units import UnitRow, equivalents, unit_row
from reconcile.publish.columns import number_15
from reconcile.publish.rows import Row
from reconcile.publish.side import Field, SideTable
from reconcile.records import FORMS, Form

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

MOST_UNITS = 3
"""Units given for each reference form; the table of units lists more for those who ask."""
_FIGURES_WITHOUT_RESOLUTION = 4
ROUNDINGS = ("down", "up", "inwards", "nearest", "exact")

_FIELDS = (
    Field("row_id", "string", "Row of the limit table.", True),
    Field("rank", "integer", "Order within the row, from 1.", True),
    Field("unit", "string", "UCUM code of the modern unit.", True),
    Field("symbol", "string", "How people write it."),
    Field(
        "reference_form",
        "string",
        "Zero a pressure is counted from; 'none' for all else.",
        True,
        FORMS,
    ),
    Field("nominal", "number", "Single value.", unit="column:unit"),
    Field("lo", "number", "Lower end.", unit="column:unit"),
    Field("hi", "number", "Upper end.", unit="column:unit"),
    Field("step", "number", "Step it was rounded to.", True, unit="column:unit"),
    Field("rounded", "string", "Which way it was rounded.", True, ROUNDINGS),
)
EQUIVALENTS = SideTable(
    "equivalents",
    "The verified limits in modern units, rounded to the safe side",
    _FIELDS,
    ("row_id", "rank"),
    (("row_id", "limits", "row_id"),),
)
OTHER_EQUIVALENTS = SideTable(
    "equivalents_not_verified",
    "The limits that are not verified, in modern units, rounded to the safe side",
    _FIELDS,
    ("row_id", "rank"),
    (("row_id", "not_verified", "row_id"),),
)


@dataclass(frozen=True, slots=True)
class Equivalent:
    """One value in a modern unit, exact multiples of `step`."""

    unit: str
    symbol: str
    form: Form
    nominal: Fraction | None
    lo: Fraction | None
    hi: Fraction | None
    step: Fraction
    rounded: str

    def __str__(self) -> str:
        form = "" if self.form in ("none", "unknown") else f" {self.form.replace('_', ' ')}"
        if self.form == "unknown":
            form = " (reference form unknown)"
        return f"{self.number} {self.symbol}{form}"

    @property
    def number(self) -> str:
        """The value or range, with the decimals of its step."""
        signed = self.form == "fixed_datum"

        def text(x: Fraction) -> str:
            return _decimal(x, self.step, signed)

        ends = [text(x) for x in (self.lo, self.hi) if x is not None]
        if self.nominal is not None:
            head = text(self.nominal)
            return f"{head} ({' to '.join(ends)})" if len(ends) == 2 else head
        return " to ".join(ends)


def _decimal(x: Fraction, step: Fraction, signed: bool) -> str:
    places = max(0, -_decade(step))
    text = f"{float(x):+,.{places}f}" if signed and x > 0 else f"{float(x):,.{places}f}"
    return text.replace(",", " ")


def _decade(x: Fraction) -> int:
    """The power of ten at or below x > 0, exact."""
    power = floor(log10(x))
    while Fraction(10) ** power > x:
        power -= 1
    while Fraction(10) ** (power + 1) <= x:
        power += 1
    return power


def safe_step(resolution: Fraction | None, size: Fraction) -> Fraction:
    """Step to round an equivalent to.

    Parameters
    ----------
    resolution : Fraction or None
        Printed step, in the new unit.
    size : Fraction
        The number itself, for figures whose printed step is not known.

    Returns
    -------
    step : Fraction, a power of ten
    """
    if resolution:
        return Fraction(10) ** _decade(abs(resolution))
    if size:
        return Fraction(10) ** (_decade(abs(size)) - _FIGURES_WITHOUT_RESOLUTION + 1)
    return Fraction(1)


def _round(x: Fraction | None, step: Fraction, way: str) -> Fraction | None:
    if x is None:
        return None
    steps = x / step
    whole = steps.numerator // steps.denominator
    if way == "up":
        whole = -(-steps.numerator // steps.denominator)
    elif way == "nearest":
        whole = round(steps)  # halves to even: no side is favoured
    return whole * step


def round_safely(
    quantity: Quantity, bound: str, step: Fraction
) -> tuple[Fraction | None, Fraction | None, Fraction | None, str]:
    """Nominal value, lower and upper end rounded to `step` so that no limit grows.

    Parameters
    ----------
    quantity : Quantity
    bound : str
        "max", "min", "range", "nominal" or "approx".
    step : Fraction, in the quantity's unit

    Returns
    -------
    nominal, lo, hi : Fraction or None
    rounded : str
        "down", "up", "inwards", "nearest" or "exact".
    """
    nominal, lo, hi = quantity.nominal, quantity.lo, quantity.hi
    if quantity.plus_minus is not None and nominal is not None:
        lo = nominal - quantity.plus_minus if lo is None else lo
        hi = nominal + quantity.plus_minus if hi is None else hi
    numbers = [x for x in (nominal, lo, hi) if x is not None]
    if all((x / step).denominator == 1 for x in numbers):
        return nominal, lo, hi, "exact"
    way = {"max": "down", "min": "up"}.get(bound, "nearest")
    if way != "nearest":
        return _round(nominal, step, way), _round(lo, step, way), _round(hi, step, way), way
    low, high = _round(lo, step, "up"), _round(hi, step, "down")
    middle = _round(nominal, step, "nearest")
    if low is None and high is None:
        return middle, None, None, "nearest"
    return middle, low, high, "inwards"


def _equivalent(quantity: Quantity, unit: UnitRow, form: Form, bound: str) -> Equivalent | None:
    there = quantity.to(unit.slug, None if form == quantity.form else form)
    size = max((abs(x) for x in (there.nominal, there.lo, there.hi) if x is not None), default=0)
    step = safe_step(there.resolution, Fraction(size))
    for _ in range(12):
        nominal, lo, hi, way = round_safely(there, bound, step)
        inside = [x for x in (lo, nominal, hi) if x is not None]
        if inside == sorted(inside):
            return Equivalent(unit.ucum or unit.slug, unit.symbol, form, nominal, lo, hi, step, way)
        # Rounding inwards emptied the range (or left its middle outside): a finer step.
        step /= 10
    return None


def equivalents_of(
    quantity: Quantity, bound: str, units: Sequence[str] = ()
) -> tuple[Equivalent, ...]:
    """A figure in modern units, rounded to the safe side.

    Parameters
    ----------
    quantity : Quantity
    bound : str
        What the figure bounds: "max", "min", "range", "nominal" or "approx".
    units : sequence of str, optional
        UCUM codes or slugs wanted; those that do not fit the quantity are left out. By
        default the first few of ``tables/units/equivalents.csv``.

    Returns
    -------
    tuple of Equivalent
        In the figure's own reference form and, for boost, absolute as well. Empty where the
        figure was not read.

    Raises
    ------
    UnknownUnitError
        One of `units` is no unit.
    """
    return _equivalents(quantity, bound, tuple(units))


@lru_cache(maxsize=8192)
def _equivalents(quantity: Quantity, bound: str, units: tuple[str, ...]) -> tuple[Equivalent, ...]:
    wanted = [unit_row(unit) for unit in units]
    if not quantity.is_read or not (quantity.unit or quantity.unit_slug):
        return ()
    forms: list[Form] = [quantity.form]
    if quantity.form == "fixed_datum":
        forms.append("absolute")
    found = []
    si_unit = quantity.row.si_unit
    for form in forms:
        if units:
            rows = [row for row in wanted if row.si_unit == si_unit]
        else:
            rows = list(equivalents(si_unit, form)[:MOST_UNITS])
        for row in rows:
            if form == quantity.form and row.slug == quantity.row.slug and not units:
                continue
            try:
                one = _equivalent(quantity, row, form, bound)
            except MeasureError:
                continue  # a reading this scale cannot have
            if one is not None:
                found.append(one)
    return tuple(found)


def equivalent_rows(rows: Sequence[Row], *, verified: bool) -> list[dict[str, Any]]:
    """Rows of an equivalents' table: for the verified rows, or for all others."""
    out = []
    for row in rows:
        if verified != (row.standing == "verified"):
            continue
        if row.figure.status in ("unread", "ambiguous"):
            continue  # no number of a figure that may be another is fit to be set
        for rank, one in enumerate(equivalents_of(row.figure.quantity, row.bound), 1):
            out.append(
                {
                    "row_id": row.id,
                    "rank": rank,
                    "unit": one.unit,
                    "symbol": one.symbol or None,
                    "reference_form": one.form,
                    "nominal": number_15(one.nominal),
                    "lo": number_15(one.lo),
                    "hi": number_15(one.hi),
                    "step": number_15(one.step),
                    "rounded": one.rounded,
                }
            )
    return out
