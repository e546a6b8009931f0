"""The standard atmospheres: defining constants, layers and pressures at the layer bases.

Only definitions live here; `reconcile.measure.atmosphere` computes with them. The rows
stand in ``tables/atmosphere``. Pressures and densities at the layer bases follow from the
constants and are worked out once, in 40-digit decimal arithmetic, so that the nearest
float stands at each base.

References
----------
[ISO2533] ISO 2533:1975, Standard Atmosphere, with addenda 1 and 2.
[DOC7488] ICAO Doc 7488/3 (1993), Manual of the ICAO Standard Atmosphere.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from reconcile.errors import OutOfRangeError, TableError, UnknownTermError
from reconcile.reference import load_rows

_DIGITS = Context(prec=40)


def _decimal(value: Fraction) -> Decimal:
    return _DIGITS.divide(Decimal(value.numerator), Decimal(value.denominator))


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer, its numbers as the nearest floats to the exact ones."""

    base_height: float
    """Height of the base [m]."""
    base_temperature: float
    """Temperature at the base [K]."""
    base_pressure: float
    """Pressure at the base [Pa]."""
    base_density: float
    """Density at the base [kg/m**3]."""
    gradient: float
    """Temperature gradient [K/m]; 0 in an isothermal layer."""
    relative_gradient: float
    """Gradient over base temperature [1/m]."""
    exponent: float
    """g / (R L) of a gradient layer; 0 in an isothermal one."""
    decay: float
    """g / (R T) of an isothermal layer [1/m]; 0 in a gradient layer."""


@dataclass(frozen=True, slots=True)
class StandardAtmosphere:
    """One standard atmosphere, ready to compute with."""

    slug: str
    name: str
    year_from: int
    year_to: int | None
    bottom: float
    """Lowest height [m]."""
    top: float
    """Greatest height [m]."""
    gravity: float
    gas_constant: float
    heat_ratio: float
    viscosity_coefficient: float
    viscosity_temperature: float
    earth_radius: float
    layers: tuple[Layer, ...]
    upper_bases: tuple[float, ...]
    """Base heights of all layers but the lowest [m], ascending."""
    upper_pressures: tuple[float, ...]
    """Minus the pressures at `upper_bases` [Pa], ascending for bisection."""
    upper_densities: tuple[float, ...]
    """Minus the densities at `upper_bases` [kg/m**3]."""
    source: str
    note: str

    def to_geopotential(self, geometric: Any) -> Any:
        """Geopotential height [m] of a geometric one [m]; floats or arrays."""
        return self.earth_radius * geometric / (self.earth_radius + geometric)

    def to_geometric(self, geopotential: Any) -> Any:
        """Geometric height [m] of a geopotential one [m]; floats or arrays."""
        return self.earth_radius * geopotential / (self.earth_radius - geopotential)

    def height_error(self, height: float, geometric: bool, where: str = "") -> OutOfRangeError:
        """The error for a height [m] outside the atmosphere."""
        bottom, top, kind = self.bottom, self.top, "geopotential"
        if geometric:
            bottom, top, kind = self.to_geometric(bottom), self.to_geometric(top), "geometric"
        return OutOfRangeError(
            f"{kind} height {float(height):g} m lies outside the {self.name}",
            where=where or None,
            expected=f"{bottom:.0f} m to {top:.0f} m",
        )

    def value_error(
        self, value: float, which: str, unit: str, limits: tuple[float, float], where: str = ""
    ) -> OutOfRangeError:
        """The error for a pressure or density that stands nowhere in the atmosphere."""
        return OutOfRangeError(
            f"a {which} of {value:g} {unit} stands nowhere in the {self.name}",
            where=where or None,
            expected=f"{limits[0]:.6g} to {limits[1]:.6g} {unit}",
        )

    def layer_at(self, height: float) -> Layer:
        """Layer holding `height` [m]; a boundary belongs to the layer above it."""
        return self.layers[bisect_right(self.upper_bases, height)]


