"""Temperatures: readings and differences kept apart.

A reading counts from its scale's zero, a difference from nothing: 20 degC is 293.15 K, a
difference of 20 degC is 20 K. The two convert differently and never into each other; one
becomes the other only by subtraction of two readings, or by addition of a difference.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from reconcile.errors import MeasureError, OutOfRangeError, ReferenceFormError
from reconcile.measure.constants import constant
from reconcile.measure.quantity import Quantity
from reconcile.measure.units import UnitRow, unit_row


def reading(
    value: Fraction | int | str, unit: str, *, resolution: Fraction | None = None
) -> Quantity:
    """A temperature read on a scale.

    Parameters
    ----------
    value : exact number, in `unit`
    unit : str
        ``"Cel"``, ``"[degF]"``, ``"[degRe]"``, ``"[degR]"``, ``"K"``, or a slug.
    resolution : Fraction, optional, in `unit`

    Raises
    ------
    OutOfRangeError
        Below absolute zero.
    MeasureError
        Not a unit of temperature.

    Examples
    --------
    >>> reading(32, "[degRe]").to("Cel").nominal
    Fraction(40, 1)
    """
    row = _temperature_unit(unit)
    q = Quantity(
        nominal=Fraction(value),
        unit=row.ucum,
        unit_slug=row.slug,
        kind="temperature",
        resolution=resolution,
    )
    return check_reading(q)


def difference(
    value: Fraction | int | str, unit: str, *, resolution: Fraction | None = None
) -> Quantity:
    """A difference of two temperatures, of either sign.

    Examples
    --------
    >>> difference(18, "[degF]").to("Cel").nominal
    Fraction(10, 1)
    """
    row = _temperature_unit(unit)
    return Quantity(
        nominal=Fraction(value),
        unit=row.ucum,
        unit_slug=row.slug,
        kind="temperature",
        is_difference=True,
        resolution=resolution,
    )


def check_reading(q: Quantity) -> Quantity:
    """`q` itself, if it is a temperature that can be.

    Raises
    ------
    OutOfRangeError
        Below absolute zero.
    ReferenceFormError
        A difference, not a reading.
    MeasureError
        Not a temperature.
    """
    if q.row.si_unit != "K":
        raise MeasureError(f"{q} is not a temperature", expected="a unit of temperature")
    if q.is_difference:
        raise ReferenceFormError(
            f"{q} is a difference of temperatures, not a reading",
            do="add it to a reading, or convert it as a difference",
        )
    for value in q.exact_si():
        if value is not None and value < 0:
            raise OutOfRangeError(
                f"{q} is {float(value):g} K",
                expected="absolute zero or above",
                do="look at the sign, the degree mark and the unit",
            )
    return q


def as_difference(q: Quantity) -> Quantity:
    """The same number of degrees, taken as a difference: for a paper that means one.

    "Raise the temperature by 10 degC" is read as degrees Celsius; this says that it counts
    from nothing.
    """
    if q.row.si_unit != "K":
        raise MeasureError(f"{q} is not a temperature", expected="a unit of temperature")
    return replace(q, is_difference=True)


def old_ice_point_effect(q: Quantity) -> Fraction:
    """What the old habit of adding 273 changes in a Kelvin temperature [K]; always -0.15.

    Nought for a difference, and for a scale that counts from absolute zero.
    """
    row = q.row
    if row.si_unit != "K":
        raise MeasureError(f"{q} is not a temperature", expected="a unit of temperature")
    if q.is_difference or not row.has_zero_of_its_own:
        return Fraction(0)
    return constant("old-ice-point") - unit_row("Cel").offset


def _temperature_unit(unit: str) -> UnitRow:
    row = unit_row(unit)
    if row.si_unit != "K":
        raise MeasureError(f"{row.name} is not a unit of temperature", expected="Cel or [degF]")
    return row
