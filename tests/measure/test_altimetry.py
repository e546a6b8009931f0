"""Altimeters, station pressures and off-standard days."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.altimetry import (
    altimeter_setting,
    compare_atmospheres,
    density_height,
    pressure_height,
    pressure_height_on_day,
    station_pressure,
    temperature_offset,
    true_height,
)
from reconcile.measure.atmosphere import isa

heights = st.floats(-300, 12_000)
settings_pa = st.floats(90_000, 108_000)


@settings(max_examples=40, deadline=None)
@given(heights, settings_pa)
def test_setting_and_station_pressure_are_inverse(elevation, setting):
    """A field's setting gives its pressure, and the pressure its setting again."""
    pressure = station_pressure(setting, elevation)
    assert altimeter_setting(pressure, elevation) == pytest.approx(setting, rel=1e-13)
    assert pressure_height(pressure, setting_pa=setting) == pytest.approx(elevation, abs=1e-8)


@settings(max_examples=40, deadline=None)
@given(st.floats(-4_000, 60_000), st.floats(-40, 40))
def test_true_and_pressure_heights_are_inverse(height, offset):
    """A pressure height on an off-standard day comes back from its true height."""
    true = true_height(height, offset)
    assert pressure_height_on_day(true, offset) == pytest.approx(height, abs=1e-7)


def test_true_height_obeys_hydrostatic_balance():
    """Summed in thin slices, dH = (T + dT)/T dHp gives the closed form."""
    edges = np.linspace(0.0, 15_000.0, 150_001)
    middles = 0.5 * (edges[1:] + edges[:-1])
    temperature = isa(middles).temperature
    summed = np.sum((temperature + 15.0) / temperature) * (edges[1] - edges[0])
    assert true_height(15_000.0, 15.0) == pytest.approx(summed, rel=1e-9)


def test_columns_fit_numbers_and_each_other():
    """Columns give what single values give; columns of unlike shape are refused."""
    elevations = np.array([0.0, 500.0, 1_500.0])
    pressures = station_pressure(100_000.0, elevations)
    assert pressures[2] == pytest.approx(station_pressure(100_000.0, 1_500.0), rel=1e-14)
    back = pressure_height_on_day(true_height(elevations, -10.0), -10.0)
    assert back == pytest.approx(elevations, abs=1e-7)
    assert density_height(pressures, np.full(3, 300.0)).shape == (3,)
    assert temperature_offset(elevations, 288.15)[0] == 0.0
    with pytest.raises(UsageError, match="do not fit"):
        density_height(pressures, np.full(2, 300.0))
    with pytest.raises(UsageError, match="do not fit"):
        station_pressure(np.full(2, 1e5), elevations)


def test_impossible_air_is_refused():
    """Absolute zero and pressure heights beyond the atmosphere are refused."""
    with pytest.raises(OutOfRangeError, match="absolute zero"):
        density_height(101_325.0, 0.0)
    with pytest.raises(OutOfRangeError, match="outside the atmosphere"):
        pressure_height_on_day(95_000.0, 10.0)
    with pytest.raises(OutOfRangeError):
        station_pressure(101_325.0, float("nan"))


def test_density_height_is_pressure_height_on_a_standard_day():
    """In standard air, height by density and by pressure are one."""
    air = isa(4_321.0)
    assert density_height(air.pressure, air.temperature) == pytest.approx(4_321.0, abs=1e-8)


def test_rival_differences_are_nought_against_themselves():
    """An atmosphere does not differ from itself."""
    (row,) = compare_atmospheres([5_000], "ican", "ican")
    assert row.temperature_difference == row.pressure_difference == row.density_difference == 0.0
    assert row.height_difference == pytest.approx(0.0, abs=1e-9)
