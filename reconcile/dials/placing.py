"""One limit put on one gauge: where its mark stands, or why the gauge cannot show it.

The order is fixed, and exact until the end: the figure's own number, today's unit and the
gauge's reference form, the gauge's calibration, the guard band, and only then rounding at
its division, to the safe side.

References
----------
[JCGM106] JCGM 106:2012, 8.3: guarded acceptance.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import sqrt
from typing import Protocol

from reconcile.dials.gauges import Gauge
from reconcile.errors import EmptyRangeError, MeasureError
from reconcile.measure.display import describe
from reconcile.measure.pressure import find_datum
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.rounding import round_down, round_inwards, round_nearest, round_up
from reconcile.records import Figure, Form
from reconcile.reference import load_rows

COVERAGE_FACTOR = 2


class LimitRow(Protocol):
    """A row of an issued limit table, as far as gauges need it."""

    @property
    def id(self) -> str: ...
    @property
    def parameter(self) -> str | None: ...
    @property
    def condition(self) -> str | None: ...
    @property
    def bound(self) -> str: ...
    @property
    def time_limit_s(self) -> Fraction | None: ...
    @property
    def time_unlimited(self) -> bool: ...
    @property
    def figure(self) -> Figure: ...
    @property
    def standing(self) -> str: ...
    @property
    def lead(self) -> bool: ...


Values = tuple[Fraction | None, Fraction | None, Fraction | None]
"""Nominal value, lower and upper end."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A limit on a gauge's scale, in the gauge's unit and form."""

    row: LimitRow
    bound: str
    """As it applies on this scale: the most suction is the least pressure."""
    nominal: Fraction | None
    lo: Fraction | None
    hi: Fraction | None
    exact: Values
    """The same before guard band and rounding: what the gauge shows at the limit itself."""
    guard: Fraction
    uncertainty: Fraction
    """Expanded uncertainty of the indication at the mark (k = 2)."""

    @property
    def loss(self) -> Fraction:
        """How far rounding and guard band moved the mark furthest."""
        moved = [
            abs(a - b)
            for a, b in zip(self.exact, (self.nominal, self.lo, self.hi))
            if a is not None and b is not None
        ]
        return max(moved, default=Fraction(0))


@dataclass(frozen=True, slots=True)
class Refusal:
    """A limit that the gauge cannot show, and why."""

    row: LimitRow
    reason: str


_FORM_NEEDS: dict[str, str] = {
    "absolute": "an absolute one",
    "fixed_datum": "an absolute one",
    "gauge": "one open to the air around",
    "below_ambient": "one open to the air around",
    "differential": "one between the same two places",
}
_GAUGE_READS: dict[str, str] = {
    "absolute": "absolute pressure",
    "fixed_datum": "pressure over the datum",
    "gauge": "gauge pressure, counted from the air around",
    "below_ambient": "suction, below ambient",
    "differential": "a difference of pressures",
}
_SAME_ZERO = (
    frozenset({"absolute", "fixed_datum"}),
    frozenset({"gauge", "below_ambient"}),
    frozenset({"differential"}),
)


def form_fault(q: Quantity, gauge: Gauge, parameter: str) -> str:
    """Why the gauge's reference form cannot show this pressure; blank where it can."""
    if not q.row.si_unit == gauge.unit.si_unit == "Pa":
        return ""  # no pressure, or one put to a gauge of something else: the units say so
    if q.form == "none":
        return f"{parameter} is a change of pressure, which no pressure gauge shows by itself"
    if q.form == "unknown":
        return (
            f"the paper does not say what {parameter} is counted from, so no gauge can be marked "
            "for it"
        )
    if any({q.form, gauge.form} <= forms for forms in _SAME_ZERO):
        return ""
    return (
        f"this gauge reads {_GAUGE_READS[gauge.form]}; {parameter} needs {_FORM_NEEDS[q.form]}, "
        "or the mark would be true at one height only"
    )


@cache
def _unsuited() -> tuple[tuple[str, re.Pattern[str], str], ...]:
    return tuple(
        (row["si_unit"], re.compile(row["pattern"], re.IGNORECASE), row["reason"])
        for row in load_rows("gauges/unsuited")
    )


def words_fault(row: LimitRow, gauge: Gauge) -> str:
    """Why the words beside a figure say that the gauge shows something else; else blank."""
    figure = row.figure
    words = " ".join(
        (figure.as_written, *figure.qualifiers, *figure.place.row, *figure.place.column)
    )
    for si_unit, pattern, reason in _unsuited():
        if si_unit == gauge.unit.si_unit and pattern.search(words):
            return reason
    return ""