@cache
def standard_atmosphere(slug: str) -> StandardAtmosphere:
    """The standard atmosphere of that name.

    Parameters
    ----------
    slug : str
        A slug of ``tables/atmosphere/atmospheres``: ``"iso2533"``, ``"us1976"``,
        ``"icao1952"``, ``"ican"``, ``"naca1925"``.

    Raises
    ------
    UnknownTermError
        No atmosphere goes by that name.
    TableError
        Its rows do not define it wholly.

    Examples
    --------
    >>> standard_atmosphere("iso2533").layers[1].base_pressure
    22632.0400950...
    """
    rows = {row["slug"]: row for row in load_rows("atmosphere/atmospheres")}
    if slug not in rows:
        raise UnknownTermError(
            f"no standard atmosphere goes by {slug!r}", expected="one of " + ", ".join(rows)
        )
    row = rows[slug]
    given = {
        r["quantity"]: Fraction(r["value"])
        for r in load_rows("atmosphere/constants")
        if r["atmosphere"] == slug
    }
    try:
        gravity, temperature = given["gravity"], given["sea_level_temperature"]
        pressure = given["sea_level_pressure"]
        # The early papers state a density and leave the gas constant to follow from it.
        gas = given.get("gas_constant") or pressure / (given["sea_level_density"] * temperature)
        air = {
            name: float(given[name])
            for name in (
                "heat_ratio",
                "viscosity_coefficient",
                "viscosity_temperature",
                "earth_radius",
            )
        }
    except KeyError as fault:
        raise TableError(
            f"{slug} has no row {fault.args[0]!r}",
            where="tables/atmosphere/constants.csv",
            do="add the row",
        ) from None
    layers = _layers_of(slug, gravity, gas, temperature, pressure)
    return StandardAtmosphere(
        slug=slug,
        name=row["name"],
        year_from=int(row["year_from"]),
        year_to=int(row["year_to"]) if row["year_to"] else None,
        bottom=float(Fraction(row["bottom_height"])),
        top=float(Fraction(row["top_height"])),
        gravity=float(gravity),
        gas_constant=float(gas),
        layers=layers,
        upper_bases=tuple(layer.base_height for layer in layers[1:]),
        upper_pressures=tuple(-layer.base_pressure for layer in layers[1:]),
        upper_densities=tuple(-layer.base_density for layer in layers[1:]),
        source=row["source"],
        note=row["note"],
        **air,
    )


def atmosphere_slugs() -> tuple[str, ...]:
    """Names of all standard atmospheres in the tables, the present one first."""
    return tuple(row["slug"] for row in load_rows("atmosphere/atmospheres"))


def atmosphere_of_year(year: int, tradition: str = "unknown") -> str:
    """The standard atmosphere a paper of `year` is likely to have used.

    Parameters
    ----------
    year : int
        Year of the paper.
    tradition : str
        A tradition of `reconcile.records.TRADITIONS`; an atmosphere of that tradition
        goes before one common to all.

    Returns
    -------
    slug : str

    Raises
    ------
    OutOfRangeError
        No standard atmosphere was in force in that year.

    Examples
    --------
    >>> atmosphere_of_year(1938, "american"), atmosphere_of_year(1938, "british")
    ('naca1925', 'ican')
    """
    rows = load_rows("atmosphere/atmospheres")
    for wanted in (tradition, ""):
        for row in rows:
            last = int(row["year_to"]) if row["year_to"] else year + 1
            if row["tradition"] == wanted and int(row["year_from"]) <= year < last:
                return row["slug"]
    raise OutOfRangeError(
        f"no standard atmosphere of the tables was in force in {year}",
        expected=f"{min(int(row['year_from']) for row in rows)} or later",
        do="name the atmosphere",
    )


def _layers_of(
    slug: str, gravity: Fraction, gas: Fraction, temperature: Fraction, pressure: Fraction
) -> tuple[Layer, ...]:
    steps = [
        (Fraction(r["base_height"]), Fraction(r["gradient"]))
        for r in load_rows("atmosphere/layers")
        if r["atmosphere"] == slug
    ]
    if not steps or steps[0][0] != 0 or steps != sorted(steps, key=lambda step: step[0]):
        raise TableError(
            f"the layers of {slug} do not rise from 0 m", where="tables/atmosphere/layers.csv"
        )
    layers = []
    base_pressure = _decimal(pressure)
    for i, (height, gradient) in enumerate(steps):
        layers.append(
            Layer(
                base_height=float(height),
                base_temperature=float(temperature),
                base_pressure=float(base_pressure),
                # The very expression that gives a density elsewhere, so that the density
                # at a boundary finds its way back to the boundary exactly.
                base_density=float(base_pressure) / (float(gas) * float(temperature)),
                gradient=float(gradient),
                relative_gradient=float(gradient / temperature),
                exponent=float(gravity / (gas * gradient)) if gradient else 0.0,
                decay=0.0 if gradient else float(gravity / (gas * temperature)),
            )
        )
        if i + 1 == len(steps):
            break
        rise = steps[i + 1][0] - height
        warmer = temperature + gradient * rise
        if gradient:
            ratio = _decimal(warmer / temperature)
            fall = _DIGITS.multiply(_decimal(-gravity / (gas * gradient)), _DIGITS.ln(ratio))
        else:
            fall = _decimal(-gravity * rise / (gas * temperature))
        base_pressure = _DIGITS.multiply(base_pressure, _DIGITS.exp(fall))
        temperature = warmer
    return tuple(layers)
