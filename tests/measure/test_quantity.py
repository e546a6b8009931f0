"""Quantities: exact from paper to SI, half-widths, uncertainty, conversions, words."""

from __future__ import annotations

import pickle
import subprocess
import sys
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import MeasureError, OutOfRangeError, ReferenceFormError
from reconcile.measure.quantity import Quantity, show
from reconcile.measure.units import UnitRow, all_units

units = st.sampled_from([row for row in all_units() if row.ucum])
numbers = st.fractions(min_value=-10_000, max_value=10_000, max_denominator=10_000)
steps = st.sampled_from([Fraction(1), Fraction(1, 4), Fraction(1, 100), Fraction(50)])


def reading(x: Fraction, row: UnitRow) -> Fraction:
    """A reading the scale can have."""
    return abs(x) % 60 if row.scale == "reciprocal" else x


@settings(max_examples=200)
@given(numbers, units)
def test_si_is_the_nearest_float(x: Fraction, row: UnitRow) -> None:
    """The float given out is the nearest one to the exact SI value."""
    x = reading(x, row)
    q = Quantity(nominal=x, unit_slug=row.slug, kind=row.kind)
    assert q.si.nominal == float(row.to_si(x))
    assert q.si.unit == row.si_unit
    assert q.exact_si()[0] == row.to_si(x)


@settings(max_examples=200)
@given(numbers, units, st.data())
def test_conversion_round_trips(x: Fraction, row: UnitRow, data: st.DataObject) -> None:
    """To any unit of the same SI unit and back is the same fraction."""
    x = reading(x, row)
    there = data.draw(
        st.sampled_from([r for r in all_units() if r.si_unit == row.si_unit]), label="unit"
    )
    q = Quantity(nominal=x, unit_slug=row.slug, kind=row.kind, resolution=Fraction(1))
    if there.scale == "reciprocal" and row.to_si(x) <= 0:
        return
    back = q.to(there.slug).to(row.slug)
    assert back.nominal == x
    if row.scale == there.scale == "linear":
        assert back.resolution == 1


@settings(max_examples=100)
@given(numbers, units, steps)
def test_half_width_is_half_the_step(x: Fraction, row: UnitRow, step: Fraction) -> None:
    """The rounding half-width in SI is half the printed step times the unit's size there."""
    x = reading(x, row)
    q = Quantity(nominal=x, unit_slug=row.slug, kind=row.kind, resolution=step)
    assert q.exact_half_width() == row.slope(x) * step / 2
    assert q.si.half_width == pytest.approx(float(row.slope(x) * step / 2), rel=1e-15)
    u = q.si.standard_uncertainty
    assert u is not None and u >= q.si.half_width / sqrt(3) * (1 - 1e-15)


def test_fractions_of_a_pound() -> None:
    """+6 1/4 is good to an eighth of a pound either way."""
    q = Quantity(Fraction(25, 4), unit="[psi]", form="fixed_datum", resolution=Fraction(1, 4))
    assert q.si.half_width == pytest.approx(861.844661646, rel=1e-11)
    assert q.si.standard_uncertainty == pytest.approx(861.844661646 / sqrt(3), rel=1e-11)


def test_ranges_and_tolerances() -> None:
    """Ends of a range or of a tolerance are given in SI, ascending."""
    tolerance = Quantity(Fraction(2850), plus_minus=Fraction(150), unit="{rev}/min")
    assert (tolerance.si.nominal, tolerance.si.lo, tolerance.si.hi) == (47.5, 45.0, 50.0)
    span = Quantity(lo=Fraction(60), hi=Fraction(80), unit="Cel", kind="temperature")
    assert (span.si.nominal, span.si.lo, span.si.hi) == (None, 333.15, 353.15)
    api = Quantity(lo=Fraction(10), hi=Fraction(60), unit="{degAPI}", resolution=Fraction(1))
    assert api.si.lo is not None and api.si.hi == 999.016 and api.si.lo < api.si.hi
    one_sided = Quantity(Fraction(25), lo=Fraction(25), hi=Fraction(30), unit="[psi]")
    assert one_sided.ends == (25, 30)
    suction = Quantity(
        lo=Fraction(4), hi=Fraction(5), unit="[in_i'Hg]", kind="pressure", form="below_ambient"
    )
    absolute = suction.absolute(0)
    assert absolute.lo is not None and absolute.hi is not None and absolute.lo < absolute.hi


