"""The standard atmosphere: temperature, pressure, density, and the heights they stand at.

Heights are geopotential unless said otherwise, in metres; everything is in SI. A single
number goes through plain Python arithmetic and gives plain floats; an array goes through
NumPy (imported only then) in `reconcile.measure.atmosphere_columns`.

References
----------
[ISO2533] ISO 2533:1975, Standard Atmosphere, with addenda 1 and 2.
[DOC7488] ICAO Doc 7488/3 (1993), Manual of the ICAO Standard Atmosphere.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from math import exp, expm1, inf, log1p, sqrt
from typing import TYPE_CHECKING, Any, Generic, TypeVar, overload

from reconcile.errors import OutOfRangeError
from reconcile.measure.operands import number_of, operand_of
from reconcile.measure.standard_atmospheres import StandardAtmosphere, standard_atmosphere

if TYPE_CHECKING:
    import numpy as np

    Column = np.ndarray[Any, np.dtype[np.float64]]

T = TypeVar("T")


class Air(Generic[T]):
    """The state of the air at one height, or at a column of heights.

    Temperature and pressure are kept; the rest follows from them when asked for.

    Parameters
    ----------
    temperature : float or array, [K]
    pressure : float or array, [Pa]
    standard : StandardAtmosphere
        Whose constants of the gas to use.
    """

    __slots__ = ("_standard", "pressure", "temperature")

    def __init__(self, temperature: T, pressure: T, standard: StandardAtmosphere) -> None:
        self.temperature = temperature
        self.pressure = pressure
        self._standard = standard

    @property
    def density(self) -> T:
        """Density of dry air [kg/m**3]."""
        t: Any = self.temperature
        return self.pressure / (self._standard.gas_constant * t)

    @property
    def sound_speed(self) -> T:
        """Speed of sound [m/s]."""
        t: Any = self.temperature
        return _root(self._standard.heat_ratio * self._standard.gas_constant * t)

    @property
    def dynamic_viscosity(self) -> T:
        """Dynamic viscosity by Sutherland's formula [Pa.s]."""
        t: Any = self.temperature
        s = self._standard
        viscosity: T = s.viscosity_coefficient * t * _root(t) / (t + s.viscosity_temperature)
        return viscosity

    @property
    def kinematic_viscosity(self) -> T:
        """Kinematic viscosity [m**2/s]."""
        viscosity: Any = self.dynamic_viscosity
        return viscosity / self.density

    def __repr__(self) -> str:
        return (
            f"Air(temperature={self.temperature!r}, pressure={self.pressure!r}, "
            f"standard={self._standard.slug!r})"
        )


def _root(x: Any) -> Any:
    return sqrt(x) if isinstance(x, float) else x**0.5


@overload
def isa(
    height_m: float, *, geometric: bool = ..., offset_k: float = ..., standard: str = ...
) -> Air[float]: ...
@overload
def isa(
    height_m: Column, *, geometric: bool = ..., offset_k: float = ..., standard: str = ...
) -> Air[Column]: ...
def isa(
    height_m: Any, *, geometric: bool = False, offset_k: float = 0.0, standard: str = "iso2533"
) -> Air[Any]:
    """Temperature, pressure and what follows from them at a height.

    Parameters
    ----------
    height_m : float or array of any shape, [m]
        Geopotential height, -5 000 m to 80 000 m (narrower for the older atmospheres).
    geometric : bool
        Take `height_m` as geometric height.
    offset_k : float, [K]
        Off-standard day: added to every temperature. The pressure stays: `height_m` is
        then a pressure height.
    standard : str
        Slug of the atmosphere, see `standard_atmosphere`.

    Returns
    -------
    air : Air
        With temperature [K], pressure [Pa], density [kg/m**3], sound_speed [m/s],
        dynamic_viscosity [Pa.s] and kinematic_viscosity [m**2/s], each shaped like
        `height_m`.

    Raises
    ------
    OutOfRangeError
        A height outside the atmosphere, or not a number; an offset that leaves no
        temperature.

    Notes
    -----
    Within 1e-14 of the defining equations; the exact base values at layer boundaries.

    References
    ----------
    [ISO2533] clauses 2 and 3.

    Examples
    --------
    >>> air = isa(11_000)
    >>> air.temperature, round(air.pressure, 2), round(air.sound_speed, 3)
    (216.65, 22632.04, 295.069)
    """
    model = standard_atmosphere(standard)
    height = number_of(height_m, "the height")
    offset = number_of(offset_k, "the offset")
    if height is None or offset is None:
        from reconcile.measure import atmosphere_columns

        temperature, pressure = atmosphere_columns.state(model, height_m, geometric, offset_k)
        return Air(temperature, pressure, model)
    if geometric:
        # Far outside anyway, and the conversion has a pole at the centre of the Earth.
        height = model.to_geopotential(height) if abs(height) < 1e6 else inf
    if not model.bottom <= height <= model.top:
        raise model.height_error(height_m, geometric)
    layer = model.layer_at(height)
    rise = height - layer.base_height
    if layer.gradient:
        t = layer.base_temperature + layer.gradient * rise
        # log1p keeps the last bits where a large exponent (34 above 20 km) would lose them.
        p = layer.base_pressure * exp(-layer.exponent * log1p(layer.relative_gradient * rise))
    else:
        t = layer.base_temperature
        p = layer.base_pressure * exp(-layer.decay * rise)
    t += offset
    if not 0.0 < t < 1e4:
        raise OutOfRangeError(
            f"an offset of {offset:g} K makes the temperature {t:g} K",
            expected="a temperature above absolute zero",
        )
    return Air(t, p, model)


