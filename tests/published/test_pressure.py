"""Equivalents of pressures in their reference forms, against worked and printed values.

[WE]  Worked in 30-digit arithmetic, apart from this package, from the definitions of NIST
      SP 811 (2008) appendix B and ISO 2533:1975; six significant figures.
[LST] A list of boost against inches in wide circulation; no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from reconcile.measure.pressure import datums
from reconcile.measure.quantity import Quantity
from reconcile.records import Form

FOOT = 0.3048


def q(value: str, unit: str, form: Form, datum: str = "") -> Quantity:
    """A pressure as written."""
    return Quantity(nominal=Fraction(value), unit=unit, kind="pressure", form=form, datum=datum)


def six(x: float | Fraction | None) -> str:
    """Six significant figures."""
    assert x is not None
    return f"{float(x):.6g}"


# boost, lb/in2 abs, kPa abs, in.Hg, mm Hg, ata, +/- mm, kPa (14.7), in.Hg (14.7)   [WE]
BOOST = """
-4 10.6959 73.7460 21.7772 553.140 0.752000 -206.860 73.7739 21.7854
-2 12.6959 87.5355 25.8492 656.570 0.892614 -103.430 87.5634 25.8575
0 14.6959 101.325 29.9213 760.000 1.03323 0 101.353 29.9295
2 16.6959 115.115 33.9933 863.430 1.17384 103.430 115.142 34.0015
4 18.6959 128.904 38.0653 966.860 1.31446 206.860 128.932 38.0736
6 20.6959 142.694 42.1374 1070.29 1.45507 310.289 142.721 42.1456
9 23.6959 163.378 48.2454 1225.43 1.66599 465.434 163.406 48.2537
12 26.6959 184.062 54.3535 1380.58 1.87691 620.579 184.090 54.3618
18 32.6959 225.431 66.5696 1690.87 2.29875 930.869 225.459 66.5779
25 39.6959 273.694 80.8218 2052.87 2.79090 1292.87 273.722 80.8300
"""


@pytest.mark.parametrize("line", BOOST.strip().splitlines())
def test_boost_equivalents(line: str) -> None:
    """[WE] Boost in every other tradition's terms, by two datums, to six figures."""
    boost, psi, kpa, inhg, mm, ata, japanese, kpa147, inhg147 = line.split()
    b = q(boost, "[psi]", "fixed_datum")
    for unit, printed in (
        ("[psi]", psi), ("kPa", kpa), ("[in_i'Hg]", inhg), ("mm[Hg]", mm), ("att", ata),
    ):  # fmt: skip
        assert float(six(b.to(unit, "absolute").nominal)) == pytest.approx(float(printed), rel=5e-6)
    # Counted from 760 mm of mercury, 0.0144 Pa from the standard atmosphere.
    there = b.to("mm[Hg]", "fixed_datum", datum="760 mm Hg").nominal
    assert float(there or 0) == pytest.approx(float(japanese), rel=5e-6, abs=2e-4)
    other = q(boost, "[psi]", "fixed_datum", "14.7 lb/in2")
    assert float(six(other.to("kPa", "absolute").nominal)) == float(kpa147)
    assert float(six(other.to("[in_i'Hg]", "absolute").nominal)) == float(inhg147)


@pytest.mark.parametrize(
    ("boost", "printed"),
    [("6", "42.2"), ("9", "48.3"), ("15", "60.5"), ("18", "66.6"), ("25", "80.9")],
)
def test_only_thirty_inches_reproduces_the_list(boost: str, printed: str) -> None:
    """[LST] Of the rival datums, 30 in. Hg alone rounds to every printed figure."""
    fits = set()
    for datum in datums():
        there = q(boost, "[psi]", "fixed_datum", datum.slug).to("[in_i'Hg]", "absolute")
        if f"{float(there.nominal or 0):.1f}" == printed:
            fits.add(datum.slug)
    assert "nominal-30-in-hg" in fits
    if printed in ("42.2", "80.9"):
        assert fits == {"nominal-30-in-hg"}


def test_boost_at_ten_thousand_feet() -> None:
    """[WE] +8 lb/in2 at 10 000 ft: the same absolute pressure at every height."""
    b = q("8", "[psi]", "fixed_datum")
    assert six(b.absolute().nominal) == "156483"
    assert six(b.absolute(10_000 * FOOT).nominal) == "156483"
    assert six(b.gauge(10_000 * FOOT).nominal) == "86801.4"
    assert six(b.gauge(0).nominal) == "55158.1"
    assert six(q("8", "[psi]", "fixed_datum", "14.7 lb/in2").absolute().nominal) == "156511"


