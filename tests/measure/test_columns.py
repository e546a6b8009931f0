"""Columns: the answers of the scalar path to the bits promised, and its refusals."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import (
    AmbientNeededError,
    OutOfRangeError,
    ReferenceFormError,
    UnknownUnitError,
    UsageError,
)
from reconcile.measure.ambient import ambient_at, stated_ambient
from reconcile.measure.column_loops import BLOCK
from reconcile.measure.columns import column_from_si, column_to_si
from reconcile.measure.pressure import to_absolute, zero_of
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import all_units
from reconcile.records import Form

HALF_ULP = 2.0**-53
UNITS = [row for row in all_units() if row.ucum]
FORMS: tuple[Form, ...] = ("absolute", "gauge", "fixed_datum", "below_ambient")


@settings(max_examples=150)
@given(
    st.lists(st.floats(0.001, 5000), min_size=1, max_size=5),
    st.sampled_from(UNITS),
    st.floats(0.001, 100),
)
def test_same_as_the_scalar_path(values: list[float], row: object, step: float) -> None:
    """For every unit: within the promised bits of the exact value, and the same uncertainty."""
    slug, kind = row.slug, row.kind  # type: ignore[attr-defined]
    if row.scale == "reciprocal":  # type: ignore[attr-defined]
        values = [x % 60 for x in values]
    column = column_to_si(values, unit=slug, resolution=step)
    for x, y, u in zip(values, column.value, column.u):  # type: ignore[arg-type]
        q = Quantity(Fraction(x), unit_slug=slug, kind=kind, resolution=Fraction(step))
        exact = q.exact_si()[0]
        assert exact is not None
        offset = abs(float(q.row.offset)) if q.row.scale == "linear" else 0.0
        size = 2 * abs(float(exact) - offset) + offset + abs(float(exact))
        if q.row.scale == "reciprocal":
            size = 4 * abs(float(exact))
        assert abs(Fraction(float(y)) - exact) <= Fraction(HALF_ULP * size * (1 + 1e-9))
        assert u == pytest.approx(q.si.standard_uncertainty, rel=1e-12)


@settings(max_examples=150)
@given(
    st.lists(st.integers(-200_000, 3_000_000).map(lambda n: n / 1000), min_size=1, max_size=5),
    st.sampled_from(FORMS),
    st.sampled_from(FORMS),
    st.sampled_from(["", "nominal-30-in-hg"]),
    st.booleans(),
)
def test_same_forms_as_the_scalar_path(
    values: list[float], form: Form, to_form: Form, datum: str, by_height: bool
) -> None:
    """For every pair of forms: the scalar's value, uncertainty, or refusal."""
    air = ambient_at(2000.0) if by_height else stated_ambient(95_000, 300)
    more = {"height_m": 2000.0} if by_height else {"ambient": air}
    expected, refused = [], False
    for x in values:
        q = Quantity(
            Fraction(x), unit="hPa", kind="pressure", form=form, datum=datum,
            resolution=Fraction(1),
        )  # fmt: skip
        try:
            expected.append(q.in_form(to_form, ambient=air, datum=datum))
        except OutOfRangeError:
            refused = True
    if refused:
        with pytest.raises(OutOfRangeError, match="below vacuum"):
            column_to_si(
                values, unit="hPa", resolution=1.0, form=form, to_form=to_form, datum=datum, **more
            )  # type: ignore[arg-type]
        return
    column = column_to_si(
        values, unit="hPa", resolution=1.0, form=form, to_form=to_form, datum=datum, **more
    )  # type: ignore[arg-type]
    assert column.form == to_form and column.unit == "Pa"
    for y, u, si in zip(column.value, column.u, expected):  # type: ignore[arg-type]
        assert y == pytest.approx(si.nominal, rel=1e-14, abs=1e-9)
        assert u == pytest.approx(si.standard_uncertainty, rel=1e-12)