def place(row: LimitRow, gauge: Gauge, *, guard_band: bool = False) -> Placed | Refusal:
    """Put a limit on a gauge.

    Parameters
    ----------
    row : LimitRow
    gauge : Gauge
    guard_band : bool
        Move every bound inwards by the expanded uncertainty of the indication (k = 2).

    Returns
    -------
    placed : Placed or Refusal

    Notes
    -----
    A nominal or approximate value bounds nothing and goes to the nearest division; its
    tolerance, where printed, goes inwards.
    """
    q = row.figure.quantity
    if not q.is_read or row.figure.status == "unread":
        return Refusal(row, "the figure could not be read")
    if row.figure.status == "ambiguous":
        return Refusal(row, "the figure can be read in more than one way; rule on it first")
    if reason := form_fault(q, gauge, row.parameter or "this") or words_fault(row, gauge):
        return Refusal(row, reason)
    pressure = q.row.si_unit == gauge.unit.si_unit == "Pa"
    try:
        there = q.to(
            gauge.unit.slug, gauge.form if pressure else None,
            datum=_datum(gauge) if pressure else "",
        )  # fmt: skip
        zero = _zero_uncertainty(q, gauge) if pressure else 0.0
        turned = (q.form == "below_ambient") != (gauge.form == "below_ambient") and pressure
        bound = {"max": "min", "min": "max"}.get(row.bound, row.bound) if turned else row.bound
        return _placed(row, bound, there, gauge, zero, guard_band)
    except MeasureError as fault:
        return Refusal(row, _sentence(fault))


def _sentence(fault: MeasureError) -> str:
    text = fault.what
    if fault.expected:
        text += f"; it would take {fault.expected}"
    return text


def _datum(gauge: Gauge) -> str:
    return (gauge.datum or find_datum().slug) if gauge.form == "fixed_datum" else ""


def _zero_uncertainty(q: Quantity, gauge: Gauge) -> float:
    """Standard uncertainty of the zeros brought in, in the gauge's unit."""
    form: Form = gauge.form
    _, half_width = q.exact_in_form(form, datum=_datum(gauge))
    return float(half_width / gauge.unit.factor) / sqrt(3.0)


def _placed(
    row: LimitRow, bound: str, q: Quantity, gauge: Gauge, zero: float, guard_band: bool
) -> Placed | Refusal:
    exact = _bounded(bound, q)
    for value in exact:
        if value is not None and not gauge.lo <= value <= gauge.hi:
            return Refusal(
                row,
                f"the scale runs from {show(gauge.lo)} to {show(gauge.hi)} {gauge.symbol}; the "
                f"limit is {_short(value)} {gauge.symbol}",
            )
    if gauge.calibration is not None:
        read = gauge.calibration.reading_of
        exact = tuple(None if v is None else read(v) for v in exact)  # type: ignore[assignment]
    nominal, lo, hi = exact
    at = next(v for v in (hi, lo, nominal) if v is not None)
    u = gauge.standard_uncertainty(at)
    uncertainty = Fraction(COVERAGE_FACTOR * sqrt(u * u + zero * zero))
    guard = uncertainty if guard_band else Fraction(0)
    step = gauge.division
    inner_lo = None if lo is None else lo + guard
    inner_hi = None if hi is None else hi - guard
    if inner_lo is not None and inner_hi is not None:
        try:
            inner_lo, inner_hi = round_inwards(inner_lo, inner_hi, step)
        except EmptyRangeError:
            assert lo is not None and hi is not None
            return Refusal(row, _why_empty(lo, hi, guard, gauge))
    else:
        inner_lo = None if inner_lo is None else round_up(inner_lo, step)
        inner_hi = None if inner_hi is None else round_down(inner_hi, step)
    if nominal is not None:
        nominal = round_nearest(nominal, step)
        if inner_lo is not None and inner_hi is not None:
            nominal = min(max(nominal, inner_lo), inner_hi)
    for value in (nominal, inner_lo, inner_hi):
        if value is not None and not gauge.lo <= value <= gauge.hi:
            return Refusal(
                row,
                f"to the safe side the mark would stand at {_short(value)} {gauge.symbol}, off "
                f"the scale ({show(gauge.lo)} to {show(gauge.hi)})",
            )
    return Placed(row, bound, nominal, inner_lo, inner_hi, exact, guard, uncertainty)


def _bounded(bound: str, q: Quantity) -> Values:
    """The numbers that the bound uses, of those that the figure has."""
    lo, hi = q.ends
    single = q.lo is None and q.hi is None
    if bound == "max":
        return None, None, _needed(q.nominal if single else hi, q)
    if bound == "min":
        return None, _needed(q.nominal if single else lo, q), None
    if bound == "range" and lo is None and hi is None:
        # A range of one number is a point: to be set, with nothing to spare.
        return q.nominal, None, None
    return q.nominal, lo, hi


def _needed(x: Fraction | None, q: Quantity) -> Fraction:
    if x is None:
        raise MeasureError(f"{describe(q)} has no number for that bound")
    return x


def _why_empty(lo: Fraction, hi: Fraction, guard: Fraction, gauge: Gauge) -> str:
    text = (
        f"the range {_short(lo)} to {_short(hi)} {gauge.symbol} is empty once it is rounded "
        f"inwards at divisions of {show(gauge.division)} {gauge.symbol}"
    )
    if guard:
        text += f" and guarded by {_short(guard)} {gauge.symbol} at each end"
    return text + "; it takes a finer" + (" and truer gauge" if guard else " gauge")


def _short(x: Fraction) -> str:
    text = show(x)
    return text if len(text) <= 8 else f"{float(x):.4g}"
