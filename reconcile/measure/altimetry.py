"""Heights an altimeter shows, station pressures, density heights, off-standard days.

An altimeter is an aneroid with the standard atmosphere drawn on its dial: it shows the
difference between two pressure heights, that of the air and that of its setting.
Heights are geopotential [m]; the present standard atmosphere (ISO 2533) is meant unless
another is named. All functions take single numbers or arrays that fit each other.

References
----------
[DOC7488] ICAO Doc 7488/3 (1993), Manual of the ICAO Standard Atmosphere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reconcile.errors import OutOfRangeError
from reconcile.measure.atmosphere import height_from_density, height_from_pressure, isa
from reconcile.measure.operands import all_true, check_fitting, functions_for, operand_of
from reconcile.measure.standard_atmospheres import standard_atmosphere


def pressure_height(pressure_pa: Any, *, setting_pa: Any = None, standard: str = "iso2533") -> Any:
    """Height an altimeter shows.

    Parameters
    ----------
    pressure_pa : float or array, [Pa]
        Static pressure at the altimeter, absolute.
    setting_pa : float or array, optional, [Pa]
        What its sub-scale is set to; the standard's sea-level pressure by default.
    standard : str
        Slug of the atmosphere on its dial.

    Returns
    -------
    height : float or array, [m]

    Raises
    ------
    OutOfRangeError
        A pressure that stands nowhere in the atmosphere.

    Examples
    --------
    >>> round(pressure_height(69_681.6) / 0.3048)
    10000
    """
    height = height_from_pressure(pressure_pa, standard=standard)
    if setting_pa is None:
        return height
    return _joined(height, height_from_pressure(setting_pa, standard=standard), -1.0)


def station_pressure(setting_pa: Any, elevation_m: Any, *, standard: str = "iso2533") -> Any:
    """Pressure at a field from its altimeter setting.

    Parameters
    ----------
    setting_pa : float or array, [Pa]
        The setting at which an altimeter on the field shows its elevation (QNH).
    elevation_m : float or array, [m]

    Returns
    -------
    pressure : float or array, [Pa]

    Examples
    --------
    >>> round(station_pressure(101_325, 1_000), 1)
    89874.6
    """
    height = height_from_pressure(setting_pa, standard=standard)
    return isa(_joined(height, elevation_m, 1.0), standard=standard).pressure


def altimeter_setting(
    station_pressure_pa: Any, elevation_m: Any, *, standard: str = "iso2533"
) -> Any:
    """Altimeter setting of a field from the pressure on it.

    Parameters
    ----------
    station_pressure_pa : float or array, [Pa]
        Absolute.
    elevation_m : float or array, [m]

    Returns
    -------
    setting : float or array, [Pa]

    Examples
    --------
    >>> round(altimeter_setting(89_874.56, 1_000), 1)
    101325.0
    """
    height = height_from_pressure(station_pressure_pa, standard=standard)
    return isa(_joined(height, elevation_m, -1.0), standard=standard).pressure


def density_height(pressure_pa: Any, temperature_k: Any, *, standard: str = "iso2533") -> Any:
    """Height at which the standard atmosphere is as dense as the given air.

    Parameters
    ----------
    pressure_pa : float or array, [Pa]
        Absolute.
    temperature_k : float or array, [K]
        Of dry air; moist air is thinner, by up to 2 per cent on a hot damp day.

    Returns
    -------
    height : float or array, [m]

    Raises
    ------
    OutOfRangeError
        A temperature at or below absolute zero, or a density found nowhere.

    Examples
    --------
    >>> round(density_height(101_325, 303.15))
    525
    """
    model = standard_atmosphere(standard)
    pressure = operand_of(pressure_pa, "the pressure")
    temperature = operand_of(temperature_k, "the temperature")
    check_fitting(pressure, temperature)
    if not all_true(temperature > 0.0):
        raise OutOfRangeError(
            f"a temperature of {temperature_k} K", expected="more than absolute zero"
        )
    return height_from_density(pressure / (model.gas_constant * temperature), standard=standard)


def temperature_offset(
    pressure_height_m: Any, temperature_k: Any, *, standard: str = "iso2533"
) -> Any:
    """How much warmer than standard the air is [K] at a pressure height [m].

    Examples
    --------
    >>> round(temperature_offset(2_000, 293.15), 2)
    18.0
    """
    return _joined(
        operand_of(temperature_k, "the temperature"),
        isa(pressure_height_m, standard=standard).temperature,
        -1.0,
    )


def true_height(pressure_height_m: Any, offset_k: float, *, standard: str = "iso2533") -> Any:
    """Height above the standard pressure level on a day warmer or colder throughout.

    Parameters
    ----------
    pressure_height_m : float or array, [m]
    offset_k : float, [K]
        Warmer than standard, the same at every height.

    Returns
    -------
    height : float or array, [m]
        Geopotential height above the level whose pressure is the standard's at sea level.

    Notes
    -----
    From hydrostatic balance, with T + dT for T at equal pressure:
    H = Hp - (R dT / g) ln(p / p0).

    Examples
    --------
    >>> round(true_height(5_000, 20.0))
    5368
    """
    model = standard_atmosphere(standard)
    air = isa(pressure_height_m, offset_k=offset_k, standard=standard)
    thickness = -model.gas_constant * offset_k / model.gravity
    fall = functions_for(air.pressure).log(air.pressure / model.layers[0].base_pressure)
    return operand_of(pressure_height_m, "the height") + thickness * fall


def pressure_height_on_day(
    true_height_m: Any, offset_k: float, *, standard: str = "iso2533"
) -> Any:
    """Pressure height [m] met at a true height [m] on an off-standard day.

    The inverse of `true_height`, by Newton's method; to 1e-9 m.

    Raises
    ------
    OutOfRangeError
        The pressure height lies outside the atmosphere.

    Examples
    --------
    >>> round(pressure_height_on_day(true_height(5_000, 20.0), 20.0), 6)
    5000.0
    """
    model = standard_atmosphere(standard)
    wanted = operand_of(true_height_m, "the height")
    estimate = _inside(wanted, model.bottom, model.top)
    for _ in range(50):
        warm = isa(estimate, offset_k=offset_k, standard=standard).temperature
        # dH/dHp = (T + dT) / T
        step = (true_height(estimate, offset_k, standard=standard) - wanted) * (
            (warm - offset_k) / warm
        )
        moved = _inside(estimate - step, model.bottom, model.top)
        done = all_true(abs(moved - estimate) < 1e-9)
        estimate = moved
        if done:
            break
    miss = abs(true_height(estimate, offset_k, standard=standard) - wanted)
    if not all_true(miss < 1e-6):
        raise OutOfRangeError(
            "the pressure height on that day lies outside the atmosphere",
            expected=f"{model.bottom:.0f} m to {model.top:.0f} m",
        )
    return estimate


@dataclass(frozen=True, slots=True)
class AtmosphereDifference:
    """What two standard atmospheres say at one height."""

    height: float
    """[m]"""
    temperature: float
    """In the one asked about [K]."""
    pressure: float
    """[Pa]"""
    density: float
    """[kg/m**3]"""
    temperature_difference: float
    """One asked about less the one it is set against [K]."""
    pressure_difference: float
    """Relative, of pressure."""
    density_difference: float
    """Relative, of density."""
    height_difference: float
    """Height of the same pressure in the other, less `height` [m]."""


def compare_atmospheres(
    heights_m: Sequence[float], standard: str, against: str = "iso2533"
) -> list[AtmosphereDifference]:
    """What a rival standard atmosphere says at some heights, set against another.

    Parameters
    ----------
    heights_m : sequence of float, [m]
    standard, against : str
        Slugs of the atmospheres.

    Returns
    -------
    rows : list of AtmosphereDifference, one a height

    Examples
    --------
    >>> row = compare_atmospheres([12_192.0], "naca1925")[0]
    >>> round(100 * row.pressure_difference, 4)
    0.0525
    """
    rows = []
    for height in heights_m:
        rival, other = isa(height, standard=standard), isa(height, standard=against)
        rows.append(
            AtmosphereDifference(
                height=float(height),
                temperature=rival.temperature,
                pressure=rival.pressure,
                density=rival.density,
                temperature_difference=rival.temperature - other.temperature,
                pressure_difference=rival.pressure / other.pressure - 1.0,
                density_difference=rival.density / other.density - 1.0,
                height_difference=height_from_pressure(rival.pressure, standard=against) - height,
            )
        )
    return rows


def _joined(left: Any, right: Any, sign: float) -> Any:
    left, right = operand_of(left, "the height"), operand_of(right, "the height")
    check_fitting(left, right)
    return left + sign * right


def _inside(value: Any, lo: float, hi: float) -> Any:
    return min(max(value, lo), hi) if isinstance(value, float) else value.clip(lo, hi)
