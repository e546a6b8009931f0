"""Reference forms: what converts, what round-trips, what is refused and why."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import (
    AmbientNeededError,
    MeasureError,
    OutOfRangeError,
    ReferenceFormError,
    UnknownTermError,
    UsageError,
)
from reconcile.measure.combine import add, mean, multiply, subtract
from reconcile.measure.pressure import (
    Ambient,
    ambient_at,
    check_form,
    datums,
    find_datum,
    from_absolute,
    stated_ambient,
    to_absolute,
    to_gauge,
    zero_of,
)
from reconcile.measure.quantity import Quantity
from reconcile.records import FORMS, Form

WITH_ZERO = ("absolute", "gauge", "fixed_datum", "below_ambient")
AIR = stated_ambient(95_000)
pascals = st.fractions(min_value=-90_000, max_value=90_000, max_denominator=1000)
datum_slugs = st.sampled_from([d.slug for d in datums()])


def pressure(value: object, form: Form, unit: str = "[psi]", **more: object) -> Quantity:
    """A pressure of one value."""
    return Quantity(nominal=Fraction(str(value)), unit=unit, kind="pressure", form=form, **more)  # type: ignore[arg-type]


@settings(max_examples=100)
@given(pascals, st.sampled_from(WITH_ZERO), datum_slugs)
def test_round_trip_through_absolute(value: Fraction, form: Form, datum: str) -> None:
    """Any form to absolute and back is the same fraction, to the last bit."""
    if form == "absolute":
        value = abs(value)
    absolute = to_absolute(value, form, datum=datum, ambient=AIR)
    assert from_absolute(absolute, form, datum=datum, ambient=AIR) == value


@settings(max_examples=50)
@given(pascals)
def test_gauge_of_gauge_needs_no_air(value: Fraction) -> None:
    """A gauge reading is itself, a suction its negative, wherever it is read."""
    assert to_gauge(value, "gauge") == value
    assert to_gauge(value, "below_ambient") == -value


@settings(max_examples=50)
@given(st.fractions(0, 60_000), st.fractions(0, 60_000))
def test_more_suction_is_less_pressure(a: Fraction, b: Fraction) -> None:
    """A below-ambient scale counts downwards, all others upwards."""
    low, high = sorted((a, b))
    assert to_absolute(low, "below_ambient", ambient=AIR) >= to_absolute(
        high, "below_ambient", ambient=AIR
    )
    assert to_absolute(low, "gauge", ambient=AIR) <= to_absolute(high, "gauge", ambient=AIR)


@pytest.mark.parametrize("form", ["gauge", "below_ambient"])
def test_air_is_never_guessed(form: Form) -> None:
    """Without the air around, its forms do not become absolute."""
    with pytest.raises(AmbientNeededError, match="give the height or the ambient pressure"):
        to_absolute(Fraction(1), form)
    with pytest.raises(AmbientNeededError):
        pressure(5, form).absolute()
    with pytest.raises(AmbientNeededError):
        pressure(5, "fixed_datum").gauge()
    with pytest.raises(AmbientNeededError):
        pressure(5, "absolute").gauge()


def test_forms_without_a_zero_are_refused() -> None:
    """Unknown, differential and difference say each why they have no absolute pressure."""
    for form, why in (
        ("unknown", "a zero that is not known"),
        ("differential", "another pressure, which is not known"),
        ("none", "it has no zero"),
    ):
        with pytest.raises(ReferenceFormError, match=why):
            pressure(5, form).absolute(0.0)  # type: ignore[arg-type]
        with pytest.raises(ReferenceFormError, match=why):
            pressure(5, form).gauge(0.0)  # type: ignore[arg-type]
    with pytest.raises(ReferenceFormError, match="is not a pressure"):
        Quantity(nominal=Fraction(1), unit="kg", kind="mass").absolute(0.0)


def test_differential_to_the_air_around() -> None:
    """A cabin's pressure over the outside is a gauge pressure, where that is said."""
    cabin = pressure("3.5", "differential", partner="ambient")
    assert cabin.gauge().nominal == pytest.approx(24131.65, abs=0.01)
    assert cabin.absolute(7620).nominal == pytest.approx(61732.5, abs=0.1)
    with pytest.raises(AmbientNeededError):
        cabin.absolute()


