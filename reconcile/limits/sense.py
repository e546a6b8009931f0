"""Whether a size makes sense: plausible bounds by parameter, in SI."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from reconcile.errors import UnknownUnitError
from reconcile.limits.terms import plausible
from reconcile.measure.units import unit_row


@lru_cache(maxsize=512)
def scale_of(unit: str) -> tuple[float, float, str] | None:
    """(factor, offset, SI unit) of a unit, or None where it has no linear scale."""
    try:
        row = unit_row(unit)
    except UnknownUnitError:
        return None
    if row.scale != "linear":
        return None
    return float(row.factor), float(row.offset), row.si_unit


def si_of(value: Fraction, unit: str) -> float | None:
    """SI value of `value`, or None where the unit is not known."""
    scale = scale_of(unit)
    return None if scale is None else float(value) * scale[0] + scale[1]


def is_plausible(value: Fraction | None, unit: str, parameter: str) -> bool:
    """Whether a value is within the widest sensible bounds of its parameter."""
    limits = plausible().get(parameter)
    if limits is None or value is None:
        return True
    scale = scale_of(unit)
    if scale is None or scale[2] != limits[2]:
        return True
    top, bottom = value.as_integer_ratio()
    size = top / bottom
    return limits[0] <= size * scale[0] + scale[1] <= limits[1]
