"""Scales: where the graduations of a gauge stand, and those of the paper's own unit beside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from reconcile.dials.gauges import Gauge
from reconcile.dials.marks import MarkSet
from reconcile.dials.placing import form_fault
from reconcile.errors import MeasureError
from reconcile.measure.display import FORM_WORDS
from reconcile.measure.quantity import Quantity, show
from reconcile.records import Form

MOST_LABELS = 13
_MOST_TICKS = 80


@dataclass(frozen=True, slots=True)
class Tick:
    """One graduation: its place on the gauge's own scale, and its number if it bears one."""

    at: Fraction
    label: str = ""
    rank: int = 0
    """0 the smallest, 1 half-way, 2 numbered."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Graduations with the unit they count in."""

    unit: str
    form: Form
    ticks: tuple[Tick, ...]

    @property
    def name(self) -> str:
        """Unit and reference form in words."""
        return " ".join(part for part in (self.unit, FORM_WORDS[self.form]) if part)


def nice_step(span: Fraction, most: int, *, multiple_of: Fraction | None = None) -> Fraction:
    """Smallest step of 1, 2 or 5 times a power of ten that gives at most `most` parts.

    Parameters
    ----------
    span : Fraction
    most : int
    multiple_of : Fraction, optional
        The step is a whole multiple of this.
    """
    step = Fraction(1, 10**9)
    while step * 1000 * most < span:
        step *= 10
    while True:
        for times in (1, 2, 5):
            one = step * times
            fits = multiple_of is None or (one / multiple_of).denominator == 1
            if fits and span / one <= most:
                return one
        step *= 10


def modern_scale(gauge: Gauge, labels: int = MOST_LABELS) -> Scale:
    """The gauge's own graduations, with at most about so many numbers."""
    span = gauge.hi - gauge.lo
    minor = gauge.division
    if span / minor > 2 * _MOST_TICKS:  # a display's steps are finer than can be drawn
        minor = nice_step(span, _MOST_TICKS)
    major = nice_step(span, labels, multiple_of=minor)
    values = _multiples(gauge.lo, gauge.hi, minor)
    return Scale(
        gauge.symbol,
        gauge.form,
        tuple(_tick(v, v, minor, major, gauge.form == "fixed_datum") for v in values),
    )


def period_scale(marks: MarkSet, labels: int = MOST_LABELS) -> Scale | None:
    """The paper's unit on the gauge's scale; None where it is the gauge's own, or cannot be.

    The unit is that of the first row marked, and through the gauge's calibration where it
    has one: a number stands where the pointer truly shows it.
    """
    gauge = marks.gauge
    rows = [row for mark in marks.marks for row in mark.rows]
    if not rows:
        return None
    q = rows[0].figure.quantity
    if (q.row.slug, q.form) == (gauge.unit.slug, gauge.form) and gauge.calibration is None:
        return None
    if q.row.scale != "linear" or form_fault(q, gauge, marks.parameter):
        return None
    pressure = q.row.si_unit == "Pa"

    def on_gauge(x: Fraction) -> Fraction:
        one = Quantity(
            x, unit=q.unit, unit_slug=q.unit_slug, kind=q.kind, form=q.form, datum=q.datum,
            year=q.year, country=q.country, is_difference=q.is_difference, partner=q.partner,
        )  # fmt: skip
        there = one.to(
            gauge.unit.slug,
            gauge.form if pressure else None,
            datum=(gauge.datum or "standard-sea-level") if gauge.form == "fixed_datum" else "",
        )
        assert there.nominal is not None
        return there.nominal

    try:
        # All of it is straight lines: two points give the way there and back, exactly. The
        # first is nought boost or its like, which no form finds below vacuum.
        zero = on_gauge(Fraction(0))
        slope = on_gauge(Fraction(1)) - zero
    except MeasureError:
        return None
    ends = sorted((value - zero) / slope for value in (gauge.lo, gauge.hi))
    major = nice_step(ends[1] - ends[0], labels)
    minor = nice_step(ends[1] - ends[0], _MOST_TICKS)
    ticks = []
    for value in _multiples(ends[0], ends[1], minor):
        at = zero + slope * value
        if gauge.calibration is not None:
            try:
                at = gauge.calibration.reading_of(at)
            except MeasureError:
                continue
        if gauge.lo <= at <= gauge.hi:
            ticks.append(_tick(value, at, minor, major, q.form == "fixed_datum"))
    return Scale(q.row.symbol or q.unit, q.form, tuple(ticks))


def _multiples(lo: Fraction, hi: Fraction, step: Fraction) -> Sequence[Fraction]:
    return [step * n for n in range(ceil(lo / step), floor(hi / step) + 1)]


def _tick(value: Fraction, at: Fraction, minor: Fraction, major: Fraction, signed: bool) -> Tick:
    if (value / major).denominator == 1:
        return Tick(at, show(value, signed=signed).replace("-", "−"), 2)
    if (2 * value / major).denominator == 1:
        return Tick(at, "", 1)
    return Tick(at)