def test_mixed_units_and_forms() -> None:
    """Each figure by its own unit and form, in the order given, over more than one block."""
    n = BLOCK + 7
    units = np.array(["[psi]", "[in_i'Hg]", "kPa"])[np.arange(n) % 3]
    forms = np.array(["fixed_datum", "absolute"])[np.arange(n) % 2]
    values = np.linspace(1.0, 40.0, n)
    column = column_to_si(values, unit=units, form=forms, to_form="absolute")  # type: ignore[arg-type]
    for i in (0, 1, 2, 3, 4, 5, BLOCK - 1, BLOCK, n - 1):
        q = Quantity(
            Fraction(float(values[i])), unit=str(units[i]), kind="pressure",
            form=str(forms[i]),  # type: ignore[arg-type]
        )  # fmt: skip
        assert column.value[i] == pytest.approx(q.absolute().nominal, rel=1e-14)
        u = q.absolute().standard_uncertainty or 0.0
        assert column.u is not None and column.u[i] == pytest.approx(u, rel=1e-12)
    kept = column_to_si(values, unit=units, form=forms)  # type: ignore[arg-type]
    assert kept.form is None and kept.u is None


def test_heights_of_their_own() -> None:
    """A gauge pressure at many heights, against the scalar path at each."""
    heights = np.array([0.0, 3000.0, 9000.0])
    oil = column_to_si(
        [75.0, 75.0, 75.0], unit="[psi]", form="gauge", to_form="absolute", height_m=heights, u=1.0
    )
    q = Quantity(Fraction(75), unit="[psi]", kind="pressure", form="gauge")
    for h, y, u in zip(heights, oil.value, oil.u):  # type: ignore[arg-type]
        assert y == pytest.approx(q.absolute(float(h)).nominal, rel=1e-13)
        weather = float(ambient_at(float(h)).half_width) / sqrt(3)
        assert u == pytest.approx(sqrt(6894.757293168361**2 + weather**2), rel=1e-12)
    back = column_to_si(oil.value, unit="Pa", form="absolute", to_form="gauge", height_m=heights)
    assert back.value == pytest.approx(np.full(3, 75 * 6894.757293168361), rel=1e-13)
    with pytest.raises(OutOfRangeError, match="index 2"):
        column_to_si(
            [1.0, 1.0, -14.0], unit="[psi]", form="gauge", to_form="absolute", height_m=heights
        )
    with pytest.raises(OutOfRangeError, match="index 1"):
        column_to_si(
            [1.0, -1.0, 1.0], unit="[psi]", form="absolute", to_form="gauge", height_m=heights
        )


def test_shapes_are_kept() -> None:
    """Any shape goes through; a single number too, and an empty column."""
    assert column_to_si(np.ones((2, 3)), unit="kPa").value.shape == (2, 3)
    assert column_to_si(2.0, unit="kPa").value.shape == ()
    assert column_to_si([], unit="kPa", u=[]).value.shape == (0,)
    grid = column_to_si(np.ones((2, 2)), unit=["kPa", "Pa", "bar", "Pa"])
    assert grid.value.tolist() == [[1000.0, 1.0], [100000.0, 1.0]]


def test_differences_of_temperature() -> None:
    """A column of differences does not take the scale's zero."""
    assert column_to_si([18.0], unit="[degF]", difference=True).value[0] == pytest.approx(10.0)
    assert column_to_si([50.0], unit="[degF]").value[0] == pytest.approx(283.15)


def test_back_from_si() -> None:
    """Readings of any unit from SI, the inverse of the way there."""
    for row in UNITS:
        x = np.array([12.5, 40.0])
        there = column_to_si(x, unit=row.slug).value
        assert column_from_si(there, row.slug) == pytest.approx(x, rel=1e-12)
    assert column_from_si([10.0], "[degF]", difference=True)[0] == pytest.approx(18.0)


