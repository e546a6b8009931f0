"""Airspeeds: indicated, calibrated, equivalent, true, Mach, and the impact pressure.

An airspeed indicator is a gauge of impact pressure with speeds drawn on its dial as if it
stood at sea level on a standard day. *Calibrated* (British: rectified) speed is what a
faultless one shows; *indicated* has the instrument's and its opening's errors still in it;
*equivalent* is true speed scaled by the root of the density ratio. Before about 1940 the
papers did not part calibrated and equivalent: at 250 knots and 10 000 ft they differ by
two knots.

Speeds in m/s, pressures in Pa absolute (the impact pressure a difference), temperatures in
K. Subsonic flow of dry air, heat ratio 1.4; Mach numbers above 1 are refused, since a shock
stands before the tube. All functions take numbers or arrays that fit each other, and refuse
negative speeds and whatever is not a number.

References
----------
[R1135] NACA Report 1135 (1953), Equations, tables and charts for compressible flow.
[ISO2533] ISO 2533:1975, Standard Atmosphere.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.altimetry import station_pressure
from reconcile.measure.atmosphere import height_from_pressure, isa
from reconcile.measure.operands import check_fitting, functions_for, operand_of
from reconcile.measure.standard_atmospheres import standard_atmosphere


def impact_pressure_from_mach(mach: Any, pressure_pa: Any) -> Any:
    """Impact pressure [Pa] at a Mach number and a static pressure [Pa].

    Examples
    --------
    >>> round(impact_pressure_from_mach(0.5, 101_325))
    18868
    """
    mach = _speed(mach, "the Mach number", most=1.0)
    pressure = _positive(pressure_pa, "the pressure", mach)
    return pressure * _rise(mach)


def mach_from_impact_pressure(impact_pa: Any, pressure_pa: Any) -> Any:
    """Mach number from impact and static pressure [Pa]."""
    impact = _speed(impact_pa, "the impact pressure")
    return _mach(impact / _positive(pressure_pa, "the pressure", impact))


def impact_pressure_from_calibrated(calibrated: Any) -> Any:
    """Impact pressure [Pa] behind a calibrated airspeed [m/s].

    Examples
    --------
    >>> round(impact_pressure_from_calibrated(100.0), 1)
    6258.4
    """
    pressure, _, sound = _sea_level()
    return pressure * _rise(_speed(calibrated, "the airspeed", most=sound) / sound)


def calibrated_from_impact_pressure(impact_pa: Any) -> Any:
    """Calibrated airspeed [m/s] that an impact pressure [Pa] makes a dial show."""
    pressure, _, sound = _sea_level()
    return sound * _mach(_speed(impact_pa, "the impact pressure") / pressure)


def mach_from_calibrated(calibrated: Any, pressure_pa: Any) -> Any:
    """Mach number from calibrated airspeed [m/s] and static pressure [Pa]."""
    return mach_from_impact_pressure(impact_pressure_from_calibrated(calibrated), pressure_pa)


def calibrated_from_mach(mach: Any, pressure_pa: Any) -> Any:
    """Calibrated airspeed [m/s] from Mach number and static pressure [Pa]."""
    return calibrated_from_impact_pressure(impact_pressure_from_mach(mach, pressure_pa))


def true_from_mach(mach: Any, temperature_k: Any) -> Any:
    """True airspeed [m/s] from Mach number and air temperature [K]."""
    mach = _speed(mach, "the Mach number", most=1.0)
    return mach * _sound_speed(temperature_k, mach)


def mach_from_true(true: Any, temperature_k: Any) -> Any:
    """Mach number from true airspeed [m/s] and air temperature [K]."""
    true = _speed(true, "the airspeed")
    return _speed(true / _sound_speed(temperature_k, true), "the Mach number", most=1.0)


def equivalent_from_true(true: Any, density: Any) -> Any:
    """Equivalent airspeed [m/s] from true airspeed [m/s] and air density [kg/m**3]."""
    true = _speed(true, "the airspeed")
    return true * _density_root(density, true)


def true_from_equivalent(equivalent: Any, density: Any) -> Any:
    """True airspeed [m/s] from equivalent airspeed [m/s] and air density [kg/m**3].

    Examples
    --------
    >>> round(true_from_equivalent(100.0, 0.7364), 2)
    128.98
    """
    equivalent = _speed(equivalent, "the airspeed")
    return equivalent / _density_root(density, equivalent)


def equivalent_from_mach(mach: Any, pressure_pa: Any) -> Any:
    """Equivalent airspeed [m/s] from Mach number and static pressure [Pa].

    The temperature is not needed: at equal Mach number the dynamic pressure goes with the
    static one.
    """
    sea, _, sound = _sea_level()
    mach = _speed(mach, "the Mach number", most=1.0)
    return mach * (sound * _root(_positive(pressure_pa, "the pressure", mach) / sea))


def mach_from_equivalent(equivalent: Any, pressure_pa: Any) -> Any:
    """Mach number from equivalent airspeed [m/s] and static pressure [Pa]."""
    sea, _, sound = _sea_level()
    equivalent = _speed(equivalent, "the airspeed")
    ratio = _positive(pressure_pa, "the pressure", equivalent) / sea
    return _speed(equivalent / (sound * _root(ratio)), "the Mach number", most=1.0)


def equivalent_from_calibrated(calibrated: Any, pressure_pa: Any) -> Any:
    """Equivalent airspeed [m/s] from calibrated [m/s] and static pressure [Pa].

    The difference is the compressibility correction of the old tables; it is nought at
    sea level pressure.
    """
    return equivalent_from_mach(mach_from_calibrated(calibrated, pressure_pa), pressure_pa)


def calibrated_from_equivalent(equivalent: Any, pressure_pa: Any) -> Any:
    """Calibrated airspeed [m/s] from equivalent [m/s] and static pressure [Pa]."""
    return calibrated_from_mach(mach_from_equivalent(equivalent, pressure_pa), pressure_pa)


def true_from_calibrated(calibrated: Any, pressure_pa: Any, temperature_k: Any) -> Any:
    """True airspeed [m/s] from calibrated [m/s], static pressure [Pa], temperature [K].

    Examples
    --------
    >>> air = isa(3_048)
    >>> round(true_from_calibrated(128.611, air.pressure, air.temperature), 2)
    148.52
    """
    return true_from_mach(mach_from_calibrated(calibrated, pressure_pa), temperature_k)


def calibrated_from_true(true: Any, pressure_pa: Any, temperature_k: Any) -> Any:
    """Calibrated airspeed [m/s] from true [m/s], static pressure [Pa], temperature [K]."""
    return calibrated_from_mach(mach_from_true(true, temperature_k), pressure_pa)


def calibrated_from_indicated(
    indicated: float, corrections: Sequence[tuple[float, float]]
) -> float:
    """Calibrated airspeed from indicated, by the machine's printed correction card.

    Parameters
    ----------
    indicated : float
        In the unit of the card.
    corrections : sequence of (indicated, correction)
        Rows of the card, the correction to be added; between rows it runs straight.

    Returns
    -------
    calibrated : float

    Raises
    ------
    OutOfRangeError
        The speed lies outside the card. A correction is not carried on beyond its ends.

    Examples
    --------
    >>> calibrated_from_indicated(130.0, [(100, 4), (140, 2), (200, -1)])
    132.5
    """
    card = sorted(corrections)
    speeds = [row[0] for row in card]
    if len(set(speeds)) != len(speeds) or not card:
        raise UsageError(
            "a correction card needs rows, each for another speed", expected="rising speeds"
        )
    if not speeds[0] <= indicated <= speeds[-1]:
        raise OutOfRangeError(
            f"an indicated airspeed of {indicated:g} lies outside the correction card",
            expected=f"{speeds[0]:g} to {speeds[-1]:g}",
        )
    above = min(bisect_right(speeds, indicated), len(card) - 1)
    if above == 0:
        return indicated + card[0][1]
    (v0, c0), (v1, c1) = card[above - 1], card[above]
    return indicated + c0 + (c1 - c0) * (indicated - v0) / (v1 - v0)


@dataclass(frozen=True, slots=True)
class Airspeeds:
    """One speed in all its forms, with the air it was worked out for."""

    calibrated: Any
    """[m/s]"""
    equivalent: Any
    """[m/s]"""
    true: Any
    """[m/s]"""
    mach: Any
    impact_pressure: Any
    """[Pa], a difference"""
    pressure: Any
    """Static, absolute [Pa]"""
    temperature: Any
    """[K]"""


_MACH_FROM = {
    "calibrated": lambda v, p, t: mach_from_calibrated(v, p),
    "equivalent": lambda v, p, t: mach_from_equivalent(v, p),
    "true": lambda v, p, t: mach_from_true(v, t),
    "mach": lambda v, p, t: _speed(v, "the Mach number", most=1.0),
    "impact_pressure": lambda v, p, t: mach_from_impact_pressure(v, p),
}


def airspeeds(
    height_m: Any,
    *,
    setting_pa: Any = None,
    offset_k: Any = 0.0,
    standard: str = "iso2533",
    **speed: Any,
) -> Airspeeds:
    """All airspeeds from one of them, at a height.

    Parameters
    ----------
    height_m : float or array, [m]
        What the altimeter shows: pressure height, unless `setting_pa` is given.
    setting_pa : float or array, optional, [Pa]
        What the altimeter is set to; the height is then corrected for it.
    offset_k : float or array, [K]
        Air warmer than standard by so much.
    standard : str
        Slug of the atmosphere on the altimeter's dial.
    **speed
        Exactly one of ``calibrated``, ``equivalent``, ``true`` [m/s], ``mach``,
        ``impact_pressure`` [Pa].

    Returns
    -------
    speeds : Airspeeds

    Raises
    ------
    UsageError
        No speed, more than one, or one of no known kind.
    OutOfRangeError
        A speed above that of sound, a height outside the atmosphere.

    Examples
    --------
    >>> speeds = airspeeds(3_048, true=150.0)
    >>> round(speeds.calibrated, 2), round(speeds.equivalent, 2), round(speeds.mach, 4)
    (129.91, 128.9, 0.4568)
    """
    if len(speed) != 1 or not speed.keys() <= _MACH_FROM.keys():
        raise UsageError(
            f"{len(speed)} speeds given ({', '.join(speed) or 'none'})",
            expected="exactly one of " + ", ".join(_MACH_FROM),
        )
    if setting_pa is not None:
        static = station_pressure(setting_pa, height_m, standard=standard)
        height_m = height_from_pressure(static, standard=standard)
    air = isa(height_m, offset_k=offset_k, standard=standard)
    pressure, temperature = air.pressure, air.temperature
    ((kind, value),) = speed.items()
    mach = _MACH_FROM[kind](value, pressure, temperature)
    impact = impact_pressure_from_mach(mach, pressure)
    return Airspeeds(
        calibrated=calibrated_from_impact_pressure(impact),
        equivalent=equivalent_from_mach(mach, pressure),
        true=true_from_mach(mach, temperature),
        mach=mach,
        impact_pressure=impact,
        pressure=pressure,
        temperature=temperature,
    )


def _sea_level() -> tuple[float, float, float]:
    """Pressure, density and speed of sound that airspeed dials are drawn for."""
    air = isa(0.0)
    return air.pressure, air.density, air.sound_speed


def _rise(mach: Any) -> Any:
    """Impact over static pressure at a Mach number, kept whole at low speeds."""
    m = functions_for(mach)
    return m.expm1(3.5 * m.log1p(0.2 * mach * mach))


def _mach(rise: Any) -> Any:
    m = functions_for(rise)
    mach = m.sqrt(5.0 * m.expm1(m.log1p(rise) / 3.5))
    return _speed(mach, "the Mach number", most=1.0)


def _sound_speed(temperature_k: Any, beside: Any) -> Any:
    model = standard_atmosphere("iso2533")
    temperature = _positive(temperature_k, "the temperature", beside)
    return _root(model.heat_ratio * model.gas_constant * temperature)


def _density_root(density: Any, beside: Any) -> Any:
    return _root(_positive(density, "the density", beside) / _sea_level()[1])


def _root(value: Any) -> Any:
    return functions_for(value).sqrt(value)


def _speed(value: Any, name: str, most: float = math.inf) -> Any:
    value = operand_of(value, name)
    # Rounding may carry an exact Mach 1 a bit or two over; more than that is a shock.
    inside = (value >= 0.0) & (value <= most * (1.0 + 1e-12)) & (value < math.inf)
    if isinstance(value, float):
        bad = None if inside else value
    else:
        bad = None if inside.all() else float(value[~inside].flat[0])
    if bad is not None:
        what = f"{name} is {bad:g}"
        if math.isinf(most):
            raise OutOfRangeError(what, expected="nought or more")
        raise OutOfRangeError(
            what, expected=f"0 to {most:.6g}", do="use it below the speed of sound only"
        )
    return value


def _positive(value: Any, name: str, beside: Any) -> Any:
    """The value where it is above nought and fits the speed it stands beside."""
    value = operand_of(value, name)
    check_fitting(value, beside)
    inside = (value > 0.0) & (value < math.inf)
    if not (inside if isinstance(value, float) else inside.all()):
        raise OutOfRangeError(f"{name} is not above nought everywhere", expected="more than 0")
    return value
