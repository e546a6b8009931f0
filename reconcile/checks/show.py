"""Numbers for people: SI values in the decimal units a reader has a feeling for."""

from __future__ import annotations

from fractions import Fraction

from reconcile.checks.sides import Side
from reconcile.measure.units import unit_row

_SCALES: dict[str, tuple[str, float]] = {
    "Pa": ("kPa", 1e3),
    "1/s": ("rev/min", 1 / 60),
    "m3": ("l", 1e-3),
    "m3/s": ("l/h", 1e-3 / 3600),
    "kg/s": ("kg/h", 1 / 3600),
    "kg/J": ("g/kWh", 1e-3 / 3.6e6),
    "W": ("kW", 1e3),
    "rad": ("°", 0.017453292519943295),
    "s": ("s", 1.0),
}
_ZERO_CELSIUS = 273.15


def decimal_unit(si_unit: str, kind: str = "") -> tuple[str, float]:
    """Name and size of the unit in which an SI value is shown."""
    if si_unit == "1/s" and kind != "rotational_speed":
        return "1/s", 1.0
    return _SCALES.get(si_unit, (si_unit if si_unit != "1" else "", 1.0))


def show_value(si: Fraction | float, side: Side) -> str:
    """A value on the comparable scale of `side`, as "142.7 kPa absolute" or "90 °C"."""
    unit = unit_row(side.unit).si_unit
    if unit == "K" and not side.is_difference:
        return f"{float(si) - _ZERO_CELSIUS:.4g} °C"
    name, size = decimal_unit(unit, side.kind)
    form = " absolute" if side.form in ("absolute", "gauge", "fixed_datum", "below_ambient") else ""
    return f"{float(si) / size:.4g} {name}{form}".rstrip()


def show_difference(si: Fraction | float, side: Side) -> str:
    """A difference on the scale of `side`, without any zero."""
    unit = unit_row(side.unit).si_unit
    if unit == "K":
        return f"{float(si):.3g} K"
    name, size = decimal_unit(unit, side.kind)
    return f"{float(si) / size:.3g} {name}".rstrip()
