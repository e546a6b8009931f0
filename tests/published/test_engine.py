"""Engine formulas against the customary-unit formulas of the books, worked with pint.

Sources
-------
[Taylor] C. F. Taylor, The Internal-Combustion Engine in Theory and Practice, vol. 1, and
    the same formulas in many handbooks: b.m.e.p. [lb/sq.in.] = 792,000 x b.h.p. /
    (cubic inches x rev/min), four strokes; piston speed [ft/min] = stroke [in] x rev/min / 6;
    torque [lb ft] = 5,252 x b.h.p. / (rev/min). The constants follow from 33,000 ft lb/min
    a horsepower.
[SP811] NIST SP 811 (2008), appendix B: the horsepower of 550 ft lbf/s.
[Boost] Equivalents of boost in in.Hg, a copied list with no source: recomputed.
[pint] The pint package, an independent registry of units.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from reconcile.checks.engine_formulas import (
    boost_over_ambient,
    brake_mean_effective_pressure,
    fuel_flow,
    mean_piston_speed,
    power_from_torque,
    static_boost,
    swept_volume,
    tip_mach,
    tip_speed,
)
from reconcile.measure.units import unit_row

HP = float(unit_row("[HP]").factor)
INCH, FOOT, POUND = 0.0254, 0.3048, 0.45359237
PSI = float(unit_row("[psi]").factor)


@pytest.fixture(scope="module")
def ureg():
    """An independent registry."""
    import pint

    return pint.UnitRegistry()


@pytest.mark.parametrize(
    ("power", "litres_in", "speed"),
    [(1030, 1647.0, 3000), (165, 361.0, 2475), (1650, 2240.0, 2850)],
)
def test_mean_effective_pressure(ureg, power, litres_in, speed):
    """792,000 h.p. / (cubic inches x rev/min) lb/sq.in. [Taylor], by pint and by constant."""
    ours = brake_mean_effective_pressure(power * HP, litres_in * INCH**3, speed / 60)
    assert ours / PSI == pytest.approx(792000 * power / (litres_in * speed), rel=1e-9)
    by_pint = (
        2
        * ureg.Quantity(power, "horsepower")
        / (ureg.Quantity(litres_in, "inch**3") * ureg.Quantity(speed, "1/minute"))
    )
    assert ours == pytest.approx(by_pint.to("pascal").magnitude, rel=1e-9)


def test_two_strokes_make_half_the_pressure():
    """With a power stroke each revolution the same power needs half the pressure."""
    four = brake_mean_effective_pressure(1e6, 0.03, 40.0)
    assert brake_mean_effective_pressure(1e6, 0.03, 40.0, strokes=2) == four / 2


@pytest.mark.parametrize(("stroke", "speed"), [(6.0, 3000), (5.5, 2850), (3.875, 2600)])
def test_piston_speed(stroke, speed):
    """Stroke in inches x rev/min / 6 gives ft/min [Taylor]."""
    ours = mean_piston_speed(stroke * INCH, speed / 60)
    assert ours / FOOT * 60 == pytest.approx(stroke * speed / 6, rel=1e-12)


def test_torque_and_power():
    """5,252 = 33,000 / 2 pi is the constant between h.p., rev/min and lb ft [Taylor]."""
    constant = 33000 / (2 * math.pi)
    assert round(constant) == 5252
    foot_pounds = constant * 1000 / 2600
    torque = foot_pounds * POUND * 9.80665 * FOOT
    assert power_from_torque(torque, 2600 / 60) / HP == pytest.approx(1000, rel=1e-9)


def test_horsepower_is_550_foot_pounds_a_second():
    """550 ft lbf/s [SP811], exactly."""
    exact = 550 * Fraction("0.3048") * Fraction("0.45359237") * Fraction("9.80665")
    assert unit_row("[HP]").factor == exact


def test_swept_volume():
    """Twelve cylinders of 5.4 by 6 inches hold 1,649 cubic inches, 27.0 litres."""
    volume = swept_volume(5.4 * INCH, 6 * INCH, 12)
    assert volume / INCH**3 == pytest.approx(math.pi / 4 * 5.4**2 * 6 * 12)
    assert volume * 1000 == pytest.approx(27.02, abs=0.01)


def test_tip_speed_and_mach(ureg):
    """pi D n, joined at right angles with the forward speed; Mach by the ISA at height."""
    turning = (math.pi * ureg.Quantity(10.75, "foot") * ureg.Quantity(1431, "1/minute")).to("m/s")
    ours = tip_speed(10.75 * FOOT, 1431 / 60)
    assert ours == pytest.approx(turning.magnitude, rel=1e-12)
    assert tip_speed(10.75 * FOOT, 1431 / 60, 150.0) == pytest.approx(math.hypot(ours, 150.0))
    # Speed of sound 340.294 m/s at sea level, 295.070 m/s from 11 km (ISO 2533:1975).
    assert tip_mach(10.75 * FOOT, 1431 / 60) == pytest.approx(ours / 340.294, rel=1e-5)
    assert tip_mach(10.75 * FOOT, 1431 / 60, 11000.0) == pytest.approx(ours / 295.070, rel=1e-5)


def test_boost_over_ambient_at_height():
    """+8 lb/sq.in. is 12.5895 lb/sq.in. over the air at 10,000 ft, 8 at sea level (ISA)."""
    assert boost_over_ambient(8 * PSI, 3048.0) / PSI == pytest.approx(12.5895, abs=1e-4)
    assert boost_over_ambient(8 * PSI, 0.0) / PSI == pytest.approx(8.0)


def test_static_boost_falls_with_height():
    """An unsupercharged engine holds zero boost at sea level and no more above."""
    assert static_boost(0.0) == pytest.approx(0.0, abs=0.01)
    assert static_boost(3048.0) == pytest.approx(69681.6 - 101325, abs=0.5)
    assert static_boost(0.0, loss=2000.0) == pytest.approx(-2000.0, abs=0.01)


def test_fuel_flow(ureg):
    """1,000 h.p. at 0.48 lb/h.p.-hour is 480 lb an hour, by pint as well."""
    specific = ureg.Quantity(0.48, "pound / horsepower / hour").to("kg/joule").magnitude
    flow = fuel_flow(1000 * HP, specific)
    assert flow * 3600 / POUND == pytest.approx(480.0, rel=1e-9)
