"""The standard atmospheres against printed tables and independent libraries."""

import numpy as np
import pystdatm
import pytest

from reconcile.measure.altimetry import altimeter_setting, compare_atmospheres
from reconcile.measure.atmosphere import height_from_pressure, isa

FOOT = 0.3048

# ICAO Doc 7488/3 (1993), as typed into the test data of the `ambiance` library: height [m],
# temperature [K], pressure [Pa], density [kg/m3], speed of sound [m/s].
GEOPOTENTIAL = [
    (-5_000, 320.650, 1.77687e5, 1.93047, 358.972),
    (0, 288.150, 1.01325e5, 1.22500, 340.294),
    (11_000, 216.650, 2.26320e4, 3.63918e-1, 295.069),
    (20_000, 216.650, 5.47487e3, 8.80345e-2, 295.069),
    (32_000, 228.650, 8.68014e2, 1.32249e-2, 303.131),
]
GEOMETRIC = [
    (-2_500, 304.406, 1.35205e5, 1.54731, 349.761),
    (1_000, 281.651, 8.98763e4, 1.11166, 336.435),
    (2_000, 275.154, 7.95014e4, 1.00655, 332.532),
    (11_000, 216.774, 2.26999e4, 3.64801e-1, 295.154),
    (15_000, 216.650, 1.21118e4, 1.94755e-1, 295.069),
    (20_000, 216.650, 5.52929e3, 8.89097e-2, 295.069),
    (25_000, 221.552, 2.54921e3, 4.00837e-2, 298.389),
]
# US Standard Atmosphere 1976, public-domain five-figure table by geometric height, as typed
# into the test data of the `fluids` library.
US1976 = [
    (-2_000, 301.15, 127_780, 1.4782, 347.89),
    (2_000, 275.15, 79_501, 1.0066, 332.53),
    (4_000, 262.17, 61_660, 0.81935, 324.59),
    (6_000, 249.19, 47_218, 0.66011, 316.45),
    (8_000, 236.22, 35_652, 0.52579, 308.11),
    (10_000, 223.25, 26_500, 0.41351, 299.53),
    (12_000, 216.65, 19_399, 0.31194, 295.07),
    (14_000, 216.65, 14_170, 0.22786, 295.07),
    (18_000, 216.65, 7_565.2, 0.12165, 295.07),
    (22_000, 218.57, 4_047.5, 0.06451, 296.38),
    (26_000, 222.54, 2_188.4, 0.034257, 299.06),
    (30_000, 226.51, 1_197.0, 0.01841, 301.71),
    (32_000, 228.49, 889.06, 0.013555, 303.02),
]


@pytest.mark.parametrize("row", GEOPOTENTIAL, ids=lambda row: str(row[0]))
def test_icao_manual_by_geopotential_height(row):
    """The printed six figures agree to 5e-6: half their last digit and some."""
    _agrees(isa(row[0]), row, 5e-6)


@pytest.mark.parametrize("row", GEOMETRIC, ids=lambda row: str(row[0]))
def test_icao_manual_by_geometric_height(row):
    """The same by geometric height, to 4e-6."""
    _agrees(isa(row[0], geometric=True), row, 4e-6)


@pytest.mark.parametrize("row", US1976, ids=lambda row: str(row[0]))
def test_us_1976_by_geometric_height(row):
    """The five-figure American table agrees to half its last digit."""
    _agrees(isa(row[0], geometric=True, standard="us1976"), row, 5.1e-5)


def _agrees(air, row, relative):
    seen = (air.temperature, air.pressure, air.density, air.sound_speed)
    assert seen == pytest.approx(row[1:], rel=relative)


def test_sea_level_viscosity():
    """ISO 2533 and the 1976 table print 1.7894e-5 Pa.s and 1.4607e-5 m2/s at sea level."""
    air = isa(0.0)
    assert air.dynamic_viscosity == pytest.approx(1.7894e-5, abs=5e-10)
    assert air.kinematic_viscosity == pytest.approx(1.4607e-5, abs=5e-10)


def test_pystdatm_over_all_layers():
    """An independent registry library (pystdatm) agrees to 1e-14 from -2 km to 80 km."""
    heights = np.linspace(-1_990.0, 79_990.0, 5_001)
    air = isa(heights)
    assert air.temperature == pytest.approx(pystdatm.temperature(heights), rel=1e-14)
    assert air.pressure == pytest.approx(pystdatm.pressure(heights), rel=1e-13)


@pytest.mark.parametrize(
    ("feet", "pressure_pa", "percent"),
    [
        (5_000, 84_300.3, -0.00821),
        (10_000, 69_669.7, -0.0171),
        (20_000, 46_545.9, -0.0372),
        (30_000, 30_071.2, -0.0611),
        (40_000, 18_763.7, 0.0525),
        (50_000, 11_638.4, 0.355),
    ],
)
def test_american_atmosphere_of_1925(feet, pressure_pa, percent):
    """NACA Report 218 (constants from memory) against ISO 2533, worked out independently."""
    (row,) = compare_atmospheres([feet * FOOT], "naca1925")
    assert row.pressure == pytest.approx(pressure_pa, abs=0.06)
    assert 100 * row.pressure_difference == pytest.approx(percent, rel=2e-3)


def test_naca_report_218_printed_values():
    """NACA Report 218 prints 522.6 mm Hg at 10 000 ft and -55 degC aloft; from memory."""
    air = isa(10_000 * FOOT, standard="naca1925")
    assert air.pressure / 133.322387415 == pytest.approx(522.6, abs=0.05)
    assert isa(12_000.0, standard="naca1925").temperature == pytest.approx(218.0, abs=1e-12)


def test_ican_sea_level_and_isothermal_layer():
    """An aviation dictionary gives the ICAN 0.002378 slug/ft3 and -56.5 degC from 11 km."""
    slug_per_cubic_foot = 515.3788184
    density = isa(0.0, standard="ican").density
    assert density / slug_per_cubic_foot == pytest.approx(0.002378, abs=5e-8)
    assert isa(11_000.0, standard="ican").temperature == pytest.approx(216.5)


def test_icao_1952_differs_from_the_present_one_by_parts_in_1e5():
    """The 273.16 K ice point moves pressures by a few parts in 100 000; from memory."""
    for row in compare_atmospheres([3_000, 6_000, 9_000, 11_000], "icao1952"):
        assert 0 < abs(row.pressure_difference) < 5e-5
        assert row.temperature_difference == pytest.approx(0.01, abs=1e-9)


def test_altimeter_setting_of_the_weather_services():
    """The closed form of the American weather service; Smithsonian tables, from memory."""
    # A = (P**n + p0**n (L/T0) H)**(1/n), n = 0.190263, pressures in hPa less 0.3 hPa there.
    pressure, elevation, n = 899.0, 1_000.0, 0.190263
    formula = (pressure**n + 1013.25**n * 0.0065 / 288.15 * elevation) ** (1 / n)
    assert altimeter_setting(100 * pressure, elevation) / 100 == pytest.approx(formula, rel=2e-6)


@pytest.mark.parametrize(
    ("feet", "inches"),
    [(0, 29.921), (5_000, 24.896), (10_000, 20.577), (20_000, 13.750), (30_000, 8.885)],
)
def test_pressure_height_of_the_american_dial(feet, inches):
    """Pressures in inches of mercury as printed in US pressure-height tables; from memory."""
    pascals = inches * 3_386.388640341
    assert height_from_pressure(pascals) / FOOT == pytest.approx(feet, abs=2.5)