def test_unread_figures_stay_unread() -> None:
    """Nothing read gives nothing, in any form, and no error."""
    q = Quantity(unit="[psi]", kind="pressure", form="absolute")
    assert not q.is_read
    assert (q.si.nominal, q.si.lo, q.si.hi, q.si.half_width) == (None,) * 4
    assert q.absolute().nominal is None
    assert str(q) == "(not read) lb/in²"
    assert q.si.standard_uncertainty is None


def test_uncertainty_of_nothing_known_is_none() -> None:
    """An exact factor and an unknown resolution give no uncertainty, not nought."""
    assert Quantity(Fraction(3), unit="kg").si.standard_uncertainty is None
    period = Quantity(Fraction(3), unit="[gal_br]", year=1943).si.standard_uncertainty
    assert period == pytest.approx(3 * 0.00454609 * 1e-6, rel=1e-4)


def test_datum_and_air_widen_the_uncertainty_of_what_they_bring_in() -> None:
    """In its own form a boost is as good as printed; absolute carries the datum's doubt."""
    q = Quantity(Fraction(8), unit="[psi]", form="fixed_datum", resolution=Fraction(1))
    own, absolute, gauge = q.si, q.absolute(), q.gauge(3048)
    assert own.standard_uncertainty is not None and absolute.standard_uncertainty is not None
    assert gauge.standard_uncertainty is not None
    assert own.standard_uncertainty < absolute.standard_uncertainty < gauge.standard_uncertainty
    assert own.half_width == absolute.half_width == gauge.half_width
    expected = sqrt(own.standard_uncertainty**2 + 133.35**2 / 3)
    assert absolute.standard_uncertainty == pytest.approx(expected, rel=1e-12)


def test_forms_of_si_values() -> None:
    """Each answer names its own reference form and SI unit."""
    q = Quantity(Fraction(5), unit="att", kind="pressure", form="gauge")
    assert (q.si.reference_form, q.si.unit) == ("gauge", "Pa")
    assert q.absolute(0).reference_form == "absolute"
    assert q.gauge().reference_form == "gauge"
    assert q.in_form("below_ambient").nominal == -490332.5
    boost = q.in_form("fixed_datum", 0, datum="14.7 lb/in2")
    assert boost.nominal == pytest.approx(490332.5 + 101325 - 101352.93220957)


def test_conversion_to_another_kind_is_refused() -> None:
    """Kilograms do not become litres."""
    with pytest.raises(MeasureError, match="lb does not convert to l"):
        Quantity(Fraction(3), unit="[lb_av]").to("L")


def test_conversion_keeps_ranges_and_tolerances() -> None:
    """A range stays a range, a tolerance a tolerance, and the resolution comes along."""
    q = Quantity(
        Fraction(2850), plus_minus=Fraction(150), unit="{rev}/min", resolution=Fraction(10)
    ).to("{rev}/s")
    assert (q.nominal, q.plus_minus, q.resolution) == (47.5, 2.5, Fraction(1, 6))
    assert (q.lo, q.hi) == (None, None)
    r = Quantity(lo=Fraction(4), hi=Fraction(5), unit="[in_i'Hg]", form="below_ambient")
    there = r.to("kPa", "absolute", 0)
    assert there.lo is not None and there.hi is not None and there.lo < there.hi
    api = Quantity(lo=Fraction(700), hi=Fraction(800), unit="kg/m3").to("{degAPI}")
    assert api.lo is not None and api.hi is not None and api.lo < api.hi


def test_year_and_country_are_spent_on_conversion() -> None:
    """The converted figure stands in today's unit."""
    q = Quantity(Fraction(100), unit="[gal_br]", kind="volume", year=1943)
    there = q.to("[gal_br]")
    assert there.year is None
    assert there.nominal == Fraction("4.5459631") * Fraction("1.000028") / Fraction("0.0454609")