@overload
def height_from_pressure(
    pressure_pa: float, *, geometric: bool = ..., standard: str = ...
) -> float: ...
@overload
def height_from_pressure(
    pressure_pa: Column, *, geometric: bool = ..., standard: str = ...
) -> Column: ...
def height_from_pressure(
    pressure_pa: Any, *, geometric: bool = False, standard: str = "iso2533"
) -> Any:
    """Height at which the standard atmosphere has a pressure: its pressure height.

    Parameters
    ----------
    pressure_pa : float or array of any shape, [Pa]
        Absolute pressure.
    geometric : bool
        Give geometric height.
    standard : str
        Slug of the atmosphere.

    Returns
    -------
    height : same shape as `pressure_pa`, [m]

    Raises
    ------
    OutOfRangeError
        The pressure is found nowhere in the atmosphere, or is not a number.

    Examples
    --------
    >>> height_from_pressure(isa(20_000).pressure)
    20000.0
    """
    return _height(pressure_pa, standard, geometric, "pressure", "Pa")


@overload
def height_from_density(density: float, *, geometric: bool = ..., standard: str = ...) -> float: ...
@overload
def height_from_density(
    density: Column, *, geometric: bool = ..., standard: str = ...
) -> Column: ...
def height_from_density(density: Any, *, geometric: bool = False, standard: str = "iso2533") -> Any:
    """Height at which the standard atmosphere has a density: its density height.

    Parameters
    ----------
    density : float or array of any shape, [kg/m**3]
    geometric : bool
        Give geometric height.
    standard : str
        Slug of the atmosphere.

    Returns
    -------
    height : same shape as `density`, [m]

    Raises
    ------
    OutOfRangeError
        The density is found nowhere in the atmosphere, or is not a number.

    Examples
    --------
    >>> round(height_from_density(1.0), 1)
    2064.3
    """
    return _height(density, standard, geometric, "density", "kg/m3")


def _height(value: Any, standard: str, geometric: bool, which: str, unit: str) -> Any:
    model = standard_atmosphere(standard)
    number = number_of(value, f"the {which}")
    limits = _limits_of(model, which)
    if number is None:
        from reconcile.measure import atmosphere_columns

        return atmosphere_columns.height(model, value, which, unit, limits, geometric)
    if not limits[0] <= number <= limits[1]:
        raise model.value_error(number, which, unit, limits)
    by_pressure = which == "pressure"
    edges = model.upper_pressures if by_pressure else model.upper_densities
    layer = model.layers[bisect_right(edges, -number)]
    base = layer.base_pressure if by_pressure else layer.base_density
    # The difference is exact near the base, where a quotient would lose digits.
    fall = log1p((number - base) / base)
    if layer.gradient:
        exponent = layer.exponent if by_pressure else layer.exponent + 1.0
        height = layer.base_height + expm1(-fall / exponent) / layer.relative_gradient
    else:
        height = layer.base_height - fall / layer.decay
    height = min(max(height, model.bottom), model.top)
    return model.to_geometric(height) if geometric else height


@cache
def _limits_of(model: StandardAtmosphere, which: str) -> tuple[float, float]:
    """Least and greatest pressure [Pa] or density [kg/m**3] of an atmosphere."""
    top, bottom = isa(model.top, standard=model.slug), isa(model.bottom, standard=model.slug)
    return getattr(top, which), getattr(bottom, which)


def geopotential_height(geometric_m: T, *, standard: str = "iso2533") -> T:
    """Geopotential height [m] of a geometric one [m]; scalars or arrays.

    Raises
    ------
    OutOfRangeError
        A height is further than 1 000 km from the ground, or not a number.

    Examples
    --------
    >>> round(geopotential_height(11_000), 1)
    10981.0
    """
    model = standard_atmosphere(standard)
    height: T = model.to_geopotential(_near(geometric_m))
    return height


def geometric_height(geopotential_m: T, *, standard: str = "iso2533") -> T:
    """Geometric height [m] of a geopotential one [m]; scalars or arrays.

    Raises
    ------
    OutOfRangeError
        A height is further than 1 000 km from the ground, or not a number.

    Examples
    --------
    >>> round(geometric_height(11_000), 1)
    11019.1
    """
    model = standard_atmosphere(standard)
    height: T = model.to_geometric(_near(geopotential_m))
    return height


def _near(height: Any) -> Any:
    """The height as a float or an array, all of it near enough to the ground."""
    near = operand_of(height, "the height")
    worst = abs(near) if isinstance(near, float) else float(abs(near).max(initial=0.0))
    if not worst < 1e6:
        raise OutOfRangeError(f"a height of {worst:g} m", expected="less than 1 000 km")
    return near
