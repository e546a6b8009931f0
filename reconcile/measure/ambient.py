"""Pressure of the air around an instrument: stated, or from a standard atmosphere."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from reconcile.errors import OutOfRangeError
from reconcile.measure.constants import constant


@dataclass(frozen=True, slots=True)
class Ambient:
    """Pressure of the air around, and how it is known."""

    pressure: Fraction
    """[Pa]"""
    half_width: Fraction
    """Half-width of what is not known of it [Pa], rectangular."""
    how: str


def _finite(value: float | Fraction, what: str) -> Fraction:
    try:
        return Fraction(value)
    except (OverflowError, ValueError):
        raise OutOfRangeError(f"{what} is {value}", expected="a finite number") from None


def stated_ambient(pressure: float | Fraction, half_width: float | Fraction = 0) -> Ambient:
    """Ambient pressure given by the caller or the paper: a barometer, a station pressure.

    A station pressure is the pressure at the place itself; an altimeter setting (QNH) is
    not, and has to be brought to the place's height first.

    Parameters
    ----------
    pressure, half_width : number, [Pa]

    Raises
    ------
    OutOfRangeError
        Not finite, or not above zero.
    """
    p = _finite(pressure, "the ambient pressure")
    if p <= 0:
        raise OutOfRangeError(f"an ambient pressure of {float(p):g} Pa", expected="above zero")
    return Ambient(p, abs(_finite(half_width, "its half-width")), "stated")


def ambient_at(height_m: float, *, warmer_by: float = 0.0, standard: str = "iso2533") -> Ambient:
    """Ambient pressure at a geopotential height.

    Parameters
    ----------
    height_m : float, [m]
        Geopotential height. On a day as standard, the same as the pressure height.
    warmer_by : float, [K]
        A hot (or, below zero, cold) day: the whole column is warmer by this much and the
        pressure at sea level standard. Leave it 0 for a *pressure* height, which fixes
        the pressure whatever the day.
    standard : str
        Slug of the standard atmosphere.

    Returns
    -------
    ambient : Ambient
        With the weather's half-width.

    Raises
    ------
    OutOfRangeError
        The height is outside the standard atmosphere, or no air could be that cold.

    References
    ----------
    ISO 2533:1975.
    """
    from reconcile.measure.atmosphere import isa

    if warmer_by:
        p = Fraction(_pressure_on_day(height_m, warmer_by, standard))
        how = f"standard atmosphere at {float(height_m):g} m, {warmer_by:+g} K throughout"
    else:
        p = Fraction(isa(height_m, standard=standard).pressure)
        how = f"standard atmosphere at {float(height_m):g} m"
    return Ambient(p, p * constant("weather-half-width"), how)


def _pressure_on_day(height: float, warmer_by: float, standard: str) -> float:
    """Pressure [Pa] at a height in a column warmer by `warmer_by` than standard.

    The hydrostatic equation for the standard temperature plus a constant, from sea level
    to the height, layer by layer.
    """
    from math import exp, log

    from reconcile.measure.atmosphere import isa
    from reconcile.measure.standard_atmospheres import standard_atmosphere

    isa(height, offset_k=warmer_by, standard=standard)  # refuses what cannot be
    isa(0.0, offset_k=warmer_by, standard=standard)
    model = standard_atmosphere(standard)
    low, high = sorted((0.0, float(height)))
    bases = [low, *(h for h in model.upper_bases if low < h < high), high]
    total = 0.0
    for bottom, top in pairwise(bases):
        layer = model.layer_at(bottom)
        at_bottom = layer.base_temperature + layer.gradient * (bottom - layer.base_height)
        t = at_bottom + warmer_by
        rise = top - bottom
        total += log(1 + layer.gradient * rise / t) / layer.gradient if layer.gradient else rise / t
    fall = total * model.gravity / model.gas_constant
    p: float = isa(0.0, standard=standard).pressure * exp(-fall if height > 0 else fall)
    return p
