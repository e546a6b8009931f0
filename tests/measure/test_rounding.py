"""Safe rounding: no limit ever crosses to the unsafe side, whatever unit or step."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import EmptyRangeError, OutOfRangeError, UsageError
from reconcile.measure.ambient import stated_ambient
from reconcile.measure.quantity import Quantity
from reconcile.measure.rounding import (
    decimal_step,
    gum_round,
    round_down,
    round_inwards,
    round_limit,
    round_nearest,
    round_up,
)
from reconcile.measure.units import UnitRow, all_units
from reconcile.records import Bound, Form

AIR = stated_ambient(95_000)
UNITS = list(all_units())
numbers = st.fractions(min_value=-500, max_value=5000, max_denominator=1000)
steps = st.sampled_from(
    [Fraction(s) for s in ("1", "1/2", "1/4", "1/8", "0.1", "0.05", "5", "10", "50", "1/3", "0.02")]
)
FORMS: tuple[Form, ...] = ("absolute", "gauge", "fixed_datum", "below_ambient")


def sane(x: Fraction, row: UnitRow) -> Fraction:
    """A reading the scale can have."""
    return abs(x) % 60 if row.scale == "reciprocal" else x


def si_of(row: UnitRow, x: Fraction | None) -> Fraction | None:
    """SI value of a rounded reading."""
    return None if x is None else row.to_si(x)


@settings(max_examples=300, deadline=None)
@given(numbers, st.sampled_from(UNITS), steps, st.sampled_from(["max", "min"]), st.data())
def test_never_to_the_unsafe_side(
    x: Fraction, row: UnitRow, step: Fraction, bound: Bound, data: st.DataObject
) -> None:
    """Over all units and steps: a maximum is never above, a minimum never below the exact."""
    x = sane(x, row)
    there = data.draw(st.sampled_from([r for r in UNITS if r.si_unit == row.si_unit]))
    exact = row.to_si(x)
    if there.scale == "reciprocal" and exact <= 0:
        return
    q = Quantity(nominal=x, unit_slug=row.slug, kind=row.kind)
    limit = round_limit(q, bound, there.slug, step)
    # On a scale that counts backwards (degrees API) a maximum of density is a minimum there.
    turned = (row.scale == "reciprocal" and row.factor > 0) != (
        there.scale == "reciprocal" and there.factor > 0
    )
    assert limit.bound == ({"max": "min", "min": "max"}[bound] if turned else bound)
    rounded = limit.hi if limit.bound == "max" else limit.lo
    assert rounded is not None and (rounded / step).denominator == 1
    if there.scale == "reciprocal" and (rounded + there.offset) * there.factor <= 0:
        return
    si = there.to_si(rounded)
    # The written maximum of a reading in degrees API is a minimum of density.
    upper = (bound == "max") != (row.scale == "reciprocal" and row.factor > 0)
    assert si <= exact if upper else si >= exact
    kept = limit.exact_hi if limit.bound == "max" else limit.exact_lo
    assert kept is not None and there.to_si(kept) == exact
    assert abs(kept - rounded) < step


@settings(max_examples=200, deadline=None)
@given(
    numbers,
    st.sampled_from(FORMS),
    st.sampled_from(FORMS),
    steps,
    st.sampled_from(["max", "min"]),
    st.sampled_from(["[psi]", "kPa", "[in_i'Hg]", "bar"]),
)
def test_never_to_the_unsafe_side_across_forms(
    x: Fraction, form: Form, to_form: Form, step: Fraction, bound: Bound, unit: str
) -> None:
    """The most suction is the least absolute pressure, and rounds up."""
    q = Quantity(nominal=x, unit="kPa", kind="pressure", form=form)
    try:
        exact = q.exact_in_form("absolute", ambient=AIR)[0][0]
    except OutOfRangeError:
        return
    assert exact is not None
    limit = round_limit(q, bound, unit, step, form=to_form, ambient=AIR)
    rounded = limit.hi if limit.bound == "max" else limit.lo
    back = Quantity(nominal=rounded, unit=unit, kind="pressure", form=to_form)
    try:
        absolute = back.exact_in_form("absolute", ambient=AIR)[0][0]
    except OutOfRangeError:
        return
    assert absolute is not None
    most = (bound == "max") != (form == "below_ambient")
    assert absolute <= exact if most else absolute >= exact


@settings(max_examples=200, deadline=None)
@given(numbers, numbers, st.sampled_from(UNITS), steps)
def test_ranges_go_inwards_or_are_refused(
    a: Fraction, b: Fraction, row: UnitRow, step: Fraction
) -> None:
    """A rounded range lies within the exact one, or nothing is left and that is said."""
    lo, hi = sorted((sane(a, row), sane(b, row)))
    q = Quantity(lo=lo, hi=hi, unit_slug=row.slug, kind=row.kind)
    try:
        limit = round_limit(q, "range", row.slug, step)
    except EmptyRangeError:
        assert -(-lo // step) * step > hi // step * step
        return
    assert limit.lo is not None and limit.hi is not None
    assert lo <= limit.lo <= limit.hi <= hi
    assert (limit.exact_lo, limit.exact_hi) == (lo, hi)


def test_empty_range_says_what_would_do() -> None:
    """The refusal names the range and the step that would fit it."""
    with pytest.raises(EmptyRangeError, match=r"no multiple of 5 lies between 61 and 64"):
        round_inwards(Fraction(61), Fraction(64), Fraction(5))
    assert round_inwards(Fraction(60), Fraction(60), Fraction(5)) == (60, 60)


def test_boost_on_a_manifold_gauge() -> None:
    """+6 lb/in2 at most is 42.1 in. Hg on a dial of tenths, with 42.137 kept beside it."""
    q = Quantity(Fraction(6), unit="[psi]", kind="pressure", form="fixed_datum")
    limit = round_limit(q, "max", "[in_i'Hg]", "0.1", form="absolute")
    assert limit.hi == Fraction("42.1")
    assert float(limit.exact_hi or 0) == pytest.approx(42.13738, abs=1e-5)
    assert str(limit) == "not over 42.1 in. Hg"


def test_tolerance_opens_a_range() -> None:
    """2850 plus or minus 150 on a dial of 100s: 2700 to 3000 stays, in 40s it shrinks."""
    q = Quantity(Fraction(2850), plus_minus=Fraction(150), unit="{rev}/min")
    assert str(round_limit(q, "range", "{rev}/min", 100)) == "2700 to 3000 rev/min"
    inner = round_limit(q, "range", "{rev}/min", 40)
    assert (inner.lo, inner.nominal, inner.hi) == (2720, 2840, 3000)


def test_guard_band_comes_off_before_rounding() -> None:
    """JCGM 106:2012, 8.3: the acceptance limit lies inside by the guard band."""
    q = Quantity(Fraction(120), unit="Cel", kind="temperature")
    assert round_limit(q, "max", "Cel", 5, guard=2).hi == 115
    assert round_limit(q, "min", "Cel", 5, guard=2).lo == 125
    assert round_limit(q, "max", "Cel", 5).hi == 120
    r = Quantity(lo=Fraction(60), hi=Fraction(80), unit="Cel")
    assert str(round_limit(r, "range", "Cel", 1, guard="3/2")) == "62 to 78 °C"
    with pytest.raises(EmptyRangeError):
        round_limit(r, "range", "Cel", 1, guard=11)


def test_nominal_values_go_to_the_nearest_step() -> None:
    """They bound nothing; of two as near, the even one."""
    q = Quantity(Fraction(2850), unit="{rev}/min")
    assert round_limit(q, "nominal", "{rev}/min", 100).nominal == 2800
    assert round_limit(q, "approx", "{rev}/min", 20).nominal == 2840
    assert str(round_limit(q, "approx", "{rev}/min", 50)) == "2850 rev/min"


def test_maximum_of_a_range_is_its_upper_end() -> None:
    """A bound takes the end it is about."""
    q = Quantity(lo=Fraction(60), hi=Fraction(83), unit="Cel")
    assert round_limit(q, "max", "Cel", 5).hi == 80
    assert str(round_limit(q, "min", "Cel", 5)) == "not under 60 °C"


def test_what_cannot_be_rounded() -> None:
    """Missing numbers, steps that are none, bounds that are none: one error each."""
    q = Quantity(lo=Fraction(60), unit="Cel")
    with pytest.raises(UsageError, match="has no number for that bound"):
        round_limit(q, "max", "Cel", 5)
    with pytest.raises(UsageError, match="has no number"):
        round_limit(Quantity(unit="Cel"), "nominal", "Cel", 5)
    with pytest.raises(UsageError, match="a step of 0"):
        round_limit(q, "min", "Cel", 0)
    with pytest.raises(UsageError, match="exact numbers"):
        round_limit(q, "min", "Cel", "wide")
    with pytest.raises(UsageError, match="guard band of -1"):
        round_limit(q, "min", "Cel", 5, guard=-1)
    with pytest.raises(UsageError, match="no bound 'about'"):
        round_limit(q, "about", "Cel", 5)  # type: ignore[arg-type]


@settings(max_examples=100)
@given(numbers, steps)
def test_round_down_up_nearest(x: Fraction, step: Fraction) -> None:
    """Down, nearest and up stand in that order, within a step."""
    down, near, up = round_down(x, step), round_nearest(x, step), round_up(x, step)
    assert down <= near <= up
    assert down <= x <= up
    assert up - down in (0, step)
    assert abs(near - x) <= step / 2


@settings(max_examples=100)
@given(st.fractions(min_value=Fraction(1, 10**6), max_value=10**6))
def test_decimal_step_is_the_largest_that_fits(half: Fraction) -> None:
    """A power of ten at most the half-width, and more than a tenth of it."""
    step = decimal_step(half)
    assert step <= half < 10 * step


def test_decimal_step_refuses_nothing_and_everything() -> None:
    """Nought and infinity have no decimal step."""
    for bad in (0, -1, float("inf"), float("nan")):
        with pytest.raises(UsageError):
            decimal_step(bad)


@pytest.mark.parametrize(
    ("value", "u", "digits", "text"),
    [
        (10.05762, 0.02705, 2, ("10.058", "0.027")),
        (100.02147, 0.00035, 2, ("100.02147", "0.00035")),
        (-0.1494, 0.0041, 2, ("-0.1494", "0.0041")),
        (50000838.0, 31.66, 2, ("50000838", "32")),
        (156483.0, 1990.3, 2, ("156500", "2000")),
        (156483.0, 1990.3, 1, ("156000", "2000")),
        (1.0, 0.0996, 2, ("1.00", "0.10")),
        (0.4, 9.96, 2, ("0", "10")),
        (12.0, 0.999, 1, ("12", "1")),
    ],
)
def test_results_round_with_their_uncertainty(
    value: float, u: float, digits: int, text: tuple[str, str]
) -> None:
    """JCGM 100:2008, 7.2.6: one or two digits of u, the value to the same place."""
    assert gum_round(value, u, digits) == text


def test_results_that_cannot_be_rounded() -> None:
    """No uncertainty, or none that is finite, gives no place to round to."""
    for value, u in ((1.0, 0.0), (1.0, -1.0), (1.0, float("nan")), (float("inf"), 1.0)):
        with pytest.raises(OutOfRangeError):
            gum_round(value, u)
    with pytest.raises(UsageError):
        gum_round(1.0, 0.1, 3)
