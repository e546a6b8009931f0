"""The standard atmosphere against its defining equations, in 40-digit arithmetic."""

import subprocess
import sys
from decimal import Decimal, getcontext

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reconcile.errors import OutOfRangeError, TableError, UnknownTermError, UsageError
from reconcile.measure import standard_atmospheres
from reconcile.measure.atmosphere import (
    geometric_height,
    geopotential_height,
    height_from_density,
    height_from_pressure,
    isa,
)

EDGES = (0.0, 11_000.0, 20_000.0, 32_000.0, 47_000.0, 51_000.0, 71_000.0)
HEIGHTS = [-5_000.0, -4_999.9, -0.3, 1.7, 5_432.1, 10_999.999, 11_000.001, 15_000.0, 19_999.9]
HEIGHTS += [20_000.1, 27_000.0, 31_999.9, 40_000.0, 49_000.0, 60_000.0, 75_000.0, 80_000.0]


def exact_state(height: float) -> tuple[Decimal, Decimal, Decimal]:
    """Temperature, pressure and density from the clauses of ISO 2533, 40 digits."""
    getcontext().prec = 40
    g, r = Decimal("9.80665"), Decimal("287.05287")
    t, p, h = Decimal("288.15"), Decimal(101325), Decimal(height)
    laws = ((0, "-0.0065"), (11, "0"), (20, "0.001"), (32, "0.0028"), (47, "0"))
    laws += ((51, "-0.0028"), (71, "-0.002"))
    bases = [Decimal(1000 * km) for km, _ in laws]
    for i, (base, (_, gradient)) in enumerate(zip(bases, laws)):
        above = i + 1 < len(bases) and h > bases[i + 1]
        rise = (bases[i + 1] if above else h) - base
        slope = Decimal(gradient)
        warmer = t + slope * rise
        if slope:
            p *= (warmer / t) ** (-g / (r * slope))
        else:
            p *= (-g * rise / (r * t)).exp()
        t = warmer
        if not above:
            break
    return t, p, p / (r * t)


@pytest.mark.parametrize("height", [*HEIGHTS, *EDGES])
def test_state_obeys_the_defining_equations(height):
    """Temperature, pressure and density stand within 1e-14 of 40-digit arithmetic."""
    air = isa(height)
    column = isa(np.array([height, 0.0]))
    for ours, columned, exact in zip(
        (air.temperature, air.pressure, air.density),
        (column.temperature[0], column.pressure[0], column.density[0]),
        exact_state(height),
    ):
        assert abs(Decimal(ours) / exact - 1) < Decimal("1e-14")
        assert abs(Decimal(float(columned)) / exact - 1) < Decimal("1e-14")


@pytest.mark.parametrize("height", EDGES)
def test_layer_edges_are_exact_both_ways(height):
    """The pressure and density at a layer's base lead back to the base, to the last bit."""
    air = isa(height)
    column = isa(np.array([height, 5.0, 60_000.0]))
    assert height_from_pressure(air.pressure) == height
    assert height_from_density(air.density) == height
    assert height_from_pressure(column.pressure)[0] == height
    assert height_from_density(column.density)[0] == height
    assert air.pressure == column.pressure[0]
    assert abs(Decimal(air.pressure) / exact_state(height)[1] - 1) < Decimal("1.2e-16")


@settings(max_examples=60, deadline=None)
@given(st.floats(-5_000, 80_000))
def test_heights_come_back_from_pressure_and_density(height):
    """A height comes back to 1e-12, or to what the last bit of the pressure is worth."""
    air = isa(height)
    tolerance = max(1e-12 * abs(height), 4e-12)
    assert height_from_pressure(air.pressure) == pytest.approx(height, abs=tolerance)
    assert height_from_density(air.density) == pytest.approx(height, abs=2 * tolerance)
    assert geopotential_height(geometric_height(height)) == pytest.approx(height, abs=tolerance)
    geometric = height_from_pressure(air.pressure, geometric=True)
    assert geometric == pytest.approx(geometric_height(height), abs=2 * tolerance)


@settings(max_examples=40, deadline=None)
@given(st.floats(-5_000, 79_990), st.floats(1e-3, 10))
def test_pressure_and_density_fall_with_height(height, rise):
    """Neither pressure nor density ever rises with height."""
    low, high = isa(height), isa(height + rise)
    assert high.pressure < low.pressure
    assert high.density < low.density


@pytest.mark.parametrize("span", [(-5e3, 8e4), (0, 2e4), (12e3, 19e3), (21e3, 31e3)])
@pytest.mark.parametrize("geometric", [False, True])
def test_columns_answer_as_single_heights_do(span, geometric):
    """A column of heights gives what its heights give one by one, to 2e-15."""
    heights = np.random.default_rng(7).uniform(*span, size=(5, 7, 1000))
    if geometric:
        heights = np.clip(heights, -4_990, 80_000)
    air = isa(heights, geometric=geometric)
    assert air.pressure.shape == heights.shape
    for at in np.ndindex(5, 7):
        one = isa(float(heights[at][0]), geometric=geometric)
        assert air.temperature[at][0] == one.temperature
        for name in ("pressure", "density", "sound_speed", "dynamic_viscosity"):
            assert getattr(air, name)[at][0] == pytest.approx(getattr(one, name), rel=2e-15)
        back = height_from_pressure(float(air.pressure[at][0]), geometric=geometric)
        columned = height_from_pressure(air.pressure, geometric=geometric)[at][0]
        assert columned == pytest.approx(back, rel=1e-13, abs=1e-11)
        if at[0]:
            break


