"""Formulas of the piston engine and the airscrew, in SI, plain floats.

References
----------
[Taylor] C. F. Taylor, The Internal-Combustion Engine in Theory and Practice, vol. 1
    (2nd ed., 1985): mean effective pressure, mean piston speed.
[Heywood] J. B. Heywood, Internal Combustion Engine Fundamentals (1988), chapter 2.
[ISO2533] ISO 2533:1975, Standard Atmosphere, for ambient pressure and speed of sound.
"""

from __future__ import annotations

import math

from reconcile.measure.atmosphere import isa


def power_from_torque(torque: float, speed: float) -> float:
    """Power [W] of a shaft.

    Parameters
    ----------
    torque : float, [N.m]
    speed : float, [1/s]
        Revolutions, not radians, a second.

    References
    ----------
    [Heywood] eq. 2.13: P = 2 pi N T.

    Examples
    --------
    >>> round(power_from_torque(1000.0, 40.0))
    251327
    """
    return 2 * math.pi * speed * torque


def brake_mean_effective_pressure(
    power: float, swept_volume: float, speed: float, *, strokes: int = 4
) -> float:
    """Brake mean effective pressure [Pa]: a difference, with no reference form.

    Parameters
    ----------
    power : float, [W]
    swept_volume : float, [m**3]
        Of all cylinders.
    speed : float, [1/s]
        Crankshaft revolutions a second.
    strokes : int
        4 or 2 a cycle.

    References
    ----------
    [Heywood] eq. 2.19a: mep = P n_R / (V_d N), n_R revolutions a power stroke.

    Examples
    --------
    1,030 b.h.p. from 27 litres at 3,000 rev/min is some 165 lb/sq.in.

    >>> round(brake_mean_effective_pressure(1030 * 745.7, 0.027, 50.0) / 6894.757)
    165
    """
    return power * (strokes / 2) / (swept_volume * speed)


def mean_piston_speed(stroke: float, speed: float) -> float:
    """Mean piston speed [m/s].

    Parameters
    ----------
    stroke : float, [m]
    speed : float, [1/s]

    References
    ----------
    [Heywood] eq. 2.9: S_p = 2 L N.

    Examples
    --------
    >>> round(mean_piston_speed(0.1524, 50.0), 2)
    15.24
    """
    return 2 * stroke * speed


def swept_volume(bore: float, stroke: float, cylinders: int) -> float:
    """Swept volume [m**3] of all cylinders.

    Parameters
    ----------
    bore, stroke : float, [m]
    cylinders : int

    Examples
    --------
    >>> round(swept_volume(0.1372, 0.1524, 12) * 1000, 1)
    27.0
    """
    return math.pi / 4 * bore**2 * stroke * cylinders


def tip_speed(diameter: float, speed: float, forward: float = 0.0) -> float:
    """Speed [m/s] of an airscrew's or impeller's tip.

    Parameters
    ----------
    diameter : float, [m]
    speed : float, [1/s]
        Of the airscrew, after its gear.
    forward : float, [m/s]
        True airspeed, at right angles to the turning.

    Examples
    --------
    >>> round(tip_speed(3.2766, 23.85), 1)
    245.5
    """
    return math.hypot(math.pi * diameter * speed, forward)


def tip_mach(diameter: float, speed: float, height_m: float = 0.0, forward: float = 0.0) -> float:
    """Mach number of an airscrew's tip in the standard atmosphere.

    Parameters
    ----------
    diameter : float, [m]
    speed : float, [1/s]
    height_m : float, [m], geopotential
    forward : float, [m/s]
    """
    return tip_speed(diameter, speed, forward) / float(isa(height_m).sound_speed)


def boost_over_ambient(boost: float, height_m: float, *, datum: float = 101325.0) -> float:
    """Pressure rise [Pa] of the induction over the outside air.

    Parameters
    ----------
    boost : float, [Pa]
        Counted from `datum`, as a boost gauge shows it.
    height_m : float, [m], geopotential
    datum : float, [Pa]

    Examples
    --------
    >>> round(boost_over_ambient(8 * 6894.757293, 3048.0))
    86801
    """
    return datum + boost - float(isa(height_m).pressure)


def static_boost(height_m: float, *, loss: float = 0.0, datum: float = 101325.0) -> float:
    """Boost [Pa] that an unsupercharged engine can hold, full throttle, at a height.

    Parameters
    ----------
    height_m : float, [m], geopotential
    loss : float, [Pa]
        Of the intake, at full throttle.
    datum : float, [Pa]

    Examples
    --------
    Engine stopped at 5,000 ft the boost gauge shows the air: -2.5 lb/sq.in.

    >>> round(static_boost(1524.0) / 6894.757293, 2)
    -2.47
    """
    return float(isa(height_m).pressure) - loss - datum


def fuel_flow(power: float, specific_consumption: float) -> float:
    """Mass flow [kg/s] of fuel.

    Parameters
    ----------
    power : float, [W]
    specific_consumption : float, [kg/J]

    Examples
    --------
    1,000 b.h.p. at 0.5 lb/b.h.p.-hour is 500 lb an hour.

    >>> round(fuel_flow(745699.87, 0.5 * 0.45359237 / 745.69987 / 3600) * 3600 / 0.45359237, 3)
    500.0
    """
    return power * specific_consumption