def test_years_choose_definitions() -> None:
    """A column of 1943 is converted by the gallon of 1943."""
    then = column_to_si([100.0], unit="[gal_br]", year=1943)
    assert then.value[0] == pytest.approx(0.45460903869668, rel=1e-14)
    assert then.u is not None and then.u[0] == pytest.approx(4.546e-7, rel=1e-3)


def test_unread_figures_stay_where_they_are() -> None:
    """Not-a-number is an error, unless it stands for an unread figure."""
    values = [1.0, float("nan"), 3.0]
    with pytest.raises(OutOfRangeError, match=r"index 1.*pass unread=True"):
        column_to_si(values, unit="kPa")
    column = column_to_si(values, unit="kPa", form="absolute", to_form="absolute", unread=True)
    assert column.value[0] == 1000.0 and np.isnan(column.value[1])
    with pytest.raises(OutOfRangeError, match=r"index 3.*below vacuum"):
        column_to_si([*values, -1.0], unit="kPa", form="absolute", to_form="absolute", unread=True)
    with pytest.raises(OutOfRangeError, match="inf comes out"):
        column_to_si([float("inf")], unit="kPa", unread=True)
    nans = column_to_si(values, unit="kPa", u=values, unread=True)
    assert nans.u is not None and nans.u[2] == 3000.0 and np.isnan(nans.u[1])
    api = column_to_si([10.0, float("nan")], unit="{degAPI}", unread=True)
    assert api.value[0] == pytest.approx(999.016)
    with pytest.raises(OutOfRangeError, match="index 1"):
        column_to_si([10.0, -140.0], unit="{degAPI}")


def test_bad_columns() -> None:
    """Shapes that do not match, mixed kinds, words for numbers: one clear error each."""
    with pytest.raises(UsageError, match=r"shape \(2,\)"):
        column_to_si([1.0, 2.0, 3.0], unit="kPa", u=[1.0, 2.0])
    with pytest.raises(UsageError, match="the heights"):
        column_to_si([1.0], unit="kPa", form="gauge", to_form="absolute", height_m=[1.0, 2.0])
    with pytest.raises(UsageError, match="the units are 1"):
        column_to_si([1.0, 2.0], unit=["kPa"])
    with pytest.raises(UsageError, match="have a blank at 1"):
        column_to_si([1.0, 2.0], unit=["kPa", None])  # type: ignore[list-item]
    with pytest.raises(UsageError, match="kilopascal and kilogram in one column"):
        column_to_si([1.0, 2.0], unit=["kPa", "kg"])
    with pytest.raises(UsageError, match="not all numbers"):
        column_to_si(["one"], unit="kPa")  # type: ignore[list-item]
    with pytest.raises(UsageError, match="both an uncertainty and a resolution"):
        column_to_si([1.0], unit="kPa", u=1.0, resolution=1.0)
    with pytest.raises(OutOfRangeError, match="an uncertainty of -1"):
        column_to_si([1.0], unit="kPa", u=-1.0)
    with pytest.raises(OutOfRangeError, match="index 1: an uncertainty of nan"):
        column_to_si([1.0, 2.0], unit="kPa", u=[1.0, float("nan")])
    with pytest.raises(UnknownUnitError, match="did you mean"):
        column_to_si([1.0], unit="kPaa")
    with pytest.raises(AmbientNeededError):
        column_to_si([1.0], unit="kPa", form="gauge", to_form="absolute")
    with pytest.raises(ReferenceFormError, match="have no reference form"):
        column_to_si([1.0], unit="kg", to_form="absolute")
    with pytest.raises(ReferenceFormError, match="zero that is not known"):
        column_to_si([1.0], unit="kPa", form="unknown", to_form="absolute")


def test_zero_and_absolute_agree() -> None:
    """The line the columns use is the one the scalar path uses."""
    zero, sign = zero_of("fixed_datum", datum="30 in.Hg")
    assert to_absolute(Fraction(5), "fixed_datum", datum="30 in.Hg") == zero + 5 * sign