@pytest.mark.parametrize("bad", [-5_000.001, 80_000.001, float("nan"), float("inf"), -6_356_766.0])
@pytest.mark.parametrize("geometric", [False, True])
def test_heights_outside_are_refused(bad, geometric):
    """Heights outside -5 km to 80 km, and what is no number, are refused by name."""
    if geometric and bad == 80_000.001:
        bad = 81_100.0  # 80 km geopotential stand at 81 019.6 m geometric
    if geometric and bad == -5_000.001:
        bad = -5_000.001 + 3.9
    with pytest.raises(OutOfRangeError, match="outside the International Standard Atmosphere"):
        isa(bad, geometric=geometric)
    with pytest.raises(OutOfRangeError, match="element 1: "):
        isa(np.array([0.0, bad]), geometric=geometric)


@pytest.mark.parametrize("bad", [0.0, -1.0, 177_688.0, 0.88, float("nan")])
def test_pressures_outside_are_refused(bad):
    """A pressure or density that stands nowhere in the atmosphere is refused."""
    with pytest.raises(OutOfRangeError, match="stands nowhere"):
        height_from_pressure(bad)
    with pytest.raises(OutOfRangeError, match="element 2"):
        height_from_pressure(np.array([1e5, 1e4, bad]))
    with pytest.raises(OutOfRangeError, match="stands nowhere"):
        height_from_density(-abs(bad))


def test_what_is_no_number_is_refused():
    """Texts, None and ragged columns raise one clear error each."""
    for bad in ("5000", None, {}):
        with pytest.raises(UsageError, match="expected a number or an array"):
            isa(bad)
    with pytest.raises(UsageError, match="no array of numbers"):
        isa([[1.0], [1.0, 2.0]])
    with pytest.raises(UnknownTermError, match="naca1925"):
        isa(0.0, standard="isa")
    with pytest.raises(OutOfRangeError, match="1 000 km"):
        geometric_height(6_356_766.0)


def test_an_off_standard_day_moves_temperature_and_density_only():
    """On a warm day the pressure at a pressure height stays, the density falls."""
    cold, warm = isa(3_000.0), isa(3_000.0, offset_k=20.0)
    assert warm.pressure == cold.pressure
    assert warm.temperature == cold.temperature + 20.0
    assert warm.density == pytest.approx(cold.density * cold.temperature / warm.temperature)
    offsets = np.array([0.0, 20.0])
    column = isa(np.array([3_000.0, 3_000.0]), offset_k=offsets)
    assert column.density[1] == pytest.approx(warm.density, rel=1e-15)
    with pytest.raises(OutOfRangeError, match="offset"):
        isa(3_000.0, offset_k=-300.0)
    with pytest.raises(OutOfRangeError, match="offset"):
        isa(np.zeros(2), offset_k=float("nan"))
    with pytest.raises(UsageError, match="do not fit"):
        isa(np.zeros(2), offset_k=np.zeros(3))
    with pytest.raises(UsageError, match="do not fit"):
        isa(np.zeros(2), offset_k=np.zeros((4, 2)))
    with pytest.raises(UsageError, match="do not fit"):
        isa(0.0, offset_k=np.zeros(3))


def test_empty_columns_stay_empty():
    """A column without heights gives columns without values."""
    assert isa(np.empty((0, 3))).pressure.shape == (0, 3)
    assert height_from_pressure(np.empty(0)).size == 0


def test_one_height_needs_no_numpy():
    """The scalar path imports none of the heavy libraries."""
    code = (
        "import sys; from reconcile.measure.atmosphere import *;"
        "isa(5.0).density; height_from_pressure(9e4); isa(1, standard='ican');"
        "sys.exit(bool({'numpy', 'scipy', 'pint', 'pandas'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code]).returncode == 0


def test_every_atmosphere_of_the_tables_is_whole():
    """Each row of the tables makes an atmosphere that reaches from bottom to top."""
    for slug in standard_atmospheres.atmosphere_slugs():
        model = standard_atmospheres.standard_atmosphere(slug)
        assert isa(model.bottom, standard=slug).pressure > isa(model.top, standard=slug).pressure
        assert model.source
        assert height_from_pressure(isa(7e3, standard=slug).pressure, standard=slug) == (
            pytest.approx(7e3)
        )


def test_a_faulty_table_names_what_it_lacks(monkeypatch):
    """An atmosphere with a constant missing, or no layers, is a TableError."""
    whole = standard_atmospheres.load_rows
    rule = {"constants": lambda r: r["quantity"] != "gravity", "layers": lambda r: False}
    for spoilt, said in (("constants", "gravity"), ("layers", "do not rise from 0 m")):
        monkeypatch.setattr(
            standard_atmospheres,
            "load_rows",
            lambda name, spoilt=spoilt: tuple(
                row for row in whole(name) if not name.endswith(spoilt) or rule[spoilt](row)
            ),
        )
        with pytest.raises(TableError, match=said):
            standard_atmospheres.standard_atmosphere.__wrapped__("iso2533")


@pytest.mark.parametrize(
    ("year", "tradition", "slug"),
    [
        (1930, "american", "naca1925"),
        (1930, "british", "ican"),
        (1945, "unknown", "ican"),
        (1955, "american", "icao1952"),
        (1970, "german", "iso2533"),
        (1980, "american", "us1976"),
    ],
)
def test_a_year_chooses_its_atmosphere(year, tradition, slug):
    """A paper's year and tradition choose the atmosphere it was reckoned in."""
    assert standard_atmospheres.atmosphere_of_year(year, tradition) == slug


def test_a_year_before_all_of_them_is_refused():
    """Before the first standard atmosphere there is none to choose."""
    with pytest.raises(OutOfRangeError, match="1915"):
        standard_atmospheres.atmosphere_of_year(1915)