def test_below_vacuum_is_refused() -> None:
    """No absolute pressure is below nought, whatever is printed."""
    with pytest.raises(OutOfRangeError, match="look at the sign"):
        pressure(40, "below_ambient", "[in_i'Hg]").absolute(0)
    with pytest.raises(OutOfRangeError):
        pressure(-15, "fixed_datum").absolute()
    with pytest.raises(OutOfRangeError):
        pressure(1, "gauge").absolute(200_000)


def test_unknown_words_are_refused() -> None:
    """A form or datum that is none is refused with the list."""
    with pytest.raises(UnknownTermError, match="expected one of absolute, gauge"):
        check_form("boost")
    with pytest.raises(UnknownTermError, match="no datum '15 lb'"):
        find_datum("15 lb")


@pytest.mark.parametrize(
    ("text", "pascal"),
    [
        ("", "101325"),
        ("101325 Pa", "101325"),
        ("101 325 Pa", "101325"),
        ("101,325 Pa", "101325"),
        ("14.7 lb/in2", "101352.932"),
        ("14.7 lb./sq. in.", "101352.932"),
        ("30 in.Hg", "101591.659"),
        ("30 in. Hg", "101591.659"),
        ("760 mm Hg", "101325.0144"),
        ("nominal-30-in-hg", "101591.659"),
    ],
)
def test_datums_go_by_what_is_written(text: str, pascal: str) -> None:
    """The ways a paper names its datum lead to its row."""
    assert float(find_datum(text).pressure) == pytest.approx(float(pascal), rel=1e-8)


def test_zero_and_sign() -> None:
    """Absolute pressure is zero plus sign times reading, on all scales."""
    assert zero_of("absolute") == (0, 1)
    assert zero_of("below_ambient", ambient=AIR) == (95_000, -1)
    assert zero_of("differential", partner=Fraction(7)) == (7, 1)
    assert to_absolute(Fraction(3), "differential", partner=Fraction(7)) == 10


@pytest.mark.parametrize("form", WITH_ZERO)
def test_readings_of_one_zero_do_not_add(form: Form) -> None:
    """Gauge and gauge, boost and boost, absolute and absolute: no sum means anything."""
    with pytest.raises(ReferenceFormError, match="would count that zero twice"):
        add(pressure(5, form), pressure(6, form))


def test_doubling_boost_or_gauge() -> None:
    """Twice a boost is not twice a pressure; twice an absolute pressure is."""
    for form in ("fixed_datum", "gauge", "below_ambient"):
        with pytest.raises(ReferenceFormError, match="not twice the pressure"):
            multiply(pressure(6, form), 2)  # type: ignore[arg-type]
    doubled = 2 * pressure(6, "absolute", resolution=Fraction(1), lo=Fraction(5), hi=Fraction(7))
    assert (doubled.nominal, doubled.lo, doubled.hi) == (12, 10, 14)
    assert doubled.resolution == 2
    assert multiply(pressure(6, "none", plus_minus=Fraction(1)), -2).plus_minus == 2
    with pytest.raises(TypeError):
        pressure(6, "absolute") * 1.5  # type: ignore[operator]


@pytest.mark.parametrize("a", FORMS)
@pytest.mark.parametrize("b", FORMS)
def test_mixed_forms_are_never_averaged(a: Form, b: Form) -> None:
    """A mean needs one zero; any two forms without it raise, unknown ones always."""
    pair = [pressure(5, a), pressure(6, b)]
    if a == b and a != "unknown":
        assert mean(pair).nominal == Fraction(11, 2)
        assert mean(pair).form == a
    else:
        with pytest.raises(ReferenceFormError):
            mean(pair)


@pytest.mark.parametrize("a", FORMS)
@pytest.mark.parametrize("b", FORMS)
def test_sums_and_differences_of_every_pair(a: Form, b: Form) -> None:
    """What may be added or subtracted agrees with absolute pressures, or raises."""
    x, y = pressure(5, a), pressure(2, b)
    differences = ("none", "differential")
    may_add = "unknown" not in (a, b) and (a in differences or b in differences)
    may_subtract = "unknown" not in (a, b) and (b in differences or a == b)
    for may, act in ((may_add, add), (may_subtract, subtract)):
        if not may:
            with pytest.raises(ReferenceFormError):
                act(x, y)
            continue
        result = act(x, y)
        sign = 1 if act is add else -1

        def absolute(q: Quantity) -> Fraction:
            value = q.exact_si()[0]
            assert value is not None
            if q.form in differences:
                return value
            return to_absolute(value, q.form, ambient=AIR)

        assert absolute(result) == absolute(x) + sign * absolute(y)


