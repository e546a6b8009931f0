"""Airspeeds against printed tables and another library's test values."""

import pytest

from reconcile.measure import airspeed as speed
from reconcile.measure.atmosphere import isa

KNOT = 1852 / 3600


@pytest.mark.parametrize(
    ("mach", "ratio"),
    [(0.1, 0.9930), (0.3, 0.9395), (0.5, 0.8430), (0.8, 0.6560), (0.9, 0.5913), (1.0, 0.5283)],
)
def test_isentropic_flow_table(mach, ratio):
    """NACA Report 1135, table I: static over total pressure; four figures, from memory."""
    impact = speed.impact_pressure_from_mach(mach, 1.0)
    assert 1.0 / (1.0 + impact) == pytest.approx(ratio, abs=5e-5)


def test_scikit_aero_values():
    """The test suite of scikit-aero: 275 m/s true at 11 km is 162.0357 m/s calibrated."""
    air = isa(11_000.0)
    calibrated = speed.calibrated_from_true(275.0, air.pressure, air.temperature)
    assert calibrated == pytest.approx(162.03569680495048, rel=2e-6)
    true = speed.true_from_calibrated(162.03569680495048, air.pressure, air.temperature)
    assert true == pytest.approx(275.0, rel=2e-6)


@pytest.mark.parametrize(
    ("impact_pa", "knots"), [(1_500, 95.94), (3_200, 139.72), (6_200, 193.49), (9_500, 238.21)]
)
def test_web_calculator_values(impact_pa, knots):
    """Sample rows of the indicated-airspeed page of codingace.net, two decimals."""
    assert speed.calibrated_from_impact_pressure(impact_pa) / KNOT == pytest.approx(
        knots, abs=0.005
    )


def test_isatmosphere_values():
    """The test suite of ISAtmosphere.jl: 128.611 m/s calibrated at 9 km, 1.5 K cold."""
    pressure = isa(9_000.0).pressure
    temperature = isa(9_000.0, offset_k=-1.5).temperature
    assert isa(9_000.0).pressure == pytest.approx(30_742.5, abs=0.1)
    mach = speed.mach_from_calibrated(128.611, pressure)
    assert mach == pytest.approx(0.661667, abs=1e-3)
    assert temperature == pytest.approx(228.15, abs=0.01)