def test_oil_pressure_at_height() -> None:
    """[WE] 75 lb/in2 of oil at 15 000 ft."""
    oil = q("75", "[psi]", "gauge")
    assert six(oil.gauge().nominal) == "517107"
    assert six(oil.absolute(15_000 * FOOT).nominal) == "574289"
    assert six(oil.absolute(0).nominal) == "618432"


def test_minus_three_boost() -> None:
    """[WE] -3 lb/in2 when idling, above the outside air at 8 000 ft all the same."""
    b = q("-3", "[psi]", "fixed_datum")
    assert six(b.absolute().nominal) == "80640.7"
    assert six(b.gauge(8_000 * FOOT).nominal) == "5378.37"


def test_suction() -> None:
    """[WE] Suction of 4.25 in. Hg at 8 000 ft, positive in its own form, gauge negative."""
    s = q("4.25", "[in_i'Hg]", "below_ambient")
    assert six(s.si.nominal) == "14392.2"
    assert six(s.absolute(8_000 * FOOT).nominal) == "60870.2"
    assert six(s.gauge().nominal) == "-14392.2"


def test_ata() -> None:
    """[WE] 1.30 ata, absolute; 3.3 % less than 1.30 times 760 mm would be."""
    a = q("1.30", "att", "absolute")
    assert six(a.absolute().nominal) == "127486"
    assert six(a.to("mm[Hg]").nominal) == "956.227"
    assert six(a.to("[in_i'Hg]").nominal) == "37.6467"
    assert six(a.to("[psi]", "fixed_datum").nominal) == "3.7944"
    assert six(a.to("[psi]", "fixed_datum", datum="14.7 lb/in2").nominal) == "3.79035"


def test_japanese_scale() -> None:
    """[WE] +150 mm is 910 mm of mercury, 121 323 Pa."""
    j = q("150", "mm[Hg]", "fixed_datum", "760 mm Hg")
    assert six(j.absolute().nominal) == "121323"
    assert six(j.to("[in_i'Hg]", "absolute").nominal) == "35.8268"
    assert six(j.to("[psi]", "fixed_datum", datum="101325 Pa").nominal) == "2.90052"


@pytest.mark.parametrize(("mm", "inches"), [("200", "37.8"), ("300", "41.7")])
def test_japanese_scale_in_wartime_reports(mm: str, inches: str) -> None:
    """+200 and +300 mm as 37.8 and 41.7 in. Hg: a wartime report, seen second-hand."""
    there = q(mm, "mm[Hg]", "fixed_datum", "760 mm Hg").to("[in_i'Hg]", "absolute")
    assert f"{float(there.nominal or 0):.1f}" == inches


def test_manifold_pressure() -> None:
    """[WE] 44.5 in. Hg of manifold pressure."""
    m = q("44.5", "[in_i'Hg]", "absolute")
    assert six(m.si.nominal) == "150694"
    assert six(m.to("[psi]", "fixed_datum").nominal) == "7.16041"
    assert six(m.to("att").nominal) == "1.53665"
    assert float(six(m.to("mm[Hg]").nominal)) == 1130.30
    warm = Quantity(nominal=Fraction("44.5"), unit_slug="inch-of-mercury-60f", kind="pressure")
    assert six(warm.si.nominal) == "150270"


def test_hectopieze() -> None:
    """[WE] 1.10 hpz of the French papers is 110 kPa."""
    h = q("1.10", "bar", "absolute")
    assert h.si.nominal == 110_000.0
    assert six(h.to("mm[Hg]").nominal) == "825.068"
    assert six(h.to("[psi]", "fixed_datum").nominal) == "1.2582"
    named = Quantity(nominal=Fraction("1.10"), unit_slug="hectopieze", kind="pressure")
    assert named.si.nominal == 110_000.0


def test_atu_and_ata_are_one_atmosphere_apart() -> None:
    """[WE] Oil of 5 atü at sea level and 30 000 ft, against 5 ata."""
    gauge = q("5", "att", "gauge")
    assert gauge.si.nominal == 490_332.5
    assert gauge.absolute(0).nominal == 591_657.5
    assert six(gauge.absolute(30_000 * FOOT).nominal) == "520422"
    assert q("5", "att", "absolute").gauge(0).nominal == 389_007.5


def test_engine_stopped() -> None:
    """[WE] A barometer of 24.90 in. Hg: the boost gauge shows it against its own datum."""
    barometer = q("24.90", "[in_i'Hg]", "absolute")
    assert six(barometer.to("[psi]", "fixed_datum").nominal) == "-2.46621"