def test_specific_gravity_is_a_density() -> None:
    """A bare "1" of kind density is specific gravity 60/60 degF."""
    q = Quantity(Fraction("0.720"), unit="1", kind="density", resolution=Fraction(1, 1000))
    assert q.si.nominal == float(Fraction("0.720") * Fraction("999.016"))
    assert q.si.unit == "kg/m3"
    assert Quantity(Fraction("6.7"), unit="1", kind="ratio").si.nominal == 6.7


def test_readings_beyond_a_reciprocal_scale() -> None:
    """A density scale has an end, and says so."""
    with pytest.raises(OutOfRangeError, match="beyond the end"):
        _ = Quantity(Fraction(-140), unit="{degAPI}").si
    with pytest.raises(MeasureError, match="bring both to a density"):
        Quantity(Fraction(10), unit="{degAPI}") + Quantity(Fraction(10), unit="{degAPI}")
    with pytest.raises(ReferenceFormError, match="cannot be multiplied"):
        Quantity(Fraction(10), unit="{degAPI}") * 2


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Quantity(Fraction(6), unit="[psi]", form="fixed_datum"), "+6 lb/in²"),
        (Quantity(Fraction(-13, 4), unit="[psi]", form="fixed_datum"), "-3.25 lb/in²"),
        (Quantity(Fraction(0), unit="[psi]", form="fixed_datum"), "0 lb/in²"),
        (
            Quantity(Fraction(2850), plus_minus=Fraction(150), unit="{rev}/min"),
            "2850 ± 150 rev/min",
        ),
        (Quantity(lo=Fraction(60), hi=Fraction(80), unit="Cel"), "60 to 80 °C"),
        (Quantity(hi=Fraction(80), unit="Cel"), "up to 80 °C"),
        (Quantity(lo=Fraction(80), unit="Cel"), "80 or more °C"),
        (Quantity(Fraction(3), Fraction(2), Fraction(4), unit="mm"), "3 (2 to 4) mm"),
        (Quantity(Fraction(1, 3)), "0.3333333"),
    ],
)
def test_words(quantity: Quantity, text: str) -> None:
    """A quantity reads as it would be written."""
    assert str(quantity) == text


def test_show_is_exact_where_decimals_end() -> None:
    """A decimal that ends is shown whole, whatever its length."""
    assert show(Fraction("0.0001")) == "0.0001"
    assert show(Fraction("-12.50")) == "-12.5"
    assert show(Fraction(123456789)) == "123456789"


def test_quantities_pickle() -> None:
    """They go to worker processes and back unchanged."""
    q = Quantity(Fraction(25, 4), unit="[psi]", form="fixed_datum", resolution=Fraction(1, 4))
    assert pickle.loads(pickle.dumps(q)) == q
    assert pickle.loads(pickle.dumps(q.si)) == q.si


def test_the_scalar_path_imports_nothing_heavy() -> None:
    """A figure to SI, absolute and gauge loads no units package and no arrays."""
    code = (
        "import sys; from fractions import Fraction as F;"
        "from reconcile.measure.quantity import Quantity as Q;"
        "q = Q(F(6), unit='[psi]', kind='pressure', form='fixed_datum', resolution=F(1));"
        "q.si, q.absolute(), q.gauge(1000.0), q.budget(), str(q);"
        "bad = {'numpy', 'pint', 'pandas', 'scipy', 'uncertainties'} & set(sys.modules);"
        "sys.exit(str(sorted(bad)) if bad else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr


def test_a_height_stated_with_the_figure_is_used() -> None:
    """Oil pressure "at 20,000 ft" has an absolute pressure; another height overrules it."""
    oil = Quantity(
        Fraction(70), unit="[psi]", kind="pressure", form="gauge", height_m=Fraction("6096")
    )
    assert oil.absolute().nominal == oil.absolute(6096.0).nominal
    assert oil.absolute(0.0).nominal == pytest.approx(70 * 6894.757293168361 + 101325)
    assert oil.to("kPa", "absolute").nominal == oil.to("kPa", "absolute", 6096.0).nominal
