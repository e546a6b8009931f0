"""Temperatures: readings and differences never become each other by conversion."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import MeasureError, OutOfRangeError, ReferenceFormError
from reconcile.measure.combine import mean
from reconcile.measure.quantity import Quantity
from reconcile.measure.temperature import (
    as_difference,
    check_reading,
    difference,
    old_ice_point_effect,
    reading,
)

SCALES = ("Cel", "[degF]", "[degRe]", "[degR]", "K")


@pytest.mark.parametrize(
    ("value", "unit", "kelvin"),
    [
        ("0", "Cel", "273.15"),
        ("100", "Cel", "373.15"),
        ("32", "[degF]", "273.15"),
        ("212", "[degF]", "373.15"),
        ("80", "[degRe]", "373.15"),
        ("491.67", "[degR]", "273.15"),
        ("-40", "[degF]", "233.15"),
        ("288.15", "K", "288.15"),
    ],
)
def test_fixed_points(value: str, unit: str, kelvin: str) -> None:
    """Ice and steam on every scale (definitions; 80 degrees Réaumur to the interval)."""
    assert reading(value, unit).exact_si()[0] == Fraction(kelvin)


@settings(max_examples=100)
@given(st.fractions(0, 500, max_denominator=100), st.sampled_from(SCALES), st.sampled_from(SCALES))
def test_differences_scale_and_readings_shift(x: Fraction, a: str, b: str) -> None:
    """The difference of two readings is the same by either road, on any scales."""
    low, high = reading(0, a), reading(x, a)
    step = high - low
    assert step.is_difference
    assert step.to(b).nominal == (high.to(b) - low.to(b)).nominal
    assert (low + step).nominal == high.nominal
    assert not (low + step).is_difference


def test_a_difference_is_not_a_reading() -> None:
    """18 degrees Fahrenheit of rise are 10 of Celsius, not -7.8."""
    assert difference(18, "[degF]").to("Cel").nominal == 10
    assert difference(18, "[degF]").si.nominal == 10.0
    assert reading(50, "[degF]").to("Cel").nominal == 10
    assert as_difference(reading(18, "[degF]")).si.nominal == 10.0
    assert difference(4, "[degRe]").si.nominal == 5.0


def test_what_temperatures_do_not_do() -> None:
    """Adding or doubling readings, mixing them with differences: each says why."""
    warm, step = reading(90, "Cel"), difference(5, "Cel")
    with pytest.raises(ReferenceFormError, match="both are readings of a temperature"):
        warm + warm
    with pytest.raises(ReferenceFormError, match="cannot be taken from"):
        step - warm
    with pytest.raises(ReferenceFormError, match="zero of its scale is not nothing"):
        warm * 2
    with pytest.raises(ReferenceFormError, match="one is a temperature, one a difference"):
        mean([warm, step])
    assert (step * 2).nominal == 10
    assert (reading(300, "K") * 2).nominal == 600
    assert mean([reading(80, "Cel"), reading(212, "[degF]")]).nominal == 90


def test_below_absolute_zero() -> None:
    """No reading is below absolute zero, on any scale."""
    for unit, value in (("Cel", -274), ("[degF]", -460), ("[degRe]", -219), ("K", -1)):
        with pytest.raises(OutOfRangeError, match="absolute zero or above"):
            reading(value, unit)
    assert difference(-500, "Cel").nominal == -500


def test_only_temperatures() -> None:
    """Other kinds, and differences where a reading is wanted, are refused."""
    with pytest.raises(MeasureError, match="not a unit of temperature"):
        reading(3, "kg")
    with pytest.raises(ReferenceFormError, match="not a reading"):
        check_reading(difference(3, "Cel"))
    kilo = Quantity(Fraction(1), unit="kg")
    for act in (check_reading, as_difference, old_ice_point_effect):
        with pytest.raises(MeasureError, match="is not a temperature"):
            act(kilo)


def test_the_old_ice_point() -> None:
    """Adding 273 makes a kelvin temperature 0.15 K low; differences do not notice."""
    assert old_ice_point_effect(reading(15, "Cel")) == Fraction("-0.15")
    assert old_ice_point_effect(difference(15, "Cel")) == 0
    assert old_ice_point_effect(reading(288, "K")) == 0
    old = Quantity(Fraction(15), unit_slug="degree-centigrade-273", kind="temperature")
    assert old.si.nominal == 288.0