def test_datums_are_not_mixed() -> None:
    """Boost by one datum is not taken from boost by another."""
    a = pressure(6, "fixed_datum")
    b = pressure(5, "fixed_datum", datum="nominal-30-in-hg")
    with pytest.raises(ReferenceFormError, match=r"101 325 Pa and from 30 in\. Hg"):
        a - b
    assert (a - pressure(5, "fixed_datum", datum="101325 Pa")).nominal == 1


def test_other_kinds_are_not_mixed() -> None:
    """A pressure and a mass do not add; nothing else than quantities either."""
    kilo = Quantity(nominal=Fraction(1), unit="kg", kind="mass")
    with pytest.raises(MeasureError, match="not of one kind"):
        pressure(5, "none") + kilo
    with pytest.raises(MeasureError, match="not of one kind"):
        mean([pressure(5, "none"), kilo])
    with pytest.raises(TypeError):
        kilo + 3  # type: ignore[operator]
    with pytest.raises(TypeError):
        kilo - 3  # type: ignore[operator]
    with pytest.raises(UsageError, match="at least one"):
        mean([])


def test_sums_keep_ranges_and_resolution() -> None:
    """Tank by tank: ends add to ends, and half-widths add."""
    a = Quantity(nominal=Fraction(40), unit="[gal_br]", kind="volume", resolution=Fraction(1))
    b = Quantity(lo=Fraction(1), hi=Fraction(2), unit="L", kind="volume", resolution=Fraction(1))
    total = a + b
    assert total.nominal is None
    assert total.unit == "[gal_br]"
    assert total.lo == 40 + Fraction(1000, 1000) * Fraction(1, 1000) / Fraction("0.00454609")
    assert total.resolution == 1 + Fraction("0.001") / Fraction("0.00454609")
    assert (a - a).nominal == 0 and (a + a).nominal == 80


def test_standard_air() -> None:
    """The air at a height is the standard atmosphere's, with the day's weather as its doubt."""
    sea = ambient_at(0.0)
    assert sea.pressure == 101325
    assert float(sea.half_width) == pytest.approx(2026.5)
    assert float(ambient_at(3048.0).pressure) == pytest.approx(69681.6, abs=0.1)


@settings(max_examples=30)
@given(st.floats(-4900, 79_000), st.floats(-40, 40))
def test_warm_columns(height: float, warmer_by: float) -> None:
    """On a warm day pressure falls more slowly with height, on a cold day faster."""
    standard = ambient_at(height).pressure
    day = ambient_at(height, warmer_by=warmer_by).pressure
    assert day > 0
    if abs(height) > 1 and abs(warmer_by) > 0.01:
        assert (day > standard) == ((warmer_by > 0) == (height > 0))


def test_a_column_a_hair_warmer_is_the_standard_one() -> None:
    """The layer-by-layer integral meets the closed form as the offset vanishes."""
    for height in (-3000.0, 500.0, 11_000.0, 25_000.0, 60_000.0):
        day = float(ambient_at(height, warmer_by=1e-9).pressure)
        assert day == pytest.approx(float(ambient_at(height).pressure), rel=1e-10)


def test_impossible_air_is_refused() -> None:
    """Heights and pressures that cannot be raise one clear error each."""
    for bad in (0.0, -5.0, float("nan"), float("inf")):
        with pytest.raises(OutOfRangeError):
            stated_ambient(bad)
    for height in (-6000.0, 90_000.0, float("nan")):
        with pytest.raises(OutOfRangeError):
            ambient_at(height)
    with pytest.raises(OutOfRangeError):
        ambient_at(1000.0, warmer_by=-400.0)


def test_stated_air_overrules_the_height() -> None:
    """A station pressure is better knowledge than a standard one."""
    oil = pressure(75, "gauge")
    here = Ambient(Fraction(90_000), Fraction(0), "barometer")
    assert oil.absolute(4572, ambient=here).nominal == pytest.approx(607106.797, abs=1e-3)
